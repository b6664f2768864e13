//! What the library holds, as people read it.

use super::words::{entry, heading, heading_of, paragraph, table, table_of_keys};
use crate::library::{Kind, Library, Sheet};
use crate::quantity::Dimension;
use crate::scenario::{SOURCES, Source};
use serde_json::{Value, json};

/// All kinds with the number of their entries.
pub fn show_overview(library: &Library) -> String {
    let mut out = paragraph(
        "The library: values with their uncertainty, source and status. `joulecast show KIND` lists \
         a kind, `joulecast show KEY` explains an entry.",
        0,
    );
    let mut rows: Vec<Vec<String>> = Kind::ALL
        .iter()
        .map(|k| {
            let keys = library.keys(*k);
            let example = keys.first().map_or("", |k| k.as_str());
            vec![
                k.text().to_owned(),
                keys.len().to_string(),
                format!("for example {example}"),
            ]
        })
        .collect();
    rows.push(vec![
        "source".to_owned(),
        SOURCES.len().to_string(),
        format!("error sources, for example {}", SOURCES[0].key),
    ]);
    out.push_str(&table(&["kind", "entries", ""], rows, &[1]));
    out
}

/// The names of the scenarios that are compiled in.
pub fn scenarios_line(names: &str) -> String {
    paragraph(&format!("Built-in scenarios: {names}"), 0)
}

/// The entries of a kind, a line each.
pub fn show_kind(library: &Library, kind: Kind) -> String {
    let rows = library
        .sheets()
        .into_iter()
        .filter(|s| s.kind == kind.text())
        .map(|s| vec![s.key, s.title])
        .collect();
    heading(kind.section()).trim_start().to_owned() + &table_of_keys(&["key", "what"], rows)
}

/// Entries in whose key or title a word occurs, a line each.
pub fn show_found(word: &str, found: &[(String, String)]) -> String {
    let rows = found
        .iter()
        .map(|(key, title)| vec![key.clone(), title.clone()])
        .collect();
    heading_of("found for", &format!("`{word}`"))
        .trim_start()
        .to_owned()
        + &table_of_keys(&["key", "what"], rows)
}

/// One entry with all its values.
pub fn show_sheet(sheet: &Sheet) -> String {
    let mut out = paragraph(&sheet.title, 0);
    out.push_str(&format!("  {} `{}`\n", sheet.kind, sheet.key));
    for c in &sheet.cautions {
        out.push_str(&entry("!", c));
    }
    for a in &sheet.advice {
        out.push_str(&entry("-", a));
    }
    out.push('\n');
    let mut sources: Vec<&str> = Vec::new();
    let mut notes: Vec<String> = Vec::new();
    let mut rows = Vec::new();
    for row in &sheet.rows {
        let mut mark = String::new();
        if !row.source.is_empty() {
            let at = sources
                .iter()
                .position(|s| *s == row.source)
                .unwrap_or_else(|| {
                    sources.push(&row.source);
                    sources.len() - 1
                });
            mark = format!("[{}] {}", at + 1, row.status);
        }
        if let Some(note) = &row.note {
            notes.push(format!("{}: {note}", row.name));
        }
        rows.push(vec![row.name.clone(), row.text.clone(), mark]);
    }
    out.push_str(&table(&["quantity", "value", "source"], rows, &[]));
    if !sources.is_empty() {
        out.push_str(&heading("sources"));
        for (i, s) in sources.iter().enumerate() {
            out.push_str(&entry(&format!("[{}]", i + 1), s));
        }
    }
    if !notes.is_empty() {
        out.push_str(&heading("notes"));
        for n in notes {
            out.push_str(&entry("-", &n));
        }
    }
    out
}

/// All error sources, or one of them.
pub fn show_source(one: Option<&Source>) -> String {
    let Some(s) = one else {
        let rows = SOURCES
            .iter()
            .map(|s| {
                vec![
                    s.key.to_owned(),
                    s.family.name().to_owned(),
                    s.scope.name().to_owned(),
                    if s.one_sided { "one-sided" } else { "" }.to_owned(),
                ]
            })
            .collect();
        let header = ["key", "family", "drawn anew for each", ""];
        return heading("error sources").trim_start().to_owned() + &table_of_keys(&header, rows);
    };
    let mut out = paragraph(&format!("{} (error source)", s.key), 0);
    let unit = match s.dimension {
        Dimension::Fraction => "a fraction",
        d => d.base_unit(),
    };
    let rows = [
        ("what it is", s.doc.to_owned()),
        ("where it enters", s.enters.to_owned()),
        ("symbol", s.symbol.to_owned()),
        ("family", s.family.name().to_owned()),
        ("drawn anew for each", s.scope.name().to_owned()),
        (
            "can go",
            if s.one_sided {
                "one way only"
            } else {
                "both ways"
            }
            .to_owned(),
        ),
        (
            "in the lab's budget",
            if s.budget {
                "yes"
            } else {
                "no: the lab has no term for it"
            }
            .to_owned(),
        ),
        ("unit", unit.to_owned()),
        ("laboratories have", s.usual.to_owned()),
        ("possible", s.possible.to_owned()),
        ("described in", s.reference.to_owned()),
    ];
    let rows = rows
        .into_iter()
        .map(|(a, b)| vec![a.to_owned(), b])
        .collect();
    out.push_str(&table(&[], rows, &[]));
    out
}

/// Entries as JSON.
pub fn show_json(sheets: &[Sheet]) -> Value {
    let list: Vec<Value> = sheets
        .iter()
        .map(|s| {
            json!({
                "kind": s.kind,
                "key": s.key,
                "title": s.title,
                "cautions": s.cautions,
                "advice": s.advice,
                "values": s.rows.iter().map(|r| json!({
                    "quantity": r.name,
                    "value": r.text,
                    "source": r.source,
                    "status": r.status,
                    "note": r.note,
                })).collect::<Vec<_>>(),
            })
        })
        .collect();
    document("entries", list.into())
}

/// Error sources as JSON.
pub fn show_sources_json(sources: &[Source]) -> Value {
    let list: Vec<Value> = sources
        .iter()
        .map(|s| {
            json!({
                "kind": "source",
                "key": s.key,
                "title": s.doc,
                "symbol": s.symbol,
                "enters": s.enters,
                "family": s.family.name(),
                "scope": s.scope.name(),
                "one_sided": s.one_sided,
                "in_budget": s.budget,
                "unit": s.dimension.base_unit(),
                "reference": s.reference,
            })
        })
        .collect();
    document("sources", list.into())
}

/// A built-in scenario as JSON: its text.
pub fn show_scenario_json(name: &str, text: &str) -> Value {
    document("scenario", json!({ "name": name, "text": text }))
}

fn document(what: &str, content: Value) -> Value {
    json!({
        "schema": "joulecast.show/1",
        "version": env!("CARGO_PKG_VERSION"),
        what: content,
    })
}
