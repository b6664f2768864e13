//! What the engine runs.

use crate::random::{Column, Draws};

/// The result columns of one block, in the order of [`Model::columns`].
pub type Output = Vec<Column<f64>>;

/// Anything that turns draws into results. It must be a pure function of the draws.
pub trait Model: Sync {
    /// Names of the result columns.
    fn columns(&self) -> Vec<String>;

    /// The results of one block of trials.
    fn block(&self, draws: &Draws) -> Output;
}
