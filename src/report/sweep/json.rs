//! A design study for programs.

use super::words::sweep_name;
use crate::design::{self, Beyond, Goal, NoSplit, Window};
use crate::quantity::Dimension;
use crate::report::json::{Headed, document};
use crate::scenario::Scenario;
use crate::stats::Estimate;
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

/// Name and version of the document's layout.
pub const SWEEP_SCHEMA: &str = "joulecast.sweep/1";

/// Sweeps, and the best split of runs.
#[derive(Serialize, JsonSchema)]
pub(in crate::report) struct Answer<'a> {
    trials_per_point: u64,
    sweeps: Vec<Sweep<'a>>,
    split: Option<Split<'a>>,
    /// Why there is nothing to split.
    no_split: Option<&'a NoSplit>,
}

/// A sweep with what it says.
#[derive(Serialize, JsonSchema)]
struct Sweep<'a> {
    name: String,
    vary: Vec<Varied<'a>>,
    window: Option<Ends>,
    reached_outside_window_at: Vec<f64>,
    only_some_values_can_be: bool,
    /// Values of the point of smallest RMS error among those within bounds.
    best: Option<&'a [f64]>,
    /// Values of the point that reaches the goal with the least effort.
    least: Option<&'a [f64]>,
    #[serde(flatten)]
    sweep: &'a design::Sweep,
}

/// A number that is varied, in base units.
#[derive(Serialize, JsonSchema)]
struct Varied<'a> {
    path: &'a str,
    unit: &'static str,
    now: f64,
    values: &'a [f64],
}

/// The stretch of values over which the goal is reached without a gap.
#[derive(Serialize, JsonSchema)]
struct Ends {
    low: End,
    high: End,
}

#[derive(Serialize, JsonSchema)]
struct End {
    /// A value at which the goal was seen to be reached.
    value: f64,
    se: f64,
    /// How far beyond it the goal was seen to be missed; 0 where nothing was looked at.
    fineness: f64,
    /// What is beyond it: `not looked at`, `target missed` or a bound.
    beyond: &'static str,
}

/// All ways to split the runs.
#[derive(Serialize, JsonSchema)]
struct Split<'a> {
    #[serde(flatten)]
    split: &'a design::Split,
    best: SplitPoint<'a>,
    goal: Option<Goal>,
    /// What the best split holds against the goal.
    best_measure: Option<Estimate>,
    /// As many calibrations as determinations.
    equal: Option<SplitPoint<'a>>,
    points: Vec<SplitPoint<'a>>,
}

#[derive(Serialize, JsonSchema)]
struct SplitPoint<'a> {
    calibrations: u32,
    determinations: u32,
    #[serde(flatten)]
    point: &'a design::SplitPoint,
}

impl<'a> From<&'a design::Sweep> for Sweep<'a> {
    fn from(sweep: &'a design::Sweep) -> Self {
        let at = |i: usize| &*sweep.points[i].at;
        Self {
            name: sweep_name(sweep),
            vary: sweep
                .vary
                .iter()
                .map(|v| Varied {
                    path: &v.parameter.path,
                    unit: v.parameter.dimension().map_or("1", Dimension::base_unit),
                    now: v.parameter.now,
                    values: &v.values,
                })
                .collect(),
            window: sweep.window.as_ref().map(Ends::from),
            reached_outside_window_at: sweep.further().into_iter().map(|i| at(i)[0]).collect(),
            only_some_values_can_be: sweep.is_scattered(),
            best: sweep.best().map(at),
            least: sweep.least().map(at),
            sweep,
        }
    }
}

impl From<&Window> for Ends {
    fn from(w: &Window) -> Self {
        let [low, high] = [0, 1].map(|i| End {
            value: w.ends[i],
            se: w.se[i],
            fineness: w.fineness[i],
            beyond: match w.beyond[i] {
                Beyond::NotLookedAt => "not looked at",
                Beyond::Missed => "target missed",
                Beyond::Bound(bound) => bound.label(),
            },
        });
        Self { low, high }
    }
}

impl<'a> From<&'a design::SplitPoint> for SplitPoint<'a> {
    fn from(point: &'a design::SplitPoint) -> Self {
        let [calibrations, determinations] = point.runs;
        Self {
            calibrations,
            determinations,
            point,
        }
    }
}

impl<'a> From<&'a design::Split> for Split<'a> {
    fn from(split: &'a design::Split) -> Self {
        let (goal, best_measure) = split.held.unzip();
        Self {
            split,
            best: (&split.points[split.best]).into(),
            goal,
            best_measure,
            equal: split.equal.as_ref().map(SplitPoint::from),
            points: split.points.iter().map(SplitPoint::from).collect(),
        }
    }
}

/// The whole study.
pub fn sweep_json(
    scenario: &Scenario,
    seed: u64,
    trials: u64,
    sweeps: &[design::Sweep],
    split: Option<&Result<design::Split, NoSplit>>,
) -> Value {
    let answer = Answer {
        trials_per_point: trials,
        sweeps: sweeps.iter().map(Sweep::from).collect(),
        split: split.and_then(|s| s.as_ref().ok()).map(Split::from),
        no_split: split.and_then(|s| s.as_ref().err()),
    };
    document(SWEEP_SCHEMA, Headed::of(scenario, seed, answer))
}
