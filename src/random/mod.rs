//! Floor 0: named random streams, portable elementary functions, distributions.
//!
//! What decides the bits of every result is settled in this folder and nowhere else: the
//! generator ([`generator`]), the identity of a stream ([`Name`]), the block of [`BLOCK`] trials,
//! one uniform number a scalar, the inverse distribution functions ([`dist`]) and the elementary
//! functions ([`elementary`]).

pub mod dist;
pub mod elementary;
pub mod generator;
pub mod special;

mod column;
mod columnwise;
mod draws;
mod multivariate;
mod name;

pub use column::{BLOCK, Column};
pub use dist::{Dist, DistError};
pub use draws::{Draws, Input, Layout, Plan, Treatment};
pub use multivariate::{MultivariateError, MultivariateNormal};
pub use name::{Name, Tag};
