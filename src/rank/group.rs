//! What is ranked, and with how much effort.

use crate::random::{BLOCK, Plan, Tag, Treatment};
use std::sync::atomic::AtomicBool;

/// Batches unless asked otherwise: with 64, a standard error is itself known to 9 %.
pub const BATCHES: usize = 64;

/// The fewest batches that still give an error worth stating.
pub const FEWEST_BATCHES: usize = 16;

/// Trials unless asked otherwise: one block a batch.
pub const TRIALS: u64 = (BATCHES * BLOCK) as u64;

/// One source, or several that are moved together, as one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Group {
    /// What to call it.
    pub name: String,
    /// The tags of the sources in it. A set drawn with correlation has one tag and cannot be split.
    pub tags: Vec<Tag>,
}

impl Group {
    /// A group of the sources with these tags.
    pub fn new(name: &str, tags: impl IntoIterator<Item = Tag>) -> Self {
        Self {
            name: name.to_owned(),
            tags: tags.into_iter().collect(),
        }
    }

    /// The plan that treats its sources so and no others.
    pub fn plan(&self, treatment: Treatment) -> Plan {
        plan(&self.tags, treatment)
    }
}

/// The plan that treats these sources alike.
pub(super) fn plan(tags: &[Tag], treatment: Treatment) -> Plan {
    tags.iter()
        .fold(Plan::new(), |plan, tag| plan.with(*tag, treatment))
}

/// How to run a ranking.
#[derive(Clone, Copy)]
pub struct ShareOptions<'a> {
    /// Seed of all streams.
    pub seed: u64,
    /// Trials of each run of the model. Rounded up so that all batches hold the same whole number
    /// of blocks.
    pub trials: u64,
    /// Batches whose spread gives the errors; taken as [`FEWEST_BATCHES`] if fewer.
    pub batches: usize,
    /// Set by another thread to end the study early.
    pub interrupt: Option<&'a AtomicBool>,
    /// Called with the number of trials done, out of [`Self::rounded`].
    pub progress: Option<&'a (dyn Fn(u64) + Sync)>,
}

impl ShareOptions<'_> {
    /// [`TRIALS`] trials in [`BATCHES`] batches with this seed.
    pub fn new(seed: u64) -> Self {
        Self {
            seed,
            trials: TRIALS,
            batches: BATCHES,
            interrupt: None,
            progress: None,
        }
    }

    /// The same with so many trials.
    #[must_use]
    pub fn trials(self, trials: u64) -> Self {
        Self { trials, ..self }
    }

    /// Batches that are used.
    pub(super) fn parts(&self) -> usize {
        self.batches.max(FEWEST_BATCHES)
    }

    /// Blocks of a batch.
    pub(super) fn blocks_each(&self) -> u64 {
        let unit = self.parts() as u64 * BLOCK as u64;
        self.trials.div_ceil(unit).max(1)
    }

    /// Trials that are run: [`Self::trials`] rounded up.
    pub fn rounded(&self) -> u64 {
        self.blocks_each() * self.parts() as u64 * BLOCK as u64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn trials_are_rounded_up_to_equal_batches() {
        let options = ShareOptions::new(1);
        assert_eq!((options.rounded(), options.blocks_each()), (16_384, 1));
        assert_eq!(options.trials(1).rounded(), 16_384);
        assert_eq!(options.trials(16_385).rounded(), 32_768);
        let few = ShareOptions {
            batches: 2,
            ..options.trials(100)
        };
        assert_eq!(few.rounded(), (FEWEST_BATCHES * BLOCK) as u64);
    }
}
