//! Floor 5: which sources matter, for any model and any grouping of its sources.
//!
//! Two questions are answered side by side, because an error can matter in two ways.
//!
//! - [`shares`]: how much of the *variance* of a result a source makes, alone (first-order share)
//!   and with everything it takes part in (total share), each with a 95 % interval; [`order`]
//!   ranks them and shows ties as ties.
//! - [`what_if`]: what bias, spread and root mean square become if a source is made perfect, or
//!   half as large, on the same random numbers. A one-sided error biases far more than it spreads,
//!   so its share of the variance says little about it.
//!
//! [`remaining`] is the same variance from the other side, for checks: holding a source leaves, on
//! average, what its first-order share does not claim.
//!
//! All run blocks of trials in parallel and merge them in order, in memory that does not grow with the
//! number of trials. All state errors from batches of trials, which assume nothing about the
//! distribution of the result but that its variance exists. Nothing here knows what a source is:
//! a [`Group`] is a name and the tags of the streams that are moved together.

mod control;
mod effort;
mod group;
mod held;
mod meter;
mod order;
mod pair;
mod share;
mod shares;
mod sides;
mod sources;
mod study;
mod what_if;

pub use effort::{Effort, FEWEST_TRIALS, MOST_TRIALS, USUAL_TRIALS, to_digits};
pub use group::{BATCHES, FEWEST_BATCHES, Group, ShareOptions, TRIALS};
pub use held::remaining;
pub use meter::runs;
pub use order::order;
pub use share::Share;
pub use shares::{GroupShare, Shares, shares};
pub use sides::{Side, Sides};
pub use sources::{by_family, by_scope, by_source, erring, families_to_better, to_better};
pub use study::{RankOptions, Ranked, RankedFamily, Ranking, averaged, floor, rank};
pub use what_if::{Better, Effect, GroupEffects, State, WhatIf, what_if};
