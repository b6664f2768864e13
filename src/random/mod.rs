//! Floor 0: named random streams, distributions, portable elementary functions.
//!
//! What decides the bits of every result is settled in this folder and nowhere else: the identity of a
//! stream ([`Name`]), the block of [`BLOCK`] trials, the generator of a [`Cell`] and how a distribution
//! ([`Dist`]) makes numbers of its words. Generator and samplers are those of the crates `rand` and
//! `rand_distr`, quantiles and distribution functions mostly those of `statrs`. They take some logarithms and
//! exponentials from the platform: results have the same bits for any number of threads, and the same
//! digits, not always the same last bit, on another platform.

pub mod elementary;
pub mod special;

mod column;
mod dist;
mod draws;
mod multivariate;
mod name;

pub use column::{BLOCK, Column};
pub use dist::{Dist, DistError, Form};
pub use draws::{Drawn, Draws, Input, Layout, Plan, Treatment};
pub use multivariate::{MultivariateError, MultivariateNormal};
pub use name::{Cell, Name, Tag};
