//! The commands `sweep` and `loosen`, as a user meets them.

use super::{are_written, flowing, is_empty, joulecast, text};
use serde_json::Value;
use std::fs;
use std::path::Path;

pub fn run(folder: &Path, arguments: &[&str]) -> std::process::Output {
    joulecast(folder)
        .args(arguments)
        .output()
        .expect("the program starts")
}

fn document(output: &std::process::Output) -> Value {
    serde_json::from_slice(&output.stdout).expect("one document")
}

#[test]
fn two_numbers_make_a_map_and_a_missed_target_exit_code_1() {
    let folder = tempfile::tempdir().expect("a folder");
    let output = run(
        folder.path(),
        &[
            "sweep",
            "urea-foam-cups",
            "--vary",
            "calibration.runs = 1 to 2",
            "--vary",
            "determination.runs = 1 to 3",
            "--spread",
            "0.01 %",
            "--trials",
            "512",
            "--json",
        ],
    );
    assert_eq!(output.status.code(), Some(1), "{}", text(&output.stderr));
    let document = document(&output);
    assert_eq!(document["schema"], "joulecast.sweep/1");
    let points = document["sweeps"][0]["points"].as_array().expect("points");
    assert_eq!(points.len(), 6);
    assert_eq!(points[1]["at"], serde_json::json!([2.0, 1.0]));
    assert!(
        points
            .iter()
            .all(|p| p["outcome"]["spread_J_per_mol"]["value"].as_f64().is_some())
    );
    assert!(
        document["sweeps"][0]["fit"]["floor_J_per_mol"]["value"]
            .as_f64()
            .is_some()
    );
    assert!(document["sweeps"][0]["least"].is_null());
    assert!(is_empty(folder.path()), "no files without --out");
}

#[test]
fn the_best_split_keeps_to_the_session_or_to_the_number_of_runs() {
    let folder = tempfile::tempdir().expect("a folder");
    let total = document(&run(
        folder.path(),
        &[
            "sweep", "--split", "--total", "6", "--trials", "512", "--json",
        ],
    ));
    let points = total["split"]["points"].as_array().expect("points");
    assert_eq!(points.len(), 5);
    for p in points {
        let n = |key: &str| p[key].as_u64().expect("a number");
        assert_eq!(n("calibrations") + n("determinations"), 6);
    }
    let session = run(
        folder.path(),
        &[
            "sweep",
            "permanganate-iron-dewar",
            "--split",
            "--session",
            "2 h",
            "--trials",
            "512",
            "--json",
        ],
    );
    let limit = &document(&session)["split"]["limit"];
    assert_eq!(limit["session_s"], 7200.0);
    // The built-in scenario does not say how long its runs take.
    let silent = run(folder.path(), &["sweep", "--split", "--session", "2 h"]);
    assert_eq!(silent.status.code(), Some(2));
    assert!(text(&silent.stderr).contains("[times]"));
    // Where there is no split the reason is told.
    let said = |arguments: &[&str], code: i32| {
        let all = [
            &["sweep", "--split", "--full", "--trials", "100"],
            arguments,
        ]
        .concat();
        let output = run(folder.path(), &all);
        assert_eq!(output.status.code(), Some(code), "{}", text(&output.stderr));
        flowing(&text(&output.stdout))
    };
    let short = said(&["permanganate-iron-dewar", "--session", "69.5 min"], 1);
    assert!(
        short.contains(
            "A session of 69.5 min is too short for one run of each kind, which needs 70 min"
        ),
        "{short}"
    );
    assert!(said(&["peroxide-cups"], 0).contains("Nothing calibrates here"));
    let fewer = said(&["--total", "5"], 0);
    assert!(
        fewer.contains("with 1 run fewer, since one more of each kind does not fit"),
        "{fewer}"
    );
    // A determination of a cycle is a run of each of its legs.
    let cycle = said(&["magnesium-oxide-cycle", "--total", "12"], 0);
    assert!(
        cycle.contains("of each of 2 legs") && cycle.contains("The equal split, 4 + 4"),
        "{cycle}"
    );
    // Of many ways those that matter are simulated.
    let many = said(&["--total", "60"], 0);
    assert!(many.contains("Of 59 ways 24 were simulated"), "{many}");
}

#[test]
fn a_map_shows_what_the_target_is_about_with_the_longer_number_downwards() {
    let folder = tempfile::tempdir().expect("a folder");
    let arguments = [
        "sweep",
        "--vary",
        "determination.charge.mass = 0.8 g to 3.2 g in 13",
        "--vary",
        "determination.runs = 1 to 2",
        "--within",
        "3 %",
        "--full",
        "--trials",
        "256",
    ];
    let output = run(folder.path(), &arguments);
    let printed = text(&output.stdout);
    assert!(
        printed.contains("95 % of results within, %; across: determinations;"),
        "{printed}"
    );
    super::fits_80_columns(&printed);
    // Of the two numbers the one with more values goes down: every mass heads a row.
    let words: Vec<&str> = printed.split_whitespace().collect();
    for mass in ["0.8", "1", "1.2", "2", "2.6", "3", "3.2"] {
        assert!(words.contains(&mass), "{mass}: {printed}");
    }
    assert!(words.iter().any(|w| w.ends_with('*')), "{printed}");
}

#[test]
fn what_cannot_be_varied_is_named_and_nothing_is_written() {
    let folder = tempfile::tempdir().expect("a folder");
    let cases: [(&[&str], &str); 13] = [
        (
            &["--vary", "determination.charge.mas = 1 g to 2 g"],
            "charge.mass",
        ),
        (
            &["--vary", "determination.charge.mass = 1 K to 2 K"],
            "a mass is due",
        ),
        (
            &["--vary", "determination.charge.mass = 2 g to 1 g"],
            "upside down",
        ),
        (
            &["--vary", "determination.charge.mass = -2 g to 1 g"],
            "begins below zero",
        ),
        (
            &["--vary", "determination.charge.mass = 1 g to 2 g by 3 g"],
            "larger than the whole range",
        ),
        (
            &[
                "--vary",
                "runs = 1 to 2",
                "--vary",
                "calibration.runs = 1 to 2",
            ],
            "set the same key",
        ),
        (&["--spread", "-2 %"], "out of range"),
        // Its water is weighed in.
        (
            &[
                "--vary",
                "determination.liquid.volume = 90 mL to 110 mL in 2",
                "--trials",
                "256",
            ],
            "no point makes an experiment: the liquid is stated by volume and by mass",
        ),
        (&["--vary", "determination.charge.mass"], "LOW to HIGH"),
        (&["--vary", "title = 1 to 2"], "no number"),
        (
            &[
                "--vary",
                "runs = 1 to 2",
                "--vary",
                "runs = 1 to 2",
                "--vary",
                "runs = 1 to 2",
            ],
            "three",
        ),
        (&["--spread", "2 K"], "a fraction is due"),
        (&["--session", "0 h"], "above zero"),
    ];
    for (arguments, due) in cases {
        let all = [&["sweep", "urea-foam-cups"], arguments].concat();
        let output = run(folder.path(), &all);
        let said = flowing(&text(&output.stderr));
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {said}");
        assert!(said.contains(due), "{arguments:?}: {said}");
        assert!(is_empty(folder.path()), "{arguments:?}");
    }
}

#[test]
fn a_share_in_the_band_needs_a_band() {
    let folder = tempfile::tempdir().expect("a folder");
    let shown = run(folder.path(), &["show", "urea-foam-cups"]);
    let whole = text(&shown.stdout);
    let without: Vec<&str> = whole.lines().filter(|l| !l.starts_with("band")).collect();
    fs::write(folder.path().join("my.toml"), without.join("\n")).expect("a file");
    let arguments = [
        "sweep",
        "my.toml",
        "--vary",
        "runs = 1 to 2",
        "--pass",
        "5 %",
        "--trials",
        "256",
        "--json",
    ];
    let output = run(folder.path(), &arguments);
    assert_eq!(output.status.code(), Some(2));
    assert!(
        text(&output.stderr).contains("--band"),
        "{}",
        text(&output.stderr)
    );
    let output = run(
        folder.path(),
        &[&arguments[..], &["--band", "10 %"]].concat(),
    );
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let shares = &document(&output)["sweeps"][0]["points"][0]["outcome"]["in_band"]["value"];
    assert!(shares.as_f64().is_some_and(|x| x > 0.05));
}

#[test]
fn the_loosest_tolerances_are_told_in_the_words_of_the_scenario() {
    let folder = tempfile::tempdir().expect("a folder");
    let output = run(
        folder.path(),
        &[
            "loosen",
            "urea-foam-cups",
            "--spread",
            "20 %",
            "--trials",
            "256",
            "--full",
            "--out",
            "out",
        ],
    );
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let printed = text(&output.stdout);
    for part in [
        "CAUTIONS",
        "IN SHORT",
        "EACH TOLERANCE ALONE",
        "THE SMALLEST NUMBERS",
        "INSTRUMENTS",
    ] {
        assert!(printed.contains(part), "{part}: {printed}");
    }
    let out = folder.path().join("out");
    are_written(
        &out,
        &[
            "loosen.txt",
            "loosen.md",
            "loosen.json",
            "tolerances.csv",
            "instruments.csv",
            "doubled.png",
            "instruments.png",
        ],
    );
    let document: Value =
        serde_json::from_str(&fs::read_to_string(out.join("loosen.json")).expect("a file"))
            .expect("a document");
    assert_eq!(document["schema"], "joulecast.loosen/1");
    let all = document["tolerances"].as_array().expect("tolerances");
    assert!(all.len() > 10);
    assert!(
        all.iter()
            .all(|t| ["factor", "any", "never"].contains(&t["answer"].as_str().expect("a word")))
    );
}

#[test]
fn a_brief_answer_is_one_screen_and_the_rest_is_on_request() {
    let folder = tempfile::tempdir().expect("a folder");
    let cases: [&[&str]; 6] = [
        &["sweep"],
        &["sweep", "permanganate-iron-dewar", "--spread", "2 %"],
        &[
            "sweep",
            "--vary",
            "runs = 1 to 12",
            "--vary",
            "determination.charge.mass = 1 g to 3 g",
        ],
        &[
            "sweep",
            "--vary",
            "determination.charge.mass = 0.4 g to 2.4 g",
            "--spread",
            "1.5 %",
        ],
        &["sweep", "urea-foam-cups", "--split", "--total", "9"],
        &["loosen", "--spread", "1.5 %"],
    ];
    for arguments in cases {
        let lines = |more: &[&str]| {
            let all = [arguments, &["--trials", "512"], more].concat();
            let printed = text(&run(folder.path(), &all).stdout);
            super::fits_80_columns(&printed);
            printed.lines().count()
        };
        let [brief, full] = [lines(&[]), lines(&["--full"])];
        assert!(brief <= 40 && brief < full, "{arguments:?}: {brief} {full}");
    }
}

#[test]
fn programs_are_told_of_cautions_and_warnings_as_in_a_forecast() {
    let folder = tempfile::tempdir().expect("a folder");
    let of = |command: &[&str]| {
        let all = [command, &["urea-foam-cups", "--trials", "256", "--json"]].concat();
        let document = document(&run(folder.path(), &all));
        ["cautions", "warnings"].map(|key| document[key].clone())
    };
    let forecast = of(&["forecast"]);
    assert!(
        forecast[0][0]
            .as_str()
            .is_some_and(|s| s.starts_with("General information"))
    );
    assert_eq!(of(&["sweep", "--vary", "runs = 1 to 2"]), forecast);
    assert_eq!(of(&["loosen", "--spread", "9 %"]), forecast);
}

#[test]
fn a_flat_optimum_is_called_flat_and_its_smallest_mass_is_chosen() {
    let folder = tempfile::tempdir().expect("a folder");
    let vary = "determination.charge.mass = 0.4 g to 3.2 g in 8";
    let arguments = ["sweep", "--vary", vary, "--trials", "4096", "--json"];
    let points = document(&run(folder.path(), &arguments))["sweeps"][0]["points"].clone();
    let points = points.as_array().expect("points");
    // Recomputed from the numbers: the smallest mass about the least whose error is within 1 % or its error of it.
    let number = |p: &Value, key: &str| p["outcome"]["rms_J_per_mol"][key].as_f64();
    let rms: Vec<f64> = points
        .iter()
        .map(|p| number(p, "value").expect("a number"))
        .collect();
    let best = (0..rms.len())
        .min_by(|a, b| rms[*a].total_cmp(&rms[*b]))
        .expect("a point");
    let se = number(&points[best], "se").expect("an error");
    let most = rms[best] * (1.0 + (se / rms[best]).max(0.01));
    let first = (0..=best)
        .rev()
        .take_while(|i| rms[*i] <= most)
        .last()
        .expect("the best");
    assert!(first < best, "the optimum is flat");
    let mass = points[first]["at"][0].as_f64().expect("a mass");
    let said = flowing(&text(&run(folder.path(), &arguments[..5]).stdout));
    let due = format!("{mass} g of ammonium chloride");
    assert!(
        said.contains(&due) && said.contains("The optimum is flat: from"),
        "{due}: {said}"
    );
}

#[test]
fn a_target_is_due_and_a_missed_one_is_exit_code_1() {
    let folder = tempfile::tempdir().expect("a folder");
    let output = run(folder.path(), &["loosen"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("--spread"));
    let output = run(
        folder.path(),
        &[
            "loosen",
            "urea-foam-cups",
            "--spread",
            "0.001 %",
            "--trials",
            "256",
            "--json",
        ],
    );
    assert_eq!(output.status.code(), Some(1), "{}", text(&output.stderr));
    let document = document(&output);
    assert_eq!(document["met"], false);
    assert_eq!(document["together"]["answer"], "never");
    let folder = tempfile::tempdir().expect("a folder");
    let arguments = [
        "loosen",
        "urea-foam-cups",
        "--spread",
        "0.001 %",
        "--trials",
        "256",
    ];
    let printed = text(&run(folder.path(), &arguments).stdout);
    let whole = flowing(&printed);
    assert!(
        whole.contains(
            "More runs do not reach it: with tolerances as they are 60 of each kind leave"
        ),
        "{printed}"
    );
    super::fits_80_columns(&printed);
}
