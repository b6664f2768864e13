//! The forms of an answer, read back: tables as heads and cells of plain text.

use csv::ReaderBuilder;
use joulecast::report::document::{Block, Column, Document, Extent, Place, Table};
use joulecast::report::render::{
    Screen, document_html, document_markdown, document_text, table_csv,
};

/// A table as a reader sees it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Grid {
    /// Name of its file; empty where its form does not say it.
    pub name: String,
    /// Headings.
    pub heads: Vec<String>,
    /// Cells, row by row.
    pub rows: Vec<Vec<String>>,
}

/// All tables of an answer in each of its forms, in their order.
#[derive(Debug, Clone)]
pub struct Forms {
    /// The screen: cells that are not empty.
    pub text: Vec<Grid>,
    /// The same with 80 characters a line.
    pub narrow: String,
    pub markdown: Vec<Grid>,
    pub html: Vec<Grid>,
    pub csv: Vec<Grid>,
}

impl Forms {
    /// Writes an answer in all forms and reads them again. The document says what tables there are and what their columns
    /// are called; the cells come from what was written.
    pub fn of(d: &Document) -> Self {
        let mut undrawn = d.clone();
        undrawn.figures.clear();
        let screen = |width| Screen {
            width,
            extent: Extent::Full,
        };
        let csv = |t: &Table| {
            let bytes = table_csv(t, &d.provenance).expect("records");
            of_csv(&t.name, &String::from_utf8(bytes).expect("UTF-8"))
        };
        Self {
            text: of_text(d, &document_text(d, screen(1_000))),
            narrow: document_text(d, screen(80)),
            markdown: of_markdown(&document_markdown(d)),
            html: of_html(&document_html(&undrawn, "a")),
            csv: d.tables().map(csv).collect(),
        }
    }
}

/// All tables of a document that a place shows.
pub fn tables(d: &Document, place: Place) -> Vec<&Table> {
    let blocks = d.sections.iter().flat_map(|s| s.shown(Extent::Full));
    let tables = blocks.filter_map(|b| match b {
        Block::Table(t) if t.is_at(place) => Some(t),
        _ => None,
    });
    // On a screen some tables stand in place of a wider one that has a name.
    tables
        .filter(|t| place == Place::Screen || !t.name.is_empty())
        .collect()
}

/// Parts of a line that two spaces or more set apart.
pub fn parts(line: &str) -> Vec<String> {
    let parts = line.split("  ").map(str::trim).filter(|p| !p.is_empty());
    parts.map(str::to_owned).collect()
}

/// Whether a line has the titles of these columns; a unit that all numbers share may stand with the first one only.
fn are_heads(line: &[String], columns: &[&Column]) -> bool {
    let Some(first) = columns.first() else {
        return false;
    };
    let units = columns
        .iter()
        .map(|c| format!("{} ({})", first.head, c.unit.shown));
    let shared = units
        .map(|t| t.trim().to_owned())
        .find(|t| line.first() == Some(t));
    let own = |(i, c): (usize, &&Column)| match (&shared, i) {
        (Some(title), 0) => title.clone(),
        (Some(_), _) => c.head.clone(),
        (None, _) => c.title(),
    };
    let titles = columns.iter().enumerate().map(own);
    titles.filter(|t| !t.is_empty()).eq(line.iter().cloned())
}

fn of_text(d: &Document, text: &str) -> Vec<Grid> {
    let mut lines = text.lines();
    let read = |t: &Table| {
        let columns: Vec<&Column> = t.columns_at(Place::Screen).map(|(_, c)| c).collect();
        let found = lines.by_ref().map(parts).find(|l| are_heads(l, &columns));
        let rows = t.rows.len().min(t.most);
        Grid {
            name: t.name.clone(),
            heads: found.unwrap_or_default(),
            rows: lines.by_ref().take(rows).map(parts).collect(),
        }
    };
    tables(d, Place::Screen).into_iter().map(read).collect()
}

/// Tables of Markdown, which do not say their names.
pub fn of_markdown(text: &str) -> Vec<Grid> {
    let mut all: Vec<Grid> = Vec::new();
    let mut inside = false;
    for line in text.lines() {
        let Some(own) = line.strip_prefix("| ").and_then(|l| l.strip_suffix(" |")) else {
            inside = false;
            continue;
        };
        let own = own.replace("\\|", "\u{1}").replace('`', "");
        let cells = own.split(" | ");
        let cells = cells.map(|c| c.trim().replace('\u{1}', "|").replace('\u{a0}', " "));
        if inside {
            all.last_mut().expect("a table").rows.push(cells.collect());
        } else {
            all.push(Grid {
                name: String::new(),
                heads: cells.collect(),
                rows: Vec::new(),
            });
        }
        inside = true;
    }
    // The first line below the headings is the rule.
    all.iter_mut().for_each(|grid| drop(grid.rows.remove(0)));
    all
}

/// A cell of a page without markup, with plain signs and spaces.
fn plain(cell: &str) -> String {
    let mut pieces = cell.split('<');
    let first = pieces.next().unwrap_or_default();
    let rest = pieces.filter_map(|piece| Some(piece.split_once('>')?.1));
    let mut out: String = std::iter::once(first).chain(rest).collect();
    for (from, to) in [
        ("\u{a0}", " "),
        ("\u{2212}", "-"),
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", "\""),
        ("&amp;", "&"),
    ] {
        out = out.replace(from, to);
    }
    match out.trim() {
        "–" => "-".to_owned(),
        other => other.to_owned(),
    }
}

/// Tables of a page that have a name.
pub fn of_html(page: &str) -> Vec<Grid> {
    let row = |row: &str| -> Vec<String> {
        let cells = row.split("<t").skip(1).filter_map(|c| {
            let (_, rest) = c.strip_prefix(['h', 'd'])?.split_once('>')?;
            Some(plain(rest.split("</t").next()?))
        });
        cells.collect()
    };
    let table = |text: &str| {
        let (name, rest) = text.split_once('"').expect("a name");
        let own = rest.split("</table>").next().expect("an end");
        let (head, body) = own.split_once("</thead><tbody>").expect("a body");
        let (_, head) = head.split_once("<tr>").expect("headings");
        Grid {
            name: name.to_owned(),
            heads: row(head),
            rows: body.split("<tr>").skip(1).map(row).collect(),
        }
    };
    page.split("<table data-name=\"")
        .skip(1)
        .map(table)
        .collect()
}

pub fn of_csv(name: &str, text: &str) -> Grid {
    let mut reader = ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let cells = |r: &csv::StringRecord| r.iter().map(str::to_owned).collect();
    Grid {
        name: name.to_owned(),
        heads: cells(reader.headers().expect("headings")),
        rows: reader
            .records()
            .map(|r| cells(&r.expect("a record")))
            .collect(),
    }
}

/// Numbers that stand in a cell, each with half a unit of the last digit that is printed: `12.35 ± 0.02`, `41.6 to 44.7`,
/// also with a word or a letter beside.
pub fn numbers(cell: &str) -> Vec<(f64, f64)> {
    let cell = cell.strip_prefix("over ").unwrap_or(cell);
    let parts = cell.split(" ± ").flat_map(|p| p.split(" to "));
    let number = |part: &str| -> Option<(f64, f64)> {
        let end = part
            .char_indices()
            .find(|(_, c)| !"+-.0123456789e".contains(*c));
        let own = &part[..end.map_or(part.len(), |(i, _)| i)];
        let value: f64 = own.parse().ok()?;
        let (mantissa, exponent) = own.split_once('e').unwrap_or((own, "0"));
        // Zeros at the end of a whole number may only hold its places.
        let zeros = mantissa.len() - mantissa.trim_end_matches('0').len();
        let zeros = -(zeros.min(mantissa.len() - 1) as i32);
        let after = mantissa
            .split_once('.')
            .map_or(zeros, |(_, d)| d.len() as i32);
        let exponent: i32 = exponent.parse().ok()?;
        Some((value, 0.5 * 10f64.powi(exponent - after)))
    };
    let mut all: Vec<(f64, f64)> = parts.map_while(number).collect();
    // A zero beside an error or another end has the places of that.
    let finest = all.iter().map(|n| n.1).fold(f64::INFINITY, f64::min);
    all.iter_mut().for_each(|n| n.1 = finest);
    all
}
