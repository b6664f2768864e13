//! `joulecast show`

use super::args::{Common, Show};
use super::{Exit, input, output};
use crate::library::{Kind, Library, Sheet, written};
use crate::report::document::Document;
use crate::report::{
    schema, schemas, show_json, show_list, show_overview, show_scenario_json, show_schemas_json,
    show_sheet, show_source, show_sources, show_sources_json,
};
use crate::scenario::{SOURCES, example, meant, shipped, shipped_names, source};
use serde_json::Value;

/// The word before the name of a JSON document.
const SCHEMA: &str = "schema";

pub(super) fn run(a: &Show, common: &Common) -> Exit {
    match attempt(a, common) {
        Ok(exit) | Err(exit) => exit,
    }
}

fn attempt(a: &Show, common: &Common) -> Result<Exit, Exit> {
    let own = match a.scenario.as_deref() {
        None => None,
        named => Some(input::library(
            &input::source(named, common.json)?,
            common.json,
        )?),
    };
    Ok(show(a, common, own.as_ref().unwrap_or(Library::builtin())))
}

fn show(a: &Show, common: &Common, library: &Library) -> Exit {
    let sheets = library.sheets();
    if let Some(key) = &a.toml {
        let text = written(key).or_else(|| source::find(key).map(example));
        return match text {
            Some(text) => output::say(&text, Exit::Done),
            None => unknown(key, &sheets),
        };
    }
    let say = |value: &dyn Fn() -> Value, d: &dyn Fn() -> Document| match common.json {
        true => output::say(&output::pretty(&value()), Exit::Done),
        false => output::say(&output::whole(&d()), Exit::Done),
    };
    let listed = |title: &str, those: &[&Sheet]| {
        let named: Vec<_> = those
            .iter()
            .map(|s| (s.key.clone(), s.title.clone()))
            .collect();
        show_list(title, &named)
    };
    let what = &*a.what.join(" ");
    if a.what.is_empty() {
        let names = shipped_names().collect::<Vec<_>>().join(", ");
        let all: Vec<&Sheet> = sheets.iter().collect();
        return say(&|| show_json(&all), &|| show_overview(library, &names));
    }
    if what == SCHEMA {
        let own = |(name, form): (&str, &str)| (name.to_owned(), form.to_owned());
        let all: Vec<_> = schemas().map(own).collect();
        let title = "Documents that have a JSON Schema";
        return say(&show_schemas_json, &|| show_list(title, &all));
    }
    if let Some((SCHEMA, document)) = what.split_once(' ')
        && let Some(schema) = schema(document)
    {
        return output::say(&output::pretty(&schema), Exit::Done);
    }
    let singular = what.trim_end_matches('s');
    let kind = Kind::ALL
        .into_iter()
        .find(|k| [k.text(), k.section()].contains(&what) || k.text() == singular);
    if let Some(kind) = kind {
        let those: Vec<&Sheet> = sheets.iter().filter(|s| s.kind == kind.text()).collect();
        return say(&|| show_json(&those), &|| listed(kind.section(), &those));
    }
    if let Some(one) = source::find(what) {
        return say(&|| show_sources_json(std::slice::from_ref(one)), &|| {
            show_source(one)
        });
    }
    if singular == "source" {
        return say(&|| show_sources_json(SOURCES), &show_sources);
    }
    if let Some(text) = shipped(what) {
        return match common.json {
            true => output::say(&output::pretty(&show_scenario_json(what, text)), Exit::Done),
            false => output::say(text, Exit::Done),
        };
    }
    if let Some(sheet) = sheets.iter().find(|s| s.key == what) {
        return say(&|| show_json(&[sheet]), &|| show_sheet(sheet));
    }
    let found = search(what, &sheets);
    if !found.is_empty() {
        let of: Vec<&Sheet> = sheets
            .iter()
            .filter(|s| found.iter().any(|(key, _)| *key == s.key))
            .collect();
        return say(&|| show_json(&of), &|| {
            show_list(&format!("Found for `{what}`"), &found)
        });
    }
    unknown(what, &sheets)
}

/// Says that nothing is called so, and what may have been meant.
fn unknown(what: &str, sheets: &[Sheet]) -> Exit {
    let keys = sheets
        .iter()
        .map(|s| s.key.clone())
        .chain(SOURCES.iter().map(|s| s.key.to_owned()))
        .chain(Kind::ALL.iter().map(|k| k.text().to_owned()))
        .chain(shipped_names().map(str::to_owned))
        .chain(schemas().map(|(name, _)| format!("{SCHEMA} {name}")));
    let near = keys
        .map(|k| (crate::quantity::edits(&k, what), k))
        // Half a word in common is chance.
        .filter(|(d, k)| *d <= 2.max(what.len() / 3) && 2 * d < what.len().min(k.len()))
        .min()
        .map_or("; `joulecast show` lists the kinds".to_owned(), |(_, k)| {
            format!("; did you mean `{k}`?")
        });
    output::complain(&format!("nothing in the library is called `{what}`{near}"));
    Exit::BadInput
}

/// Entries and error sources in whose key, title or kind of device a word occurs, whatever its
/// case: key and title.
fn search(word: &str, sheets: &[Sheet]) -> Vec<(String, String)> {
    let word = word.to_lowercase();
    // One or two letters occur everywhere.
    if word.chars().count() < 3 {
        return Vec::new();
    }
    let holds = |texts: [&str; 2]| texts.iter().any(|t| t.to_lowercase().contains(&word));
    let entries = sheets
        .iter()
        .filter(|s| {
            let mut kinds = s.rows.iter().filter(|r| r.name == "kind");
            holds([&s.key, &s.title]) || kinds.any(|r| holds([&r.text, ""]))
        })
        .map(|s| (s.key.clone(), s.title.clone()));
    let sources = meant(&word)
        .into_iter()
        .map(|s| (s.key.to_owned(), s.doc.to_owned()));
    entries.chain(sources).collect()
}
