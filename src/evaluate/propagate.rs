//! The result of measured runs with its interval: the propagated distribution of `lab::knowledge` about the lab's evaluation.

use super::notebook::Measured;
use crate::engine::{EngineError, Model, Output, Study};
use crate::lab::{
    Claims, CoverageFactor, Evaluation, Knowledge, LinearBudget, Links, Method, OneSided, Sampled,
    Seen,
};
use crate::random::Draws;
use crate::scenario::Scenario;
use crate::stats::{Sorted, Summary};
use std::sync::atomic::AtomicBool;

/// Trials unless others are asked for: the ends of the interval are then known to 1 % of the spread.
pub const TRIALS: u64 = 102_400;

/// Coverage probability.
pub(super) const PROBABILITY: f64 = 0.95;

/// What is done about errors that can only go one way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum OneSidedErrors {
    /// Their mean is not corrected for; they widen the interval.
    #[default]
    Ignored,
    /// The result is corrected by what they make on average; the interval is symmetric about it.
    Corrected,
    /// Likewise, with an interval that has as much probability below as above.
    Asymmetric,
}

/// How to evaluate.
#[derive(Clone, Copy)]
pub struct EvaluateOptions<'o> {
    /// Seed.
    pub seed: u64,
    /// Trials.
    pub trials: u64,
    /// One-sided errors.
    pub one_sided: OneSidedErrors,
    /// Set by another thread to end early.
    pub interrupt: Option<&'o AtomicBool>,
}

/// A result with its uncertainty, J/mol.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stated {
    /// The value.
    pub value: f64,
    /// Standard uncertainty.
    pub u: f64,
    /// Lower end of the interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Coverage probability of the interval.
    pub probability: f64,
}

impl Stated {
    /// Half of the interval's length.
    pub fn half_width(&self) -> f64 {
        0.5 * (self.high - self.low)
    }

    /// Half of the interval over the standard uncertainty.
    pub fn factor(&self) -> f64 {
        self.half_width() / self.u
    }
}

impl EvaluateOptions<'_> {
    /// Trials with this seed.
    pub(super) fn study(&self) -> Study<'_> {
        let mut study = Study::new(self.seed);
        study.interrupt = self.interrupt;
        study
    }
}

/// Draws of what a notebook may mean, for the engine.
pub struct Sampler<'k>(pub &'k Knowledge, pub Sampled);

impl Model for Sampler<'_> {
    fn columns(&self) -> Vec<String> {
        self.0.columns(self.1)
    }

    fn block(&self, draws: &Draws) -> Output {
        self.0.block(draws, self.1)
    }
}

/// What a notebook says of the result.
pub struct Propagated {
    /// The lab's evaluation: constants, values of the runs, means, result.
    pub evaluation: Evaluation,
    /// Linear budget, with its interval.
    pub claims: Claims,
    /// The propagated distribution of the result, J/mol.
    pub distribution: Summary,
    /// The result with what is to be stated.
    pub stated: Stated,
    /// Draws of the result, of the constant, and of the mean of each leg.
    pub results: Vec<Vec<f64>>,
    /// What they are drawn from.
    pub knowledge: Knowledge,
}

/// Propagates what is known of measured runs to their result.
///
/// # Errors
/// If interrupted.
pub fn propagate(
    scenario: &Scenario,
    measured: &Measured,
    options: &EvaluateOptions,
) -> Result<Propagated, EngineError> {
    let (evaluation, claims) = claimed(scenario, measured, &measured.seen);
    let sampled = match options.one_sided {
        OneSidedErrors::Ignored => OneSided::Spread,
        OneSidedErrors::Corrected | OneSidedErrors::Asymmetric => OneSided::Whole,
    };
    let (seen, reductions) = (measured.seen.clone(), measured.reductions.clone());
    let knowledge = Knowledge::new(scenario, seen, reductions, sampled);
    let model = Sampler(&knowledge, Sampled::Result);
    let results = options.study().run(&model, options.trials)?.columns;
    let distribution = Summary::of(&results[0], PROBABILITY);
    let stated = stated(
        &evaluation,
        &distribution,
        &claims.budget,
        options.one_sided,
        &results[0],
    );
    Ok(Propagated {
        evaluation,
        claims,
        distribution,
        stated,
        results,
        knowledge,
    })
}

/// The lab's evaluation and its linear budget of a notebook with the records of these runs.
pub(super) fn claimed(
    scenario: &Scenario,
    measured: &Measured,
    seen: &Seen,
) -> (Evaluation, Claims) {
    let links = Links::of_records(scenario, measured.reductions.clone());
    let factor = CoverageFactor::new(PROBABILITY);
    Claims::of(seen, &Method::of(scenario), &links, &factor)
}

/// What is to be stated. Under an observed scatter of two or three runs the distribution has no standard deviation: then it
/// is the linear budget's.
fn stated(
    evaluation: &Evaluation,
    distribution: &Summary,
    budget: &LinearBudget,
    one_sided: OneSidedErrors,
    values: &[f64],
) -> Stated {
    let [low, high] = [
        distribution.interval.low.value,
        distribution.interval.high.value,
    ];
    let far_tails = budget.lines.iter().any(|l| l.quantity.dof <= 2.0);
    let u = if far_tails {
        budget.u
    } else {
        distribution.sd.value
    };
    let stated = |value: f64, low: f64, high: f64| Stated {
        value,
        u,
        low,
        high,
        probability: PROBABILITY,
    };
    match one_sided {
        OneSidedErrors::Ignored => {
            let (value, half) = (evaluation.enthalpy, 0.5 * (high - low));
            stated(value, value - half, value + half)
        }
        OneSidedErrors::Corrected => {
            let value = distribution.mean.value;
            // The half-width that holds 95 % about the mean.
            let off = values.iter().map(|x| (x - value).abs()).collect();
            let half = Sorted::from_vec(off).quantile(PROBABILITY).value;
            stated(value, value - half, value + half)
        }
        OneSidedErrors::Asymmetric => stated(distribution.mean.value, low, high),
    }
}
