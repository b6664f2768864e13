//! `joulecast show`

use super::args::{Common, Show};
use super::{Exit, output};
use crate::library::{Kind, Library, Sheet};
use crate::report::{
    scenarios_line, show_json, show_kind, show_overview, show_scenario_json, show_sheet,
    show_source, show_sources_json,
};
use crate::scenario::{SOURCES, shipped, shipped_names, source};
use serde_json::Value;

pub(super) fn run(a: &Show, common: &Common) -> Exit {
    let library = Library::builtin();
    let sheets = library.sheets();
    let Some(what) = a.what.as_deref() else {
        return if common.json {
            json(&show_json(&sheets))
        } else {
            let names = shipped_names().collect::<Vec<_>>().join(", ");
            let text = format!("{}\n{}", show_overview(library), scenarios_line(&names));
            output::say(&text, Exit::Done)
        };
    };
    let singular = what.trim_end_matches('s');
    let kind = Kind::ALL
        .into_iter()
        .find(|k| [k.text(), k.section()].contains(&what) || k.text() == singular);
    if let Some(kind) = kind {
        let of_kind: Vec<Sheet> = sheets
            .into_iter()
            .filter(|s| s.kind == kind.text())
            .collect();
        return if common.json {
            json(&show_json(&of_kind))
        } else {
            output::say(&show_kind(library, kind), Exit::Done)
        };
    }
    let one = source::find(what);
    if singular == "source" || one.is_some() {
        let sources = one.map_or(SOURCES, std::slice::from_ref);
        return if common.json {
            json(&show_sources_json(sources))
        } else {
            output::say(&show_source(one), Exit::Done)
        };
    }
    if let Some(text) = shipped(what) {
        return if common.json {
            json(&show_scenario_json(what, text))
        } else {
            output::say(text, Exit::Done)
        };
    }
    if let Some(sheet) = sheets.iter().find(|s| s.key == what) {
        return if common.json {
            json(&show_json(std::slice::from_ref(sheet)))
        } else {
            output::say(&show_sheet(sheet), Exit::Done)
        };
    }
    let keys = sheets
        .iter()
        .map(|s| s.key.clone())
        .chain(SOURCES.iter().map(|s| s.key.to_owned()))
        .chain(Kind::ALL.iter().map(|k| k.text().to_owned()))
        .chain(shipped_names().map(str::to_owned));
    let near = keys
        .map(|k| (strsim::damerau_levenshtein(&k, what), k))
        .filter(|(d, _)| *d <= 2.max(what.len() / 3))
        .min()
        .map_or("; `joulecast show` lists the kinds".to_owned(), |(_, k)| {
            format!("; did you mean `{k}`?")
        });
    output::complain(&format!("nothing in the library is called `{what}`{near}"));
    Exit::BadInput
}

fn json(document: &Value) -> Exit {
    output::say(&output::pretty(document), Exit::Done)
}
