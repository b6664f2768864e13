//! What one change of the procedure would do to the uncertainty of these runs, by the linear budget.
//!
//! More solid in a leg: its masses and changes of temperature in proportion. Readings twice as often: half the variance
//! that noise and last digit have in lines. A thermometer twice as fine: a quarter of it. One more run: the last one again,
//! with errors of its own.

use super::notebook::{Measured, weighs_solid};
use crate::lab::{Claims, Evaluation, LegSeen, LinearBudget, Seen};
use crate::quantity::{Gram, Kelvin};
use crate::scenario::{ReductionMethod, Scenario, SourceId};

/// A change and the uncertainty that it would leave.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// In words.
    pub words: String,
    /// Standard uncertainty then, over that of now; relative to the result in both.
    pub ratio: f64,
}

/// All changes that make sense, the one that brings most first; `claimed` evaluates a notebook like the measured one.
pub(super) fn changes(
    scenario: &Scenario,
    measured: &Measured,
    now: &LinearBudget,
    claimed: impl Fn(&Seen) -> (Evaluation, Claims),
) -> Vec<Change> {
    let mut all = Vec::new();
    let read = [SourceId::Noise, SourceId::Resolution];
    let of_reading: f64 = now
        .lines
        .iter()
        .filter(|l| l.source.is_some_and(|s| read.contains(&s)))
        .map(|l| l.variance)
        .sum();
    let left = |share: f64| ((now.u * now.u - (1.0 - share) * of_reading).max(0.0)).sqrt() / now.u;
    let mut add = |words: String, ratio: f64| all.push(Change { words, ratio });
    if of_reading > 0.0 {
        add("half the noise and last digit".to_owned(), left(0.25));
        let lines = |l: &&crate::scenario::Leg| {
            !matches!(
                l.way,
                ReductionMethod::TwoReadings | ReductionMethod::Extreme
            )
        };
        if scenario.legs().iter().all(lines) {
            add("readings twice as often".to_owned(), left(0.5));
        }
    }
    let relative = |seen: &Seen| {
        let (value, claims) = claimed(seen);
        claims.budget.u / value.enthalpy.abs()
    };
    let before = now.u / now.value.abs();
    for (at, leg) in scenario.legs().into_iter().enumerate() {
        if measured.seen.leg(at).runs.is_empty() {
            continue;
        }
        let changed = |change: &dyn Fn(&mut LegSeen)| {
            let mut seen = measured.seen.clone();
            change(seen.leg_mut(at));
            relative(&seen) / before
        };
        if weighs_solid(leg) {
            let ratio = changed(&|seen| {
                for run in &mut seen.runs {
                    run.solid = run.solid + Gram(run.solid.0);
                    run.change = run.change + Kelvin(run.change.0);
                }
            });
            let substance = &leg.reaction.substance;
            add(
                format!("twice the {substance} in each run of the {}", leg.title()),
                ratio,
            );
        }
        let ratio = changed(&|seen| {
            if let Some(last) = seen.runs.last().copied() {
                seen.runs.push(last);
            }
        });
        add(format!("one more run of the {}", leg.title()), ratio);
    }
    all.sort_by(|a, b| a.ratio.total_cmp(&b.ratio));
    all
}
