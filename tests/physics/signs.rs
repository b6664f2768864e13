//! Signs and sizes of mistakes: each one is set as a change of the scenario, in the determination
//! only, in the calibration only, and in both, and nature and lab are run with it.
//!
//! The expected changes follow from Delta H = -C Delta T / n in a closed form; the setting is 100 g
//! of liquid, a vessel of 40 J/K, 2 K and 3 K.

use super::{SILENT, patched};
use joulecast::engine::Study;
use joulecast::experiment::{Experiment, ResultColumn};
use joulecast::lab::{Evaluation, Method};
use joulecast::random::{Draws, Layout, Plan};

/// Value of the result, J/mol, without errors.
fn value(changes: &[(&str, &str)]) -> f64 {
    let model = Experiment::without_claims(patched(SILENT, changes));
    let table = Study::new(1).run(&model, 1).unwrap();
    table.columns[ResultColumn::Value as usize][0]
}

/// Change of the result in %, for changes of one leg's keys given as (key, value).
fn percent(context: &[(&str, &str)], mistake: &[(&str, &str)]) -> [f64; 3] {
    let legs = [
        &["determination"][..],
        &["calibration"],
        &["determination", "calibration"],
    ];
    let right = value(context);
    legs.map(|legs| {
        let mut keys: Vec<(String, &str)> = Vec::new();
        for leg in legs {
            for (key, v) in mistake {
                // A value for each leg: "determination | calibration".
                let v = match (v.split_once(" | "), *leg) {
                    (Some((d, _)), "determination") => d,
                    (Some((_, c)), _) => c,
                    (None, _) => v,
                };
                keys.push((format!("{leg}.{key}"), v));
            }
        }
        let mut changes = context.to_vec();
        changes.extend(keys.iter().map(|(k, v)| (k.as_str(), *v)));
        100.0 * (value(&changes) / right - 1.0)
    })
}

fn close(what: &str, got: [f64; 3], want: [f64; 3]) {
    for (g, w) in got.iter().zip(want) {
        assert!((g - w).abs() < 0.06, "{what}: {got:.3?}, expected {want:?}");
    }
}

#[test]
fn solid_undissolved_lost_after_weighing_or_inert_makes_the_result_smaller_and_cancels() {
    let want = [-2.0, 2.04, 0.0];
    close(
        "undissolved",
        percent(&[], &[("dissolving.leftover", "exactly 2 %")]),
        want,
    );
    close(
        "lost after weighing",
        percent(&[], &[("charge.transfer_loss", "exactly 2 %")]),
        want,
    );
    let inert = [("charge.purity", "98 %"), ("charge.label_purity", "100 %")];
    close("inert", percent(&[], &inert), want);
}

#[test]
fn solid_lost_before_weighing_does_nothing() {
    let less = [(
        "charge.window",
        "7.0510 g to 7.0512 g | 4.0875 g to 4.0877 g",
    )];
    close("lost before", percent(&[], &less), [0.0, 0.0, 0.0]);
}

#[test]
fn rinse_water_makes_it_smaller_and_short_liquid_larger() {
    close(
        "rinse",
        percent(&[], &[("liquid.rinse", "exactly 1 mL")]),
        [-0.9, 0.9, 0.0],
    );
    close(
        "short",
        percent(&[], &[("liquid.tolerance", "exactly -1 mL")]),
        [0.9, -0.9, 0.0],
    );
}

#[test]
fn an_offset_cancels_in_a_difference_but_not_through_the_references_slope() {
    let offset = [("thermometer.offset", "exactly 0.5 K")];
    let blind = [("lab.reference_slope", "ignored")];
    close(
        "offset in delta T",
        percent(&blind, &offset),
        [0.0, 0.0, 0.0],
    );
    close("KCl", percent(&[], &offset), [0.0, -0.47, -0.47]);
    let tris = [
        ("calibration.reaction.enthalpy", "-29.770 kJ/mol"),
        ("calibration.reaction.slope", "173.8 J/(mol K)"),
    ];
    close("TRIS", percent(&tris, &offset), [0.0, -0.29, -0.29]);
}

#[test]
fn a_long_scale_cancels_only_if_both_legs_share_the_sensor() {
    let long = [("thermometer.gain", "exactly 1 %")];
    close("scale", percent(&[], &long), [1.0, -0.99, 0.0]);
}

#[test]
fn a_drift_against_the_change_that_is_ignored_for_three_minutes() {
    let context = [("record.before", "90 s"), ("record.read_at", "90 s")];
    // Both changes are falls here, so a rising drift works against them.
    let drift = [("thermometer.drift", "exactly 20 mK/min")];
    close("drift", percent(&context, &drift), [-2.0, 3.1, 1.0]);
}

#[test]
fn two_changes_of_temperature_swapped_lose_more_than_half() {
    let scenario = patched(SILENT, &[]);
    let model = Experiment::without_claims(scenario.clone());
    let plan = Plan::new();
    let draws = Draws::new(1, 0, Layout::MARGINAL, &plan);
    let (mut seen, right, _) = model.one_trial(draws, 0);
    let (c, d) = (seen.calibration.runs[0].change, seen.legs[0].runs[0].change);
    assert!(
        (c.0 + 2.0).abs() < 0.01 && (d.0 + 3.0).abs() < 0.01,
        "{c:?} {d:?}"
    );
    seen.calibration.runs.iter_mut().for_each(|r| r.change = d);
    seen.legs[0].runs.iter_mut().for_each(|r| r.change = c);
    let swapped = Evaluation::of(&seen, &Method::of(&scenario));
    let change = 100.0 * (swapped.enthalpy / right.enthalpy - 1.0);
    assert!((change + 100.0 * 5.0 / 9.0).abs() < 0.3, "{change}");
}

#[test]
fn a_late_reading_loses_what_leaks_and_cancels_if_alike() {
    let context = [
        ("vessel.leak", "3.3e-4 /s"),
        ("record.read_at", "0.001 s"),
        ("record.before", "0.001 s"),
    ];
    let late = |t: &'static str| percent(&context, &[("record.read_at", t)]);
    close("60 s late", late("60 s"), [-1.96, 2.0, 0.0]);
    close("180 s late", late("180 s"), [-5.77, 6.12, 0.0]);
}
