//! Floor 6: what a mistake does, and what mistake a difference would need.
//!
//! `catalogue` has one entry for each mistake, `own` reads those of a scenario; `acts` says what each does to a session,
//! `study` sets erring groups beside competent ones on the same draws, and `explain` goes back from a difference to sizes.

mod acts;
mod catalogue;
mod explain;
mod own;
mod place;
mod sessions;
mod shown;
mod size;
mod study;

pub use acts::Act;
pub use catalogue::{Mistake, all};
pub use explain::{Cause, Explained, Judgement, Observed, explain};
pub use own::own;
pub use place::Place;
pub use size::{Size, Sized, Unit};
pub use study::{Effect, Says, SlipOptions, Slips, Studied, TRIALS, slips};
