//! Why: what moves the mean, and what makes the spread.
//!
//! The full ranking with its intervals is a study of its own; a forecast shows two cheap parts of
//! it. Each source that can only go one way, or that the lab's budget has no term for, is made
//! perfect in turn, on the same random numbers: what changes is its share of the bias and of the
//! spread. And the linear budget of a group without luck (all errors at zero) is summed by family.

use crate::engine::{EngineError, Study};
use crate::experiment::{Experiment, Quantity};
use crate::lab::LinearBudget;
use crate::random::{Layout, Plan, Treatment};
use crate::scenario::{Family, SOURCES, Scenario, Source, SourceId};
use crate::stats::{Estimate, Moments};
use std::sync::atomic::AtomicBool;

/// Trials of each of these small studies; pairs on common random numbers need few.
const TRIALS: u64 = 5_120;

/// What one source does.
#[derive(Debug, Clone, Copy)]
pub struct Cause {
    /// The source.
    pub source: &'static Source,
    /// Bias that it makes: mean error with it minus mean error without it, J/mol.
    pub bias: Estimate,
    /// Spread without it, over spread with it.
    pub spread_without: f64,
}

/// Makes each candidate perfect in turn.
pub(super) fn causes(
    scenario: &Scenario,
    seed: u64,
    interrupt: Option<&AtomicBool>,
) -> Result<Vec<Cause>, EngineError> {
    let model = Experiment::without_claims(scenario.clone());
    let errors = |plan: Plan| -> Result<Vec<f64>, EngineError> {
        let study = Study {
            seed,
            layout: Layout::MARGINAL,
            plan,
            interrupt,
            progress: None,
        };
        Ok(study
            .run(&model, TRIALS)?
            .columns
            .swap_remove(Quantity::Error as usize))
    };
    let all = errors(Plan::new())?;
    let spread = Moments::of(&all).sd().value;
    let mut causes = Vec::new();
    for source in SOURCES.iter().filter(|s| is_candidate(scenario, s)) {
        let without = errors(Plan::new().with(source.tag(), Treatment::Perfect))?;
        let shift: Vec<f64> = all.iter().zip(&without).map(|(a, b)| a - b).collect();
        causes.push(Cause {
            source,
            bias: Moments::of(&shift).mean(),
            spread_without: Moments::of(&without).sd().value / spread,
        });
    }
    causes.sort_by(|a, b| b.bias.value.abs().total_cmp(&a.bias.value.abs()));
    Ok(causes)
}

fn is_candidate(scenario: &Scenario, source: &Source) -> bool {
    let errs = |id: SourceId| {
        scenario
            .legs()
            .iter()
            .any(|leg| !leg.binding(id).input.is_exact())
    };
    let window =
        source.id == SourceId::Window && scenario.lab.mass != crate::scenario::MassUsed::Nominal;
    (source.one_sided || !source.budget) && !window && errs(source.id)
}

/// Share of one family in the linear budget's variance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FamilyShare {
    /// The family; `None` for an observed scatter.
    pub family: Option<Family>,
    /// Its share, from 0 to 1.
    pub share: f64,
}

/// A budget by family, largest first.
pub fn family_shares(budget: &LinearBudget) -> Vec<FamilyShare> {
    let total: f64 = budget.lines.iter().map(|l| l.variance).sum();
    let mut shares: Vec<FamilyShare> = Vec::new();
    for line in &budget.lines {
        let family = line.source.map(|s| s.source().family);
        let share = line.variance / total;
        match shares.iter_mut().find(|s| s.family == family) {
            Some(s) => s.share += share,
            None => shares.push(FamilyShare { family, share }),
        }
    }
    shares.sort_by(|a, b| b.share.total_cmp(&a.share));
    shares
}
