//! One run, as a row of its file says it.

use super::cell::is_missing;
use super::clock::clock;
use super::kind::Kinds;
use super::problem::{Problems, shown};
use super::runs::Matched;
use super::sheet::Row;
use super::value::value;
use crate::quantity::decimal;
use crate::scenario::{Holds, RUN_COLUMNS, RunColumn as C};

/// Whether a run counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Counts {
    /// It does.
    Yes,
    /// It was repeated, and another run counts in its place.
    Repeated,
    /// It was rejected.
    Rejected,
}

/// One run.
#[derive(Debug, Clone)]
pub struct RunRow {
    /// Its line in the file, from 1.
    pub line: usize,
    /// What it is called; its number in the file if it has no name.
    pub label: String,
    /// 0 for a calibration, then the determinations in the order of [`crate::scenario::Scenario::legs`].
    pub leg: usize,
    /// Whether it counts.
    pub counts: Counts,
    /// A remark.
    pub remark: Option<String>,
    /// Name of the file with its record.
    pub record: Option<String>,
    values: [Option<f64>; RUN_COLUMNS.len()],
}

/// Masses that are written as a difference, as one number, or both.
const MASSES: [[C; 3]; 3] = [
    [C::SolidGross, C::SolidTare, C::Solid],
    [C::LiquidGross, C::LiquidTare, C::Liquid],
    [C::ReagentGross, C::ReagentTare, C::Reagent],
];

/// Last digits by which a difference may miss the number beside it.
const DIGITS: f64 = 1.5;

impl RunRow {
    /// A number of the run in base units: g, mL, °C, K, V, A, s. The mass of a solid, a liquid or a reagent is that of its
    /// own column, or gross less tare; a moment of mixing on a clock is counted from midnight.
    pub fn value(&self, column: C) -> Option<f64> {
        self.values[column as usize]
    }
}

/// What rows are read with.
pub(super) struct Reading<'r> {
    pub matched: &'r [Matched],
    pub kinds: &'r Kinds,
    pub decimal: char,
}

impl Reading<'_> {
    fn header(&self, id: C) -> Option<&str> {
        let found = self.matched.iter().find(|m| m.id == id);
        found.map(|m| m.header.as_str())
    }

    /// Reads the row of this number, from 0.
    pub(super) fn row(&self, number: usize, row: &Row, problems: &mut Problems) -> RunRow {
        let mut run = RunRow {
            line: row.line,
            label: (number + 1).to_string(),
            leg: self.kinds.only().unwrap_or(0),
            counts: Counts::Yes,
            remark: None,
            record: None,
            values: [None; RUN_COLUMNS.len()],
        };
        let mut steps = [0.0; RUN_COLUMNS.len()];
        for at in self.matched {
            let cell = row.cell(at.column);
            let text = || (!is_missing(cell)).then(|| cell.to_owned());
            let wrong = |problems: &mut Problems, kind, message: String, hint: &str| {
                problems.add(kind, row.line, Some(&at.header), message, hint);
            };
            match at.id.entry().holds {
                Holds::Text if at.id == C::Run => run.label = text().unwrap_or(run.label),
                Holds::Text => run.remark = text(),
                Holds::File => run.record = text(),
                Holds::Kind if is_missing(cell) && self.kinds.only().is_some() => {}
                Holds::Kind if is_missing(cell) => {
                    let hint = format!("write {}", self.kinds.choices());
                    wrong(problems, "no kind", "no kind of run".to_owned(), &hint);
                }
                Holds::Kind => match self.kinds.find(cell) {
                    Ok(leg) => run.leg = leg,
                    Err((message, hint)) => wrong(problems, "kind", message, &hint),
                },
                Holds::Counts => match counts(cell) {
                    Some(counts) => run.counts = counts,
                    None => {
                        let message =
                            format!("`{}` does not say whether the run counts", shown(cell));
                        wrong(
                            problems,
                            "counts",
                            message,
                            "write `yes` or nothing, `repeated`, or `rejected`",
                        );
                    }
                },
                Holds::Number(..) if is_missing(cell) => {}
                Holds::Number(dimension, low, high) => {
                    let read = match clock(cell, self.decimal).filter(|_| at.id == C::MixedAt) {
                        Some(time) if time.day.is_some() => {
                            let message = format!("`{}` has a date", shown(cell));
                            let hint = "write the time alone; it counts from midnight of the record's first day";
                            wrong(problems, "date", message, hint);
                            continue;
                        }
                        Some(time) => Ok((time.seconds, 1.0)),
                        None => value(cell, self.decimal, at.scale, (dimension, low, high)),
                    };
                    match read {
                        Ok((value, step)) => {
                            run.values[at.id as usize] = Some(value);
                            steps[at.id as usize] = step;
                        }
                        Err(refused) => refused.report(row.line, &at.header, problems),
                    }
                }
            }
        }
        self.masses(&mut run, &steps, problems);
        run
    }

    /// Takes the masses that are written as differences, and compares them with what is written beside them.
    fn masses(&self, run: &mut RunRow, steps: &[f64], problems: &mut Problems) {
        for triple in MASSES {
            let [gross, tare, net] = triple.map(|c| run.values[c as usize]);
            let [of_gross, of_tare, of_net] = triple.map(|c| self.header(c));
            let Some(gross) = gross else { continue };
            let Some(tare) = tare else {
                if net.is_none() {
                    let [.., key] = triple.map(|c| c.entry().key);
                    let hint = format!("add it; if the balance was tared, the column is `{key}`");
                    problems.add(
                        "tare",
                        run.line,
                        of_gross,
                        "gross mass without a tare",
                        &hint,
                    );
                }
                continue;
            };
            if tare > gross {
                let message = format!("the tare, {tare} g, is above the gross mass, {gross} g");
                problems.add(
                    "above",
                    run.line,
                    of_tare,
                    message,
                    "check whether the columns are exchanged",
                );
                continue;
            }
            let difference = decimal(gross - tare);
            let coarsest = triple
                .iter()
                .map(|c| steps[*c as usize])
                .fold(0.0, f64::max);
            match net {
                Some(net) if (net - difference).abs() > DIGITS * coarsest * (1.0 + 1e-6) => {
                    let message = format!("{net} g, but gross less tare is {difference} g");
                    problems.add(
                        "contradiction",
                        run.line,
                        of_net,
                        message,
                        "correct one of them, or leave one empty",
                    );
                }
                Some(_) => {}
                None => run.values[triple[2] as usize] = Some(difference),
            }
        }
    }
}

/// What a cell says about counting.
fn counts(cell: &str) -> Option<Counts> {
    if is_missing(cell) {
        return Some(Counts::Yes);
    }
    match cell.to_lowercase().as_str() {
        "yes" | "1" | "counts" => Some(Counts::Yes),
        "repeated" => Some(Counts::Repeated),
        "rejected" | "no" | "0" | "x" => Some(Counts::Rejected),
        _ => None,
    }
}
