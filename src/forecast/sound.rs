//! Whether a scenario gives results at all: a few trials, before a study takes many.

use crate::engine::{EngineError, Study};
use crate::experiment::{Experiment, ResultColumn};
use crate::scenario::{Problem, Scenario};
use std::sync::atomic::AtomicBool;

/// Trials that are looked at: a share of a hundredth is seen some twenty times.
const TRIALS: u64 = 2_048;

/// Share of trials without a finite result from which on nothing is stated.
const MOST_NONFINITE: f64 = 0.01;

/// Share of groups with a run of the wrong sign that is worth saying first.
const WORTH_SAYING: f64 = 0.01;

/// What the trials of a scenario gave.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sound {
    /// Trials.
    pub trials: u64,
    /// Those without a finite result.
    pub nonfinite: u64,
    /// Those in which the change of temperature of at least one run vanished or went the wrong way.
    pub wrong_sign: u64,
}

/// Runs a few trials of a scenario and counts what makes no sense.
///
/// # Errors
/// If interrupted.
pub fn sound(scenario: &Scenario, interrupt: Option<&AtomicBool>) -> Result<Sound, EngineError> {
    // What labs claim has no part in it.
    let model = Experiment::without_claims(scenario.clone());
    let study = Study {
        interrupt,
        ..Study::new(1)
    };
    let table = study.run(&model, TRIALS)?;
    let of = |q: ResultColumn, odd: fn(f64) -> bool| {
        table.columns[q as usize]
            .iter()
            .filter(|x| odd(**x))
            .count() as u64
    };
    Ok(Sound {
        trials: TRIALS,
        nonfinite: of(ResultColumn::Error, |e| !e.is_finite()),
        wrong_sign: of(ResultColumn::WrongSigns, |wrong| wrong > 0.0),
    })
}

impl Sound {
    /// Why nothing can be stated, if so.
    pub fn refusal(&self) -> Option<Problem> {
        let share = self.nonfinite as f64 / self.trials as f64;
        let message = format!(
            "{} of {} simulated groups get no finite result (no change of temperature to divide by)",
            self.nonfinite, self.trials
        );
        (share > MOST_NONFINITE).then(|| {
            Problem::error("", message)
                .hint("what is lost, left over or rounded away is all there is; `check` tells what is unusual")
        })
    }

    /// What is odd about the runs, if it matters.
    pub fn oddity(&self) -> Option<Problem> {
        let share = self.wrong_sign as f64 / self.trials as f64;
        let message = format!(
            "in {:.0} % of groups the change of temperature of a run vanishes or goes the wrong way",
            100.0 * share
        );
        (share > WORTH_SAYING).then(|| {
            Problem::warning("", message)
                .hint("errors are as large as what is measured: more solid, or better instruments")
        })
    }
}
