//! Errors of tabulated heats of dilution and densities against closed forms.

use super::{SILENT, certain, patched};
use joulecast::engine::Study;
use joulecast::experiment::{Experiment, ResultColumn};
use joulecast::quantity::JoulePerMole;
use joulecast::random::{Plan, Treatment};
use joulecast::scenario::{SOURCES, Scenario, SourceId, builtin, builtin_text, shipped};
use joulecast::stats::Moments;

/// Spread of the result, J/mol, where nothing errs but this source.
fn alone(scenario: &Scenario, id: SourceId) -> Moments {
    let others = SOURCES.iter().filter(|s| s.id != id);
    let study = Study {
        plan: others.fold(Plan::new(), |p, s| p.with(s.tag(), Treatment::Perfect)),
        ..Study::new(4)
    };
    let model = Experiment::without_claims(scenario.clone());
    let table = study.run(&model, 20_480).unwrap();
    Moments::of(&table.columns[ResultColumn::Error as usize])
}

/// What the lab's own budget of a group without errors says of a source, J/mol.
fn budgeted(scenario: &Scenario, id: SourceId) -> f64 {
    let claims = Experiment::new(scenario.clone()).claims_at_zero_error();
    let lines = claims.unwrap().budget.lines;
    let own = lines.iter().filter(|l| l.source == Some(id));
    own.map(|l| l.variance).sum::<f64>().sqrt()
}

#[test]
fn what_is_not_known_of_the_heat_of_dilution_is_in_the_result_and_in_its_budget() {
    // 0.2 mol/kg of ammonium chloride: 30 J/mol by its table, which the lab subtracts.
    let s = builtin();
    let u = 30.0;
    let found = alone(&s, SourceId::DilutionError).sd();
    assert!((found.value - u).abs() < 5.0 * found.se, "{found:?}");
    assert!((found.value - 1.1 * u).abs() > 5.0 * found.se);
    assert!((budgeted(&s, SourceId::DilutionError) / u - 1.0).abs() < 1e-3);
    // The pentahydrate of copper sulfate by itself: 0.50 kJ/mol of 6.0.
    let blue = patched(
        builtin_text(),
        &[
            ("determination.reaction.use", "cuso4-5h2o-water"),
            ("determination.charge.mass", "7.4 g"),
            ("determination.charge.window", "7.2 g to 7.6 g"),
        ],
    );
    let found = alone(&blue, SourceId::DilutionError).sd();
    assert!((found.value - 499.0).abs() < 5.0 * found.se, "{found:?}");
}

#[test]
fn both_forms_of_a_salt_end_in_one_solution_whose_heat_of_dilution_cancels() {
    // One table, 450 J/mol of it not known at 0.100 mol/kg and 499 J/mol at 0.198: what is left is their difference.
    let s = patched(shipped("copper-sulfate-hydration").unwrap(), &[]);
    let left = alone(&s, SourceId::DilutionError).sd();
    let due = 49.0;
    assert!((left.value / due - 1.0).abs() < 0.05, "{left:?}");
    let budget = budgeted(&s, SourceId::DilutionError);
    assert!((budget / left.value - 1.0).abs() < 0.05, "{budget}");
}

#[test]
fn a_reference_used_in_its_certified_state_owes_nothing_to_the_table() {
    // Potassium chloride at 0.111 mol/kg is certified there; at another molality the difference of both uncertainties counts.
    let s = patched(shipped("citric-acid-thermistor").unwrap(), &[]);
    let at_state = s
        .calibration
        .binding(SourceId::DilutionError)
        .input
        .dist
        .clone();
    let dilution = &s.calibration.reaction.dilution;
    assert!(at_state.sd() < 0.1, "{at_state:?}");
    assert!((dilution.u_from_state(0.2).0 - 8.0).abs() < 0.1);
    assert_eq!(dilution.u_from_state(0.111).0, 0.0);
}

#[test]
fn a_liquid_denser_than_its_table_takes_up_more_heat() {
    // C = 40 J/K + m c (1 + e) where the lab counts m c: of the result 0.1 % m c / C comes through the calibration alone,
    // and nothing where both legs hold the same liquid.
    let both = [
        ("lab.contents", "swapped"),
        ("calibration.liquid.density_error", "exactly 0.1 %"),
        ("determination.liquid.density_error", "exactly 0.1 %"),
    ];
    let value =
        |changes: &[(&str, &str)]| certain(patched(SILENT, changes), changes, ResultColumn::Value);
    let plain = value(&both[..1]);
    let contents = 100.3 * 0.997_047_6 * 4.181_315;
    let due = -0.001 * contents / (40.0 + contents);
    let got = value(&[both[0], both[2]]) / plain - 1.0;
    assert!((got / due - 1.0).abs() < 2e-3, "{got} for {due}");
    assert!((value(&both) / plain - 1.0).abs() < 1e-9);
}

#[test]
fn volume_that_is_short_in_all_is_short_once_and_a_mark_once_a_filling() {
    let with = |key: &'static str, text: &'static str| {
        [
            ("determination.liquid.volume", "150 mL"),
            ("calibration.liquid.volume", "150 mL"),
            ("determination.liquid.device", "pipette-iso648-50mL-A"),
            ("determination.liquid.tolerance", "none"),
            ("determination.liquid.repeatability", "none"),
            (key, text),
        ]
    };
    let change = |key, text| {
        let changes = with(key, text);
        certain(
            patched(SILENT, &changes),
            &changes,
            ResultColumn::DeterminationChange,
        )
    };
    let plain = change("calibration.runs", "2");
    let heat = |volume: f64| 40.0 + volume * 0.997_047_6 * 4.181_315;
    let short = |volume: f64| heat(150.0) / heat(150.0 - volume);
    let once = change("determination.liquid.shortfall", "exactly 1 mL") / plain;
    assert!((once / short(1.0) - 1.0).abs() < 1e-6, "{once}");
    let thrice = change("determination.liquid.tolerance", "exactly -1 mL") / plain;
    assert!((thrice / short(3.0) - 1.0).abs() < 1e-6, "{thrice}");
    assert!((once / short(3.0) - 1.0).abs() > 1e-2);
}

/// A salt whose accepted value this table of heats of dilution carried from 0.2 mol/kg, or did not.
fn carried(by_this_table: bool) -> Scenario {
    let own = r#"
[library.citations]
mine = "our measurement"
[library.reactions.our-salt-water]
title = "our salt in water"
equation = "NH4Cl(cr) -> NH4+(aq) + Cl-(aq)"
substance = "nh4cl"
medium = "water"
enthalpy = { value = "14.78 kJ/mol, u = 0.05 kJ/mol", source = "mine", status = "read" }
at = "25 C"
state = "infinite dilution"
slope = { value = "-150 J/(mol K), u = 20 J/(mol K)", source = "mine", status = "read" }
range = "15 to 35 C"
solute_cp = { value = "-1 J/(g K), u = 0.2 J/(g K)", source = "mine", status = "read" }
dilution = [{ molality = "0.2 mol/kg", value = "500 J/mol, u = 40 J/mol", source = "mine", status = "read" }]
"#;
    let from = "carried_from = \"0.2 mol/kg\"\n";
    let text = format!(
        "{}{own}{}",
        builtin_text(),
        if by_this_table { from } else { "" }
    );
    patched(&text, &[("determination.reaction.use", "our-salt-water")])
}

#[test]
fn what_a_table_did_to_the_accepted_value_as_to_the_result_is_not_counted_twice() {
    // u² = s² + u_acc² - 2 u_0 u: 40 J/mol of the accepted 50 are the table's, which errs by 40 (m/0.2)^(1/2) at m.
    for own in [false, true] {
        let s = carried(own);
        let m = s.determination.nominal_molality(&s.room);
        let shared = 2.0 * 40.0 * 40.0 * (m / 0.2_f64).sqrt().min(1.0);
        for spread in [40.0_f64, 200.0] {
            let due = spread.powi(2) + 50.0_f64.powi(2) - if own { shared } else { 0.0 };
            let found = s.compared_u(JoulePerMole(spread)).0;
            assert!((found / due.sqrt() - 1.0).abs() < 1e-9, "{found} for {due}");
        }
    }
    // With nothing else in error the two differ by what the table did not do: (50² - 40²)^(1/2), near 0.2 mol/kg.
    let s = carried(true);
    let spread = JoulePerMole(alone(&s, SourceId::DilutionError).sd().value);
    assert!((s.compared_u(spread).0 - 30.0).abs() < 0.5);
}
