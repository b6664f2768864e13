//! Each file of `tests/cli/bad` is a scenario with something wrong; beside it lies, word for word,
//! what `check` says of it. With the environment variable `JOULECAST_ACCEPT` set, what it says now
//! is written there instead.

use super::{joulecast, text};
use std::fs;
use std::path::{Path, PathBuf};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cli/bad")
}

fn names() -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder())
        .expect("the folder of bad scenarios")
        .filter_map(|e| e.ok()?.file_name().into_string().ok())
        .filter(|n| n.ends_with(".toml"))
        .collect();
    names.sort();
    names
}

/// All that `check` says, and how it ends.
fn checked(name: &str) -> String {
    let output = joulecast(&folder())
        .args(["check", name])
        .output()
        .expect("the program starts");
    let said = [text(&output.stdout), text(&output.stderr)];
    let code = output
        .status
        .code()
        .map_or("none".to_owned(), |c| c.to_string());
    format!("{}exit code {code}\n", said.concat())
}

#[test]
fn each_bad_scenario_is_told_in_these_words() {
    let accept = std::env::var_os("JOULECAST_ACCEPT").is_some();
    let mut wrong = Vec::new();
    for name in names() {
        let said = checked(&name);
        for line in said.lines() {
            assert!(line.chars().count() <= 80, "{name}: too wide: {line}");
        }
        let path = folder().join(&name).with_extension("expected");
        if accept {
            fs::write(&path, &said).expect("the expected message can be written");
        }
        let due = fs::read_to_string(&path).unwrap_or_default();
        if said != due {
            wrong.push(format!("--- {name} is told\n{said}--- instead of\n{due}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn no_expected_message_is_left_without_its_scenario() {
    let names = names();
    assert!(names.len() >= 90, "{} bad scenarios", names.len());
    for entry in fs::read_dir(folder()).expect("the folder of bad scenarios") {
        let name = entry.expect("an entry").file_name();
        let name = name.to_string_lossy().replace(".expected", ".toml");
        assert!(names.contains(&name), "{name}");
    }
}

#[test]
fn every_error_names_a_place_and_says_what_to_do() {
    for name in names() {
        let output = joulecast(&folder())
            .args(["check", "--json", &name])
            .output()
            .expect("the program starts");
        let document: serde_json::Value =
            serde_json::from_slice(&output.stdout).unwrap_or_else(|e| panic!("{name}: {e}"));
        let problems = document["problems"].as_array().expect("a list");
        assert!(!problems.is_empty(), "{name} is found to be good");
        let mut seen = Vec::new();
        for p in problems {
            let place = (&p["line"], &p["column"], &p["path"]);
            if name != "empty.toml" {
                assert!(p["line"].is_u64() && p["column"].is_u64(), "{name}: {p}");
            }
            let message = p["message"].as_str().expect("a message");
            let syntax = message.starts_with("not valid TOML");
            let nameless = ["unknown key", "unknown table"].contains(&message);
            assert!(syntax || nameless || p["hint"].is_string(), "{name}: {p}");
            assert!(!seen.contains(&place), "{name} is told twice: {p}");
            seen.push(place);
        }
    }
}

/// Quantities that a hint gives as examples, each once.
fn examples(hint: &str) -> Vec<String> {
    let Some(from) = hint.find("for example \"") else {
        return Vec::new();
    };
    let quoted = hint[from..].split('"').skip(1).step_by(2);
    quoted.map(str::to_owned).collect()
}

#[test]
fn what_a_hint_gives_as_an_example_is_accepted_there() {
    use joulecast::scenario::{Problem, Problems, Raw, Severity, read_with, schema};
    let mut seen = [0; 2];
    for name in names() {
        let Ok(text) = fs::read_to_string(folder().join(&name)) else {
            continue;
        };
        let problems = match read_with(&text, &[]) {
            Ok(s) => s.warnings,
            Err(Problems(problems)) => problems,
        };
        for p in problems.iter().filter(|p| p.severity == Severity::Error) {
            let hint = p.hint.as_deref().unwrap_or_default();
            for example in examples(hint) {
                // A sum names the legs of its own file.
                if schema::find(&p.path).is_none() || p.path == "cycle.result" {
                    continue;
                }
                let change = [(p.path.clone(), Raw::Text(example.clone()))];
                let left = match read_with(&text, &change) {
                    Ok(_) => Vec::new(),
                    Err(Problems(left)) => left,
                };
                // What has no place in the file is set from outside: the misspelt line itself stays.
                let still = |q: &&Problem| {
                    q.path == p.path && q.severity == Severity::Error && q.span.is_none()
                };
                let left = left.iter().find(still);
                assert!(left.is_none(), "{name}: {} = {example}: {left:?}", p.path);
                seen[0] += 1;
            }
            let of_key = ["unknown key", "unknown table"].contains(&p.message.as_str());
            let meant = hint.strip_prefix("did you mean `").filter(|_| of_key);
            if let Some(meant) = meant.and_then(|h| h.split('`').next()) {
                let tables = schema::all_paths();
                let is_table = tables.iter().any(|t| t.starts_with(&format!("{meant}.")));
                let known = schema::find(meant).is_some() || is_table;
                assert!(known, "{name}: {p}");
                seen[1] += 1;
            }
        }
    }
    assert!(seen[0] > 40 && seen[1] > 8, "{seen:?}");
}
