//! How many trials a ranking takes, and what it says about them.

use super::{joulecast, text};
use serde_json::Value;
use std::fs;
use std::path::Path;
use tempfile::tempdir;

/// A cup without calibration, with few errors and a spread near 490 J/mol: quick, and not known to two digits by the
/// usual number of trials.
const CUP: &str = r#"
format = 1
title = "urea without calibration"
[room]
temperature = "25 C"
[balance]
linearity = "0.01 g rectangular"
[thermometer]
noise = "0.1 K rectangular"
[vessel]
heat_capacity = "12 J/K, u = 4 J/K"
[record]
kind = "two readings"
before = "1 s"
read_at = "1 s"
[calibration]
kind = "none"
assumed_vessel = "12 J/K"
[determination]
runs = 1
[determination.reaction]
use = "urea-water"
[determination.charge]
mass = "2.9 g"
purity = "100 %"
[determination.liquid]
volume = "50 mL"
[lab]
heat_capacity = "water"
"#;

fn said(folder: &Path, more: &[&str]) -> String {
    let path = folder.join("cup.toml");
    fs::write(path, CUP).expect("written");
    let output = joulecast(folder)
        .args(["rank", "cup.toml"])
        .args(more)
        .output()
        .expect("the program starts");
    assert!(output.status.success(), "{more:?}: {output:?}");
    text(&output.stdout)
}

fn document(folder: &Path, more: &[&str]) -> Value {
    let all = [more, &["--json"]].concat();
    serde_json::from_str(&said(folder, &all)).expect("one document")
}

/// The text with its lines joined.
fn joined(folder: &Path, more: &[&str]) -> String {
    let text = said(folder, more);
    super::fits_80_columns(&text);
    super::flowing(&text)
}

#[test]
fn digits_go_on_until_the_spread_is_good_to_them() {
    let folder = tempdir().expect("a folder");
    let spread = |d: &Value| {
        let of = |what: &str| {
            d["now"]["spread_J_per_mol"][what]
                .as_f64()
                .expect("a number")
        };
        (of("value"), of("se"))
    };
    let mut usual = document(folder.path(), &[]);
    assert_eq!(usual["trials"], 8_192);
    assert!(usual["asked"].is_null());
    // Two digits of 490 end at 10: half of that is 5.
    let (u, se) = spread(&usual);
    assert!((450.0..550.0).contains(&u) && 2.0 * se > 5.0, "{u} {se}");
    let two = document(folder.path(), &["--digits", "2"]);
    let (u, se) = spread(&two);
    assert!((450.0..550.0).contains(&u) && 2.0 * se <= 5.0, "{u} {se}");
    assert_eq!(two["asked"]["digits"], 2);
    assert_eq!(two["asked"]["digits_reached"], true);
    let trials = two["trials"].as_u64().expect("a number");
    assert!((8_193..32_768).contains(&trials), "{trials}");
    // The same number, asked for as such, gives the same.
    let mut same = document(folder.path(), &["--trials", &trials.to_string()]);
    assert_eq!(same["asked"]["trials"], trials);
    same["asked"] = two["asked"].clone();
    assert_eq!(same, two);
    // One digit is there already.
    let one = document(folder.path(), &["--digits", "1"]);
    assert_eq!(one["asked"]["digits_reached"], true);
    usual["asked"] = one["asked"].clone();
    assert_eq!(usual, one);

    let told = joined(folder.path(), &["--digits", "2"]);
    assert!(
        told.contains("The spread is known to two digits with"),
        "{told}"
    );
    let told = joined(folder.path(), &["--digits", "1"]);
    assert!(
        told.contains("known to one digit with 8 192 trials, the usual number:"),
        "{told}"
    );
}

#[test]
fn another_number_of_trials_than_asked_for_is_said_with_its_reason() {
    let folder = tempdir().expect("a folder");
    for (asked, said) in [
        (
            "100",
            "4 096 trials instead of 100: the intervals of the shares need 16 batches of 256",
        ),
        ("5000", "5 120 trials instead of 5 000: all batches"),
    ] {
        let told = joined(folder.path(), &["--trials", asked]);
        assert!(told.contains(said), "{told}");
    }
    for exact in [&["--trials", "4096"][..], &["--trials", "8192"], &[]] {
        let told = joined(folder.path(), exact);
        assert!(!told.contains("instead of"), "{told}");
        let number = if exact.contains(&"4096") {
            "4 096"
        } else {
            "8 192"
        };
        assert!(
            told.contains(&format!("seed 1 · {number} trials")),
            "{told}"
        );
    }
    // Written where files go, too.
    joined(folder.path(), &["--trials", "100", "--out", "out"]);
    let written = fs::read_to_string(folder.path().join("out/rank.txt")).expect("a file");
    assert!(written.contains("4 096 trials instead of 100"), "{written}");
    let few = document(folder.path(), &["--trials", "100"]);
    assert_eq!(
        (few["trials"].as_u64(), few["asked"]["trials"].as_u64()),
        (Some(4_096), Some(100))
    );
    // No source of this cup biases: what has nothing to show is not drawn, and no reason to fail.
    assert!(folder.path().join("out/variance.png").is_file());
    assert!(!folder.path().join("out/bias.png").exists());
}

#[test]
fn help_says_what_trials_mean_for_a_ranking() {
    let folder = tempdir().expect("a folder");
    let output = joulecast(folder.path())
        .args(["rank", "--help"])
        .output()
        .expect("it runs");
    let help = text(&output.stdout);
    let help = super::flowing(&help);
    for part in ["16 batches of 256 trials, 4096 in all", "up to 262144"] {
        assert!(help.contains(part), "{help}");
    }
}
