//! A class of groups that share one course: the same reagent bottles, reference value and tables.
//!
//! Course errors are drawn once for a class, group errors for each group. Groups of one class agree
//! with each other better than with the truth: their scatter misses what they share, and the mean of
//! the class is no better than that.

use crate::engine::{EngineError, Study};
use crate::experiment::{Experiment, ResultColumn};
use crate::random::Layout;
use crate::scenario::Scenario;
use crate::stats::{Estimate, Interval, Moments, Sorted, symmetric};
use std::sync::atomic::AtomicBool;

/// Fewest and most classes, and about how many groups in all.
const FEWEST: u64 = 400;
const MOST: u64 = 4_000;
const GROUPS_IN_ALL: u64 = 40_000;

/// What classes of a size come to.
#[derive(Debug, Clone, Copy, serde::Serialize, schemars::JsonSchema)]
pub struct ClassSeen {
    /// Groups in a class.
    pub groups: u64,
    /// Classes simulated.
    pub classes: u64,
    /// Standard deviation between the groups of one class (root mean square over classes), J/mol.
    #[serde(rename = "scatter_J_per_mol")]
    pub scatter: Estimate,
    /// Mean error of a class mean, J/mol.
    #[serde(rename = "mean_bias_J_per_mol")]
    pub bias: Estimate,
    /// Standard deviation of class means about that, J/mol: the uncertainty of a class mean.
    #[serde(rename = "mean_spread_J_per_mol")]
    pub mean_spread: Estimate,
    /// Interval that holds 95 % of the errors of class means, J/mol.
    #[serde(rename = "mean_interval_J_per_mol")]
    pub mean_interval: Interval,
    /// Share of a class's groups whose linear claim holds: 5 % and 95 % quantile over the classes.
    #[serde(rename = "linear_claim_coverage_5_to_95_percent")]
    pub coverage: Option<(f64, f64)>,
}

/// Simulates classes of `groups` groups.
///
/// # Errors
/// If interrupted.
pub fn class(
    scenario: &Scenario,
    seed: u64,
    groups: u64,
    interrupt: Option<&AtomicBool>,
) -> Result<ClassSeen, EngineError> {
    let classes = (GROUPS_IN_ALL / groups).clamp(FEWEST, MOST);
    let study = Study {
        layout: Layout { groups },
        interrupt,
        ..Study::new(seed)
    };
    let table = study.run(&Experiment::new(scenario.clone()), classes * groups)?;
    let size = groups as usize;
    let errors = table.columns[ResultColumn::Error as usize].chunks_exact(size);
    let halves = table.columns[ResultColumn::LinearClaim as usize].chunks_exact(size);
    let mut variances = Vec::new();
    let mut means = Vec::new();
    let mut shares = Vec::new();
    for (e, h) in errors.zip(halves) {
        let m = Moments::of(e);
        means.push(m.mean().value);
        variances.push(m.sd().value * m.sd().value);
        let held = e.iter().zip(h).filter(|(e, h)| e.abs() <= **h).count();
        shares.push(held as f64 / groups as f64);
    }
    let variance = Moments::of(&variances).mean();
    let scatter = variance.value.sqrt();
    let of_means = Moments::of(&means);
    let sorted = Sorted::of(&shares);
    Ok(ClassSeen {
        groups,
        classes,
        scatter: Estimate::new(scatter, variance.se / (2.0 * scatter)),
        bias: of_means.mean(),
        mean_spread: of_means.sd(),
        mean_interval: symmetric(&Sorted::of(&means), 0.95),
        coverage: (!sorted.is_empty())
            .then(|| (sorted.quantile(0.05).value, sorted.quantile(0.95).value)),
    })
}
