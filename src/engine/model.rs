//! What the engine runs.

use crate::random::{Column, Draws, Layout, Plan};

/// The result columns of one block, in the order of [`Model::columns`].
pub type Output = Vec<Column<f64>>;

/// Anything that turns draws into results. It must be a pure function of the draws.
pub trait Model: Sync {
    /// Names of the result columns.
    fn columns(&self) -> Vec<String>;

    /// The results of one block of trials.
    fn block(&self, draws: &Draws) -> Output;

    /// The same block under several plans, the results handed to `sink` in their order. A model may keep
    /// what its plans share; the results are those of [`Self::block`] to the last bit.
    fn under_plans(&self, plans: &[Draws], sink: &mut dyn FnMut(Output)) {
        plans.iter().for_each(|draws| sink(self.block(draws)));
    }
}

/// What is taken of a block's results under each of several plans; every trial is a class of its own.
pub fn under_plans<'p, T>(
    model: &dyn Model,
    (seed, block): (u64, u64),
    plans: impl IntoIterator<Item = &'p Plan>,
    take: impl Fn(Output) -> T,
) -> Vec<T> {
    let draws = plans
        .into_iter()
        .map(|plan| Draws::new(seed, block, Layout::MARGINAL, plan));
    let mut out = Vec::new();
    model.under_plans(&draws.collect::<Vec<_>>(), &mut |output| {
        out.push(take(output))
    });
    out
}
