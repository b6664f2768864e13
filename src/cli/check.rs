//! `joulecast check`

use super::args::{Check, Common};
use super::{Exit, input, output};
use crate::experiment::advise;
use crate::report::{plain, problems_json, problems_text, runs_document};

pub(super) fn run(a: &Check, common: &Common) -> Exit {
    match attempt(a, common) {
        Ok(exit) | Err(exit) => exit,
    }
}

fn attempt(a: &Check, common: &Common) -> Result<Exit, Exit> {
    let source = input::source(Some(&a.scenario), common.json)?;
    let mut scenario = input::scenario(&source, common.json)?;
    // Mistakes of its own are changes of its keys.
    if let Err(problems) = crate::slip::own(&scenario) {
        return Err(input::refuse(&source, &problems, common.json));
    }
    advise(&mut scenario);
    let found = input::tried(&scenario)?;
    let refusal = found.refusal();
    let exit = match refusal {
        Some(_) => Exit::Missed,
        None => Exit::Done,
    };
    scenario.warnings.extend(refusal.or(found.oddity()));
    if common.json {
        let document = problems_json(Some(&source.name), &source.text, &scenario.warnings);
        return Ok(output::say(&output::pretty(&document), exit));
    }
    let colour = output::coloured(&std::io::stdout());
    let mut text = problems_text(&source.name, &source.text, &scenario.warnings, colour);
    if exit == Exit::Missed {
        text.push_str(&format!("{}: gives no result.\n", plain(&source.name)));
        return Ok(output::say_coloured(&text, exit));
    }
    text.push_str(&format!("{}: good to run", plain(&source.name)));
    match scenario.warnings.len() {
        0 => text.push_str(".\n"),
        1 => text.push_str(", with one warning.\n"),
        n => text.push_str(&format!(", with {n} warnings.\n")),
    }
    text.push_str(&plain(&output::whole(&runs_document(&scenario))));
    Ok(output::say_coloured(&text, Exit::Done))
}
