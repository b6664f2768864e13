//! Records: temperatures against time.

use super::cell::is_missing;
use super::clock::{Count, clock};
use super::header::plain;
use super::mark::decimal;
use super::problem::{FileProblem, Problems, shown};
use super::record_columns::{At, Columns, MARKS, first_two, is_reading, named};
use super::sheet::{Row, Table, form};
use super::value::{Range, value};
use super::{MOST_RECORD_BYTES, MOST_ROWS};
use crate::scenario::{Holds, RunColumn};

/// A temperature-time record.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredRecord {
    /// What the file is called.
    pub file: String,
    /// Times of the readings in s, rising, from the zero of the file; those of a clock from midnight.
    pub times: Vec<f64>,
    /// Readings, °C.
    pub temperatures: Vec<f64>,
    /// Line of each reading in the file, from 1.
    pub lines: Vec<usize>,
    /// Moment of mixing on the same clock, if the file marks it.
    pub mixed_at: Option<f64>,
    /// What was assumed, and what is unusual.
    pub notes: Vec<String>,
}

/// Reads a record: two columns or more, time and temperature.
///
/// # Errors
/// All problems of the file.
pub fn read_record(file: &str, bytes: &[u8]) -> Result<MeasuredRecord, Vec<FileProblem>> {
    let mut problems = Problems::new(file);
    let table = Table::read(bytes, (MOST_RECORD_BYTES, MOST_ROWS), &mut problems);
    let Some(mut table) = table else {
        return Err(problems.all());
    };
    let mut notes = std::mem::take(&mut table.notes);
    let separator = table.separator;
    let (rows, columns) = if is_reading(&table.rows[0]) {
        let columns = first_two(&table.rows, separator, &mut problems);
        (table.rows, Some(columns))
    } else {
        let sheet = table.headed(file, &mut problems);
        let columns = named(&sheet, &mut problems);
        (sheet.rows, columns)
    };
    let Some(columns) = columns else {
        return Err(problems.all());
    };
    let at = [columns.time.column, columns.temperature.column];
    let mut names = vec![""; at[0].max(at[1]) + 1];
    names[at[0]] = &columns.time.name;
    names[at[1]] = &columns.temperature.name;
    let mark = decimal(&rows, separator, &at, &names, &mut problems);
    if problems.has(&["mark", "thousands", "commas", "two", "wide"]) {
        return Err(problems.all());
    }
    notes.push(form(separator, mark));
    let mut reading = Reading::new(&columns, mark.unwrap_or('.'));
    for row in &rows {
        reading.row(row, &mut problems);
    }
    if reading.times.len() < 2 && problems.is_empty() {
        let message = match reading.times.len() {
            0 => "no reading at all",
            _ => "one reading, and a record needs two at least",
        };
        problems.add("few", None, None, message, "");
    }
    if !problems.is_empty() {
        return Err(problems.all());
    }
    notes.extend(reading.notes());
    Ok(MeasuredRecord {
        file: file.to_owned(),
        times: reading.times,
        temperatures: reading.temperatures,
        lines: reading.lines,
        mixed_at: reading.mixed.map(|(t, _)| t),
        notes,
    })
}

/// A record while it is read.
pub(super) struct Reading<'r> {
    pub columns: &'r Columns,
    mark: char,
    pub times: Vec<f64>,
    pub temperatures: Vec<f64>,
    pub lines: Vec<usize>,
    pub mixed: Option<(f64, usize)>,
    /// Time of the last row that has one.
    last: Option<f64>,
    /// Whether times are those of a clock.
    pub clock: Option<bool>,
    /// Counts those.
    pub count: Count,
    /// Lines without a temperature.
    pub empty: Vec<usize>,
    /// Lines that say the same as the line before.
    pub same: Vec<usize>,
}

impl<'r> Reading<'r> {
    fn new(columns: &'r Columns, mark: char) -> Self {
        Self {
            columns,
            mark,
            times: Vec::new(),
            temperatures: Vec::new(),
            lines: Vec::new(),
            mixed: None,
            last: None,
            clock: None,
            count: Count::default(),
            empty: Vec::new(),
            same: Vec::new(),
        }
    }

    fn row(&mut self, row: &Row, problems: &mut Problems) {
        let Columns {
            time,
            temperature,
            mark,
            ..
        } = self.columns;
        let reading = row.cell(temperature.column);
        let word = MARKS.contains(&plain(reading).as_str());
        let marked = word || mark.as_ref().is_some_and(|m| is_marked(row.cell(m.column)));
        let cell = row.cell(time.column);
        if is_missing(cell) {
            if marked || !is_missing(reading) {
                problems.add(
                    "no time",
                    row.line,
                    Some(&time.name),
                    "no time",
                    "add it, or leave the row out",
                );
            }
            return;
        }
        let Some(t) = self.time(cell, row.line, problems) else {
            return;
        };
        if marked {
            match self.mixed {
                Some((_, first)) => {
                    let message = format!("mixing is marked again, after line {first}");
                    let name = mark.as_ref().unwrap_or(temperature);
                    problems.add(
                        "marked",
                        row.line,
                        Some(&name.name),
                        message,
                        "mark one moment only",
                    );
                }
                None => self.mixed = Some((t, row.line)),
            }
        }
        let last = self.last.replace(t);
        if let Some(last) = last.filter(|last| t < *last) {
            let message = format!(
                "`{}` is {} s before the time above it",
                shown(cell),
                last - t
            );
            problems.add(
                "back",
                row.line,
                Some(&time.name),
                message,
                "the rows must be in the order of time",
            );
            return;
        }
        if word {
            return;
        }
        if is_missing(reading) {
            // A row that only marks the moment lacks nothing.
            if !marked {
                self.empty.push(row.line);
            }
            return;
        }
        let Holds::Number(d, low, high) = RunColumn::Initial.entry().holds else {
            return;
        };
        let read = value(reading, self.mark, temperature.scale, (d, low, high));
        let x = match read {
            Ok((x, _)) => x,
            Err(refused) => return refused.report(row.line, &temperature.name, problems),
        };
        if self.times.last() == Some(&t) {
            if self.temperatures.last() == Some(&x) {
                self.same.push(row.line);
            } else {
                let message = format!(
                    "`{}` stands there twice, with different readings",
                    shown(cell)
                );
                problems.add(
                    "twice",
                    row.line,
                    Some(&time.name),
                    message,
                    "leave one of the rows out",
                );
            }
            return;
        }
        self.times.push(t);
        self.temperatures.push(x);
        self.lines.push(row.line);
    }

    /// A time in s.
    fn time(&mut self, cell: &str, line: usize, problems: &mut Problems) -> Option<f64> {
        let At { name, scale, .. } = &self.columns.time;
        let mut wrong = |kind, message: String, hint: &str| {
            problems.add(kind, line, Some(name), message, hint);
            None
        };
        let is_clock = cell.contains(':');
        if *self.clock.get_or_insert(is_clock) != is_clock {
            let message = format!(
                "`{}` is another kind of time than those above it",
                shown(cell)
            );
            let hint = "write all times as numbers, or all as hh:mm:ss";
            return wrong("kind of time", message, hint);
        }
        if !is_clock {
            let Holds::Number(d, low, high) = RunColumn::MixedAt.entry().holds else {
                return None;
            };
            let range: Range = (d, low, high);
            return match value(cell, self.mark, *scale, range) {
                Ok((t, _)) => Some(t),
                Err(refused) => {
                    refused.report(line, name, problems);
                    None
                }
            };
        }
        let Some(time) = clock(cell, self.mark) else {
            let message = format!("`{}` is no time of a clock", shown(cell));
            let hint =
                "write hh:mm:ss, for example 10:42:07.5, with a date as 2026-03-05 10:42:07.5";
            return wrong("clock", message, hint);
        };
        match self.count.seconds(time, self.last) {
            Ok(t) => Some(t),
            Err([why, hint]) => wrong("date", format!("`{}`: {why}", shown(cell)), hint),
        }
    }
}

/// Whether a cell of the column of marks marks its row.
fn is_marked(cell: &str) -> bool {
    !is_missing(cell) && !["0", "no", "false"].contains(&cell.to_lowercase().as_str())
}
