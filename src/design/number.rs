//! The smallest number of runs, and the shortest waiting time, that still reach a target.

use super::bounds::{Bound, crossed, refused, zones};
use super::goal::Goal;
use super::outcome::{DesignOptions, Outcome};
use super::parameter::{Parameter, changes};
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
#[derive(Debug, Clone, serde::Serialize, schemars::JsonSchema)]
pub struct Smallest {
    /// Its path.
    pub path: String,
    /// What it is now, in base units.
    pub now: f64,
    /// The smallest that reaches the target; `None` if none does, however large.
    #[serde(rename = "smallest")]
    pub least: Option<f64>,
    /// Standard error of a time: that of what is compared with the target over its slope there; 0 for a number of
    /// runs, which is whole, and where no wait at all is needed.
    #[serde(rename = "smallest_se")]
    pub se: f64,
    /// What is compared with the target there, or at the largest number looked at.
    #[serde(rename = "measure_there")]
    pub there: Estimate,
    /// Bias there, a fraction of the result and signed like it.
    #[serde(rename = "bias_there")]
    pub bias: Estimate,
    /// The bound that keeps it from being smaller, or from being reached at all, where the target does not.
    #[serde(rename = "ended_by_bound")]
    pub bound: Option<Bound>,
    /// Whether the trials do not tell it from the target: then one run less might do, or one more be needed.
    #[serde(rename = "not_told_from_target")]
    pub close: bool,
    /// The largest number looked at.
    #[serde(rename = "largest_looked_at")]
    pub most: f64,
    /// In words, with its unit.
    #[serde(skip)]
    pub words: [String; 2],
}

/// The numbers of a scenario that may be made smaller.
fn paths(scenario: &Scenario) -> Vec<String> {
    let mut paths = Vec::new();
    let legs = scenario.legs().into_iter().filter(|leg| leg.runs > 0);
    let each: Vec<String> = legs.map(|leg| format!("{}.runs", leg.name)).collect();
    if each.len() > 1 {
        paths.extend(each);
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

/// The smallest number of runs of each leg and of all, and the shortest waiting times, within the bounds that the scenario
/// is within now.
///
/// # Errors
/// If interrupted.
pub fn smallest(
    scenario: &Scenario,
    goal: Goal,
    cap: f64,
    options: &DesignOptions,
) -> Result<Vec<Smallest>, EngineError> {
    let mut out = Vec::new();
    let own = zones(scenario, &Outcome::of(scenario, options)?, cap);
    for (i, path) in paths(scenario).iter().enumerate() {
        let runs = scenario.legs().into_iter().map(|leg| leg.runs).max();
        let from = |parameter: &Parameter| match parameter.now {
            // Of all legs, which differ: the one with the most runs.
            now if now.is_nan() && parameter.is_count() => f64::from(runs.unwrap_or(1)),
            now => now,
        };
        if let Ok(parameter) = Parameter::of(scenario, path)
            && let Some(from) = Some(from(&parameter)).filter(|x| x.is_finite())
        {
            let crossed = |changed: &Scenario, outcome: &Outcome| {
                crossed(&zones(changed, outcome, cap), &own)
            };
            out.push(one(scenario, (&parameter, from), goal, &crossed, options)?);
        }
        options.tick(i as u64 + 1);
    }
    Ok(out)
}

fn one(
    scenario: &Scenario,
    (parameter, from): (&Parameter, f64),
    goal: Goal,
    crossed: &dyn Fn(&Scenario, &Outcome) -> Option<Bound>,
    options: &DesignOptions,
) -> Result<Smallest, EngineError> {
    let at = |value: f64| -> Result<There, EngineError> {
        let changed = match scenario.changed(&changes(scenario, &[(parameter, value)])) {
            Ok(changed) => changed,
            // What cannot be reaches nothing.
            Err(p) => {
                return Ok(There {
                    measure: Estimate::undefined(),
                    bias: Estimate::undefined(),
                    met: false,
                    bound: Some(refused(&p).bound),
                });
            }
        };
        let outcome = Outcome::of(&changed, options)?;
        let (measure, bound) = (goal.measure(&outcome), crossed(&changed, &outcome));
        Ok(There {
            measure,
            bias: outcome.relative_bias(),
            met: bound.is_none() && goal.met(measure.value),
            bound: bound.filter(|_| goal.met(measure.value)),
        })
    };
    let found = if parameter.is_count() {
        counted(&at, from)?
    } else {
        timed(&at, from)?
    };
    let Found {
        least,
        there,
        most,
        bound,
    } = found;
    let se = match least {
        Some(time) if !parameter.is_count() && time > 0.0 && bound.is_none() => {
            let before = at(time * (1.0 - SLOPE))?.measure;
            there.measure.se / ((before.value - there.measure.value).abs() / (SLOPE * time))
        }
        _ => 0.0,
    };
    Ok(Smallest {
        path: parameter.path.clone(),
        now: parameter.now,
        least,
        se,
        close: bound.is_none() && goal.is_open(there.measure),
        there: there.measure,
        bias: there.bias,
        bound,
        most,
        words: [parameter.now, least.unwrap_or(f64::NAN)].map(|x| parameter.words(x, x)),
    })
}

/// What is seen at a number.
#[derive(Clone, Copy)]
struct There {
    measure: Estimate,
    bias: Estimate,
    /// Whether the target is reached within all bounds.
    met: bool,
    /// The bound that is crossed where the target is reached.
    bound: Option<Bound>,
}

/// What a search has found.
struct Found {
    least: Option<f64>,
    there: There,
    most: f64,
    /// The bound that is crossed at the last number that does not do.
    bound: Option<Bound>,
}

type At<'a> = &'a dyn Fn(f64) -> Result<There, EngineError>;

/// The numbers between which the first one that does lies, and what is seen at both.
struct Bracket {
    low: (f64, Option<Bound>),
    high: (f64, There),
}

impl Bracket {
    /// Doubles from a number on, up to the largest, until one does.
    fn doubled(
        at: At,
        mut low: (f64, Option<Bound>),
        from: f64,
        most: f64,
    ) -> Result<Self, EngineError> {
        let mut high = (from, at(from)?);
        while !high.1.met && high.0 < most {
            low = (high.0, high.1.bound);
            let next = (2.0 * high.0).min(most);
            high = (next, at(next)?);
        }
        Ok(Self { low, high })
    }

    fn narrow(&mut self, at: At, middle: f64) -> Result<(), EngineError> {
        let found = at(middle)?;
        if found.met {
            self.high = (middle, found);
        } else {
            self.low = (middle, found.bound);
        }
        Ok(())
    }

    fn found(&self, value: f64) -> Found {
        let (_, there) = self.high;
        Found {
            least: there.met.then_some(value),
            there,
            most: value,
            bound: if there.met { self.low.1 } else { there.bound },
        }
    }
}

/// Doubles until it is reached, then halves the gap: spreads fall with the number of runs.
fn counted(at: At, now: f64) -> Result<Found, EngineError> {
    let first = at(1.0)?;
    if first.met {
        return Ok(Found {
            least: Some(1.0),
            there: first,
            most: 1.0,
            bound: None,
        });
    }
    let most = f64::from(MOST_RUNS).max(now);
    let mut bracket = Bracket::doubled(at, (1.0, first.bound), now.max(2.0), most)?;
    while bracket.high.1.met && bracket.high.0 - bracket.low.0 > 1.0 {
        let middle = (0.5 * (bracket.low.0 + bracket.high.0)).floor();
        bracket.narrow(at, middle)?;
    }
    Ok(bracket.found(bracket.high.0))
}

fn timed(at: At, now: f64) -> Result<Found, EngineError> {
    let mut bracket = Bracket::doubled(at, (0.0, None), now, LONGEST * now)?;
    while bracket.high.1.met && bracket.high.0 - bracket.low.0 > NEAR * now {
        let middle = 0.5 * (bracket.low.0 + bracket.high.0);
        bracket.narrow(at, middle)?;
    }
    // Times are told in whole seconds, on the safe side.
    Ok(bracket.found(bracket.high.0.ceil()))
}
