//! Whether the forms of an answer say the same.

use super::columns::Columns;
use super::forms::{Forms, Grid, numbers, parts, tables};
use joulecast::report::document::{Column, Document, Place, Table, Unit};
use serde_json::Value;

/// All that disagrees, each in a sentence.
pub fn disagreements(d: &Document, forms: &Forms, json: &Value) -> Vec<String> {
    let pages = named(d, &forms.markdown);
    let mut all = people(d, &pages, forms);
    all.extend(screen(d, &pages, forms));
    all.extend(narrow(forms));
    all.extend(files(d, &pages, forms));
    let known = Columns::known();
    all.extend(known.said(&forms.narrow, json));
    let of_files = forms.csv.iter().flat_map(|grid| known.file(grid, json));
    all.extend(of_files);
    for t in tables(d, Place::Page) {
        let own = t
            .columns
            .iter()
            .filter(|c| c.place == Place::People && c.is_number());
        let titles: Vec<String> = own.map(Column::title).collect();
        if !titles.is_empty() {
            let grid = beside(&t.name, &forms.csv, &pages);
            all.extend(known.people(&grid, &titles, json));
        }
    }
    all
}

/// A table of Markdown, behind what its file has of the same rows.
fn beside(name: &str, files: &[Grid], pages: &[Grid]) -> Grid {
    let [file, page] = [files, pages].map(|all| all.iter().find(|g| g.name == name));
    match (file, page) {
        (Some(file), Some(page)) if file.rows.len() == page.rows.len() => {
            let rows = file.rows.iter().zip(&page.rows);
            Grid {
                name: name.to_owned(),
                heads: [&file.heads[..], &page.heads].concat(),
                rows: rows.map(|(a, b)| [&a[..], b].concat()).collect(),
            }
        }
        (_, page) => page.cloned().unwrap_or_default(),
    }
}

/// Tables of Markdown with the names that they have in the document.
fn named(d: &Document, grids: &[Grid]) -> Vec<Grid> {
    let named = tables(d, Place::Page).into_iter().zip(grids);
    let named = named.map(|(t, grid)| Grid {
        name: t.name.clone(),
        ..grid.clone()
    });
    named.collect()
}

/// Page and Markdown: the same tables, headings and cells.
fn people(d: &Document, pages: &[Grid], forms: &Forms) -> Vec<String> {
    let due = tables(d, Place::Page);
    let mut all = Vec::new();
    for (form, n) in [
        ("Markdown", forms.markdown.len()),
        ("page", forms.html.len()),
    ] {
        if n != due.len() {
            all.push(format!("{n} of {} tables in the {form}", due.len()));
        }
    }
    for ((t, markdown), html) in due.iter().zip(pages).zip(&forms.html) {
        let titles: Vec<String> = t.columns_at(Place::Page).map(|(_, c)| c.title()).collect();
        if markdown.heads != titles || markdown.rows.len() != t.rows.len() {
            let seen = (&markdown.heads, markdown.rows.len());
            all.push(format!("{}: {seen:?} in Markdown", t.name));
        }
        all.extend(differences(&t.name, "page", markdown, html));
    }
    all
}

/// Headings and cells that two grids do not share.
fn differences(name: &str, form: &str, due: &Grid, seen: &Grid) -> Vec<String> {
    let of = |grid: &Grid| {
        let heads = std::iter::once(grid.heads.clone());
        heads.chain(grid.rows.clone()).collect::<Vec<_>>()
    };
    let (due, seen) = (of(due), of(seen));
    if due.len() != seen.len() {
        return vec![format!("{name}: {} rows on the {form}", seen.len())];
    }
    let pairs = due.iter().zip(&seen).filter(|(a, b)| a != b);
    let said = pairs.map(|(a, b)| format!("{name}: {a:?} is {b:?} on the {form}"));
    said.collect()
}

/// The screen: its rows and columns of the same cells; a table without a name has columns of the one before.
fn screen(d: &Document, pages: &[Grid], forms: &Forms) -> Vec<String> {
    let mut all = Vec::new();
    let mut page: Option<&Grid> = None;
    for (t, seen) in tables(d, Place::Screen).into_iter().zip(&forms.text) {
        page = pages.iter().find(|g| g.name == t.name).or(page);
        let Some(page) = page else {
            all.push(format!("{}: on the screen only", t.name));
            continue;
        };
        let by_title = |c: &Column| page.heads.iter().position(|head| *head == c.title());
        let columns: Vec<usize> = match t.name.is_empty() {
            true => t
                .columns_at(Place::Screen)
                .filter_map(|(_, c)| by_title(c))
                .collect(),
            false => {
                let columns = t.columns_at(Place::Page).enumerate();
                let shown = columns.filter(|(_, (_, c))| c.place <= Place::Screen);
                shown.map(|(i, _)| i).collect()
            }
        };
        let cells = |row: &Vec<String>| -> Vec<String> {
            let cells = columns.iter().filter_map(|i| row.get(*i));
            cells.filter(|c| !c.is_empty()).cloned().collect()
        };
        let due = Grid {
            heads: seen.heads.clone(),
            rows: page
                .rows
                .iter()
                .take(t.rows.len().min(t.most))
                .map(cells)
                .collect(),
            ..seen.clone()
        };
        if columns.len() != t.columns_at(Place::Screen).count() {
            all.push(format!("{}: a column on the screen only", page.name));
        }
        if seen.heads.is_empty() && !due.rows.is_empty() {
            all.push(format!("{}: no headings on the screen", page.name));
        }
        all.extend(differences(&page.name, "screen", &due, seen));
    }
    all
}

/// Lines of 80 characters: the rows of the wide ones in order, cut between words only.
fn narrow(forms: &Forms) -> Vec<String> {
    let mut lines = forms.narrow.lines().map(parts);
    let cut = |seen: &String, due: &String| {
        seen == due || due.strip_prefix(seen).is_some_and(|r| r.starts_with(' '))
    };
    let mut all = Vec::new();
    for grid in &forms.text {
        for row in &grid.rows {
            let same = |line: &Vec<String>| {
                line.len() == row.len() && line.iter().zip(row).all(|(a, b)| cut(a, b))
            };
            if !lines.any(|line| same(&line)) {
                all.push(format!("{}: {row:?} is not among 80 columns", grid.name));
                return all;
            }
        }
    }
    all
}

/// What is shown of one of what a file has.
fn shown(unit: &Unit) -> Option<f64> {
    Some(match (&*unit.shown, &*unit.suffix) {
        (a, b) if a == b => 1.0,
        ("kJ/mol", "J_per_mol") => 1e-3,
        ("J/mol", "J_per_mol") | ("%", "percent") => 1.0,
        ("%", "") => 100.0,
        ("h", "s") => 1.0 / 3600.0,
        // A sensitivity is per unit of its quantity, in kJ/mol.
        ("", "J_per_mol_per_unit") => 1e-3,
        (_, "") => 1.0,
        _ => return None,
    })
}

/// Files: the names and the numbers of the same columns.
fn files(d: &Document, pages: &[Grid], forms: &Forms) -> Vec<String> {
    let mut all = Vec::new();
    for (t, file) in d.tables().zip(&forms.csv) {
        let names: Vec<String> = t
            .columns_at(Place::File)
            .flat_map(|(_, c)| c.raw_names())
            .collect();
        if names.iter().any(String::is_empty) {
            all.push(format!("{}.csv: a column without a name", t.name));
        }
        if file.heads != names || file.rows.len() != t.rows.len() {
            all.push(format!("{}.csv has {:?}", t.name, file.heads));
            continue;
        }
        if let Some(page) = pages.iter().find(|g| g.name == t.name) {
            all.extend(file_and_page(t, file, page));
        }
    }
    all
}

fn file_and_page(t: &Table, file: &Grid, page: &Grid) -> Vec<String> {
    let mut all = Vec::new();
    for (at, (i, c)) in t.columns_at(Place::Page).enumerate() {
        let before = t.columns_at(Place::File).take_while(|(own, _)| *own != i);
        let first: usize = before.map(|(_, c)| c.kind.parts()).sum();
        if c.place == Place::People {
            continue;
        }
        let Some(per) = shown(&c.unit) else {
            all.push(format!("{}: unit of {:?}", t.name, c.title()));
            continue;
        };
        for (row, own) in file.rows.iter().zip(&page.rows) {
            let raw = &row[first..first + c.kind.parts()];
            if !same(&own[at], raw, per, c.is_number()) {
                let cell = (&own[at], c.title());
                all.push(format!("{}: {cell:?} is {raw:?} in the file", t.name));
            }
        }
    }
    all
}

/// Whether a printed cell is what a file has, to half a unit of its last digit.
fn same(cell: &str, raw: &[String], per: f64, is_number: bool) -> bool {
    let printed = numbers(cell);
    if !is_number || printed.is_empty() {
        let nothing = cell == "-" && raw.iter().all(String::is_empty);
        return nothing || raw[0] == cell;
    }
    printed
        .iter()
        .zip(raw)
        .all(|(n, raw)| match raw.parse::<f64>() {
            Ok(x) => near(*n, per * x),
            Err(_) => false,
        })
}

/// Whether a number is printed with the right digits; a half may go either way.
pub fn near((printed, half): (f64, f64), exact: f64) -> bool {
    (printed - exact).abs() <= half * (1.0 + 1e-6) + 1e-9 * exact.abs()
}
