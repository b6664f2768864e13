//! Getting a scenario from a file or from the built-in ones.

use super::Exit;
use super::output;
use crate::report::{problems_json, problems_text};
use crate::scenario::{Problem, Problems, Scenario, builtin_text, read, shipped, shipped_names};
use serde_json::json;
use std::io::{ErrorKind, IsTerminal};

/// A scenario's text and what to call it.
pub(super) struct Source {
    pub name: String,
    pub text: String,
}

/// Largest file that is read as a scenario.
const LARGEST: u64 = 4 << 20;

/// Finds the text: a file, a built-in scenario by name, or the built-in one.
pub(super) fn source(named: Option<&str>, as_json: bool) -> Result<Source, Exit> {
    let Some(name) = named else {
        return Ok(Source {
            name: "built-in scenario".to_owned(),
            text: builtin_text().to_owned(),
        });
    };
    if let Some(text) = shipped(name) {
        return Ok(Source {
            name: name.to_owned(),
            text: text.to_owned(),
        });
    }
    let fail = |e: std::io::Error| {
        output::complain(&format!("cannot read {name}: {}", why(name, &e)));
        Exit::ReadWrite
    };
    let size = std::fs::metadata(name).map_err(fail)?;
    if size.len() > LARGEST {
        output::complain(&format!("cannot read {name}: too large for a scenario"));
        return Err(Exit::ReadWrite);
    }
    let bytes = std::fs::read(name).map_err(fail)?;
    let text = match String::from_utf8(bytes) {
        Ok(text) => text,
        Err(e) => return Err(not_utf8(name, &e, as_json)),
    };
    Ok(Source {
        name: name.to_owned(),
        text: text.trim_start_matches('\u{feff}').to_owned(),
    })
}

/// Why a file cannot be read; a name that is no file may have been meant for a built-in scenario.
fn why(name: &str, e: &std::io::Error) -> String {
    if e.kind() != ErrorKind::NotFound {
        return e.to_string();
    }
    let near = shipped_names()
        .map(|n| (strsim::damerau_levenshtein(n, name), n))
        .filter(|(d, n)| *d <= n.len() / 3)
        .min();
    let all = shipped_names().collect::<Vec<_>>().join(", ");
    match near {
        Some((_, near)) => format!("there is no such file; did you mean the built-in `{near}`?"),
        None => format!("there is no such file (built-in scenarios: {all})"),
    }
}

/// Points at the first byte that is not text.
fn not_utf8(name: &str, e: &std::string::FromUtf8Error, as_json: bool) -> Exit {
    let at = e.utf8_error().valid_up_to();
    let source = Source {
        name: name.to_owned(),
        text: String::from_utf8_lossy(e.as_bytes()).into_owned(),
    };
    let problem = Problem::error("", "not UTF-8 text")
        .hint("save the file with the encoding UTF-8")
        .at(Some(at..at + '\u{fffd}'.len_utf8()));
    refuse(&source, &Problems(vec![problem]), as_json)
}

/// Reads a scenario; problems go where the user looks.
pub(super) fn scenario(source: &Source, as_json: bool) -> Result<Scenario, Exit> {
    read(&source.text).map_err(|problems| refuse(source, &problems, as_json))
}

fn refuse(source: &Source, problems: &Problems, as_json: bool) -> Exit {
    let Problems(list) = problems;
    if as_json {
        let document = json!({
            "schema": "joulecast.problems/1",
            "version": env!("CARGO_PKG_VERSION"),
            "file": source.name,
            "problems": problems_json(&source.text, list),
        });
        return output::say(&output::pretty(&document), Exit::BadInput);
    }
    let colour = std::io::stderr().is_terminal();
    output::complain(problems_text(&source.name, &source.text, list, colour).trim_end());
    Exit::BadInput
}
