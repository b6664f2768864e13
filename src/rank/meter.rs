//! How far a ranking has come.
//!
//! A ranking runs the model in many ways, from shares to the interval, and one block under all plans of a
//! stage can take seconds. Counted is therefore every block of trials that any run of the model finishes.

use super::effort::{USUAL_TRIALS, whole};
use super::sides::{self, errs_on_both};
use super::sources::{by_family, by_scope, erring};
use super::study::TREATMENTS;
use crate::engine::{Model, Output};
use crate::random::{BLOCK, Draws};
use crate::scenario::Scenario;
use std::sync::atomic::{AtomicU64, Ordering};

/// Trials of all runs of the model together: what [`RankOptions::progress`](super::RankOptions) counts to.
pub fn runs(scenario: &Scenario, trials: u64) -> u64 {
    let trials = whole(trials);
    let sources = erring(scenario);
    let (n, families) = (sources.len(), by_family(&sources).len());
    let shares = 2 + n + families + by_scope(&sources).len();
    let better = 1 + TREATMENTS.len() * (n + families);
    let both = sources.iter().filter(|s| errs_on_both(scenario, s)).count() as u64;
    trials * (shares + 1) as u64
        + better_trials(trials) * better as u64
        + side_trials(trials) * both
        + interval_trials(trials)
}

/// Trials of each treatment of a source: a difference on common random numbers needs fewer than a share.
pub(super) fn better_trials(rounded: u64) -> u64 {
    whole(rounded.div_ceil(4))
}

/// Trials of each side, in whole blocks: fewer than usual if the ranking has fewer.
pub(super) fn side_trials(rounded: u64) -> u64 {
    let trials = sides::TRIALS * rounded.min(USUAL_TRIALS) / USUAL_TRIALS;
    trials.next_multiple_of(BLOCK as u64)
}

/// Trials of the interval that the linear one is compared with: its ends need more than a variance does.
pub(super) fn interval_trials(rounded: u64) -> u64 {
    rounded.saturating_mul(8).min(102_400)
}

/// Trials that all models behind it have run.
pub(super) struct Meter<'a> {
    done: AtomicU64,
    tell: Option<&'a (dyn Fn(u64) + Sync)>,
}

impl<'a> Meter<'a> {
    /// Tells each new count to `tell`, from whatever thread has run the block.
    pub fn new(tell: Option<&'a (dyn Fn(u64) + Sync)>) -> Self {
        Self {
            done: AtomicU64::new(0),
            tell,
        }
    }

    /// Counts one block more.
    pub fn count(&self) {
        let own = BLOCK as u64;
        let done = self.done.fetch_add(own, Ordering::Relaxed) + own;
        if let Some(tell) = self.tell {
            tell(done);
        }
    }

    /// The model, counted.
    pub fn on<'m>(&'m self, model: &'m dyn Model) -> Metered<'m> {
        Metered { model, meter: self }
    }
}

/// A model whose blocks are counted; its results are the model's.
pub(super) struct Metered<'a> {
    model: &'a dyn Model,
    meter: &'a Meter<'a>,
}

impl Model for Metered<'_> {
    fn columns(&self) -> Vec<String> {
        self.model.columns()
    }

    fn block(&self, draws: &Draws) -> Output {
        let output = self.model.block(draws);
        self.meter.count();
        output
    }

    fn under_plans(&self, plans: &[Draws], sink: &mut dyn FnMut(Output)) {
        self.model.under_plans(plans, &mut |output| {
            self.meter.count();
            sink(output);
        });
    }
}

#[cfg(test)]
mod tests {
    use super::super::{FEWEST_TRIALS, RankOptions, rank};
    use super::*;
    use crate::scenario::{read, shipped};

    #[test]
    fn what_is_counted_ends_where_it_was_said_to_end() {
        let scenario = read(shipped("urea-foam-cups").unwrap()).unwrap();
        let (last, calls) = (AtomicU64::new(0), AtomicU64::new(0));
        let tell = |done: u64| {
            last.fetch_max(done, Ordering::Relaxed);
            calls.fetch_add(1, Ordering::Relaxed);
        };
        let r = rank(
            &scenario,
            &RankOptions {
                seed: 1,
                trials: 1,
                interrupt: None,
                progress: Some(&tell),
            },
        );
        assert_eq!(r.unwrap().trials, FEWEST_TRIALS);
        let all = runs(&scenario, 1);
        assert_eq!(last.into_inner(), all);
        assert_eq!(calls.into_inner(), all / BLOCK as u64);
        // Sides and interval have their part in it, and all of it grows with the trials.
        let usual = runs(&scenario, USUAL_TRIALS);
        assert!(usual > all && usual < 2 * all);
        assert!(runs(&scenario, 2 * USUAL_TRIALS) < 2 * usual);
    }
}
