//! Getting a scenario from a file or from the built-in ones.

use super::Exit;
use super::output;
use crate::report::{problems_json, problems_text};
use crate::scenario::{Problems, Scenario, builtin_text, read, shipped};
use serde_json::json;
use std::io::IsTerminal;

/// A scenario's text and what to call it.
pub(super) struct Source {
    pub name: String,
    pub text: String,
}

/// Largest file that is read as a scenario.
const LARGEST: u64 = 4 << 20;

/// Finds the text: a file, a built-in scenario by name, or the built-in one.
pub(super) fn source(named: Option<&str>) -> Result<Source, Exit> {
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
    let fail = |why: String| {
        output::complain(&format!("cannot read {name}: {why}"));
        Exit::ReadWrite
    };
    let size = std::fs::metadata(name).map_err(|e| fail(e.to_string()))?;
    if size.len() > LARGEST {
        return Err(fail("too large for a scenario".to_owned()));
    }
    let bytes = std::fs::read(name).map_err(|e| fail(e.to_string()))?;
    match String::from_utf8(bytes) {
        Ok(text) => Ok(Source {
            name: name.to_owned(),
            text: text.trim_start_matches('\u{feff}').to_owned(),
        }),
        Err(e) => {
            let at = e.utf8_error().valid_up_to();
            let line = e.as_bytes()[..at].iter().filter(|b| **b == b'\n').count() + 1;
            output::complain(&format!("{name}, line {line}: not UTF-8 text"));
            Err(Exit::BadInput)
        }
    }
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
