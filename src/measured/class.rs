//! Files of a class: what each group reports, and what it says of its uncertainty.

use super::cell::is_missing;
use super::header::plain;
use super::names::pairs;
use super::problem::{FileProblem, Problems, shown};
use super::sheet::{Header, Sheet, Table, form};
use super::unit::{Scale, scale};
use super::value::value;
use super::{MOST_GROUPS, MOST_RUNS_BYTES};
use crate::quantity::{Dimension, texts};
use std::collections::BTreeMap;

texts! {
    /// What a column of uncertainties is.
    Stated::words:
    /// Standard uncertainties.
    U1 = "u",
    /// Expanded uncertainties, k = 2.
    Expanded = "U",
    /// Twice the standard uncertainty.
    Twice = "2s",
    /// Behind a plus-minus sign that does not say what it is.
    PlusMinus = "±",
}

/// One group.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupRow {
    /// Its line in the file, from 1.
    pub line: usize,
    /// What it is called; its number in the file if it has no name.
    pub name: String,
    /// What it reports, J/mol.
    pub value: f64,
    /// Its standard uncertainty by what it states, J/mol.
    pub u: Option<f64>,
    /// A remark.
    pub remark: Option<String>,
}

/// A class.
#[derive(Debug, Clone)]
pub struct ClassSheet {
    /// What the file is called.
    pub file: String,
    /// The groups that report something.
    pub groups: Vec<GroupRow>,
    /// Names of groups without a value.
    pub without: Vec<String>,
    /// What was assumed.
    pub notes: Vec<String>,
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Holds {
    Group,
    Value,
    Uncertainty(Stated),
    Remark,
}

/// Names of columns: our keys first.
const NAMES: &[(&str, Holds)] = &[
    ("group", Holds::Group),
    ("name", Holds::Group),
    ("team", Holds::Group),
    ("value", Holds::Value),
    ("result", Holds::Value),
    ("enthalpy", Holds::Value),
    ("delta h", Holds::Value),
    ("δh", Holds::Value),
    ("2s", Holds::Uncertainty(Stated::Twice)),
    ("±", Holds::Uncertainty(Stated::PlusMinus)),
    ("+/", Holds::Uncertainty(Stated::PlusMinus)),
    ("+", Holds::Uncertainty(Stated::PlusMinus)),
    ("remark", Holds::Remark),
    ("comment", Holds::Remark),
];

/// Words that `--columns` may name, and what they are.
const KEYS: &[(&str, Holds)] = &[
    ("group", Holds::Group),
    ("value", Holds::Value),
    ("u", Holds::Uncertainty(Stated::U1)),
    ("U", Holds::Uncertainty(Stated::Expanded)),
    ("2s", Holds::Uncertainty(Stated::Twice)),
    ("+-", Holds::Uncertainty(Stated::PlusMinus)),
    ("remark", Holds::Remark),
];

/// Largest molar enthalpy that is read, J/mol.
const MOST: f64 = 2e7;

impl Holds {
    /// By our own names; a small and a capital letter u mean different things.
    fn of(name: &str) -> Option<Self> {
        match name.trim() {
            "u" => return Some(Self::Uncertainty(Stated::U1)),
            "U" => return Some(Self::Uncertainty(Stated::Expanded)),
            _ => {}
        }
        let name = plain(name);
        let known = NAMES.iter().find(|(word, _)| *word == name);
        known.map(|(_, holds)| *holds)
    }
}

/// A column that is read.
struct Taken<'s> {
    holds: Holds,
    header: &'s Header,
    by: Scale,
}

/// Reads what the groups of a class report. `columns` says what the file calls its columns: `value=Delta H, u=Unsicherheit`.
///
/// # Errors
/// All problems of the file.
pub fn read_class(
    file: &str,
    bytes: &[u8],
    columns: Option<&str>,
) -> Result<ClassSheet, Vec<FileProblem>> {
    let mut problems = Problems::new(file);
    let named = named(columns, &mut problems);
    let limits = (MOST_RUNS_BYTES, MOST_GROUPS);
    let table = Table::read(bytes, limits, &mut problems);
    let Some(sheet) = table.map(|t| t.headed(file, &mut problems)) else {
        return Err(problems.all());
    };
    let taken = taken(&sheet, &named, &mut problems);
    let numbers: Vec<usize> = taken
        .iter()
        .filter(|t| matches!(t.holds, Holds::Value | Holds::Uncertainty(_)))
        .map(|t| t.header.column)
        .collect();
    let mark = sheet.mark(&numbers, &mut problems);
    let mut notes = sheet.notes.clone();
    notes.push(form(sheet.separator, mark));
    notes.extend(assumed(&sheet, &taken));
    let mut class = ClassSheet {
        file: file.to_owned(),
        groups: Vec::new(),
        without: Vec::new(),
        notes,
    };
    if problems.is_empty() {
        read(
            &sheet,
            &taken,
            mark.unwrap_or('.'),
            &mut class,
            &mut problems,
        );
    }
    if problems.is_empty() && class.groups.is_empty() {
        problems.add("none", None, None, "no group reports a value", "");
    }
    match problems.is_empty() {
        true => Ok(class),
        false => Err(problems.all()),
    }
}

/// Names that were given for this file.
fn named(columns: Option<&str>, problems: &mut Problems) -> Vec<(Holds, String)> {
    let mut all = Vec::new();
    for (key, word) in pairs(columns.unwrap_or_default(), "value=Delta H", problems) {
        match KEYS.iter().find(|(own, _)| *own == key) {
            Some(_) if word.trim().is_empty() => {
                problems.add("empty", None, Some(&key), "the name is empty", "");
            }
            Some((_, holds)) => all.push((*holds, plain(&word))),
            None => {
                let keys: Vec<&str> = KEYS.iter().map(|(key, _)| *key).collect();
                let hint = format!("columns are {}", keys.join(", "));
                problems.add("key", None, Some(&key), "no such column", &hint);
            }
        }
    }
    all
}

/// The columns that are read.
fn taken<'s>(
    sheet: &'s Sheet,
    named: &[(Holds, String)],
    problems: &mut Problems,
) -> Vec<Taken<'s>> {
    let mut all: Vec<Taken> = Vec::new();
    for header in &sheet.headers {
        let given = named
            .iter()
            .find(|(_, word)| [plain(&header.text), plain(&header.name)].contains(word));
        let own = || Holds::of(&header.name).filter(|h| named.iter().all(|(n, _)| n != h));
        let Some(holds) = given.map(|(holds, _)| *holds).or_else(own) else {
            continue;
        };
        let numbers = matches!(holds, Holds::Value | Holds::Uncertainty(_));
        let same = |t: &&Taken| match (t.holds, holds) {
            (Holds::Uncertainty(_), Holds::Uncertainty(_)) => true,
            (a, b) => a == b,
        };
        if let Some(other) = all.iter().find(same) {
            let message = format!("\"{}\" says the same", other.header.text);
            let hint = "take one of them out, or say with --columns which is meant";
            problems.add("twice", sheet.line, Some(&header.text), message, hint);
            continue;
        }
        let mut by = Scale::Times(1e3);
        if let (true, Some(unit)) = (numbers, &header.unit) {
            match scale(unit, Dimension::MolarEnthalpy) {
                Ok(scale) => by = scale,
                Err(why) => {
                    let hint = "correct the unit in the header";
                    problems.add("header", sheet.line, Some(&header.text), why, hint);
                }
            }
        }
        all.push(Taken { holds, header, by });
    }
    for (holds, word) in named {
        if !all.iter().any(|t| t.holds == *holds) {
            problems.add("no column", sheet.line, Some(word), "no such header", "");
        }
    }
    if !all.iter().any(|t| t.holds == Holds::Value) {
        let headers: Vec<String> = sheet.headers.iter().map(|h| shown(&h.text)).collect();
        let message = "no column `value`";
        let hint = format!(
            "say with --columns \"value=NAME\" which one it is; the headers are: {}",
            headers.join(" | ")
        );
        problems.add("value", sheet.line, None, message, &hint);
    }
    all
}

/// What is assumed of units and uncertainties.
fn assumed(sheet: &Sheet, taken: &[Taken]) -> Vec<String> {
    let mut notes = Vec::new();
    for t in taken {
        if matches!(t.holds, Holds::Value | Holds::Uncertainty(_)) && t.header.unit.is_none() {
            notes.push(format!(
                "\"{}\" has no unit: taken as kJ/mol",
                t.header.text
            ));
        }
        if let Holds::Uncertainty(stated) = t.holds {
            notes.push(match stated {
                Stated::U1 => format!("\"{}\" is read as standard uncertainty", t.header.text),
                Stated::Expanded | Stated::Twice => {
                    format!("\"{}\" is read as twice the standard uncertainty", t.header.text)
                }
                Stated::PlusMinus => format!(
                    "\"{}\" does not say what it is: read as U with k = 2, twice the standard uncertainty",
                    t.header.text
                ),
            });
        }
    }
    let used = |h: &&Header| taken.iter().any(|t| t.header.column == h.column);
    let ignored = sheet
        .headers
        .iter()
        .filter(|h| !used(h) && !h.text.is_empty());
    let ignored: Vec<&str> = ignored.map(|h| h.text.as_str()).collect();
    if !ignored.is_empty() {
        notes.push(format!("not read: {}", ignored.join(", ")));
    }
    notes
}

/// Reads the rows.
fn read(
    sheet: &Sheet,
    taken: &[Taken],
    mark: char,
    class: &mut ClassSheet,
    problems: &mut Problems,
) {
    let mut lines: BTreeMap<String, usize> = BTreeMap::new();
    for (i, row) in sheet.rows.iter().enumerate() {
        let mut group = GroupRow {
            line: row.line,
            name: (i + 1).to_string(),
            value: f64::NAN,
            u: None,
            remark: None,
        };
        for t in taken {
            let cell = row.cell(t.header.column);
            if is_missing(cell) {
                continue;
            }
            let least = if t.holds == Holds::Value { -MOST } else { 0.0 };
            let number = || value(cell, mark, t.by, (Dimension::MolarEnthalpy, least, MOST));
            match t.holds {
                Holds::Group => group.name = cell.to_owned(),
                Holds::Remark => group.remark = Some(cell.to_owned()),
                Holds::Value => match number() {
                    Ok((x, _)) => group.value = x,
                    Err(refused) => refused.report(row.line, &t.header.text, problems),
                },
                Holds::Uncertainty(stated) => match number() {
                    Ok((x, _)) if x > 0.0 => {
                        group.u = Some(if stated == Stated::U1 { x } else { x / 2.0 });
                    }
                    Ok(_) => {
                        let hint = "leave the cell empty if it is not known";
                        let message = "an uncertainty of zero";
                        problems.add("zero", row.line, Some(&t.header.text), message, hint);
                    }
                    Err(refused) => refused.report(row.line, &t.header.text, problems),
                },
            }
        }
        if let Some(first) = lines.insert(group.name.clone(), row.line) {
            let message = format!("`{}` is in line {first} already", shown(&group.name));
            let hint = "each group has one row, and a name of its own";
            problems.add("name", row.line, None, message, hint);
        }
        match group.value.is_nan() {
            true => class.without.push(group.name),
            false => class.groups.push(group),
        }
    }
}
