//! What is shown: never wider than a page, never coloured in a pipe, every key of the library.

use super::{joulecast, text};
use std::path::Path;
use tempfile::tempdir;

/// Widest line of any output, in characters.
const WIDEST: usize = 80;

fn page(folder: &Path, arguments: &[&str]) -> String {
    let output = joulecast(folder)
        .args(arguments)
        .output()
        .expect("the program starts");
    assert!(output.status.success(), "{arguments:?}: {output:?}");
    let page = text(&output.stdout);
    for line in page.lines() {
        let width = line.chars().count();
        assert!(width <= WIDEST, "{arguments:?}, {width} wide: {line}");
    }
    assert!(!page.contains('\u{1b}'), "{arguments:?} is coloured");
    assert!(!page.trim().is_empty(), "{arguments:?} says nothing");
    page
}

fn entries(folder: &Path) -> Vec<(String, String)> {
    let all: serde_json::Value = serde_json::from_str(&text(
        &joulecast(folder)
            .args(["show", "--json"])
            .output()
            .expect("it runs")
            .stdout,
    ))
    .expect("JSON");
    let list = all["entries"].as_array().expect("a list");
    let of = |e: &serde_json::Value, name: &str| e[name].as_str().expect("a text").to_owned();
    list.iter().map(|e| (of(e, "kind"), of(e, "key"))).collect()
}

#[test]
fn every_command_keeps_to_the_width_of_a_page() {
    let folder = tempdir().expect("a folder");
    for scenario in ["ammonium-chloride-dewar", "urea-foam-cups"] {
        page(folder.path(), &["check", scenario]);
        for trials in ["300", "12000"] {
            let arguments = ["forecast", scenario, "--samples", "--trials", trials];
            page(folder.path(), &arguments);
            page(folder.path(), &[&arguments[..], &["--shortest"]].concat());
        }
        page(folder.path(), &["forecast", scenario, "--digits", "1"]);
    }
    for command in ["forecast", "check", "show", "new"] {
        page(folder.path(), &[command, "--help"]);
        page(folder.path(), &[command, "-h"]);
        page(folder.path(), &["help", command]);
    }
    page(folder.path(), &["--help"]);
    page(folder.path(), &["-h"]);
    page(folder.path(), &["--version"]);
    page(folder.path(), &["new", "a.toml"]);
}

#[test]
fn a_brief_forecast_and_a_brief_comparison_fit_one_screen() {
    let folder = tempdir().expect("a folder");
    let forecasts = joulecast::scenario::shipped_names();
    let forecasts = forecasts.map(|name| vec!["forecast", name]);
    let class = vec!["forecast", "--reductions", "--class", "8"];
    for arguments in forecasts.chain([class, vec!["compare"]]) {
        let all = [&arguments[..], &["--trials", "1000"]].concat();
        let lines = page(folder.path(), &all).lines().count();
        assert!(lines <= 40, "{arguments:?}: {lines} lines");
        let full = page(folder.path(), &[&all[..], &["--full"]].concat());
        assert!(full.lines().count() > lines, "{arguments:?}");
    }
}

#[test]
fn every_kind_and_every_entry_of_the_library_is_shown() {
    let folder = tempdir().expect("a folder");
    let overview = page(folder.path(), &["show"]);
    let entries = entries(folder.path());
    assert!(entries.len() > 50, "{} entries", entries.len());
    for (kind, key) in &entries {
        assert!(overview.contains(kind.as_str()), "{kind}");
        let shown = page(folder.path(), &["show", key]);
        assert!(shown.contains(&format!("`{key}`")), "{shown}");
        assert!(shown.contains(kind.as_str()), "{shown}");
        assert!(shown.contains("[1]"), "{key} has no source");
    }
    let mut kinds: Vec<&String> = entries.iter().map(|(kind, _)| kind).collect();
    kinds.dedup();
    for kind in kinds {
        let list = page(folder.path(), &["show", kind]);
        for (_, key) in entries.iter().filter(|(k, _)| k == kind) {
            assert!(list.contains(key.as_str()), "{kind} without {key}");
        }
    }
}

#[test]
fn a_built_in_scenario_is_shown_word_for_word() {
    let folder = tempdir().expect("a folder");
    for name in joulecast::scenario::shipped_names() {
        let output = joulecast(folder.path())
            .args(["show", name])
            .output()
            .expect("it runs");
        assert_eq!(
            Some(text(&output.stdout).as_str()),
            joulecast::scenario::shipped(name)
        );
    }
}

#[test]
fn every_error_source_is_shown() {
    let folder = tempdir().expect("a folder");
    let list = page(folder.path(), &["show", "source"]);
    assert_eq!(list, page(folder.path(), &["show", "sources"]));
    for source in joulecast::scenario::SOURCES {
        assert!(list.contains(source.key), "{}", source.key);
        let shown = page(folder.path(), &["show", source.key]);
        assert!(shown.contains(source.scope.name()), "{shown}");
    }
}

#[test]
fn what_is_known_from_memory_only_says_so() {
    let folder = tempdir().expect("a folder");
    let shown = page(folder.path(), &["show", "glass-0.1C"]);
    assert!(shown.contains("from memory"), "{shown}");
    let from_memory = |sheet: &joulecast::library::Sheet| {
        let mut rows = sheet.rows.iter();
        rows.any(|r| r.status == "from memory")
    };
    let library = joulecast::library::Library::builtin();
    for sheet in library.sheets().iter().filter(|s| from_memory(s)) {
        let shown = page(folder.path(), &["show", &sheet.key]);
        let words = super::flowing(&shown);
        assert!(words.contains("memory"), "{}: {shown}", sheet.key);
    }
}

#[test]
fn a_word_is_looked_for_in_keys_and_titles() {
    let folder = tempdir().expect("a folder");
    for (word, found) in [
        ("mug", "vacuum-mug"),
        ("potassium", "kno3-water"),
        ("KCL", "kcl-water"),
        ("cylinder", "cylinder-astm-100mL-A"),
        ("pipette", "piston-iso8655-1mL"),
    ] {
        let shown = page(folder.path(), &["show", word]);
        assert!(shown.contains(found), "{word}: {shown}");
    }
    for strange in ["rank", "zzz", "x"] {
        let output = joulecast(folder.path())
            .args(["show", strange])
            .output()
            .expect("it runs");
        assert_eq!(output.status.code(), Some(2));
        let complaint = text(&output.stderr);
        assert!(!complaint.contains("did you mean"), "{complaint}");
    }
}

#[test]
fn the_template_lists_each_table_of_keys_once() {
    let text = joulecast::scenario::template("Mine");
    let (_, list) = text.split_once("Keys that may be added").expect("the list");
    let mut tables: Vec<&str> = list.lines().filter(|l| l.starts_with("# [")).collect();
    assert!(tables.len() >= 10, "{tables:?}");
    tables.sort_unstable();
    let all = tables.len();
    tables.dedup();
    assert_eq!(tables.len(), all);
    let words = list.replace('#', " ");
    let words = super::flowing(&words);
    assert!(words.contains("\"same\", \"swapped\"; \"swapped\" if not stated"));
    assert!(words.contains("before mixing; 10 s if not stated"));
}

#[test]
fn a_misspelt_key_of_the_library_is_answered_with_the_nearest() {
    let folder = tempdir().expect("a folder");
    let output = joulecast(folder.path())
        .args(["show", "kcl-watr"])
        .output()
        .expect("it runs");
    assert_eq!(output.status.code(), Some(2));
    let complaint = text(&output.stderr);
    assert!(
        complaint.contains("did you mean `kcl-water`?"),
        "{complaint}"
    );
}
