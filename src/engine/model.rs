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

    /// The same block under several plans, each result handed to `sink` with the number of its plan. A model may keep
    /// what its plans share; the results are those of [`Self::block`] to the last bit.
    fn under_plans(&self, plans: &[Draws], sink: &mut dyn FnMut(usize, Output)) {
        for (at, draws) in plans.iter().enumerate() {
            sink(at, self.block(draws));
        }
    }
}
