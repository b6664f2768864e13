//! A design study for programs.

use super::words::sweep_name;
use crate::design::{
    Beyond, Goal, Limit, NoSplit, OutOfBounds, Split, SplitPoint, Sweep, SweepPoint, VarianceFit,
    Vary, Window,
};
use crate::quantity::Dimension;
use crate::report::json::{Headed, document, part};
use crate::scenario::Scenario;
use crate::stats::Estimate;
use serde_json::Value;

/// Name and version of the document's layout.
pub const SWEEP_SCHEMA: &str = "joulecast.sweep/1";

/// What was asked of the split of runs, and found.
type Asked<'a> = Option<&'a Result<Split, NoSplit>>;

part! {
    /// Sweeps, and the best split of runs.
    Answer<'a>(trials: u64, sweeps: &'a [Sweep], split: Asked<'a>):
    trials_per_point: u64 = trials,
    sweeps: Vec<Swept<'a>> = sweeps.iter().map(Swept::of).collect(),
    split: Option<Ways<'a>> = split.and_then(|s| s.as_ref().ok()).map(Ways::of),
    /// Why there is nothing to split.
    no_split: Option<&'a NoSplit> = split.and_then(|s| s.as_ref().err()),
}

part! {
    /// A sweep with what it says.
    Swept<'a>(s: &'a Sweep):
    name: String = sweep_name(s),
    vary: Vec<Varied<'a>> = s.vary.iter().map(Varied::of).collect(),
    largest_change_of_temperature_K: f64 = s.cap,
    goal: Option<Aim> = s.goal.map(Aim::of),
    window: Option<Ends> = s.window.as_ref().map(Ends::of),
    reached_outside_window_at: Vec<f64> = s.further().iter().map(|i| s.points[*i].at[0]).collect(),
    only_some_values_can_be: bool = s.is_scattered(),
    /// Values of the point of smallest RMS error among those within bounds.
    best: Option<&'a [f64]> = s.best().map(|i| &*s.points[i].at),
    /// Values of the point that reaches the goal with the least effort.
    least: Option<&'a [f64]> = s.least().map(|i| &*s.points[i].at),
    /// Variance against numbers of runs, where only those are varied.
    fit: Option<Fit<'a>> = s.fit.as_ref().map(Fit::of),
    /// Bounds that the scenario is beyond wherever it is varied.
    throughout: &'a [OutOfBounds] = &s.throughout,
    points: &'a [SweepPoint] = &s.points,
}

part! {
    /// A number that is varied, in base units.
    Varied<'a>(v: &'a Vary):
    path: &'a str = &v.parameter.path,
    unit: &'static str = v.parameter.dimension().map_or("1", Dimension::base_unit),
    now: f64 = v.parameter.now,
    values: &'a [f64] = &v.values,
}

part! {
    /// What is to be reached.
    Aim(goal: Goal):
    /// What is compared with the target.
    measure: &'static str = goal.name(),
    target: f64 = goal.target(),
}

part! {
    /// The stretch of values over which the goal is reached without a gap.
    Ends(w: &Window):
    low: End = End::of(w, 0),
    high: End = End::of(w, 1),
}

part! {
    End(w: &Window, i: usize):
    /// A value at which the goal was seen to be reached.
    value: f64 = w.ends[i],
    se: f64 = w.se[i],
    /// How far beyond it the goal was seen to be missed; 0 where nothing was looked at.
    fineness: f64 = w.fineness[i],
    /// What is beyond it: `not looked at`, `target missed` or a bound.
    beyond: &'static str = match w.beyond[i] {
        Beyond::NotLookedAt => "not looked at",
        Beyond::Missed => "target missed",
        Beyond::Bound(bound) => bound.label(),
    },
}

part! {
    /// A fitted variance.
    Fit<'a>(f: &'a VarianceFit):
    form: &'static str = "V = floor^2 + sum of part / runs, (J/mol)^2",
    floor_J_per_mol: Estimate = f.floor,
    parts_J2_per_mol2: &'a [f64] = &f.parts,
    /// Relative.
    largest_misfit_of_spread: f64 = f.misfit,
}

part! {
    /// All ways to split the runs.
    Ways<'a>(s: &'a Split):
    limit: Limit = s.limit,
    /// Legs of a cycle that are no calibration; else one.
    legs_with_each_number_of_determinations: u32 = s.legs,
    /// How many ways there are.
    ways: usize = s.ways,
    best: Way = Way::of(&s.points[s.best]),
    goal: Option<Aim> = s.held.map(|(goal, _)| Aim::of(goal)),
    /// What the best split holds against the goal.
    best_measure: Option<Estimate> = s.held.map(|(_, there)| there),
    /// As many calibrations as determinations.
    equal: Option<Way> = s.equal.as_ref().map(Way::of),
    /// Calibrations and determinations that the fitted variance would like best.
    ideal: Option<[f64; 2]> = s.ideal,
    fit: Option<Fit<'a>> = s.fit.as_ref().map(Fit::of),
    points: Vec<Way> = s.points.iter().map(Way::of).collect(),
}

part! {
    Way(p: &SplitPoint):
    calibrations: u32 = p.runs[0],
    determinations: u32 = p.runs[1],
    spread_J_per_mol: Estimate = p.spread,
    more_than_best_J_per_mol: Estimate = p.more,
}

/// The whole study.
pub fn sweep_json(
    scenario: &Scenario,
    seed: u64,
    trials: u64,
    sweeps: &[Sweep],
    split: Asked<'_>,
) -> Value {
    document(
        SWEEP_SCHEMA,
        Headed::of(scenario, seed, Answer::of(trials, sweeps, split)),
    )
}
