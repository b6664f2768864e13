//! The smallest number of runs, and the shortest waiting time, that still reach a target.

use super::goal::Goal;
use super::knob::{Knob, changes};
use super::outcome::{DesignOptions, Outcome};
use crate::engine::EngineError;
use crate::scenario::{Charge, Scenario};
use crate::stats::Estimate;

/// Most runs that are looked at.
const MOST_RUNS: u32 = 60;

/// No waiting time is looked at beyond this many times what it is.
const LONGEST: f64 = 20.0;

/// How near a time is found, relative to what it is now.
const NEAR: f64 = 0.005;

/// Relative step of the slope at a time.
const SLOPE: f64 = 0.1;

/// A number that may be made smaller: runs, a waiting time.
#[derive(Debug, Clone)]
pub struct Smallest {
    /// Its path.
    pub path: String,
    /// What it is now, in base units.
    pub now: f64,
    /// The smallest that reaches the target; `None` if none does, however large.
    pub least: Option<f64>,
    /// Standard error of a time: that of what is held against the target over its slope there; 0 for a number of
    /// runs, which is whole, and where no wait at all is needed.
    pub se: f64,
    /// What is held against the target there, or at the largest number looked at.
    pub there: Estimate,
    /// Whether the trials do not tell it from the target: then one run less might do, or one more be needed.
    pub close: bool,
    /// The largest number looked at.
    pub most: f64,
    /// In words, with its unit.
    pub words: [String; 2],
}

/// The numbers of a scenario that may be made smaller.
fn paths(scenario: &Scenario) -> Vec<String> {
    let mut paths = Vec::new();
    if scenario.calibration.runs > 0 {
        paths.push("calibration.runs".to_owned());
        paths.push("determination.runs".to_owned());
    }
    paths.push("runs".to_owned());
    for leg in scenario.legs().into_iter().filter(|leg| leg.runs > 0) {
        if matches!(leg.charge, Charge::Beforehand { .. }) {
            paths.push(format!("{}.charge.wait", leg.name));
        }
    }
    paths
}

/// Number of steps that [`DesignOptions::progress`] counts to in [`smallest`].
pub fn numbers(scenario: &Scenario) -> u64 {
    paths(scenario).len() as u64
}

/// The smallest number of runs of each kind and of both, and the shortest waiting times.
///
/// # Errors
/// If interrupted.
pub fn smallest(
    scenario: &Scenario,
    goal: Goal,
    options: &DesignOptions,
) -> Result<Vec<Smallest>, EngineError> {
    let mut out = Vec::new();
    for (i, path) in paths(scenario).iter().enumerate() {
        if let Ok(knob) = Knob::of(scenario, path)
            && knob.now.is_finite()
        {
            out.push(one(scenario, &knob, goal, options)?);
        }
        options.tick(i as u64 + 1);
    }
    Ok(out)
}

fn one(
    scenario: &Scenario,
    knob: &Knob,
    goal: Goal,
    options: &DesignOptions,
) -> Result<Smallest, EngineError> {
    let at = |value: f64| -> Result<Estimate, EngineError> {
        match scenario.changed(&changes(scenario, &[(knob, value)])) {
            Ok(changed) => Ok(goal.measure(&Outcome::of(&changed, options)?)),
            // What cannot be reaches nothing.
            Err(_) => Ok(Estimate::undefined()),
        }
    };
    let met = |e: &Estimate| goal.met(e.value);
    let (least, there, most) = if knob.is_count() {
        counted(&at, &met, knob.now)?
    } else {
        timed(&at, &met, knob.now)?
    };
    let se = match least {
        Some(time) if !knob.is_count() && time > 0.0 => {
            let before = at(time * (1.0 - SLOPE))?;
            there.se / ((before.value - there.value).abs() / (SLOPE * time))
        }
        _ => 0.0,
    };
    Ok(Smallest {
        path: knob.path.clone(),
        now: knob.now,
        least,
        se,
        close: goal.excess(there.value).abs() < 2.0 * there.se,
        there,
        most,
        words: [knob.now, least.unwrap_or(f64::NAN)].map(|x| knob.words(x, x)),
    })
}

type At<'a> = &'a dyn Fn(f64) -> Result<Estimate, EngineError>;
type Met<'a> = &'a dyn Fn(&Estimate) -> bool;
type Found = (Option<f64>, Estimate, f64);

/// Doubles until it is reached, then halves the gap: spreads fall with the number of runs.
fn counted(at: At, met: Met, now: f64) -> Result<Found, EngineError> {
    let first = at(1.0)?;
    if met(&first) {
        return Ok((Some(1.0), first, 1.0));
    }
    let most = f64::from(MOST_RUNS).max(now);
    let (mut low, mut high) = (1.0, now.max(2.0));
    let mut there = at(high)?;
    while !met(&there) {
        if high >= most {
            return Ok((None, there, most));
        }
        low = high;
        high = (2.0 * high).min(most);
        there = at(high)?;
    }
    while high - low > 1.0 {
        let middle = (0.5 * (low + high)).floor();
        let found = at(middle)?;
        if met(&found) {
            (high, there) = (middle, found);
        } else {
            low = middle;
        }
    }
    Ok((Some(high), there, high))
}

fn timed(at: At, met: Met, now: f64) -> Result<Found, EngineError> {
    let (mut low, mut high) = (0.0, now);
    let mut there = at(high)?;
    while !met(&there) {
        if high >= LONGEST * now {
            return Ok((None, there, high));
        }
        low = high;
        high = (2.0 * high).min(LONGEST * now);
        there = at(high)?;
    }
    while high - low > NEAR * now {
        let middle = 0.5 * (low + high);
        let found = at(middle)?;
        if met(&found) {
            (high, there) = (middle, found);
        } else {
            low = middle;
        }
    }
    // Times are told in whole seconds, on the safe side.
    let whole = high.ceil();
    Ok((Some(whole), there, whole))
}
