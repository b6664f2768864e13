//! What a forecast hands over: text, one JSON document, files.

use super::{complaint, joulecast, text};
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use tempfile::tempdir;

fn said(folder: &Path, arguments: &[&str]) -> String {
    let output = joulecast(folder)
        .args(arguments)
        .output()
        .expect("the program starts");
    assert!(output.status.success(), "{arguments:?}: {output:?}");
    assert_eq!(complaint(&output.stderr), "", "{arguments:?}");
    text(&output.stdout)
}

fn files(folder: &Path) -> BTreeSet<String> {
    let entries = fs::read_dir(folder).expect("a folder");
    let names = entries.map(|e| e.expect("an entry").file_name());
    names.map(|n| n.to_string_lossy().into_owned()).collect()
}

#[test]
fn json_is_one_document_and_no_files() {
    let folder = tempdir().expect("a folder");
    for arguments in [
        &["--json", "--trials", "500"][..],
        &["forecast", "urea-foam-cups", "--json", "--trials", "500"],
        &["check", "urea-foam-cups", "--json"],
        &["show", "--json"],
        &["show", "reaction", "--json"],
        &["show", "source", "--json"],
        &["show", "thermometer.noise", "--json"],
        &["show", "kcl-water", "--json"],
        &["show", "urea-foam-cups", "--json"],
    ] {
        let said = said(folder.path(), arguments);
        let document: serde_json::Value =
            serde_json::from_str(&said).unwrap_or_else(|e| panic!("{arguments:?}: {e}"));
        assert!(document["schema"].is_string(), "{arguments:?}");
        assert!(document["version"].is_string(), "{arguments:?}");
    }
    assert!(files(folder.path()).is_empty());
    let arguments = ["--json", "--trials", "500", "--out", "here"];
    let with_files = said(folder.path(), &arguments);
    assert_eq!(with_files, said(folder.path(), &arguments[..3]));
    let written = fs::read_to_string(folder.path().join("here/forecast.json")).expect("a file");
    assert_eq!(written, with_files);
}

#[test]
fn files_go_to_joulecast_out_and_are_all_named() {
    let folder = tempdir().expect("a folder");
    let said = said(folder.path(), &["--trials", "500"]);
    assert_eq!(
        files(folder.path()),
        BTreeSet::from(["joulecast-out".to_owned()])
    );
    let out = folder.path().join("joulecast-out");
    let names = files(&out);
    assert!(names.contains("forecast.txt") && names.contains("forecast.json"));
    let said_words = super::flowing(&said);
    for (end, one) in [(".csv", "tables"), (".svg", "pictures")] {
        let n = names.iter().filter(|n| n.ends_with(end)).count();
        assert!(said_words.contains(&format!("{n} {one}")), "{said}");
    }
    for name in &names {
        let counted = [".csv", ".svg", ".png"]
            .iter()
            .any(|end| name.ends_with(end));
        assert!(counted || said.contains(name.as_str()), "{name}");
        assert!(fs::metadata(out.join(name)).expect("a file").len() > 0);
    }
    for name in names.iter().filter(|n| n.ends_with(".svg")) {
        assert!(names.contains(&name.replace(".svg", ".png")), "{name}");
    }
    let written = fs::read_to_string(out.join("forecast.txt")).expect("a file");
    let last = said.lines().last().expect("a last line");
    assert!(
        last.contains("seed 1 ") && last.contains("500 trials"),
        "{last}"
    );
    assert!(written.ends_with(&format!("{last}\n")));
}

#[test]
fn samples_are_as_many_as_trials_and_say_where_they_come_from() {
    let folder = tempdir().expect("a folder");
    let arguments = ["forecast", "--samples", "--trials", "777", "--seed", "42"];
    said(folder.path(), &arguments);
    let path = folder.path().join("joulecast-out/samples.csv");
    let all = fs::read_to_string(path).expect("the samples");
    let (notes, table): (Vec<&str>, Vec<&str>) = all.lines().partition(|l| l.starts_with('#'));
    assert!(notes.iter().any(|n| n.contains("seed 42 ")), "{notes:?}");
    assert_eq!(table.len(), 1 + 777);
    let columns = table[0].split(',').count();
    assert!(
        columns > 5 && table[0].contains("J_per_mol"),
        "{}",
        table[0]
    );
    for row in table {
        assert_eq!(row.split(',').count(), columns, "{row}");
    }
}

#[test]
fn the_same_seed_gives_the_same_bytes_on_any_number_of_threads() {
    let folder = tempdir().expect("a folder");
    let with = |more: &[&str]| {
        let mut arguments = vec!["--json", "--trials", "3000"];
        arguments.extend(more);
        said(folder.path(), &arguments)
    };
    let one = with(&["--threads", "1", "--seed", "7"]);
    assert_eq!(one, with(&["--threads", "3", "--seed", "7"]));
    assert_eq!(one, with(&["--seed", "7"]));
    let other = with(&["--seed", "8"]);
    let value = |document: &str| {
        let document: serde_json::Value = serde_json::from_str(document).expect("JSON");
        document
            .to_string()
            .replace("\"seed\":7", "")
            .replace("\"seed\":8", "")
    };
    assert_ne!(value(&one), value(&other));
    let arguments = |threads| ["--trials", "3000", "--threads", threads, "--out", threads];
    said(folder.path(), &arguments("1"));
    said(folder.path(), &arguments("3"));
    for name in files(&folder.path().join("1")) {
        let of = |threads: &str| fs::read(folder.path().join(threads).join(&name)).expect("a file");
        assert!(of("1") == of("3"), "{name}");
    }
}

#[test]
fn without_arguments_the_built_in_scenario_is_forecast() {
    let folder = tempdir().expect("a folder");
    let plain = said(folder.path(), &["--digits", "1"]);
    let named = ["forecast", "ammonium-chloride-dewar", "--digits", "1"];
    // The page is one more file.
    let answer = |said: &str| said.split("\nFiles in").next().map(str::to_owned);
    assert_eq!(answer(&plain), answer(&said(folder.path(), &named)));
    assert!(
        plain.contains("report.html")
            && files(&folder.path().join("joulecast-out")).contains("report.html")
    );
    assert!(plain.contains("Ammonium chloride") && plain.contains("CAUTIONS"));
}
