//! What a column of simulated results says: its centre, spread, shape and
//! coverage intervals, each with the Monte Carlo error of the number itself.
//!
//! A simulated standard deviation is an estimate from finitely many trials, and
//! a reader who compares two of them must know which digits are noise. So every
//! statistic here is an [`Estimate`]: a value and its standard error.
//!
//! All sums run in slice order on one thread, so a given slice gives the same
//! bits on every machine. Non-finite values never enter a statistic; they are
//! counted, because a trial that failed is itself a finding.
//!
//! Nothing here knows any units: results carry the unit of the column.

mod adaptive;
mod band;
mod batch;
mod estimate;
mod interval;
mod lattice;
mod line;
mod moments;
mod one_way;
pub mod passes;
mod places;
mod quantile;
mod rounding;
mod summary;
mod tail;
#[cfg(test)]
mod testing;
mod validity;

pub use adaptive::{AdaptiveStop, Decision, Running, StopRule};
pub use band::{count_within, rms, share_interval, share_within};
pub use batch::{BATCHES, SHORTEST_BATCH, excess_kurtosis, jackknife, left_out, skewness};
pub use estimate::Estimate;
pub use interval::{Interval, IntervalKind, SHORTEST_BATCHES, shortest, symmetric};
pub use lattice::Lattice;
pub use line::Line;
pub use moments::Moments;
pub use one_way::{MeanSquare, OneWay};
pub use places::places;
pub use quantile::Sorted;
pub use rounding::{Quoted, numerical_tolerance, quote, round_to, significant};
pub use summary::{Summary, spread};
pub use tail::{FarResults, rare_far_results};
pub use validity::{Validity, clause8};
