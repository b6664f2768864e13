//! `joulecast show`

use super::args::{Common, Show};
use super::{Exit, output};
use crate::library::{Kind, Library, Sheet};
use crate::report::{show_json, show_kind, show_overview, show_sheet, show_source};
use crate::scenario::{SOURCES, shipped, shipped_names, source};

pub(super) fn run(a: &Show, common: &Common) -> Exit {
    let library = Library::builtin();
    let sheets = library.sheets();
    let Some(what) = a.what.as_deref() else {
        return if common.json {
            json(&sheets)
        } else {
            let names = shipped_names().collect::<Vec<_>>().join(", ");
            let text = format!("{}\nBuilt-in scenarios: {names}\n", show_overview(library));
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
            json(&of_kind)
        } else {
            output::say(&show_kind(library, kind), Exit::Done)
        };
    }
    if singular == "source" {
        return output::say(&show_source(None), Exit::Done);
    }
    if let Some(found) = source::find(what) {
        return output::say(&show_source(Some(found)), Exit::Done);
    }
    if let Some(text) = shipped(what) {
        return output::say(text, Exit::Done);
    }
    if let Some(sheet) = sheets.iter().find(|s| s.key == what) {
        return if common.json {
            json(std::slice::from_ref(sheet))
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
        .min()
        .map_or(String::new(), |(_, k)| format!("; did you mean `{k}`?"));
    output::complain(&format!("nothing in the library is called `{what}`{near}"));
    Exit::BadInput
}

fn json(sheets: &[Sheet]) -> Exit {
    output::say(&output::pretty(&show_json(sheets)), Exit::Done)
}
