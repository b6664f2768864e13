//! The result of measured runs with an uncertainty that keeps its promise.
//!
//! Value: the lab's evaluation of the notebook. Uncertainty: the propagated distribution of `lab::knowledge` (JCGM 101)
//! beside the linear budget of the same notebook. Run and reading effects come from the instruments' statements or from the
//! observed scatter of the runs, as the lab's `run_effects` says, never from both.

use super::agree::{Agreement, Consistency};
use super::notebook::Measured;
use super::what_if::{Change, changes};
use crate::engine::{EngineError, Model, Output, Study};
use crate::lab::{
    Claims, CoverageFactor, Evaluation, Knowledge, LinearBudget, Links, Method, OneSided, Sampled,
    Seen,
};
use crate::quantity::JoulePerMole;
use crate::random::Draws;
use crate::scenario::{RunEffects, Scenario};
use crate::stats::{Estimate, Sorted, Summary, Validity, clause8, spread};
use std::sync::atomic::AtomicBool;

/// Trials unless others are asked for: the ends of the interval are then known to 1 % of the spread.
pub const TRIALS: u64 = 102_400;

/// Trials for what the instruments leave to each run alone: good to 1 % of itself.
const TRIALS_OF_RUNS: u64 = 10_240;

/// Coverage probability.
const PROBABILITY: f64 = 0.95;

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

/// The result without the runs that have a remark.
#[derive(Debug, Clone, PartialEq)]
pub struct Without {
    /// Which are left out, with what is remarked.
    pub runs: Vec<(String, String)>,
    /// The result then, J/mol.
    pub value: f64,
    /// Its standard uncertainty by the linear budget, J/mol.
    pub u: f64,
}

/// Measured runs, evaluated.
#[derive(Debug, Clone)]
pub struct Evaluated {
    /// The scenario.
    pub scenario: Scenario,
    /// The runs.
    pub measured: Measured,
    /// Seed.
    pub seed: u64,
    /// Trials.
    pub trials: u64,
    /// One-sided errors.
    pub one_sided: OneSidedErrors,
    /// The lab's evaluation: constants, values of the runs, means, result.
    pub evaluation: Evaluation,
    /// The result with what is to be stated.
    pub stated: Stated,
    /// The propagated distribution of the result, J/mol.
    pub distribution: Summary,
    /// Standard uncertainty of the constant, J/K; `None` where nothing calibrates.
    pub u_constant: Option<Estimate>,
    /// Linear budget of the result.
    pub budget: LinearBudget,
    /// Half-width of its 95 % interval, J/mol.
    pub linear: f64,
    /// Whether that is good to the two digits of its uncertainty, after JCGM 101, clause 8.
    pub linear_is_good: bool,
    /// Standard uncertainty of each run alone, leg by leg: of a constant in J/K, of a determination in J/mol.
    pub u_runs: Vec<Vec<f64>>,
    /// How the runs of each leg agree; `None` for a single run.
    pub consistency: Vec<Option<Consistency>>,
    /// Against the accepted value.
    pub agreement: Agreement,
    /// Without runs that have a remark.
    pub without: Option<Without>,
    /// What one change would do to the uncertainty.
    pub changes: Vec<Change>,
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

/// Evaluates measured runs.
///
/// # Errors
/// If interrupted.
pub fn evaluate(
    scenario: &Scenario,
    measured: Measured,
    options: &EvaluateOptions,
) -> Result<Evaluated, EngineError> {
    let factor = CoverageFactor::new(PROBABILITY);
    let method = Method::of(scenario);
    let links = Links::of_records(scenario, measured.reductions.clone());
    let claimed = |seen: &Seen| Claims::of(seen, &method, &links, &factor);
    let (evaluation, claims) = claimed(&measured.seen);
    let sampled = match options.one_sided {
        OneSidedErrors::Ignored => OneSided::Spread,
        OneSidedErrors::Corrected | OneSidedErrors::Asymmetric => OneSided::Whole,
    };
    let (seen, reductions) = (measured.seen.clone(), measured.reductions.clone());
    let knowledge = Knowledge::new(scenario, seen, reductions, sampled);
    let mut study = Study::new(options.seed);
    study.interrupt = options.interrupt;
    let results = study.run(&Sampler(&knowledge, Sampled::Result), options.trials)?;
    let of_runs = study.run(&Sampler(&knowledge, Sampled::RunsApart), TRIALS_OF_RUNS)?;
    let distribution = Summary::of(&results.columns[0], PROBABILITY);
    let stated = stated(
        &evaluation,
        &distribution,
        &claims.budget,
        options.one_sided,
        &results.columns[0],
    );
    let mut sds = of_runs.columns.iter().map(|c| spread(c).value);
    let legs = 1 + evaluation.enthalpies.len();
    let u_runs: Vec<Vec<f64>> = (0..legs)
        .map(|leg| sds.by_ref().take(evaluation.of_leg(leg).len()).collect())
        .collect();
    let consistency = (0..legs)
        .map(|leg| Consistency::of(evaluation.of_leg(leg), &u_runs[leg]))
        .collect();
    let interval = (
        distribution.interval.low.value,
        distribution.interval.high.value,
    );
    let validity: Validity = clause8(
        evaluation.enthalpy,
        claims.budget.u,
        claims.linear,
        interval,
        2,
    );
    let accepted_u = Some(scenario.tabulated_u().0).filter(|u| *u > 0.0);
    let agreement = Agreement::of(
        (stated.value, stated.half_width(), claims.budget.dof),
        (scenario.tabulated().0, accepted_u),
        scenario.compared_u(JoulePerMole(stated.u)).0,
    );
    Ok(Evaluated {
        without: without(scenario, &measured, (&method, &factor)),
        changes: changes(scenario, &measured, &claims.budget, claimed),
        scenario: scenario.clone(),
        seed: options.seed,
        trials: options.trials,
        one_sided: options.one_sided,
        stated,
        distribution,
        u_constant: (!evaluation.constants.is_empty()).then(|| spread(&results.columns[1])),
        linear: claims.linear,
        linear_is_good: validity.valid,
        budget: claims.budget,
        u_runs,
        consistency,
        agreement,
        evaluation,
        measured,
    })
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

/// The result without runs that have a remark, if there are such and each leg keeps a run.
fn without(
    scenario: &Scenario,
    measured: &Measured,
    (method, factor): (&Method, &CoverageFactor),
) -> Option<Without> {
    let runs: Vec<(String, String)> = measured
        .runs
        .iter()
        .filter_map(|r| Some((r.label.clone(), r.remark.clone()?)))
        .collect();
    if runs.is_empty() {
        return None;
    }
    let rest = measured.without(|r| r.remark.is_some());
    let emptied = std::iter::once(&rest.seen.calibration)
        .chain(&rest.seen.legs)
        .zip(scenario.legs())
        .any(|(seen, leg)| seen.runs.is_empty() && leg.runs > 0);
    if emptied {
        return None;
    }
    let links = Links::of_records(scenario, rest.reductions.clone());
    let (evaluation, claims) = Claims::of(&rest.seen, method, &links, factor);
    Some(Without {
        runs,
        value: evaluation.enthalpy,
        u: claims.budget.u,
    })
}

/// The scenario with the observed scatter in place of the stated run effects.
#[must_use]
pub fn by_scatter(mut scenario: Scenario) -> Scenario {
    scenario.lab.run_effects = RunEffects::Scatter;
    scenario
}

impl Evaluated {
    /// What the runs of a leg say: constants in J/K of the calibration, molar enthalpies in J/mol of a determination.
    pub fn results(&self, leg: usize) -> &[f64] {
        self.evaluation.of_leg(leg)
    }

    /// Whether the observed scatter of the runs stands in place of their stated errors.
    pub fn by_scatter(&self) -> bool {
        self.scenario.lab.run_effects == RunEffects::Scatter
    }
}
