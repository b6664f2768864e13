//! Quantities of common practice, no source: used as check values only.

use super::patched;
use joulecast::engine::Study;
use joulecast::experiment::{Experiment, ResultColumn};
use joulecast::random::{Draws, Layout, Plan, Treatment};
use joulecast::scenario::{Family, SOURCES, builtin_text};
use joulecast::stats::Summary;

/// Common practice, no source: 0.49 to 0.51 g of TRIS in 100 mL of 0.1 mol/L acid, three
/// calibration runs, a 0.1 mg balance; 0.40 to 0.45 g of potassium nitrate in 100 mL of water; a
/// vessel of 20 J/K.
const PRACTICE: &[(&str, &str)] = &[
    ("calibration.runs", "3"),
    ("calibration.charge.mass", "0.50 g"),
    ("calibration.charge.window", "0.49 g to 0.51 g"),
    ("calibration.charge.purity", "99.9 %"),
    ("calibration.liquid.volume", "100 mL"),
    ("calibration.liquid.device", "pipette-iso648-100mL-A"),
    ("determination.reaction.use", "kno3-water"),
    ("determination.charge.mass", "0.425 g"),
    ("determination.charge.window", "0.40 g to 0.45 g"),
    ("determination.charge.purity", "99.5 %"),
    ("determination.liquid.volume", "100 mL"),
    ("determination.liquid.device", "pipette-iso648-100mL-A"),
    ("vessel.heat_capacity", "20 J/K, u = 2 J/K"),
];

#[test]
fn changes_of_temperature_have_the_size_known_from_practice() {
    let table = Study::new(3)
        .run(
            &Experiment::without_claims(patched(builtin_text(), PRACTICE)),
            5_120,
        )
        .unwrap();
    let mean = |q: ResultColumn| Summary::of(&table.columns[q as usize], 0.95).mean.value;
    assert!((mean(ResultColumn::CalibrationChange) - 0.28).abs() < 0.01);
    assert!((mean(ResultColumn::DeterminationChange) + 0.34).abs() < 0.01);
}

#[test]
fn with_the_purity_at_its_label_the_balance_makes_less_than_a_tenth_of_u() {
    let model = Experiment::new(patched(builtin_text(), PRACTICE));
    let perfect = SOURCES
        .iter()
        .fold(Plan::new(), |p, s| p.with(s.tag(), Treatment::Perfect));
    let (_, _, claims) = model.one_trial(Draws::new(1, 0, Layout::MARGINAL, &perfect), 0);
    let budget = claims.unwrap().budget;
    let balance: f64 = budget
        .lines
        .iter()
        .filter(|l| {
            l.source
                .is_some_and(|s| s.source().family == Family::Balance)
        })
        .map(|l| l.variance)
        .sum();
    let share = balance.sqrt() / budget.u;
    assert!(share < 0.1, "{share}");
    assert!(
        share > 1e-4,
        "the balance must be in the budget at all: {share}"
    );
}
