//! Signs and sizes where water of crystallisation is lost or taken up, and where a reagent of another
//! kind than the charge is limiting.

use super::{SILENT, certain, patched, perfect_but, simulate};
use joulecast::experiment::ResultColumn;
use joulecast::library::Library;
use joulecast::scenario::Scenario;

/// The silent setting with a reaction of the library as it is tabulated.
fn of(reaction: &str, changes: &[(&str, &str)]) -> Scenario {
    let at = SILENT.find("[determination.reaction]").unwrap();
    let charge = SILENT.find("[determination.charge]").unwrap();
    let text = format!(
        "{}[determination.reaction]\nuse = \"{reaction}\"\nsolute_heat_capacity = \"0 J/(g K)\"\n\
         slope = \"0 J/(mol K)\"\n{}",
        &SILENT[..at],
        &SILENT[charge..]
    );
    let mut all = vec![("determination.charge.mass", "1 g")];
    all.extend_from_slice(changes);
    patched(&text, &all)
}

/// Change of the result in %, for a change of the scenario. Heats of dilution make every amount count a
/// little differently; they are taken out by a little of the salt in the same water.
fn percent(reaction: &str, mistake: &[(&str, &str)]) -> f64 {
    let value = |changes| certain(of(reaction, changes), changes, ResultColumn::Value);
    100.0 * (value(mistake) / value(&[]) - 1.0)
}

#[test]
fn a_hydrate_that_lost_two_percent_of_its_mass_reads_far_too_small() {
    // Closed form: a gram holds 1 / 0.98 of the salt, x = 0.02 M / (z 18.015) of it anhydrous; with heats of
    // dilution L the lab finds [h + x (h_anhydrous - h) + L(m / 0.98)] / 0.98 - L(m).
    let lost = [("determination.charge.water_lost", "2 %")];
    for (reaction, molar, waters, anhydrous, size) in [
        ("mgso4-7h2o-water", 246.466, 7.0, -91.2, -33.0),
        ("cuso4-5h2o-water", 249.677, 5.0, -73.1, -73.0),
        ("sodium-acetate-3h2o-water", 136.079, 3.0, -17.32, -8.0),
    ] {
        let tabulated = Library::builtin().reaction(reaction).unwrap();
        let scenario = of(reaction, &[]);
        let molality = scenario.determination.nominal_molality(&scenario.room);
        let diluted = |m: f64| tabulated.dilution_heat(m) / 1e3;
        let fresh = tabulated.enthalpy.value / 1e3;
        let x = 0.02 * molar / (waters * 18.015);
        let per_gram = (fresh + x * (anhydrous - fresh) + diluted(molality / 0.98)) / 0.98;
        let want = 100.0 * ((per_gram - diluted(molality)) / fresh - 1.0);
        let got = percent(reaction, &lost);
        assert!((got - want).abs() < 0.02, "{reaction}: {got} for {want}");
        // Without heats of dilution it is the size that is commonly quoted.
        let plain = 100.0 * ((fresh + x * (anhydrous - fresh)) / fresh / 0.98 - 1.0);
        assert!((plain - size).abs() < 0.8, "{reaction}: {plain}");
    }
}

#[test]
fn a_crust_of_hydrate_on_an_anhydrous_salt_makes_the_result_too_large() {
    // Closed form: of a mole 1 - f dissolves, to the molality m (1 - f), and f becomes hydrate with the heat h - h_hydrate; the
    // lab takes L(m) for all of it.
    let crust = [
        ("determination.dissolving.leftover", "exactly 5 %"),
        ("determination.dissolving.leftover_state", "hydrate formed"),
    ];
    let scenario = of("cuso4-water", &[]);
    let molality = scenario.determination.nominal_molality(&scenario.room);
    let salt = Library::builtin().reaction("cuso4-water").unwrap();
    let blue = Library::builtin().reaction("cuso4-5h2o-water").unwrap();
    let h = salt.enthalpy.value;
    let dissolved = 0.95 * (h + salt.dilution_heat(0.95 * molality));
    let percent_of = |heat: f64| 100.0 * ((heat - salt.dilution_heat(molality)) / h - 1.0);
    let want = percent_of(dissolved + 0.05 * (h - blue.enthalpy.value));
    assert!(want > 0.3);
    let got = percent("cuso4-water", &crust);
    assert!((got - want).abs() < 0.01, "{got} for {want}");
    // The same left over as it was makes it too small.
    let got = percent("cuso4-water", &crust[..1]);
    let want = percent_of(dissolved);
    assert!((got - want).abs() < 0.01, "{got} for {want}");
}

#[test]
fn what_never_reaches_the_vessel_takes_no_part_in_the_contents() {
    let held = [
        ("determination.dissolving.leftover", "exactly 10 %"),
        ("determination.reaction.solute_heat_capacity", "4 J/(g K)"),
    ];
    let never = [
        held[0],
        held[1],
        ("determination.dissolving.leftover_state", "never released"),
    ];
    let [inside, outside] = [&held[..], &never].map(|m| {
        simulate(
            of("cuso4-water", m),
            1,
            1,
            ResultColumn::DeterminationChange,
        )
        .mean
        .value
    });
    // 0.1 g x 4 J/(g K) less heat capacity of about 462 J/K.
    let more = 100.0 * (outside / inside - 1.0);
    assert!((more - 100.0 * 0.4 / 462.0).abs() < 0.002, "{more}");
}

/// Iron(II) from a stock, limiting, in both legs; the result per mole of iron.
pub(super) const IRON: &str = r#"
format = 1
title = "iron limiting"
[room]
temperature = "25 C"
[balance]
repeatability = "none"
[thermometer]
noise = "none"
[vessel]
heat_capacity = "40 J/K"
[record]
kind = "two readings"
before = "1 s"
read_at = "1 s"
[calibration]
runs = 1
[calibration.reaction]
use = "iron-permanganate"
per = "iron-II"
[calibration.charge]
kind = "dissolved beforehand"
mass = "0.2 g"
portion = "10 mL"
portion_liquid = "h2so4-1.0"
wait = "10 min"
[calibration.stock]
solid = "feso4-7h2o"
mass = "1.5 g"
volume = "150 mL"
reactant = "iron-II"
[calibration.liquid]
volume = "100 mL"
[determination]
runs = 1
[determination.reaction]
use = "iron-permanganate"
per = "iron-II"
[determination.charge]
kind = "dissolved beforehand"
mass = "0.2 g"
portion = "10 mL"
portion_liquid = "h2so4-1.0"
wait = "10 min"
[determination.stock]
solid = "feso4-7h2o"
mass = "1.5 g"
volume = "150 mL"
reactant = "iron-II"
[determination.liquid]
volume = "100 mL"
[lab]
contents = "same"
"#;

#[test]
fn a_limiting_reagent_that_lost_water_or_was_oxidised_shifts_by_its_share_and_cancels() {
    let value = |changes: &[(&str, &str)]| {
        let model = joulecast::experiment::Experiment::without_claims(patched(IRON, changes));
        // Only what is stated exactly differs from its ideal; the rest is made perfect.
        let study = joulecast::engine::Study {
            plan: perfect_but(changes),
            ..joulecast::engine::Study::new(1)
        };
        study.run(&model, 1).unwrap().columns[ResultColumn::Value as usize][0]
    };
    let right = value(&[]);
    let change = |keys: &[(&str, &str)]| 100.0 * (value(keys) / right - 1.0);
    for (key, size) in [
        ("water_lost", 100.0 * (1.0 / 0.98 - 1.0)),
        ("oxidised", -2.0),
    ] {
        let det = format!("determination.stock.{key}");
        let cal = format!("calibration.stock.{key}");
        let alone = change(&[(&det, "2 %")]);
        assert!((alone - size).abs() < 0.01, "{key}: {alone}");
        let reverse = 100.0 * (1.0 / (1.0 + size / 100.0) - 1.0);
        let other = change(&[(&cal, "2 %")]);
        assert!((other - reverse).abs() < 0.01, "{key}: {other}");
        let both = change(&[(&det, "2 %"), (&cal, "2 %")]);
        assert!(both.abs() < 1e-6, "{key}: {both}");
    }
}
