//! What the library holds, as people read it.

use super::document::{Block, Cell, Column, Document, NONE, Section, Table};
use super::json::{document, part};
use super::schema::schemas;
use crate::library::{Kind, Library, Sheet};
use crate::quantity::Dimension;
use crate::scenario::{Family, SOURCES, Scope, Source};
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

/// Name and version of the form of what is shown.
pub(super) const SHOW: &str = "joulecast.show/1";

/// A document of one section without a heading of its own.
fn about(title: &str, blocks: Vec<Block>) -> Document {
    let mut d = Document::new(title, String::new());
    d.add(blocks.into_iter().fold(Section::new(""), Section::with));
    d
}

/// Rows of two or more columns without titles.
fn plain<const N: usize>(name: &str, rows: &[[String; N]]) -> Block {
    Block::Table((0..N).fold(Table::of(name, rows), |t, i| {
        let column = if i == 0 {
            Column::code("")
        } else {
            Column::words("")
        };
        t.column(rows, column, |row| Cell::text(&*row[i]))
    }))
}

/// All kinds with the number of their entries, and the names of the scenarios that are compiled in.
pub fn show_overview(library: &Library, names: &str) -> Document {
    let mut rows: Vec<(&str, usize, String)> = Kind::ALL
        .iter()
        .map(|k| {
            let keys = library.keys(*k);
            (
                k.text(),
                keys.len(),
                keys.first().map_or(String::new(), |k| (*k).clone()),
            )
        })
        .collect();
    rows.push(("source", SOURCES.len(), SOURCES[0].key.to_owned()));
    let table = Table::of("kinds", &rows)
        .column(&rows, Column::code("kind"), |r| Cell::text(r.0))
        .column(&rows, Column::number("entries", NONE), |r| {
            Cell::given(r.1 as f64)
        })
        .column(&rows, Column::words("for example"), |r| Cell::text(&*r.2));
    let said = "Values with uncertainty, source and status; a source is an error source. `joulecast show KIND` lists a \
                kind, `joulecast show KEY` explains an entry.";
    let scenarios = format!("Built-in scenarios: {names}");
    about(
        "The library",
        vec![
            Block::text(said),
            Block::Table(table),
            Block::text(scenarios),
        ],
    )
}

/// Entries, a line each: keys and titles.
pub fn show_list(title: &str, entries: &[(String, String)]) -> Document {
    let table = Table::of("entries", entries)
        .column(entries, Column::code("key"), |e| Cell::text(&*e.0))
        .column(entries, Column::words("what"), |e| Cell::text(&*e.1));
    about(title, vec![Block::Table(table)])
}

/// One entry with all its values.
pub fn show_sheet(sheet: &Sheet) -> Document {
    let mut sources: Vec<&str> = Vec::new();
    let mut notes: Vec<String> = Vec::new();
    let mut marks: Vec<String> = Vec::new();
    for row in &sheet.rows {
        let known = sources.iter().position(|s| *s == row.source);
        let number = match known {
            Some(at) => at + 1,
            None if row.source.is_empty() => 0,
            None => {
                sources.push(&row.source);
                sources.len()
            }
        };
        marks.push(match number {
            0 => String::new(),
            n => format!("[{n}] {}", row.status),
        });
        notes.extend(row.note.iter().map(|note| format!("{}: {note}", row.name)));
    }
    let rows: Vec<_> = sheet.rows.iter().zip(marks).collect();
    let table = Table::of(&sheet.key, &rows)
        .column(&rows, Column::code("quantity"), |(r, _)| {
            Cell::text(&*r.name)
        })
        .column(&rows, Column::words("value"), |(r, _)| Cell::text(&*r.text))
        .column(&rows, Column::words("source"), |(_, mark)| {
            Cell::text(&**mark)
        });
    let cautions = sheet.cautions.iter().map(|c| Block::note(&**c));
    let mut blocks = vec![Block::text(format!("{} `{}`", sheet.kind, sheet.key))];
    blocks.extend(cautions);
    blocks.push(Block::Table(table));
    let mut d = about(&sheet.title, blocks);
    let list = |d: &mut Document, heading: &str, all: Vec<String>| {
        if !all.is_empty() {
            d.add(Section::new(heading).with(Block::List(all)));
        }
    };
    list(&mut d, "advice", sheet.advice.clone());
    let numbered = (1..).zip(&sources).map(|(i, s)| format!("[{i}] {s}"));
    list(&mut d, "sources", numbered.collect());
    list(&mut d, "notes", notes);
    d
}

/// All error sources.
pub fn show_sources() -> Document {
    let table = Table::of("sources", SOURCES)
        .column(SOURCES, Column::code("key"), |s| Cell::text(s.key))
        .column(SOURCES, Column::words("family"), |s| {
            Cell::text(s.family.name())
        })
        .column(SOURCES, Column::words("drawn for each"), |s| {
            Cell::text(s.scope.name())
        })
        .column(SOURCES, Column::words(""), |s| {
            Cell::text(if s.one_sided { "one-sided" } else { "" })
        });
    about("Error sources", vec![Block::Table(table)])
}

/// One error source.
pub fn show_source(s: &Source) -> Document {
    let unit = match s.dimension {
        Dimension::Fraction => "a fraction",
        d => d.base_unit(),
    };
    let rows = [
        ("what it is", s.doc),
        ("where it enters", s.enters),
        ("symbol", s.symbol),
        ("family", s.family.name()),
        ("drawn for each", s.scope.name()),
        ("sign", if s.one_sided { "one-sided" } else { "either" }),
        (
            "in the lab's budget",
            if s.budget {
                "yes"
            } else {
                "no: whoever measures cannot know it"
            },
        ),
        ("unit", unit),
        ("usual", s.usual),
        ("possible", s.possible),
        ("described in", s.reference),
    ];
    let rows = rows.map(|(name, value)| [name.to_owned(), value.to_owned()]);
    about(
        &format!("{} (error source)", s.key),
        vec![plain("source", &rows)],
    )
}

/// What of the library is shown.
#[derive(Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(super) enum Shown<'a> {
    /// Entries.
    Entries(&'a [&'a Sheet]),
    /// Error sources.
    Sources(Vec<Described>),
    /// A built-in scenario.
    Scenario { name: &'a str, text: &'a str },
    /// Names of documents that have a schema.
    Schemas(Vec<&'static str>),
}

part! {
    /// An error source.
    Described(s: &Source):
    kind: &'static str = "source",
    key: &'static str = s.key,
    title: &'static str = s.doc,
    symbol: &'static str = s.symbol,
    /// Where it enters the chain.
    enters: &'static str = s.enters,
    family: Family = s.family,
    scope: Scope = s.scope,
    one_sided: bool = s.one_sided,
    /// Whether the lab's budget has a term for it.
    in_budget: bool = s.budget,
    unit: &'static str = s.dimension.base_unit(),
    reference: &'static str = s.reference,
}

/// Entries as JSON.
pub fn show_json(sheets: &[&Sheet]) -> Value {
    document(SHOW, Shown::Entries(sheets))
}

/// Error sources as JSON.
pub fn show_sources_json(sources: &[Source]) -> Value {
    let described = sources.iter().map(Described::of).collect();
    document(SHOW, Shown::Sources(described))
}

/// A built-in scenario as JSON: its text.
pub fn show_scenario_json(name: &str, text: &str) -> Value {
    document(SHOW, Shown::Scenario { name, text })
}

/// Names of the documents that have a schema, as JSON.
pub fn show_schemas_json() -> Value {
    document(
        SHOW,
        Shown::Schemas(schemas().map(|(name, _)| name).collect()),
    )
}
