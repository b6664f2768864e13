//! Short cuts of the lab and the bias that they make, with every error of nature off.
//!
//! Expected sizes are written out from Delta H = -C Delta T / n in each test.

use super::{SILENT, patched};
use joulecast::engine::Study;
use joulecast::experiment::{Experiment, ResultColumn, advice, reduction_error, typical_plan};
use joulecast::random::{Plan, Treatment};
use joulecast::scenario::{SOURCES, Scenario, SourceId, shipped, shipped_names};

/// Relative error of the result with all sources perfect.
fn bias_of(scenario: Scenario) -> f64 {
    let mut study = Study::new(1);
    study.plan = SOURCES.iter().fold(Plan::new(), |plan, s| {
        plan.with(s.tag(), Treatment::Perfect)
    });
    let table = study.run(&Experiment::without_claims(scenario), 1).unwrap();
    let column = |q: ResultColumn| table.columns[q as usize][0];
    column(ResultColumn::Error) / column(ResultColumn::Target)
}

fn bias(changes: &[(&str, &str)]) -> f64 {
    bias_of(patched(SILENT, changes))
}

fn close(what: &str, got: f64, want: f64) {
    assert!((got - want).abs() < 1e-4, "{what}: {got:.6} for {want:.6}");
}

#[test]
fn the_value_at_25_used_at_20_is_off_by_the_slope_of_five_kelvin() {
    // Prosen and Kilday 1973: -245.76 J/g and 1.435 J/(g K); KCl 17.584 kJ/mol and -0.166
    // kJ/(mol K) (from memory, derived). The constant is in proportion to the tabulated value.
    for (name, enthalpy, slope, percent) in [
        ("TRIS", "-29.770 kJ/mol", "173.83 J/(mol K)", 2.9),
        ("KCl", "17.584 kJ/mol", "-166 J/(mol K)", 4.7),
    ] {
        let changes = [
            ("calibration.reaction.enthalpy", enthalpy),
            ("calibration.reaction.slope", slope),
            ("room.temperature", "20 C"),
            ("lab.reference_slope", "ignored"),
        ];
        let b = bias(&changes);
        // The tabulated magnitude at 25 °C is the smaller one, so the result comes out too small:
        // by 2.8 and 4.5 % of itself, which is 2.9 and 4.7 % of the smaller value.
        let of_smaller = -100.0 * b / (1.0 + b);
        assert!(
            (of_smaller - percent).abs() < 0.05,
            "{name}: {of_smaller:.3}"
        );
        assert!(bias(&changes[..3]).abs() < 1e-12, "{name} with its slope");
    }
}

#[test]
fn mean_temperature_moves_tabulated_values_by_half_the_change() {
    // The reference is taken at T + Delta T / 2: relative change slope Delta T / (2 H).
    let b = bias(&[("lab.tables_at", "mean")]);
    close("reference", b, -166.0 * (-2.0) / 2.0 / 17_584.0);
    // Brought to 25 °C with a slope of its own, the result moves the other way.
    let changes = [
        ("lab.tables_at", "mean"),
        ("calibration.reaction.slope", "0 J/(mol K)"),
        ("determination.reaction.slope", "-141 J/(mol K)"),
        ("lab.result_slope", "applied"),
    ];
    close("result", bias(&changes), 141.0 * (-3.0) / 2.0 / 15_290.0);
}

/// Contents exchanged, so that their reckoning matters; different masses of liquid.
const UNEQUAL: [(&str, &str); 3] = [
    ("lab.contents", "swapped"),
    ("determination.liquid.volume", "150 mL"),
    ("room.temperature", "25 C"),
];

fn with<'a>(base: &[(&'a str, &'a str)], more: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    [base, more].concat()
}

/// Water at 25 °C (IAPWS-95): J/(g K) and g/mL.
const C: f64 = 4.181_32;
const RHO: f64 = 0.997_048;

#[test]
fn millilitres_taken_as_grams_cancel_between_equal_volumes_and_not_between_unequal() {
    let grams = [("lab.volume_as_mass", "true")];
    let equal = with(&[("lab.contents", "swapped")], &grams);
    close("equal volumes", bias(&equal), 0.0);
    // The vessel comes out as V + C m_c - C V_c, and the sum as true plus C (V_d - V_c)(1 - rho).
    let extra = C * (150.0 - 100.3) * (1.0 - RHO);
    let capacity = 40.0 + C * RHO * 150.0;
    close(
        "unequal volumes",
        bias(&with(&UNEQUAL, &grams)),
        extra / capacity,
    );
}

#[test]
fn the_solid_left_out_of_the_mass_matters_where_the_masses_differ() {
    let left_out = [("lab.solid_in_mass", "false")];
    // Solution of m_l + m_s with c = m_l c_l / (m_l + m_s) here: without m_s it is c m_l.
    let share = |liquid: f64, solid: f64| liquid * C * (liquid / (liquid + solid) - 1.0);
    let (liquid, cal, det) = (100.3 * RHO, 4.171, 7.195);
    let equal = with(&[("lab.contents", "swapped")], &left_out);
    let want = (share(liquid, det) - share(liquid, cal)) / (40.0 + liquid * C);
    close("equal liquid", bias(&equal), want);
    assert!(want.abs() > 0.02, "the case must show something: {want}");
    // Equal masses of solid as well: nothing is left of it.
    let same = with(
        &equal,
        &[
            ("determination.charge.mass", "4.171 g"),
            ("lab.contents", "swapped"),
        ],
    );
    close("equal contents", bias(&same), 0.0);
}

#[test]
fn waters_heat_capacity_for_a_solution_matters_by_what_the_solids_differ() {
    let water = [("lab.contents", "swapped"), ("lab.heat_capacity", "water")];
    // Here a gram of dissolved solid adds nothing, but is counted like water.
    let want = C * (7.195 - 4.171) / (40.0 + 100.3 * RHO * C);
    close("water", bias(&water), want);
}

#[test]
fn advice_states_the_late_heat_that_two_smooth_records_differ_by() {
    let slow = [
        ("determination.dissolving.law", "cube root"),
        ("determination.dissolving.time", "100 s, 30 % log-normal"),
        ("record.read_at", "60 s"),
    ];
    let scenario = patched(SILENT, &slow);
    let found = advice(&scenario);
    let warning = found
        .iter()
        .find(|p| p.path.starts_with("determination"))
        .expect("warned of");
    let time = SourceId::DissolvingTime.source().tag();
    let late = |t: Treatment| {
        let plan = |t: Treatment| typical_plan().with(time, t);
        let leg = &scenario.determination;
        reduction_error(&scenario, leg, &plan(t))
            - reduction_error(&scenario, leg, &plan(Treatment::Perfect))
    };
    for t in [Treatment::At(0.5), Treatment::At(0.95)] {
        let size = format!("{:.2} % too small", -100.0 * late(t));
        assert!(
            warning.message.contains(&size),
            "{} in {}",
            size,
            warning.message
        );
    }
    // (1 - 60/100)^3 of the solid is left at the reading.
    close("typical", late(Treatment::At(0.5)), -0.064);
}

#[test]
fn shipped_scenarios_are_not_warned_of() {
    for name in shipped_names() {
        let scenario = joulecast::scenario::read(shipped(name).unwrap()).unwrap();
        let found = advice(&scenario);
        assert!(found.is_empty(), "{name}: {found:?}");
        // One of them takes unlike contents as alike, to show what that costs.
        let meant = |path: &str| name == "urea-foam-cups" && path == "lab.contents";
        let others: Vec<_> = scenario
            .warnings
            .iter()
            .filter(|w| !meant(&w.path))
            .collect();
        assert!(others.is_empty(), "{name}: {others:?}");
    }
}
