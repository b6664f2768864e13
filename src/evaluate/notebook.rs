//! From a table of measured runs to the notebook that the lab evaluates.

use super::record::ReducedRecord;
use super::row::Writer;
use crate::lab::{LegSeen, LegTables, Reduction, RunSeen, Seen};
use crate::measured::{Counts, FileProblem, MeasuredRecord, RunRow, RunSheet};
use crate::scenario::{Charge, Leg, Scenario};

/// A measured run that counts.
#[derive(Debug, Clone)]
pub struct NotedRun {
    /// What the table calls it.
    pub label: String,
    /// Its leg: 0 for the calibration.
    pub leg: usize,
    /// What is remarked of it.
    pub remark: Option<String>,
    /// What the lab computes with.
    pub seen: RunSeen,
    /// As it stands in the table, for the arithmetic.
    pub row: RunRow,
    /// Its record, if it has one.
    pub record: Option<ReducedRecord>,
}

/// A run that is in the table and not in the result.
#[derive(Debug, Clone, PartialEq)]
pub struct LeftOut {
    /// What the table calls it.
    pub label: String,
    /// Its leg.
    pub leg: usize,
    /// Why.
    pub why: Counts,
    /// What is remarked of it.
    pub remark: Option<String>,
}

/// Measured runs, ready to be evaluated.
#[derive(Debug, Clone)]
pub struct Measured {
    /// What the lab evaluates.
    pub seen: Seen,
    /// How the records are reduced, leg by leg and run by run.
    pub reductions: Vec<Vec<Reduction>>,
    /// Runs that count, leg by leg.
    pub runs: Vec<NotedRun>,
    /// Runs that do not.
    pub left_out: Vec<LeftOut>,
    /// What stood in for what is missing, and whatever else was assumed.
    pub notes: Vec<String>,
}

impl Measured {
    /// Of a table and the records that it names, in the order of its rows.
    ///
    /// # Errors
    /// All that is missing or cannot be, each with its place.
    pub fn new(
        scenario: &Scenario,
        sheet: &RunSheet,
        records: &[Option<MeasuredRecord>],
    ) -> Result<Self, Vec<FileProblem>> {
        let legs = scenario.legs();
        let mut of_legs: Vec<Vec<NotedRun>> = vec![Vec::new(); legs.len()];
        let (mut problems, mut left_out, mut stood_in) = (Vec::new(), Vec::new(), Vec::new());
        for (row, record) in sheet.rows.iter().zip(records) {
            if row.counts != Counts::Yes {
                left_out.push(LeftOut {
                    label: row.label.clone(),
                    leg: row.leg,
                    why: row.counts,
                    remark: row.remark.clone(),
                });
                continue;
            }
            let mut writer = Writer {
                scenario,
                leg: legs[row.leg],
                row,
                file: &sheet.file,
                problems: &mut problems,
                stood_in: &mut stood_in,
            };
            if let Some((seen, record)) = writer.run(record.as_ref()) {
                of_legs[row.leg].push(NotedRun {
                    label: row.label.clone(),
                    leg: row.leg,
                    remark: row.remark.clone(),
                    seen,
                    row: row.clone(),
                    record,
                });
            }
        }
        for (leg, runs) in legs.iter().zip(&of_legs) {
            // A leg without runs stands for a calibration that nobody does.
            if runs.is_empty() && leg.runs > 0 && problems.is_empty() {
                problems.push(FileProblem {
                    file: sheet.file.clone(),
                    line: None,
                    column: None,
                    message: format!("no run of the {} counts", leg.title()),
                    hint: Some("the column `kind` says which run is what".to_owned()),
                });
            }
        }
        if !problems.is_empty() {
            return Err(problems);
        }
        let leg_seen = |at: usize| LegSeen {
            runs: of_legs[at].iter().map(|r| r.seen).collect(),
            tables: LegTables::of(scenario, legs[at]),
        };
        let reduction = |(leg, runs): (&&Leg, &Vec<NotedRun>)| {
            let usual = Reduction::of(leg);
            let each = runs.iter().map(|r| match &r.record {
                Some(record) => record.reduction.clone(),
                None => usual.clone(),
            });
            let all: Vec<Reduction> = each.collect();
            if all.is_empty() { vec![usual] } else { all }
        };
        let mut notes = sheet.notes.clone();
        notes.extend(folded(&stood_in));
        notes.extend(doubts(scenario, &of_legs));
        Ok(Self {
            seen: Seen {
                calibration: leg_seen(0),
                legs: (1..legs.len()).map(leg_seen).collect(),
            },
            reductions: legs.iter().zip(&of_legs).map(reduction).collect(),
            runs: of_legs.into_iter().flatten().collect(),
            left_out,
            notes,
        })
    }

    /// The same without some of its runs.
    pub(super) fn without(&self, dropped: impl Fn(&NotedRun) -> bool) -> Self {
        let mut own = self.clone();
        for (at, reductions) in own.reductions.iter_mut().enumerate() {
            let keeps: Vec<bool> = of_leg(&self.runs, at).map(|r| !dropped(r)).collect();
            let leg = own.seen.leg_mut(at);
            let mut keep = keeps.iter();
            leg.runs.retain(|_| *keep.next().unwrap_or(&true));
            if reductions.len() == keeps.len() && keeps.contains(&true) {
                let mut keep = keeps.iter();
                reductions.retain(|_| *keep.next().unwrap_or(&true));
            }
        }
        own.runs.retain(|r| !dropped(r));
        own
    }
}

/// Runs of one leg.
pub fn of_leg(runs: &[NotedRun], leg: usize) -> impl Iterator<Item = &NotedRun> {
    runs.iter().filter(move |r| r.leg == leg)
}

/// What stood in, said once for all runs in which it did.
fn folded(stood_in: &[(String, String)]) -> Vec<String> {
    let mut all: Vec<(&str, Vec<&str>)> = Vec::new();
    for (what, run) in stood_in {
        match all.iter_mut().find(|(own, _)| own == what) {
            Some((_, runs)) => runs.push(run),
            None => all.push((what, vec![run])),
        }
    }
    let said = |(what, runs): (&str, Vec<&str>)| {
        let runs = match runs.as_slice() {
            [one] => format!("run {one}"),
            [first, .., last] if runs.len() > 3 => {
                format!("runs {first} to {last}, {} in all", runs.len())
            }
            several => format!("runs {}", several.join(", ")),
        };
        format!("{what} ({runs})")
    };
    all.into_iter().map(said).collect()
}

/// Numbers that are far from what the procedure plans: a wrong unit or column is likelier than such a run.
fn doubts(scenario: &Scenario, of_legs: &[Vec<NotedRun>]) -> Vec<String> {
    let mut notes = Vec::new();
    for (leg, runs) in scenario.legs().into_iter().zip(of_legs) {
        let due = leg.nominal_change(&scenario.room).0;
        for run in runs {
            let mut doubt = |what: &str, seen: f64, planned: f64, unit: &str| {
                let ratio = seen / planned;
                if planned != 0.0 && !(1.0 / 3.0..=3.0).contains(&ratio) {
                    notes.push(format!(
                        "run {}: {what} of {seen:.4} {unit} where the procedure plans {planned:.4} {unit}; check its unit, sign and column",
                        run.label
                    ));
                }
            };
            doubt("a solid", run.seen.solid.0, leg.mass.0, "g");
            let liquid = leg.nominal_liquid(&scenario.room).0;
            doubt("a liquid", run.seen.liquid.0, liquid, "g");
            doubt("a change of temperature", run.seen.change.0, due, "K");
        }
    }
    notes
}

/// Whether a leg's charge is a weighed solid.
pub(super) fn weighs_solid(leg: &Leg) -> bool {
    leg.mass.0 > 0.0 && !matches!(leg.charge, Charge::Liquid { .. })
}
