//! Imports run downward only, and files stay small.

use std::fs;
use std::path::{Path, PathBuf};

/// Floors from the ground up; a module may import from its own floor's earlier entries and from
/// every floor below.
const FLOORS: &[&[&str]] = &[
    &["random", "quantity"],
    &["library", "scenario"],
    &["nature"],
    &["lab"],
    &["engine", "experiment"],
    &["stats"],
    &["rank", "forecast"],
    &["design", "measured", "evaluate", "slip", "grade"],
    &["help", "report"],
    &["cli"],
];

fn order(module: &str) -> Option<usize> {
    FLOORS.concat().iter().position(|m| *m == module)
}

fn sources(folder: &Path, out: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, out);
        } else if path.extension().is_some_and(|e| e == "rs") {
            out.push(path);
        }
    }
}

fn all_sources() -> Vec<PathBuf> {
    let mut out = Vec::new();
    sources(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut out);
    out.sort();
    out
}

/// Modules of this crate that a text imports from the root.
fn imports(text: &str) -> Vec<String> {
    text.split("crate::")
        .skip(1)
        .flat_map(|rest| {
            let name: String = rest
                .chars()
                .take_while(|c| c.is_alphanumeric() || *c == '_')
                .collect();
            match rest.strip_prefix('{') {
                Some(list) => list
                    .split(['}', ','])
                    .map(|part| part.trim().split("::").next().unwrap_or("").to_owned())
                    .collect(),
                None => vec![name],
            }
        })
        .filter(|name| order(name).is_some())
        .collect()
}

fn upward(module: &str, text: &str) -> Vec<String> {
    let own = order(module).unwrap();
    imports(text)
        .into_iter()
        .filter(|m| m != module)
        .filter(|m| {
            let other = order(m).unwrap();
            // Nature and lab never meet below the experiment.
            other > own || (module == "lab" && m == "nature")
        })
        .collect()
}

#[test]
fn no_import_runs_upward() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    for path in all_sources() {
        let relative = path.strip_prefix(&root).unwrap();
        let module = relative
            .components()
            .next()
            .unwrap()
            .as_os_str()
            .to_str()
            .unwrap();
        if order(module).is_none() {
            continue;
        }
        let text = fs::read_to_string(&path).unwrap();
        // Unit tests may look anywhere.
        let code = text.split("#[cfg(test)]").next().unwrap();
        let bad = upward(module, code);
        assert!(bad.is_empty(), "{} imports {bad:?}", relative.display());
    }
}

#[test]
fn an_upward_import_would_be_seen() {
    assert_eq!(upward("nature", "use crate::engine::Study;"), ["engine"]);
    assert_eq!(upward("lab", "use crate::nature::Run;"), ["nature"]);
    assert!(upward("cli", "use crate::report::x;").is_empty());
}

#[test]
fn source_files_stay_below_400_lines() {
    for path in all_sources() {
        let lines = fs::read_to_string(&path).unwrap().lines().count();
        assert!(lines <= 400, "{} has {lines} lines", path.display());
    }
}
