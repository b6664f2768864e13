//! One or two numbers of a scenario against what it delivers.

use super::along::along;
use super::bounds::{Bound, OutOfBounds, refused, runs_away, same, zones};
use super::fit::{VarianceFit, fit};
use super::goal::Goal;
use super::outcome::{DesignOptions, Errors, Outcome};
use super::parameter::changes;
use super::vary::Vary;
use super::window::{Window, window};
use crate::engine::{EngineError, Model, Table};
use crate::experiment::Experiment;
use crate::scenario::Scenario;

/// Most points of a sweep.
pub const MOST_POINTS: usize = 2_500;

/// One point.
#[derive(Debug, Clone, serde::Serialize, schemars::JsonSchema)]
pub struct SweepPoint {
    /// Values of the varied numbers, in base units.
    pub at: Vec<f64>,
    /// Bounds that it lies beyond; none if it may be proposed.
    #[serde(rename = "out_of_bounds")]
    pub zones: Vec<OutOfBounds>,
    /// What it delivers; `None` where no experiment is possible.
    pub outcome: Option<Outcome>,
}

impl SweepPoint {
    /// Does not count bounds that hold everywhere.
    fn leave_out(&mut self, throughout: &[OutOfBounds]) {
        self.zones
            .retain(|z| !throughout.iter().any(|a| same(a, z)));
    }

    /// RMS error, relative; infinite where there is none.
    pub(super) fn rms(&self) -> f64 {
        let o = self.outcome.as_ref();
        o.map_or(f64::INFINITY, |o| o.relative(o.errors.rms).value)
    }

    /// Time that it takes, s, if the scenario says what runs take.
    pub fn time(&self) -> Option<f64> {
        self.outcome.as_ref()?.cost.time
    }

    /// Whether a study may propose it and it reaches a goal.
    pub fn reaches(&self, goal: Goal) -> bool {
        self.zones.is_empty()
            && self
                .outcome
                .as_ref()
                .is_some_and(|o| goal.met(goal.measure(o).value))
    }
}

/// A sweep.
#[derive(Debug, Clone)]
pub struct Sweep {
    /// The scenario as it is.
    pub scenario: Scenario,
    /// Seed.
    pub seed: u64,
    /// Trials of each point.
    pub trials: u64,
    /// What is varied: one number, or two.
    pub vary: Vec<Vary>,
    /// Points; of two numbers, the first varies fastest.
    pub points: Vec<SweepPoint>,
    /// Bounds that the scenario is beyond wherever it is varied: no reason to leave any point out.
    pub throughout: Vec<OutOfBounds>,
    /// Cap of the change of temperature, K.
    pub cap: f64,
    /// What is to be reached, if anything is.
    pub goal: Option<Goal>,
    /// The stretch of values about the best point over which the goal is reached without a gap. `None` without a goal, for
    /// two numbers, for numbers of runs, for values of which only some can be, or where nothing reaches it.
    pub window: Option<Window>,
    /// Variance against numbers of runs, where only those are varied.
    pub fit: Option<VarianceFit>,
}

/// Values of the points of two numbers, the first fastest.
pub fn grid(vary: &[Vary]) -> Vec<Vec<f64>> {
    match vary {
        [x, y] => y
            .values
            .iter()
            .flat_map(|b| x.values.iter().map(|a| vec![*a, *b]))
            .collect(),
        _ => vary
            .iter()
            .flat_map(|v| v.values.iter().map(|a| vec![*a]))
            .collect(),
    }
}

/// The scenario of a point.
struct At {
    scenario: Scenario,
    model: Experiment,
}

impl Model for At {
    fn columns(&self) -> Vec<String> {
        self.model.columns()
    }

    fn block(&self, draws: &crate::random::Draws) -> crate::engine::Output {
        self.model.block(draws)
    }
}

/// Sweeps one number of a scenario, or two against each other.
///
/// # Errors
/// If interrupted.
pub fn sweep(
    scenario: &Scenario,
    vary: Vec<Vary>,
    goal: Option<Goal>,
    cap: f64,
    options: &DesignOptions,
) -> Result<Sweep, EngineError> {
    let points = grid(&vary);
    let model = |at: &Vec<f64>| -> Result<At, OutOfBounds> {
        let set: Vec<_> = vary
            .iter()
            .map(|v| &v.parameter)
            .zip(at.iter().copied())
            .collect();
        let changed = scenario
            .changed(&changes(scenario, &set))
            .map_err(|p| refused(&p))?;
        Ok(At {
            model: Experiment::new(changed.clone()),
            scenario: changed,
        })
    };
    let read = |at: &Vec<f64>, model: &At, table: &Table| {
        let mut outcome = Outcome::read(&model.scenario, table);
        // What a run takes is stated for the procedure as it is: a longer wait or record comes on top.
        outcome.stretched(scenario, &model.scenario);
        let mut zones = zones(&model.scenario, &outcome, cap);
        if matches!(goal, Some(Goal::Spread(_))) && runs_away(&outcome.errors.values) {
            zones.push(OutOfBounds {
                bound: Bound::RunsAway,
                leg: String::new(),
                words: "a few results lie so far out that noise decides the spread; --within does not depend on them".to_owned(),
            });
        }
        SweepPoint {
            at: at.clone(),
            zones,
            outcome: Some(outcome),
        }
    };
    let simulated = |at: &[Vec<f64>], options: &DesignOptions| -> Result<_, EngineError> {
        let found = along(at, &model, &read, options)?;
        let point = |(point, at): (Result<SweepPoint, OutOfBounds>, &Vec<f64>)| {
            point.unwrap_or_else(|zone| SweepPoint {
                at: at.clone(),
                zones: vec![zone],
                outcome: None,
            })
        };
        Ok(found.into_iter().zip(at).map(point).collect::<Vec<_>>())
    };
    let mut points = simulated(&points, options)?;
    let throughout = throughout(scenario, cap, &points, options)?;
    for p in &mut points {
        p.leave_out(&throughout);
    }
    let fit = vary
        .iter()
        .all(|v| v.parameter.is_count() && v.parameter.path.ends_with("runs"))
        .then(|| of_points(&points))
        .flatten();
    // Errors trial by trial have served; a map of many points need not keep them.
    for outcome in points.iter_mut().filter_map(|p| p.outcome.as_mut()) {
        outcome.errors.values = Vec::new();
    }
    let mut found = Sweep {
        scenario: scenario.clone(),
        seed: options.seed,
        trials: options.trials,
        vary: vary.clone(),
        points,
        throughout,
        cap,
        goal,
        window: None,
        fit,
    };
    if let Some((goal, best)) = found.middle_of_window() {
        let quiet = DesignOptions {
            progress: None,
            ..*options
        };
        let between = |value: f64| {
            let mut points = simulated(&[vec![value]], &quiet)?;
            let mut point = points.remove(0);
            point.leave_out(&found.throughout);
            Ok(point)
        };
        found.window = Some(window(&found.points, best, goal, &between)?);
    }
    Ok(found)
}

/// Times that differ by less than this share of them are one: the mean number of repeats moves a little with everything.
const SAME_TIME: f64 = 0.02;

/// Whether all points take the same time.
fn same_time(points: &[SweepPoint]) -> bool {
    let times = points.iter().filter_map(|p| p.outcome.as_ref()?.cost.time);
    let (low, high) = times.fold((f64::INFINITY, 0.0f64), |(low, high), t| {
        (low.min(t), high.max(t))
    });
    high - low <= SAME_TIME * high
}

/// The bounds that the scenario is beyond as it is and at every point, by as much: a study of something else has nothing to
/// say about them.
fn throughout(
    scenario: &Scenario,
    cap: f64,
    points: &[SweepPoint],
    options: &DesignOptions,
) -> Result<Vec<OutOfBounds>, EngineError> {
    let mut common: Vec<OutOfBounds> = points.first().map_or(Vec::new(), |p| p.zones.clone());
    common.retain(|z| {
        let there = |p: &SweepPoint| p.zones.iter().find(|q| same(q, z)).cloned();
        let all: Option<Vec<OutOfBounds>> = points.iter().map(there).collect();
        let alike = match z.bound {
            Bound::Session => same_time(points),
            _ => all
                .as_ref()
                .is_some_and(|all| all.iter().all(|q| q.words == z.words)),
        };
        all.is_some() && alike && points.iter().all(|p| p.outcome.is_some())
    });
    if common.is_empty() {
        return Ok(common);
    }
    let mut own = zones(scenario, &Outcome::of(scenario, options)?, cap);
    own.retain(|z| common.iter().any(|q| same(q, z)));
    Ok(own)
}

fn of_points(points: &[SweepPoint]) -> Option<VarianceFit> {
    let simulated: Vec<(&SweepPoint, &Errors)> = points
        .iter()
        .filter_map(|p| Some((p, &p.outcome.as_ref()?.errors)))
        .filter(|(p, _)| p.at.iter().all(|n| *n > 0.0))
        .collect();
    let runs: Vec<Vec<f64>> = simulated.iter().map(|(p, _)| p.at.clone()).collect();
    let columns: Vec<&[f64]> = simulated.iter().map(|(_, e)| e.values.as_slice()).collect();
    fit(&runs, &columns)
}
