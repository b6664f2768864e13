//! What a mistake changes, and what is done with it in a block of groups.
//!
//! The competent lab's tables and evaluation stay what they are: a mistake changes what happens without anybody's knowledge, what is
//! written down, or what the lab does with it.

use crate::lab::{Entry, LegPages, LegTables, Method, Page, Pages};
use crate::random::Column;
use crate::scenario::{Leg, LiquidBy, Scenario};
use std::rc::Rc;

/// What a mistake changes; sizes are in the units of the chain.
#[derive(Debug, Clone)]
pub enum Act {
    /// What happens in the runs of a leg, or when it is read.
    Happens(fn(&mut Leg, f64)),
    /// What is written down of a run.
    Noted(fn(&mut Page, &Leg, f64)),
    /// What the lab looks up for a leg.
    LookedUp(fn(&mut LegTables, &Leg)),
    /// How the lab evaluates.
    Evaluates(fn(&mut Scenario)),
    /// How the lab evaluates a constant and contents.
    Method(fn(&mut Method)),
    /// Runs of one kind are exchanged with another, or left out.
    Runs(fn(&mut [Rc<LegPages>])),
    /// The moment of mixing is taken to be later by the size.
    Moment,
    /// The value is multiplied by this.
    Value(fn(&Scenario) -> f64),
    /// Keys of the scenario, as its author wrote them: `PATH = VALUE; PATH = VALUE`.
    Keys(String),
}

impl Act {
    /// Whether it can be made in one run alone.
    pub fn fits_one_run(&self) -> bool {
        matches!(
            self,
            Self::Happens(_) | Self::Noted(_) | Self::Moment | Self::Keys(_)
        )
    }
}

/// What the lab knows of each leg stays as it is without the mistake: its tables, and what it takes from a label or a mark
/// instead of reading it.
pub(super) fn unknown_to_the_lab(erring: &mut Pages, competent: &Pages, scenario: &Scenario) {
    let both = erring.legs.iter_mut().zip(&competent.legs);
    for ((own, there), leg) in both.zip(scenario.legs()) {
        let own = Rc::make_mut(own);
        own.tables.clone_from(&there.tables);
        let Some(first) = there.runs.first() else {
            continue;
        };
        let by_volume = matches!(leg.liquid_by, LiquidBy::Volume { .. });
        for page in &mut own.runs {
            for (entry, told) in [(Entry::Liquid, by_volume), (Entry::Portion, true)] {
                if told {
                    take(page, first, entry);
                }
            }
        }
    }
}

/// Takes over an entry that is the same in all runs.
fn take(page: &mut Page, from: &Page, entry: Entry) {
    if let (Some(own), Some(there)) = (page.entry_mut(entry), from.entry(entry)) {
        own.clone_from(there);
    }
}

/// Adds to an entry of a page.
pub(super) fn add(page: &mut Page, entry: Entry, more: f64) {
    change(page, entry, |x| x + more);
}

/// Changes an entry of a page.
pub(super) fn change(page: &mut Page, entry: Entry, to: impl Fn(f64) -> f64) {
    if let Some(column) = page.entry_mut(entry) {
        *column = Column::from_fn(|i| to(column[i]));
    }
}
