//! The command `compare`, as a user meets it.

use super::is_empty;
use serde_json::Value;
use std::fs;
use std::path::Path;

fn run(folder: &Path, arguments: &[&str]) -> (i32, String, String) {
    super::run(folder, &[&["compare"], arguments].concat())
}

#[test]
fn a_comparison_is_one_document() {
    let folder = tempfile::tempdir().expect("a folder");
    let (code, said, complaint) = run(
        folder.path(),
        &[
            "urea-foam-cups",
            "urea-foam-cups",
            "--set",
            "thermometer.use = thermistor-1mK",
            "--set",
            "determination.charge.mass = 900 g",
            "--groups",
            "5",
            "--trials",
            "1024",
            "--json",
        ],
    );
    assert_eq!((code, complaint.as_str()), (0, ""));
    let document: Value = serde_json::from_str(&said).expect("one document");
    assert_eq!(document["schema"], "joulecast.compare/1");
    assert_eq!(document["groups_of_a_section"], 5);
    assert!(document["cautions"].as_array().expect("cautions").len() > 2);
    let all = document["contenders"].as_array().expect("contenders");
    assert_eq!(all.len(), 4);
    for (x, letter) in all.iter().zip(["A", "B", "C", "D"]) {
        assert_eq!(x["letter"], letter);
        assert_eq!(x["possible"], letter != "D");
    }
    assert_eq!(all[1]["name"], "urea-foam-cups (2)");
    assert_eq!(all[3]["reason"]["bound"], "more than dissolves");
    for x in &all[..3] {
        for key in [
            "bias_in_size",
            "spread",
            "within_95",
            "rms_error",
            "spread_floor",
        ] {
            // Few trials cannot tell the error of a spread that far results make.
            let se = &x[key]["se"];
            let told = se.is_f64()
                || se.is_null() && ["spread", "rms_error", "spread_floor"].contains(&key);
            assert!(x[key]["value"].is_f64() && told, "{key} in {x}");
        }
        for key in ["calibration", "determination"] {
            assert!(x[key]["change_of_temperature_K"].is_f64(), "{x}");
            assert!(x[key]["in_steps_of_the_thermometer"].is_f64(), "{x}");
        }
        assert!(x["most_of_the_spread"][0]["source"].is_string(), "{x}");
        assert!(x["tabulated_u"].is_f64() && x["ran_out_share"]["value"] == 0.0);
        let of = |whose: &str| x[whose]["solid_determination_g"].as_f64().expect("grams");
        assert!((of("cost_of_a_section") - 5.0 * of("cost_of_a_group")).abs() < 1e-9);
    }
    // Against itself: exactly nothing.
    let same = &all[1]["less_the_first"];
    for key in ["size_of_bias", "spread", "within_95", "rms_error"] {
        assert_eq!(same[key]["value"], 0.0);
        assert_eq!(same[key]["se"], 0.0);
        assert_eq!(same[key]["verdict"], "the same");
        assert!(all[2]["less_the_first"][key]["verdict"].is_string());
    }
    assert!(is_empty(folder.path()), "files only with --out");
}

#[test]
fn texts_and_files_of_few_and_of_many() {
    let folder = tempfile::tempdir().expect("a folder");
    let wide = [
        "urea-foam-cups",
        "peroxide-cups",
        "--set",
        "thermometer.use = thermistor-1mK",
        "--set",
        "vessel.start_difference = u = 0.1 K; record.read_at = 120 s",
        "--set",
        "runs = 5",
        "--reaction",
        "kcl-water",
        "--reaction",
        "iron-permanganate",
    ];
    for (n, arguments) in [(2, &wide[..2]), (3, &wide[..4]), (6, &wide[..])] {
        let out = format!("out{n}");
        let more = ["--trials", "512", "--out", &out, "--full"];
        let (code, said, complaint) = run(folder.path(), &[arguments, &more].concat());
        assert_eq!((code, complaint.as_str()), (0, ""), "{said}");
        super::fits_80_columns(&said);
        let at = |part: &str| {
            said.find(part)
                .unwrap_or_else(|| panic!("{part} in {said}"))
        };
        assert!(at("CAUTIONS") < at("IN SHORT") && at("IN SHORT") < at("WHAT THEY DELIVER"));
        assert!(at("WHAT THEY DELIVER") < at("COMPARED WITH A"));
        if n == 6 {
            assert!(
                super::flowing(&said).contains(
                    "Not possible: `iron-permanganate` starts from a substance in solution"
                ),
                "{said}"
            );
            assert!(said.contains("as before"), "{said}");
        }
        for file in [
            "compare.txt",
            "compare.json",
            "compare.csv",
            "compare.svg",
            "compare.png",
        ] {
            assert!(folder.path().join(&out).join(file).is_file(), "{file}");
        }
        let csv =
            fs::read_to_string(folder.path().join(&out).join("compare.csv")).expect("a table");
        let lines: Vec<&str> = csv.lines().collect();
        assert!(lines[0].starts_with("# joulecast") && lines[1].contains("within_95_percent"));
        assert_eq!(lines.len() - 2, if n == 6 { 7 } else { n });
        let svg =
            fs::read_to_string(folder.path().join(&out).join("compare.svg")).expect("a picture");
        assert!(svg.contains("seed 1 · 512 trials"), "no provenance");
    }
}

#[test]
fn without_anything_the_references_of_the_built_in_scenario_are_compared() {
    let folder = tempfile::tempdir().expect("a folder");
    let (code, said, _) = run(folder.path(), &["--trials", "256", "--json"]);
    assert_eq!(code, 0);
    let document: Value = serde_json::from_str(&said).expect("one document");
    let names: Vec<&str> = document["contenders"]
        .as_array()
        .expect("contenders")
        .iter()
        .filter_map(|x| x["calibration"]["reaction"].as_str())
        .collect();
    assert_eq!(names, ["tris-hcl", "kcl-water", "tris-naoh"]);
}

#[test]
fn bad_input_is_pointed_at_and_nothing_is_written() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(
        folder.path().join("bad.toml"),
        "format = 1\ntitel = \"x\"\n",
    )
    .expect("written");
    let many: Vec<&str> = vec!["urea-foam-cups"; 27];
    for (arguments, code, due) in [
        (
            &["--reference", "kcl-watre"][..],
            2,
            "did you mean `kcl-water`?",
        ),
        (&["--reaction", "urea"], 2, "did you mean `urea-water`?"),
        (&["--set", "thermometer.use"], 2, "changes nothing"),
        (
            &["--set", "thermometer.use = thermistor-1mk"],
            2,
            "--set:1:19",
        ),
        (
            &["--set", "runs = 3; determination.charge.mas = 1 g"],
            2,
            "--set:1:11",
        ),
        (
            &["--set", "determination.charge.mass = 1 mL"],
            2,
            "--set:1:29",
        ),
        (
            &["--set", "runs = 3; determination.runs = 4"],
            2,
            "`determination.runs` is set twice",
        ),
        (
            &["--reference", "kcl-water", "--reference", "kcl-water"],
            2,
            "named twice",
        ),
        (
            &["--reference", "hcl-naoh"],
            2,
            "starts from a substance in solution",
        ),
        (
            &["--groups", "0"],
            2,
            "a whole number from 1 to 10000 is due",
        ),
        (&["bad.toml"], 2, "bad.toml:2:1"),
        (
            &["urea-foam-cup"],
            3,
            "did you mean the built-in `urea-foam-cups`?",
        ),
        (&["urea-foam-cups", "."], 3, "cannot read"),
        (&["neutralisation-mug"], 2, "nothing to compare with"),
        (
            &["--set", "determination.charge.mass = 80 g"],
            2,
            "is not possible: more solid than dissolves",
        ),
        (&many[..], 2, "at most 26"),
        (
            &["urea-foam-cups", "--set", "runs = 3", "--out", "bad.toml/x"],
            3,
            "cannot make the folder",
        ),
    ] {
        let (ended, said, complaint) = run(folder.path(), arguments);
        assert_eq!(
            (ended, said.as_str()),
            (code, ""),
            "{arguments:?}: {complaint}"
        );
        assert!(complaint.contains(due), "{arguments:?}: {complaint}");
        assert_eq!(
            fs::read_dir(folder.path()).expect("a folder").count(),
            1,
            "{arguments:?}"
        );
    }
    let (code, said, complaint) = run(folder.path(), &["--json", "--set", "runs = many"]);
    let document: Value = serde_json::from_str(&said).expect("one document");
    assert_eq!((code, complaint.as_str()), (2, ""));
    assert_eq!(document["problems"][0]["column"], 8);
}
