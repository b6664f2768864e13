//! The result of measured runs with an uncertainty that keeps its promise.
//!
//! Value: the lab's evaluation of the notebook. Uncertainty: the propagated distribution of `lab::knowledge` (JCGM 101)
//! beside the linear budget of the same notebook. Run and reading effects come from the instruments' statements or from the
//! observed scatter of the runs, as the lab's `run_effects` says, never from both.

use super::agree::{Agreement, Consistency};
use super::notebook::Measured;
use super::propagate::{
    EvaluateOptions, OneSidedErrors, Propagated, Sampler, Stated, claimed, propagate,
};
use super::what_if::{Change, changes};
use crate::engine::EngineError;
use crate::lab::{Evaluation, LinearBudget, Sampled};
use crate::quantity::JoulePerMole;
use crate::scenario::{RunEffects, Scenario};
use crate::stats::{Estimate, Summary, Validity, clause8, spread};

/// Most trials for what the instruments leave to each run alone: good to 1 % of itself.
const TRIALS_OF_RUNS: u64 = 10_240;

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

/// Evaluates measured runs.
///
/// # Errors
/// If interrupted.
pub fn evaluate(
    scenario: &Scenario,
    measured: Measured,
    options: &EvaluateOptions,
) -> Result<Evaluated, EngineError> {
    let Propagated {
        evaluation,
        claims,
        distribution,
        stated,
        results,
        knowledge,
    } = propagate(scenario, &measured, options)?;
    let trials = options.trials.min(TRIALS_OF_RUNS);
    let of_runs = options
        .study()
        .run(&Sampler(&knowledge, Sampled::RunsApart), trials)?;
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
        without: without(scenario, &measured),
        changes: changes(scenario, &measured, &claims.budget, |seen| {
            claimed(scenario, &measured, seen)
        }),
        scenario: scenario.clone(),
        seed: options.seed,
        trials: options.trials,
        one_sided: options.one_sided,
        stated,
        distribution,
        u_constant: (!evaluation.constants.is_empty()).then(|| spread(&results[1])),
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

/// The result without runs that have a remark, if there are such and each leg keeps a run.
fn without(scenario: &Scenario, measured: &Measured) -> Option<Without> {
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
    let (evaluation, claims) = claimed(scenario, &rest, &rest.seen);
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
