//! Windows, zones and sentences of `sweep` along one number.

use super::designs::run;
use super::{are_written, flowing, text};
use std::fs;

#[test]
fn a_sweep_of_the_mass_names_the_window_for_the_handout() {
    let folder = tempfile::tempdir().expect("a folder");
    let output = run(
        folder.path(),
        &[
            "sweep",
            "--vary",
            "determination.charge.mass = 0.4 g to 2.4 g by 0.4 g",
            "--spread",
            "1.3 %",
            "--full",
            "--trials",
            "1024",
        ],
    );
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let printed = text(&output.stdout);
    // The end lies between the points, about where 1024 trials see it, and says why it ends.
    let whole = flowing(&printed);
    let low = whole.split("is reached from ").nth(1).expect("a window");
    let low: f64 = low
        .split(' ')
        .next()
        .and_then(|x| x.parse().ok())
        .expect("a mass");
    assert!(low > 0.4 && low < 1.6 && low.fract() != 0.0, "{printed}");
    for part in [
        "to 2.4 g (below: missed; above: not looked at).",
        "Ends were looked for in steps of 0.04 g",
        "anything within 3.1 % of it was weighed",
    ] {
        assert!(whole.contains(part), "{part}: {printed}");
    }
    assert!(
        printed.find("CAUTIONS") < printed.find("IN SHORT"),
        "cautions come first"
    );
    super::fits_80_columns(&printed);
    let out = folder.path().join("joulecast-out");
    are_written(
        &out,
        &[
            "sweep.txt",
            "sweep.md",
            "sweep.json",
            "determination-charge-mass.csv",
            "determination-charge-mass.png",
            "determination-charge-mass.svg",
        ],
    );
    let csv = fs::read_to_string(out.join("determination-charge-mass.csv")).expect("a table");
    let lines: Vec<&str> = csv.lines().collect();
    assert!(
        lines[0].starts_with("# joulecast")
            && lines[1].starts_with("determination.charge.mass [g],spread_J_per_mol,")
    );
    assert_eq!(lines.len(), 2 + 6);
    let fields = lines[1].split(',').count();
    assert!(
        lines[2..].iter().all(|l| l.split(',').count() == fields),
        "{csv}"
    );
}

#[test]
fn a_sweep_of_the_filling_says_that_the_leak_is_kept() {
    let folder = tempfile::tempdir().expect("a folder");
    let said = |range: &str| {
        let output = run(
            folder.path(),
            &["sweep", "--vary", range, "--trials", "256"],
        );
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        flowing(&text(&output.stdout)).contains("The heat leak is kept as the rate that is stated")
    };
    assert!(said(
        "determination.liquid.volume = 100 mL to 200 mL by 50 mL"
    ));
    assert!(!said("determination.charge.mass = 1 g to 2 g in 2"));
}

/// The sentences and the table of a sweep along one number.
fn along(vary: &str, more: &[&str]) -> String {
    let folder = tempfile::tempdir().expect("a folder");
    let few = ["--full", "--trials", "256", "--vary", vary];
    let output = run(folder.path(), &[&["sweep"], more, &few[..]].concat());
    super::fits_80_columns(&text(&output.stdout));
    flowing(&text(&output.stdout))
}

#[test]
fn volumes_that_a_pipette_does_not_deliver_are_no_part_of_a_window() {
    let said = along(
        "liquid.volume = 10 mL to 200 mL by 10 mL",
        &["--spread", "5 %"],
    );
    assert!(
        said.contains("is reached with 100 mL and 150 mL; values between them cannot be"),
        "{said}"
    );
    assert!(!said.contains("is reached from"), "{said}");
    // The others are marked, and one note says why.
    assert!(
        said.contains("c, not possible: 10 mL to 40 mL, 60 mL to 90 mL, 110 mL to 140 mL"),
        "{said}"
    );
}

#[test]
fn a_heater_that_is_on_while_readings_count_is_out_of_bounds() {
    let said = along(
        "calibration.electrical.time = 50 s to 250 s by 50 s",
        &["neutralisation-mug", "--spread", "5 %"],
    );
    assert!(
        said.contains("above: heat comes too late to be read)"),
        "{said}"
    );
    assert!(said.contains("is reached from 50 s to 150 s"), "{said}");
    // What is looked at is the calibration, and so is its change of temperature.
    assert!(
        said.contains("ΔT: its mean in the calibration runs"),
        "{said}"
    );
}

#[test]
fn a_window_of_the_spread_tells_of_a_bias_that_its_target_does_not_see() {
    let vary = "determination.charge.transfer_loss = 0.02 g to 0.2 g by 0.06 g";
    let said = along(vary, &["copper-sulfate-hydration", "--spread", "5 %"]);
    assert!(
        said.contains("which this target does not look at"),
        "{said}"
    );
    let within = along(vary, &["copper-sulfate-hydration", "--within", "50 %"]);
    assert!(!within.contains("does not look at"), "{within}");
}

#[test]
fn numbers_keep_the_unit_that_they_were_asked_in_and_a_missed_end_is_told() {
    let said = along("determination.record.after = 300 s to 700 s by 150 s", &[]);
    assert!(
        said.contains("the steps end at 600 s, before 700 s."),
        "{said}"
    );
    let minutes = along("determination.record.after = 5 min to 11 min by 3 min", &[]);
    assert!(
        minutes.contains(" 8 min") && !minutes.contains("480 s"),
        "{minutes}"
    );
}

#[test]
fn what_is_left_after_infinitely_many_runs_of_one_leg_comes_from_the_others_too() {
    let said = along("calibration.runs = 1 to 4", &[]);
    assert!(
        said.contains("from the runs of `determination`, which stay as they are"),
        "{said}"
    );
    let all = along("runs = 1 to 4", &["peroxide-cups"]);
    assert!(
        all.contains("No number of determinations brings the spread below"),
        "{all}"
    );
    let leg = along("leg.blue.runs = 1 to 4", &["copper-sulfate-hydration"]);
    assert!(
        leg.contains("No number of runs of `blue` brings")
            && leg.contains("runs of `calibration` and `determination`"),
        "{leg}"
    );
}

#[test]
fn a_value_without_spread_is_varied_by_itself() {
    let folder = tempfile::tempdir().expect("a folder");
    let vary = "u(thermometer.resolution) = 1 mK to 2 mK";
    let output = run(folder.path(), &["sweep", "--vary", vary]);
    assert_eq!(output.status.code(), Some(2));
    let said = flowing(&text(&output.stderr));
    assert!(
        said.contains("vary `thermometer.resolution` itself"),
        "{said}"
    );
}

#[test]
fn a_leg_that_gets_an_instrument_of_its_own_is_told_of() {
    let said = along("determination.thermometer.noise = 1 mK to 3 mK in 2", &[]);
    assert!(
        said.contains("gives it a thermometer of its own")
            && said.contains("`thermometer.noise` varies it"),
        "{said}"
    );
    for shared in [
        "thermometer.noise = 1 mK to 3 mK in 2",
        "determination.record.after = 300 s to 600 s in 2",
        "determination.dissolving.time = 30 s to 60 s in 2",
    ] {
        let said = along(shared, &[]);
        assert!(!said.contains("of its own"), "{shared}: {said}");
    }
    // Where nothing calibrates there is nothing to share it with.
    let alone = along(
        "determination.vessel.leak = 0.0001 1/s to 0.0002 1/s in 2",
        &["peroxide-cups"],
    );
    assert!(!alone.contains("of its own"), "{alone}");
}

#[test]
fn a_number_without_effect_is_not_recommended() {
    // Its heat comes from a portion of the solution, not from a mass.
    let range = "determination.charge.mass = 1 g to 2 g in 3";
    let said = along(range, &["peroxide-cups"]);
    assert!(
        said.contains("No difference is made by: mass of sample"),
        "{said}"
    );
    assert!(!said.contains("Weigh"), "{said}");
}

#[test]
fn the_least_effort_is_the_fewest_runs_and_of_those_the_smallest_error() {
    let folder = tempfile::tempdir().expect("a folder");
    let vary = [
        "--vary",
        "calibration.runs = 1 to 5",
        "--vary",
        "determination.runs = 1 to 5",
    ];
    let few = ["sweep", "--spread", "1.1 %", "--trials", "2048"];
    let output = run(folder.path(), &[&few[..], &vary, &["--json"]].concat());
    let document: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let sweep = &document["sweeps"][0];
    let of = |p: &serde_json::Value, key: &str| {
        let outcome = &p["outcome"];
        outcome[key]["value"].as_f64().expect("a number")
            / outcome["result_J_per_mol"]
                .as_f64()
                .expect("a result")
                .abs()
    };
    let runs = |p: &serde_json::Value| [0, 1].map(|i| p["at"][i].as_f64().expect("a number"));
    let points = sweep["points"].as_array().expect("points");
    let reached = points.iter().filter(|p| of(p, "spread_J_per_mol") <= 0.011);
    let all: Vec<_> = reached.collect();
    let fewest = all
        .iter()
        .map(|p| runs(p).iter().sum::<f64>())
        .fold(f64::MAX, f64::min);
    let of_fewest = all.iter().filter(|p| runs(p).iter().sum::<f64>() == fewest);
    let best = of_fewest.min_by(|a, b| of(a, "rms_J_per_mol").total_cmp(&of(b, "rms_J_per_mol")));
    let due = runs(best.expect("a point"));
    assert_eq!(sweep["least"], serde_json::json!(due));
    let said = flowing(&text(
        &run(folder.path(), &[&few[..], &vary].concat()).stdout,
    ));
    let [c, d] = due;
    assert!(
        said.contains(&format!("Do {c} calibration runs and {d} determination")),
        "{said}"
    );
    assert!(
        said.contains("the fewest runs to reach the target"),
        "{said}"
    );
}
