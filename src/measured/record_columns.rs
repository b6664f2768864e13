//! Which columns of a record are time, temperature, and the mark of mixing.

use super::cell::{is_missing, mark_of, number};
use super::clock::clock;
use super::header::{Header, plain};
use super::problem::{Problems, shown};
use super::sheet::{Row, Sheet};
use super::unit::{Scale, measures, scale};
use crate::quantity::Dimension as D;

/// A column that is read.
#[derive(Debug)]
pub(super) struct At {
    pub column: usize,
    /// As messages call it.
    pub name: String,
    pub scale: Scale,
    pub unit: Option<String>,
}

/// The columns of a record.
pub(super) struct Columns {
    pub time: At,
    pub temperature: At,
    /// The column whose cell marks the moment of mixing.
    pub mark: Option<At>,
    /// What was assumed about them.
    pub note: Option<String>,
}

/// Headers of a column, and words in the place of a temperature, that mark the moment of mixing.
pub(super) const MARKS: [&str; 5] = ["mixed", "mixed at", "mixing", "marker", "event"];

/// Whether a row holds readings, not headers.
pub(super) fn is_reading(row: &Row) -> bool {
    let number = |cell: &str| {
        [',', '.']
            .into_iter()
            .any(|mark| number(cell, mark).is_ok())
    };
    let time = row.cell(0);
    (number(time) || clock(time, ',').is_some())
        && (number(row.cell(1))
            || is_missing(row.cell(1))
            || MARKS.contains(&plain(row.cell(1)).as_str()))
}

/// The first two columns, where there are no headers.
pub(super) fn first_two(rows: &[Row], separator: char, problems: &mut Problems) -> Columns {
    let wide = rows.iter().find(|r| r.cells.len() > 2);
    let pointed = || {
        rows.iter()
            .flat_map(|r| &r.cells)
            .any(|c| mark_of(c) == Some('.'))
    };
    if let Some(row) = wide.filter(|_| separator == ',' && !pointed()) {
        let message = "more than two columns without headers and without a decimal point: the commas may be decimal ones";
        let hint = "write headers, or save the file with semicolons between its cells";
        problems.add("commas", row.line, None, message, hint);
    }
    let at = |column: usize| At {
        column,
        name: format!("column {}", column + 1),
        scale: Scale::Times(1.0),
        unit: None,
    };
    Columns {
        time: at(0),
        temperature: at(1),
        mark: None,
        note: Some(
            "no headers: the first column is taken as the time, the second as the temperature"
                .to_owned(),
        ),
    }
}

/// How well a header fits time and temperature: by its name (2), or by its unit or the beginning of its name (1).
fn fits(header: &Header) -> [u8; 2] {
    let name = plain(&header.name);
    let unit = header.unit.as_deref().and_then(measures);
    let by_unit = match unit {
        Some(D::Time) => Some(0),
        Some(D::Temperature | D::TemperatureDifference) => Some(1),
        _ => None,
    };
    let exact = match (name.as_str(), by_unit) {
        ("time" | "timestamp" | "datetime" | "date time" | "date/time", _) => Some(0),
        ("temperature" | "temp", _) => Some(1),
        ("t", Some(which)) => Some(which),
        ("t", None) => Some(usize::from(header.name == "T")),
        _ => None,
    };
    let begins = ["time ", "temp"].iter().position(|w| name.starts_with(w));
    let mut fits = [0; 2];
    if let Some(which) = by_unit.or(begins) {
        fits[which] = 1;
    }
    if let Some(which) = exact {
        fits[which] = 2;
    }
    fits
}

/// The columns that the headers name; two columns with other names count as time and temperature.
pub(super) fn named(sheet: &Sheet, problems: &mut Problems) -> Option<Columns> {
    let is_mark = |h: &Header| MARKS.contains(&plain(&h.name).as_str());
    let (marks, headers): (Vec<&Header>, Vec<&Header>) =
        sheet.headers.iter().partition(|h| is_mark(h));
    let two = headers.len() == 2;
    let best = |which: usize, problems: &mut Problems| -> Option<&Header> {
        let most = headers
            .iter()
            .map(|h| fits(h)[which])
            .max()
            .filter(|fit| *fit > 0)?;
        let mut all = headers.iter().copied().filter(|h| fits(h)[which] == most);
        let first = all.next();
        if let (Some(first), Some(second)) = (first, all.next()) {
            let what = ["time", "temperature"][which];
            let message = format!("may be the {what}, but so may \"{}\"", shown(&first.text));
            let hint = format!("call one of them `{what}`, or take the other out");
            problems.add("two", sheet.line, Some(&second.text), message, &hint);
        }
        first
    };
    let (mut time, mut temperature) = (best(0, problems), best(1, problems));
    let mut note = None;
    if two && (time.is_none() || temperature.is_none()) {
        let other = |one: Option<&Header>| {
            headers
                .iter()
                .copied()
                .find(|h| one.is_none_or(|o| o.column != h.column))
        };
        let stated = [time, temperature];
        time = time.or_else(|| other(temperature));
        temperature = temperature.or_else(|| other(time));
        let mut told = Vec::new();
        for (what, (stated, taken)) in ["time", "temperature"]
            .into_iter()
            .zip(stated.into_iter().zip([time, temperature]))
        {
            if let (None, Some(taken)) = (stated, taken) {
                told.push(format!("\"{}\" is taken as the {what}", shown(&taken.text)));
            }
        }
        note = Some(told.join(", "));
    }
    let list: Vec<String> = headers.iter().map(|h| shown(&h.text)).collect();
    let hint = format!(
        "headers are `time` and `temperature`; here they are: {}",
        list.join(" | ")
    );
    let mut need = |header: Option<&Header>, what: &str, d: D| {
        if header.is_none() {
            let message = format!("no column is the {what}");
            problems.add("no column", sheet.line, None, message, &hint);
        }
        at(header?, d, sheet.line, problems)
    };
    let time = need(time, "time", D::Time);
    let temperature = need(temperature, "temperature", D::Temperature);
    let (time, temperature) = (time?, temperature?);
    let mark = marks.first().map(|h| At {
        column: h.column,
        name: h.text.clone(),
        scale: Scale::Times(1.0),
        unit: None,
    });
    Some(Columns {
        time,
        temperature,
        mark,
        note,
    })
}

fn at(header: &Header, dimension: D, line: usize, problems: &mut Problems) -> Option<At> {
    let by = header
        .unit
        .as_deref()
        .map_or(Ok(Scale::Times(1.0)), |u| scale(u, dimension));
    match by {
        Ok(scale) => Some(At {
            column: header.column,
            name: header.text.clone(),
            scale,
            unit: header.unit.clone(),
        }),
        Err(why) => {
            problems.add(
                "header",
                line,
                Some(&header.text),
                why,
                "correct the unit in the header",
            );
            None
        }
    }
}
