//! The results of a class: does the method explain them?

use super::bands::Grade;
use super::conformity::conforms;
use super::expected::Seen;
use crate::engine::EngineError;
use crate::measured::ClassSheet;
use crate::quantity::texts;
use crate::slip::{Cause, Judgement, Observed, SlipOptions, explain};

texts! {
    /// What explains the results of a class.
    Verdict::words:
    /// Competent groups make such a class.
    Method = "the method explains it",
    /// The groups differ by more than the method explains.
    Scatter = "the groups differ by more than the method explains",
    /// The class is off as one by more than the method explains.
    Mean = "the class is off as one by more than the method explains",
    /// Both.
    Both = "the class is off as one, and its groups differ, by more than the method explains",
}

/// Probability below which the method is not taken to explain a class.
pub const LEVEL: f64 = 0.05;

/// Causes that are kept of a group.
const CAUSES: usize = 3;

/// Points by distance from the accepted value: half-width as a fraction, and points inside it.
#[derive(Debug, Clone, PartialEq)]
pub struct Points(pub Vec<(f64, f64)>);

impl Points {
    /// Those of a difference: of the narrowest band that it lies in.
    pub fn of(&self, difference: f64) -> f64 {
        let inside = self.0.iter().filter(|(band, _)| difference.abs() <= *band);
        let narrowest = inside.min_by(|a, b| a.0.total_cmp(&b.0));
        narrowest.map_or(0.0, |(_, points)| *points)
    }
}

/// A group of the class.
#[derive(Debug, Clone)]
pub struct JudgedGroup {
    /// Its name.
    pub name: String,
    /// What it reports, J/mol.
    pub value: f64,
    /// Less the accepted value, as a fraction of it.
    pub difference: f64,
    /// Its standard uncertainty, likewise, if it states one.
    pub u: Option<f64>,
    /// Whether its result lies in the band.
    pub inside: bool,
    /// Probability that what it measured lies in the band, by its own uncertainty (JCGM 106).
    pub conforms: Option<f64>,
    /// Whether it lies farther from the centre than the farthest group of 95 % of competent classes.
    pub outlying: bool,
    /// What would fit its distance from the centre, if it is outlying and outside the band.
    pub causes: Vec<Cause>,
    /// Points, if a table of them was given.
    pub points: Option<f64>,
    /// Its remark.
    pub remark: Option<String>,
}

/// A class.
#[derive(Debug, Clone)]
pub struct ClassJudged {
    /// What its file is called.
    pub file: String,
    /// The groups, in the order of the file.
    pub groups: Vec<JudgedGroup>,
    /// Groups without a value.
    pub without: Vec<String>,
    /// What was assumed about the file.
    pub notes: Vec<String>,
    /// Mean, scatter.
    pub seen: Seen,
    /// Probability of a mean as far out, if the method explains it.
    pub p_mean: f64,
    /// Probability of a scatter as large, likewise.
    pub p_scatter: f64,
    /// Of the less probable of both, as one test.
    pub p: f64,
    /// What explains it.
    pub verdict: Verdict,
    /// Single mistakes that would explain a class that is off as one.
    pub causes: Vec<Cause>,
}

/// A probability below this is none that anybody could see.
fn seen_at_all(p: f64) -> f64 {
    if p < 1e-6 { 0.0 } else { p }
}

/// Compares a class with what the method explains.
///
/// # Errors
/// If interrupted.
pub fn judge(
    grade: &Grade,
    class: ClassSheet,
    points: Option<&Points>,
    options: &SlipOptions,
) -> Result<ClassJudged, EngineError> {
    let accepted = grade.slips.scenario.tabulated().0;
    let mut notes = class.notes;
    // Many write the magnitude alone.
    let against = class
        .groups
        .iter()
        .filter(|g| g.value * accepted < 0.0)
        .count();
    let sign = if against == class.groups.len() {
        notes.push(
            "all values have the other sign than the accepted one: taken as magnitudes".to_owned(),
        );
        -1.0
    } else {
        1.0
    };
    let differences: Vec<f64> = class
        .groups
        .iter()
        .map(|g| sign * g.value / accepted - 1.0)
        .collect();
    let expected = &grade.expected;
    let seen = expected.seen(&differences);
    let (p_mean, p_scatter) = (expected.p_mean(seen.core), expected.p_scatter(seen.sd));
    let p = expected.p_either(&seen);
    // Each at the level that both together have.
    let own = 1.0 - (1.0 - LEVEL).sqrt();
    let verdict = match (p_mean < own, p_scatter < own) {
        (false, false) => Verdict::Method,
        (false, true) => Verdict::Scatter,
        (true, false) => Verdict::Mean,
        (true, true) => Verdict::Both,
    };
    let likely = |observed: Observed| -> Result<Vec<Cause>, EngineError> {
        let all = explain(&grade.slips, observed, options)?.causes;
        let likely = all
            .into_iter()
            .filter(|c| c.judgement <= Judgement::Borderline);
        Ok(likely.take(CAUSES).collect())
    };
    let causes = match verdict {
        Verdict::Mean | Verdict::Both => likely(Observed {
            difference: seen.core,
            u: expected.mean_spread,
        })?,
        Verdict::Method | Verdict::Scatter => Vec::new(),
    };
    let band = grade.band();
    let mut groups = Vec::new();
    for (g, d) in class.groups.into_iter().zip(differences) {
        let u = g.u.map(|u| (u / accepted).abs());
        let outlying = expected.groups > 2 && (d - seen.centre).abs() > expected.outlying;
        // Nobody needs a cause for a result that lies in the band.
        let causes = match outlying && d.abs() > band {
            true => likely(Observed {
                difference: d - seen.centre,
                u: expected.own_spread,
            })?,
            false => Vec::new(),
        };
        groups.push(JudgedGroup {
            name: g.name,
            value: g.value,
            difference: d,
            u,
            inside: d.abs() <= band,
            conforms: u.map(|u| conforms(d, u, [-band, band])).map(seen_at_all),
            outlying,
            causes,
            points: points.map(|p| p.of(d)),
            remark: g.remark,
        });
    }
    Ok(ClassJudged {
        file: class.file,
        groups,
        without: class.without,
        notes,
        seen,
        p_mean,
        p_scatter,
        p,
        verdict,
        causes,
    })
}
