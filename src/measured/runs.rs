//! Files of runs.

use super::kind::Kinds;
use super::names::{Named, Names};
use super::problem::{FileProblem, Problems, shown};
use super::row::{Reading, RunRow};
use super::sheet::{Header, Sheet, Table, form};
use super::unit::{Scale, scale};
use super::{MOST_RUNS, MOST_RUNS_BYTES};
use crate::scenario::{Heat, RUN_COLUMNS, RunColumn as C, Scenario};
use std::collections::BTreeMap;

/// The runs of a file.
#[derive(Debug, Clone)]
pub struct RunSheet {
    /// What the file is called.
    pub file: String,
    /// Its runs, in their order.
    pub rows: Vec<RunRow>,
    /// The columns that are read, each with its header as written.
    pub matched: Vec<(C, String)>,
    /// Headers of columns that are not read.
    pub ignored: Vec<String>,
    /// What was assumed.
    pub notes: Vec<String>,
}

/// A column that is read.
#[derive(Debug, Clone)]
pub(super) struct Matched {
    pub id: C,
    pub column: usize,
    pub header: String,
    /// What makes base units of its numbers, unless a cell has a unit of its own.
    pub scale: Scale,
    /// Whether the header has a unit.
    unit: Option<String>,
}

/// Reads a file of runs.
///
/// # Errors
/// All problems of the file.
pub fn read_runs(
    file: &str,
    bytes: &[u8],
    scenario: &Scenario,
    names: &Names,
) -> Result<RunSheet, Vec<FileProblem>> {
    let mut problems = Problems::new(file);
    let limits = (MOST_RUNS_BYTES, MOST_RUNS);
    let table = Table::read(bytes, limits, &mut problems);
    let Some(sheet) = table.map(|t| t.headed(file, &mut problems)) else {
        return Err(problems.all());
    };
    let (matched, ignored) = columns(&sheet, scenario, names, &mut problems);
    let kinds = Kinds::new(scenario, names);
    let has = |id: C| matched.iter().any(|m| m.id == id);
    if matched.is_empty() {
        let hint = "headers are `kind`, `solid [g]` and so on (`joulecast help data`); [columns] of the scenario gives them other names";
        problems.add("headers", sheet.line, None, "no header is known", hint);
        return Err(problems.all());
    }
    if !has(C::Kind) && kinds.only().is_none() {
        let message = format!(
            "no column `kind`, which says for each run what it is: {}",
            kinds.choices()
        );
        let hint = "add it, or say in [columns] which column it is";
        problems.add("kind column", None, None, message, hint);
    }
    if sheet.rows.is_empty() {
        problems.add(
            "no runs",
            None,
            None,
            "there are no runs below the headers",
            "",
        );
    }
    let numbers = matched
        .iter()
        .filter(|m| m.id.entry().dimension().is_some());
    let numbers: Vec<usize> = numbers.map(|m| m.column).collect();
    let mark = sheet.mark(&numbers, &mut problems);
    let reading = Reading {
        matched: &matched,
        kinds: &kinds,
        decimal: mark.unwrap_or('.'),
    };
    // Without the right mark nothing can be said of the numbers.
    if problems.has(&["mark", "thousands"]) {
        return Err(problems.all());
    }
    let each = sheet.rows.iter().enumerate();
    let rows: Vec<RunRow> = each
        .map(|(i, row)| reading.row(i, row, &mut problems))
        .collect();
    if !problems.is_empty() {
        return Err(problems.all());
    }
    let mut notes = sheet.notes.clone();
    notes.push(form(sheet.separator, mark));
    notes.extend(assumed(&reading, &rows, names));
    Ok(RunSheet {
        file: file.to_owned(),
        rows,
        matched: matched.into_iter().map(|m| (m.id, m.header)).collect(),
        ignored,
        notes,
    })
}

/// Whether a column has anything to say in this scenario: a group's `time` is a time of day where nothing is heated.
fn serves(id: C, scenario: &Scenario) -> bool {
    let any = |of: fn(&Heat) -> bool| {
        scenario
            .legs()
            .iter()
            .any(|leg| leg.runs > 0 && of(&leg.heat))
    };
    match id {
        C::Voltage | C::Current | C::Time => any(|h| matches!(h, Heat::Electrical(_))),
        C::Hot => any(|h| matches!(h, Heat::HotWater { .. })),
        _ => true,
    }
}

/// Which columns are read, in the order of the table of columns, and the headers of the others.
fn columns(
    sheet: &Sheet,
    scenario: &Scenario,
    names: &Names,
    problems: &mut Problems,
) -> (Vec<Matched>, Vec<String>) {
    let mut fits: Vec<(u8, C, &Header)> = Vec::new();
    for header in &sheet.headers {
        for column in RUN_COLUMNS {
            let fit = names.fit(&header.text, &header.name, column.id);
            if fit > 1 || fit == 1 && serves(column.id, scenario) {
                fits.push((fit, column.id, header));
            }
        }
    }
    fits.sort_by_key(|(fit, ..)| u8::MAX - fit);
    let mut taken: Vec<(u8, C, &Header)> = Vec::new();
    for (fit, id, header) in fits {
        if taken.iter().any(|(.., h)| h.column == header.column) {
            continue;
        }
        match taken.iter().find(|(_, other, _)| *other == id) {
            Some((best, _, first)) if *best == fit => {
                let message = format!(
                    "column {} and column {} are both `{}`",
                    first.column + 1,
                    header.column + 1,
                    id.entry().key
                );
                problems.add(
                    "twice",
                    sheet.line,
                    Some(&header.text),
                    message,
                    "rename one of them, or take it out",
                );
            }
            Some(_) => {}
            None => taken.push((fit, id, header)),
        }
    }
    taken.sort_by_key(|(_, id, _)| *id);
    for name in names.all.iter().filter(|n| n.must) {
        if let Named::Column(id) = name.named
            && !taken.iter().any(|(fit, other, _)| *other == id && *fit > 1)
        {
            let headers: Vec<String> = sheet.headers.iter().map(|h| shown(&h.text)).collect();
            let message = format!(
                "no column `{}`, which should be `{}`",
                name.word,
                id.entry().key
            );
            let hint = format!("the headers are: {}", headers.join(" | "));
            problems.add("no column", sheet.line, Some(&name.word), message, &hint);
        }
    }
    let free =
        |h: &&Header| !h.text.is_empty() && !taken.iter().any(|(.., t)| t.column == h.column);
    let ignored = sheet
        .headers
        .iter()
        .filter(free)
        .map(|h| h.text.clone())
        .collect();
    let matched = taken
        .iter()
        .map(|(fit, id, h)| matched((*fit, *id), h, sheet.line, problems));
    (matched.collect(), ignored)
}

fn matched((fit, id): (u8, C), header: &Header, line: usize, problems: &mut Problems) -> Matched {
    let mut unit = header.unit.clone();
    let mut by = Scale::Times(1.0);
    if let (Some(dimension), Some(written)) = (id.entry().dimension(), &unit) {
        match scale(written, dimension) {
            Ok(scale) => by = scale,
            // The end of a name that was given as a whole is no unit.
            Err(_) if fit == 3 && !header.text.ends_with([']', ')']) => unit = None,
            Err(why) => problems.add(
                "header",
                line,
                Some(&header.text),
                why,
                "correct the unit in the header",
            ),
        }
    }
    Matched {
        id,
        column: header.column,
        header: header.text.clone(),
        scale: by,
        unit,
    }
}

/// What was assumed about the columns, in sentences.
fn assumed(reading: &Reading<'_>, rows: &[RunRow], names: &Names) -> Vec<String> {
    let mut notes = Vec::new();
    let numbers = reading
        .matched
        .iter()
        .filter_map(|m| Some((m, m.id.entry().dimension()?)));
    let mut bare = Vec::new();
    for (m, dimension) in numbers {
        let base = dimension.base_unit();
        match &m.unit {
            None if rows.iter().any(|r| r.value(m.id).is_some()) => {
                bare.push(format!("\"{}\" in {base}", m.header))
            }
            Some(unit) if m.scale.converts() => {
                notes.push(format!(
                    "\"{}\" is converted from {unit} to {base}",
                    m.header
                ));
            }
            _ => {}
        }
    }
    if !bare.is_empty() {
        notes.push(format!(
            "no unit in the header, taken as base units: {}",
            bare.join(", ")
        ));
    }
    for name in names.all.iter().filter(|n| !n.must) {
        if let Named::Column(id) = name.named
            && !reading.matched.iter().any(|m| m.id == id)
        {
            notes.push(format!(
                "no column `{}`, which [columns] calls `{}`",
                name.word,
                id.entry().key
            ));
        }
    }
    notes.extend(same_labels(rows));
    notes
}

/// Runs of one name, which may be one run that was copied.
fn same_labels(rows: &[RunRow]) -> Option<String> {
    let mut lines: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for row in rows {
        lines.entry(&row.label).or_default().push(row.line);
    }
    let mut twice = lines.into_iter().filter(|(_, lines)| lines.len() > 1);
    let (label, lines) = twice.next()?;
    let more = match twice.count() {
        0 => String::new(),
        n => format!("; {n} more names stand there more than once"),
    };
    let label = shown(label);
    Some(format!(
        "run `{label}` stands in lines {} and {}{more}",
        lines[0], lines[1]
    ))
}
