//! The repeat rule: a run whose residue is noticed is carried out again.
//!
//! Each attempt draws run and reading errors anew; group and course errors stay. After the most
//! repeats that the procedure allows, the last run is accepted as it is, or dropped.

use crate::quantity::Gram;
use crate::random::{BLOCK, Column};

/// Something that has a value in each trial of a block, and can take over another one's.
pub trait PerTrial {
    /// Takes over the value of one trial.
    fn take(&mut self, trial: usize, from: &Self);
}

impl<T: Copy> PerTrial for Column<T> {
    fn take(&mut self, trial: usize, from: &Self) {
        self[trial] = from[trial];
    }
}

/// One attempt at a run, for a block of trials.
#[derive(Debug, Clone)]
pub struct Attempt<P> {
    /// What came of it.
    pub page: P,
    /// Solid left over, g.
    pub residue: Column<Gram>,
    /// Whether the inspection noticed it.
    pub noticed: Column<bool>,
}

/// A run after its repeats.
#[derive(Debug, Clone)]
pub struct Settled<P> {
    /// The last attempt of each trial, and whether its residue was noticed all the same.
    pub last: Attempt<P>,
    /// Attempts made.
    pub attempts: Column<u32>,
}

/// Carries out a run with up to `most` repeats. `attempt` is asked for attempt 0, and for another one
/// only while some trial of the block needs it; draws are named, so nobody else's change.
pub fn settle<P: PerTrial>(most: u32, mut attempt: impl FnMut(u32) -> Attempt<P>) -> Settled<P> {
    let mut last = attempt(0);
    let mut attempts = Column::splat(1u32);
    for number in 1..=most {
        if !last.noticed.0.contains(&true) {
            break;
        }
        let again = attempt(number);
        for i in 0..BLOCK {
            if last.noticed[i] {
                last.page.take(i, &again.page);
                last.residue[i] = again.residue[i];
                last.noticed[i] = again.noticed[i];
                attempts[i] += 1;
            }
        }
    }
    Settled { last, attempts }
}
