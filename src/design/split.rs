//! The best split of runs between calibration and determination.
//!
//! With V = F + A / n_c + D / n_d and a budget n_c k_c + n_d k_d, the optimum of real numbers is
//! n_c / n_d = sqrt(A / D) sqrt(k_d / k_c), whatever the floor F (the allocation of J. Neyman, J. R. Stat. Soc. 97
//! (1934) 558, from memory). Runs are whole, so every pair on the edge of the budget is simulated.

use super::along::along;
use super::bounds::{OutOfBounds, refused};
use super::fit::{VarianceFit, fit};
use super::goal::Goal;
use super::outcome::{DesignOptions, Errors, Outcome, runs};
use super::statistic::Statistic;
use crate::engine::{EngineError, Model, Table};
use crate::experiment::Experiment;
use crate::random::elementary::{exp, ln};
use crate::scenario::{Raw, Scenario};
use crate::stats::{Estimate, Moments};

/// Most runs of one kind that are looked at.
const MOST: u32 = 200;

/// Of more pairs than these two numbers together some are simulated that lie evenly spaced, and some about the optimum that
/// their variance shows.
const SPACED: usize = 14;
const NEAR: usize = 10;

/// What limits the runs.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, schemars::JsonSchema)]
#[serde(untagged)]
pub enum Limit {
    /// So many runs in all, where each determination of the split is a run of so many legs.
    Total {
        /// Runs of all legs together.
        #[serde(rename = "total_runs")]
        runs: u32,
        /// Legs of a cycle that are no calibration; else one.
        #[serde(skip)]
        legs: u32,
    },
    /// What fits into a session, all in s.
    Session {
        /// Its length.
        #[serde(rename = "session_s")]
        length: f64,
        /// Before the first run.
        #[serde(rename = "set_up_s")]
        set_up: f64,
        /// One calibration run and one determination, the mean time of their repeats counted in.
        #[serde(rename = "run_s")]
        run: [f64; 2],
    },
}

impl Limit {
    /// Price of one run of each kind.
    fn prices(self) -> [f64; 2] {
        match self {
            Self::Total { legs, .. } => [1.0, f64::from(legs)],
            Self::Session { run, .. } => run,
        }
    }

    /// What there is to spend.
    fn available(self) -> f64 {
        match self {
            Self::Total { runs, .. } => f64::from(runs),
            Self::Session { length, set_up, .. } => length - set_up,
        }
    }

    fn allows(self, pair: [u32; 2]) -> bool {
        let [c, d] = self.prices();
        f64::from(pair[0]) * c + f64::from(pair[1]) * d <= self.available() * (1.0 + 1e-9)
    }

    /// The pairs on the edge: for each number of calibrations the most determinations, both at least one.
    pub fn edge(self) -> Vec<[u32; 2]> {
        let most = |calibrations: u32| {
            (1..=MOST)
                .take_while(|d| self.allows([calibrations, *d]))
                .last()
        };
        (1..=MOST).map_while(|c| most(c).map(|d| [c, d])).collect()
    }

    /// The same number of both, as many as there can be; `None` if not even one of each.
    pub fn equal(self) -> Option<[u32; 2]> {
        (1..=MOST)
            .take_while(|n| self.allows([*n, *n]))
            .last()
            .map(|n| [n, n])
    }
}

/// One way to split.
#[derive(Debug, Clone, PartialEq)]
pub struct SplitPoint {
    /// Calibrations and determinations.
    pub runs: [u32; 2],
    /// Spread, in the unit of the column.
    pub spread: Estimate,
    /// Spread less that of the best split, with the error of the difference.
    pub more: Estimate,
}

/// All ways on the edge of the budget.
#[derive(Debug, Clone)]
pub struct Split {
    /// What limits the runs.
    pub limit: Limit,
    /// The ways that were simulated, by number of calibrations: all, or those that matter.
    pub points: Vec<SplitPoint>,
    /// How many ways there are.
    pub ways: usize,
    /// Legs that have each number of determinations: those of a cycle, else one.
    pub legs: u32,
    /// Which of them is best.
    pub best: usize,
    /// The equal split.
    pub equal: Option<SplitPoint>,
    /// The fitted variance.
    pub fit: Option<VarianceFit>,
    /// The real numbers of runs that this variance would like best.
    pub ideal: Option<[f64; 2]>,
    /// Their ratio, calibrations over determinations, with its standard error.
    pub ratio: Option<Estimate>,
    /// The result that a spread can be set against, in the unit of the column; `None` for any model.
    pub result: Option<f64>,
    /// What the best split delivers.
    pub delivered: Errors,
    /// A target, and what the best split holds against it.
    pub held: Option<(Goal, Estimate)>,
}

/// Why there is nothing to split.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, schemars::JsonSchema)]
#[serde(tag = "why")]
pub enum NoSplit {
    /// All runs are determinations.
    #[serde(rename = "nothing calibrates")]
    NothingCalibrates,
    /// The session is too short for one run of each kind, which takes so long with what comes before it, s.
    #[serde(rename = "the session is too short")]
    TooShort {
        /// Length of the session.
        #[serde(rename = "session_s")]
        session: f64,
        /// What one run of each kind needs.
        #[serde(rename = "needed_s")]
        needed: f64,
    },
    /// Fewer runs in all than one of each kind.
    #[serde(rename = "too few runs")]
    TooFew {
        /// Runs in all.
        #[serde(rename = "total_runs")]
        runs: u32,
        /// One of each kind.
        #[serde(rename = "needed_runs")]
        needed: u32,
    },
    /// No pair of numbers makes an experiment.
    #[serde(rename = "no numbers of runs make an experiment")]
    Impossible,
}

/// The best split of any model: `model` makes it for a pair of numbers, `column` reads its errors. `None` if the limit
/// does not allow one run of each kind.
///
/// # Errors
/// If interrupted.
pub fn best_split<M: Model>(
    limit: Limit,
    model: &dyn Fn(&[u32; 2]) -> Result<M, OutOfBounds>,
    column: usize,
    options: &DesignOptions,
) -> Result<Option<Split>, EngineError> {
    let edge = limit.edge();
    let equal = limit.equal();
    // The equal split may lie inside the budget.
    let extra = equal.filter(|e| !edge.contains(e));
    let mut pairs = spaced(&edge);
    pairs.extend(equal.filter(|e| !pairs.contains(e)));
    let read = |_: &[u32; 2], _: &M, table: &Table| Errors::of(&table.columns[column]);
    let simulated = |pairs: &[[u32; 2]], before: usize| -> Result<Vec<Done>, EngineError> {
        let tick = |done: u64| options.tick(before as u64 + done);
        let options = DesignOptions {
            progress: Some(&tick),
            ..*options
        };
        let found = along(pairs, model, &read, &options)?;
        let done = pairs.iter().zip(found);
        Ok(done
            .filter_map(|(pair, e)| Some((*pair, e.ok()?)))
            .collect())
    };
    let mut done = simulated(&pairs, 0)?;
    if let Some([calibrations, _]) = ideal(limit, &done).filter(|_| pairs.len() < edge.len()) {
        let mut near: Vec<[u32; 2]> = edge.into_iter().filter(|p| !pairs.contains(p)).collect();
        near.sort_by(|a, b| {
            let away = |p: &[u32; 2]| (f64::from(p[0]) - calibrations).abs();
            away(a).total_cmp(&away(b))
        });
        near.truncate(NEAR);
        done.extend(simulated(&near, pairs.len())?);
        done.sort_by_key(|(pair, _)| pair[0]);
    }
    let on_edge = || done.iter().filter(|(pair, _)| Some(*pair) != extra);
    let Some((_, least)) = on_edge().min_by(|a, b| a.1.spread.value.total_cmp(&b.1.spread.value))
    else {
        return Ok(None);
    };
    let spread_of = |e: &Errors| Statistic::of(&e.values, |v| Moments::of(v).sd().value);
    let best_spread = spread_of(least);
    let point = |(pair, errors): &([u32; 2], Errors)| SplitPoint {
        runs: *pair,
        spread: errors.spread,
        more: spread_of(errors).less(&best_spread).0,
    };
    let points: Vec<SplitPoint> = on_edge().map(point).collect();
    let best = (0..points.len())
        .min_by(|a, b| points[*a].spread.value.total_cmp(&points[*b].spread.value))
        .unwrap_or(0);
    let (fit, ideal) = (of_pairs(&done), ideal(limit, &done));
    let of_parts = |c: &[f64]| allocation(limit, [c[1], c[2]]).map_or(f64::NAN, |[c, d]| c / d);
    let ratio = fit.as_ref().map(|f| f.of(of_parts));
    Ok(Some(Split {
        limit,
        ways: limit.edge().len(),
        legs: 1,
        best,
        equal: equal.and_then(|e| done.iter().find(|(pair, _)| *pair == e).map(point)),
        delivered: least.clone(),
        points,
        fit,
        ideal,
        ratio: ratio.filter(Estimate::is_defined),
        result: None,
        held: None,
    }))
}

type Done = ([u32; 2], Errors);

fn of_pairs(done: &[Done]) -> Option<VarianceFit> {
    let numbers: Vec<Vec<f64>> = done
        .iter()
        .map(|(pair, _)| pair.iter().map(|n| f64::from(*n)).collect())
        .collect();
    let columns: Vec<&[f64]> = done.iter().map(|(_, e)| e.values.as_slice()).collect();
    fit(&numbers, &columns)
}

fn ideal(limit: Limit, done: &[Done]) -> Option<[f64; 2]> {
    let parts = of_pairs(done)?.parts;
    allocation(limit, [parts[0], parts[1]])
}

/// The pairs that are simulated first: all if they are few, else some whose numbers of calibrations grow in proportion.
fn spaced(edge: &[[u32; 2]]) -> Vec<[u32; 2]> {
    if edge.len() <= SPACED + NEAR {
        return edge.to_vec();
    }
    let whole = ln(edge.len() as f64);
    let at = |i: usize| exp(whole * i as f64 / (SPACED - 1) as f64).round() as usize - 1;
    let mut all: Vec<usize> = (0..SPACED).map(at).collect();
    all.dedup();
    all.into_iter().map(|i| edge[i]).collect()
}

/// Number of pairs that [`DesignOptions::progress`] counts to in [`best_split`], at most.
pub fn pairs(limit: Limit) -> u64 {
    limit.edge().len().min(SPACED + NEAR) as u64 + 1
}

/// Real numbers of runs that make A / n_c + D / n_d least within the budget.
pub fn allocation(limit: Limit, parts: [f64; 2]) -> Option<[f64; 2]> {
    let [c, d] = limit.prices();
    if !parts.iter().all(|p| *p > 0.0) {
        return None;
    }
    let ratio = (parts[0] / parts[1]).sqrt() * (d / c).sqrt();
    let determinations = limit.available() / (ratio * c + d);
    Some([ratio * determinations, determinations])
}

/// The best split of a scenario's runs, which delivers `own` as it is, compared with a target if there is one; further
/// determinations of a cycle have as many runs each as the first.
///
/// # Errors
/// If interrupted.
pub fn split(
    scenario: &Scenario,
    limit: Limit,
    own: &Outcome,
    goal: Option<Goal>,
    options: &DesignOptions,
) -> Result<Result<Split, NoSplit>, EngineError> {
    if scenario.calibration.runs == 0 {
        return Ok(Err(NoSplit::NothingCalibrates));
    }
    if limit.equal().is_none() {
        return Ok(Err(match limit {
            Limit::Session {
                length,
                set_up,
                run: [cal, det],
            } => NoSplit::TooShort {
                session: length,
                needed: set_up + cal + det,
            },
            Limit::Total { runs, legs } => NoSplit::TooFew {
                runs,
                needed: 1 + legs,
            },
        }));
    }
    let model = |pair: &[u32; 2]| -> Result<Experiment, OutOfBounds> {
        let set: Vec<(String, Raw)> = scenario
            .legs()
            .iter()
            .map(|leg| {
                let n = if leg.calibrates() { pair[0] } else { pair[1] };
                (format!("{}.runs", leg.name), Raw::Whole(i64::from(n)))
            })
            .collect();
        let changed = scenario.changed(&set).map_err(|p| refused(&p))?;
        Ok(Experiment::without_claims(changed))
    };
    let column = crate::experiment::ResultColumn::Error as usize;
    let found = best_split(limit, &model, column, options)?;
    Ok(match found {
        Some(found) => Ok(Split {
            held: goal.map(|goal| {
                let judge = |v: &[f64]| goal.measure_of(v, own.target, scenario.target.band);
                let seen = Statistic::of(&found.delivered.values, judge);
                (goal, seen.estimate())
            }),
            result: Some(own.target),
            legs: scenario.determinations().count() as u32,
            ..found
        }),
        None => Err(NoSplit::Impossible),
    })
}

/// What limits the runs of a scenario, which delivers `own` as it is: a total that is asked for, else its session, as far as
/// it says what runs take; else as many runs as it has now.
pub fn limit_of(scenario: &Scenario, total: Option<u32>, own: &Outcome) -> Limit {
    let now = runs(scenario);
    let length = scenario.times.session.map(|t| t.0);
    if let (None, Some(length), [Some(cal), Some(det)]) =
        (total, length, scenario.times.run.map(|t| t.map(|t| t.0)))
    {
        // Each planned run takes its repeats along.
        let [again_cal, again_det] = own.repeats_each;
        let legs = scenario.determinations().count() as f64;
        return Limit::Session {
            length,
            set_up: scenario.times.set_up.map_or(0.0, |t| t.0),
            run: [cal * (1.0 + again_cal), det * (1.0 + again_det) * legs],
        };
    }
    Limit::Total {
        runs: total.unwrap_or(now[0] + now[1]),
        legs: scenario.determinations().count() as u32,
    }
}
