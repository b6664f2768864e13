//! A reagent that should be in excess and runs out: a kink.

use super::{certain, patched, simulate};
use joulecast::engine::Study;
use joulecast::experiment::{Experiment, ResultColumn};
use joulecast::forecast::{Options, Trials, forecast};
use joulecast::library::Library;
use joulecast::scenario::Scenario;
use joulecast::stats::{IntervalKind, Moments};

/// Permanganate against iron(II); common practice, no source: 1.5 g of hydrated iron(II) sulfate in
/// 150 mL of 0.5 mol/L sulfuric acid, 100 mL of it in the vessel; 0.10 g of ground permanganate in 10 mL of
/// 1 mol/L sulfuric acid for 20 min; 100 mL of liquid in the calibration.
pub const PRACTICE: &str = r#"
format = 1
title = "iron and permanganate"
[room]
temperature = "25 C"
[balance]
repeatability = "none"
[thermometer]
noise = "none"
[vessel]
heat_capacity = "20 J/K"
[record]
kind = "two readings"
before = "1 s"
read_at = "1 s"
[calibration]
runs = 1
[calibration.reaction]
use = "tris-hcl"
enthalpy = "-29.77 kJ/mol"
slope = "173.8 J/(mol K)"
solute_heat_capacity = "0 J/(g K)"
[calibration.charge]
mass = "0.5 g"
purity = "100 %"
[calibration.liquid]
volume = "100 mL"
heat_capacity_error = "none"
density_error = "none"
[determination]
runs = 1
[determination.reaction]
use = "iron-permanganate"
slope = "0 J/(mol K)"
solute_heat_capacity = "0 J/(g K)"
[determination.charge]
kind = "dissolved beforehand"
mass = "0.10 g"
purity = "100 %"
portion = "10 mL"
portion_liquid = "h2so4-1.0"
wait = "20 min"
[determination.stock]
solid = "feso4-7h2o"
mass = "1.5 g"
volume = "150 mL"
reactant = "iron-II"
purity = "100 %"
[determination.liquid]
volume = "100 mL"
heat_capacity_error = "none"
density_error = "none"
"#;

fn practice(changes: &[(&str, &str)]) -> Scenario {
    patched(PRACTICE, changes)
}

fn margin(changes: &[(&str, &str)]) -> f64 {
    let scenario = practice(changes);
    scenario
        .determination
        .nominal_margin(&scenario.room)
        .unwrap()
}

#[test]
fn the_excess_of_iron_is_that_of_common_practice() {
    assert!((margin(&[]) - 0.137).abs() < 0.0005, "{}", margin(&[]));
    assert!(margin(&[("determination.charge.mass", "0.1135 g")]) > 0.0);
    assert!(margin(&[("determination.charge.mass", "0.1139 g")]) < 0.0);
    let change = simulate(practice(&[]), 1, 1, ResultColumn::DeterminationChange)
        .mean
        .value;
    assert!((change - 0.82).abs() < 0.005, "{change}");
}

#[test]
fn contents_taken_as_alike_bias_it_by_more_than_eight_percent() {
    let value = |changes: &[(&str, &str)]| certain(practice(changes), changes, ResultColumn::Value);
    let right = value(&[]);
    let bias = |changes: &[(&str, &str)]| 100.0 * (value(changes) / right - 1.0);
    let same = bias(&[("lab.contents", "same")]);
    // By hand, J/K: 20 and 415.0 in the calibration; 20, 412.9 and the portion's 40.9 in the determination.
    assert!((same + 8.19).abs() < 0.05, "{same}");
    assert!((right / 1e3 + 617.7).abs() < 0.1, "{right}");
}

#[test]
fn residue_brings_the_heat_of_the_solid() {
    // Half as long again as the waiting time: (1 - 20/30)^3 of the powder is left at the break, and all of it
    // is dissolved in a vessel without leak when the reading is taken.
    let late = [
        ("determination.dissolving.law", "cube root"),
        ("determination.dissolving.time", "30 min"),
        ("determination.record.kind", "two readings"),
        ("determination.record.before", "1 s"),
        ("determination.record.read_at", "700 s"),
    ];
    let value = certain(practice(&late), &late, ResultColumn::Value);
    let left = (1.0f64 / 3.0).powi(3);
    let library = Library::builtin();
    let of = |key: &str| library.reaction(key).unwrap().enthalpy.value;
    let (solution, solid) = (of("iron-permanganate"), of("kmno4-water"));
    assert!(
        (solution / 1e3 + 617.7).abs() < 0.05 && ((solution + solid) / 1e3 + 574.3).abs() < 0.05
    );
    let want = solution + left * solid;
    assert!((value / want - 1.0).abs() < 1e-9, "{value} for {want}");
    // Dropped as a solid all of it has that heat.
    let dropped = [("determination.charge.kind", "dropped solid")];
    let target = certain(practice(&dropped), &[], ResultColumn::Target);
    assert!((target / (solution + solid) - 1.0).abs() < 1e-12);
}

#[test]
fn a_coarse_powder_shows_its_bias_and_its_repeats() {
    let coarse = |minutes: &'static str| {
        practice(&[
            ("determination.dissolving.law", "cube root"),
            ("determination.dissolving.time", minutes),
            ("determination.inspection.kind", "logistic"),
            ("determination.inspection.just_visible", "0.5 mg"),
            ("determination.inspection.surely_visible", "5 mg"),
        ])
    };
    let of = |minutes, q| simulate(coarse(minutes), 4, 10_240, q).mean;
    let fine = of("6 min, 30 % log-normal", ResultColumn::Error);
    assert!(fine.value.abs() < 0.001 * 617.7e3, "{fine:?}");
    let slow = "60 min, 30 % log-normal";
    let bias = of(slow, ResultColumn::Error).value / 617.7e3;
    // (1 - 20/60)^3 = 0.30 of the median powder is not there at the break.
    assert!((0.15..0.45).contains(&bias), "{bias}");
    assert!(of(slow, ResultColumn::DeterminationRepeats).value > 0.9);
    assert!(of(slow, ResultColumn::IncompleteShare).value > 0.9);
}

/// Result relative to the true value for a mass uniform over a window, only that erring: min(1, m* / m), m* the
/// mass that the iron suffices for. Mean and mean square by quadrature.
fn by_quadrature(limit: f64, low: f64, high: f64) -> (f64, f64) {
    let steps = 200_000;
    let h = (high - low) / f64::from(steps);
    let (mut sum, mut square) = (0.0, 0.0);
    for i in 0..steps {
        let m = low + (f64::from(i) + 0.5) * h;
        let y = (limit / m).min(1.0);
        sum += y;
        square += y * y;
    }
    let n = f64::from(steps);
    (sum / n, (square / n - (sum / n) * (sum / n)).sqrt())
}

#[test]
fn the_kink_has_the_distribution_of_an_independent_quadrature() {
    let window = [
        ("determination.charge.window", "0.09 g to 0.14 g"),
        ("determination.charge.mass", "0.115 g"),
    ];
    let model = Experiment::without_claims(practice(&window));
    let table = Study::new(6).run(&model, 40_960).unwrap();
    let share: Vec<f64> = table.columns[ResultColumn::Value as usize]
        .iter()
        .zip(&table.columns[ResultColumn::Target as usize])
        .map(|(v, t)| v / t)
        .collect();
    let library = Library::builtin();
    let molar = |key: &str| library.substance(key).unwrap().molar_mass.value;
    let limit = 1.5 / molar("feso4-7h2o") * (100.0 / 150.0) / 5.0 * molar("kmno4");
    assert!((limit - 0.1137).abs() < 1e-4);
    let (mean, sd) = by_quadrature(limit, 0.09, 0.14);
    let got = Moments::of(&share);
    assert!(
        (got.mean().value - mean).abs() < 5.0 * got.mean().se,
        "{:?} {mean}",
        got.mean()
    );
    assert!(
        (got.sd().value - sd).abs() < 5.0 * got.sd().se,
        "{:?} {sd}",
        got.sd()
    );
    // Iron for one hundredth more would be seen.
    let (wrong, _) = by_quadrature(1.01 * limit, 0.09, 0.14);
    assert!((got.mean().value - wrong).abs() > 5.0 * got.mean().se);
    let out = Moments::of(&table.columns[ResultColumn::RanOutShare as usize]).mean();
    let want = (0.14 - limit) / 0.05;
    assert!((out.value - want).abs() < 5.0 * out.se, "{out:?} {want}");
}

#[test]
fn a_forecast_says_that_no_linear_budget_holds_at_a_kink() {
    let options = Options {
        seed: 1,
        trials: Trials::Fixed(2_560),
        interval: IntervalKind::Symmetric,
        interrupt: None,
        progress: None,
    };
    let window = |w: &'static str| {
        let scenario = practice(&[("determination.charge.window", w)]);
        forecast(scenario, &options).unwrap().beside.excess.unwrap()
    };
    assert!(!window("0.09 g to 0.14 g").linear_budget_valid);
    assert!(window("0.09 g to 0.11 g").linear_budget_valid);
}
