//! All that `loosen` answers in one.

use super::bounds::{OutOfBounds, zones};
use super::goal::Goal;
use super::loosen::{Loosest, loosen, steps};
use super::made::{Made, made};
use super::number::{Smallest, numbers, smallest};
use super::outcome::{DesignOptions, Outcome};
use super::root::Answer;
use super::statistic::Statistic;
use super::upgrades::{Instrument, exchanges, upgrades};
use crate::engine::EngineError;
use crate::scenario::Scenario;
use crate::stats::Estimate;

/// How far a procedure is from its target, and what could give way.
#[derive(Debug, Clone)]
pub struct Looseness {
    /// The scenario.
    pub scenario: Scenario,
    /// Seed.
    pub seed: u64,
    /// Trials of each simulation.
    pub trials: u64,
    /// The target.
    pub goal: Goal,
    /// What it is compared with now.
    pub now: Estimate,
    /// Where most of the spread is made, if in one place.
    pub made: Option<Made>,
    /// Bounds that the procedure is beyond as it is, which nothing here counts against it.
    pub beyond: Vec<OutOfBounds>,
    /// All tolerances in the same proportion.
    pub together: Loosest,
    /// Each tolerance alone, the one with the largest step first.
    pub tolerances: Vec<Loosest>,
    /// Numbers of runs, waiting times.
    pub numbers: Vec<Smallest>,
    /// Instruments exchanged.
    pub instruments: Vec<Instrument>,
}

/// Number of steps that [`DesignOptions::progress`] counts to in [`looseness`].
pub fn all_steps(scenario: &Scenario) -> u64 {
    steps(scenario) + numbers(scenario) + exchanges(scenario)
}

/// Holds a scenario against a target from all sides; nothing that changes the temperature by more than `cap` K is called
/// loose enough.
///
/// # Errors
/// If interrupted.
pub fn looseness(
    scenario: &Scenario,
    goal: Goal,
    cap: f64,
    options: &DesignOptions,
) -> Result<Looseness, EngineError> {
    let own = Outcome::of(scenario, options)?;
    let judge = |values: &[f64]| goal.measure_of(values, own.target, scenario.target.band);
    let now = Statistic::of(&own.errors.values, judge).estimate();
    let before = [0, steps(scenario), steps(scenario) + numbers(scenario)];
    let tick = |from: u64| move |done: u64| options.tick(from + done);
    let [first, second, third] = before.map(tick);
    let with = |progress| DesignOptions {
        progress: Some(progress),
        ..*options
    };
    let mut tolerances = loosen(scenario, goal, cap, &with(&first))?;
    let together = tolerances.remove(0);
    // What cannot be doubled has no price, and comes last.
    let price = |l: &Loosest| match goal.excess(l.doubled.value) {
        price if price.is_nan() => f64::NEG_INFINITY,
        price => price,
    };
    // Where doubling costs the same (a share that is all already) the tightest comes first.
    let size = |l: &Loosest| match l.answer {
        Answer::Factor(f) => f.value,
        Answer::Any(_) => f64::INFINITY,
        Answer::Never(_) => 0.0,
    };
    tolerances.sort_by(|a, b| {
        let dearer = price(b).total_cmp(&price(a));
        dearer.then(size(a).total_cmp(&size(b)))
    });
    Ok(Looseness {
        scenario: scenario.clone(),
        seed: options.seed,
        trials: options.trials,
        goal,
        now,
        made: made(scenario, &own),
        beyond: zones(scenario, &own, cap),
        together,
        tolerances,
        numbers: smallest(scenario, goal, cap, &with(&second))?,
        instruments: upgrades(scenario, goal, &own, cap, &with(&third))?,
    })
}
