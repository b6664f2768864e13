//! What makes the spread and the bias of a contender, with little effort: a comparison asks for the first of each.

use super::compare_difference::SEEN;
use crate::engine::EngineError;
use crate::experiment::{Experiment, ResultColumn};
use crate::random::{Tag, Treatment};
use crate::rank::{
    Share, ShareOptions, by_scope, by_source, erring, floor, order, shares, to_better, what_if,
};
use crate::scenario::{Scenario, Source};
use crate::stats::Estimate;
use std::sync::atomic::AtomicBool;

/// Trials of each run of the model.
const TRIALS: u64 = 4_096;

/// Batches whose spread gives the errors.
const BATCHES: usize = 16;

/// The first causes.
#[derive(Debug, Clone)]
pub struct Causes {
    /// Sources with the largest total share of the variance; several if these trials cannot tell them apart.
    pub spread: Vec<(&'static Source, Share)>,
    /// The source with the largest bias of those that are seen, J/mol.
    pub bias: Option<(&'static Source, Estimate)>,
    /// Spread that infinitely many runs of both kinds would leave, J/mol.
    pub floor: Estimate,
}

/// Trials of the model that [`Causes::of`] takes for a scenario.
pub(super) fn effort(scenario: &Scenario) -> u64 {
    let sources = erring(scenario);
    let groups = sources.len() + by_scope(&sources).len();
    TRIALS * (groups + sources.len() + 3) as u64
}

impl Causes {
    /// Finds them for a scenario with this spread; `progress` is called with the number of trials done, of [`effort`].
    ///
    /// # Errors
    /// If interrupted.
    pub(super) fn of(
        (scenario, spread): (&Scenario, Estimate),
        seed: u64,
        interrupt: Option<&AtomicBool>,
        progress: &(dyn Fn(u64) + Sync),
    ) -> Result<Self, EngineError> {
        let model = Experiment::without_claims(scenario.clone()).rounding_apart();
        let sources = erring(scenario);
        let column = ResultColumn::Error as usize;
        let groups = [by_source(&sources), by_scope(&sources)].concat();
        let all: Vec<Tag> = groups.iter().flat_map(|g| g.tags.clone()).collect();
        // The engine tells how many trials are done; each is run once for every group.
        let each = groups.len() as u64 + 2;
        let tick = |done: u64| progress(done * each);
        let options = ShareOptions {
            seed,
            trials: TRIALS,
            batches: BATCHES,
            interrupt,
            progress: Some(&tick),
        };
        let found = shares(&model, column, &groups, &all, &options)?;
        let more = sources.len() as u64 + 1;
        let tick = |done: u64| progress(TRIALS * each + done * more);
        let options = ShareOptions {
            progress: Some(&tick),
            ..options
        };
        let bettered = to_better(&sources);
        let better = what_if(&model, column, &bettered, &[Treatment::Perfect], &options)?;
        let totals: Vec<&Share> = found.groups[..sources.len()]
            .iter()
            .map(|g| &g.total)
            .collect();
        let mut first: Vec<(&'static Source, Share)> = order(&totals)
            .into_iter()
            .zip(sources.iter().zip(&totals))
            .filter(|(rank, (_, share))| *rank == 1 && share.value > 0.0)
            .map(|(_, (source, share))| (*source, (*share).clone()))
            .collect();
        first.sort_by(|a, b| b.1.value.total_cmp(&a.1.value));
        let bias = sources
            .iter()
            .zip(&better.groups)
            .map(|(source, g)| (*source, g.effects[0].gain.mean))
            .filter(|(_, e)| e.value.abs() > SEEN * e.se)
            .max_by(|a, b| a.1.value.abs().total_cmp(&b.1.value.abs()));
        Ok(Self {
            spread: first,
            bias,
            floor: floor(&found, spread),
        })
    }
}
