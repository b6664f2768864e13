//! Published examples, run through the engine as any other model.
//!
//! Each check names its source, and says "from memory" where the printed value could not be read
//! again. Two values are asserted: one computed independently to many digits, within the Monte
//! Carlo error of the run; and the printed one, within what its last digit leaves open.

pub mod budgets;
mod chain;
mod coverage;
mod guide;
mod intervals;
mod supplement;

use joulecast::engine::{ListInput, ListModel, Study, Table};
use joulecast::lab::{FirstOrder, Function, InputQuantity, LinearBudget};
use joulecast::random::Dist;
use joulecast::stats::{Interval, Moments, Sorted, symmetric};

/// Trials of the examples: 2^20 give an error of a thousandth of a standard deviation.
pub const TRIALS: u64 = 1 << 20;

/// Independent inputs of a list model, named by their place.
pub fn inputs(dists: impl IntoIterator<Item = Dist>) -> Vec<ListInput> {
    dists
        .into_iter()
        .enumerate()
        .map(|(i, d)| ListInput::new(&format!("X{}", i + 1), d))
        .collect()
}

/// Runs a list of inputs and a function of them.
pub fn simulate(
    inputs: Vec<ListInput>,
    results: &[&str],
    f: impl Fn(&[f64], &mut [f64]) + Sync,
    trials: u64,
) -> Table {
    let model = ListModel::new(inputs, results, f);
    Study::new(20_080_101)
        .run(&model, trials)
        .expect("not interrupted")
}

/// The only column of a model with one result.
pub fn simulate_one(
    inputs: Vec<ListInput>,
    f: impl Fn(&[f64]) -> f64 + Sync,
    trials: u64,
) -> Vec<f64> {
    let mut table = simulate(inputs, &["y"], |x, y| y[0] = f(x), trials);
    table.columns.remove(0)
}

/// Moments of a sample.
pub fn moments(values: &[f64]) -> Moments {
    Moments::of(values)
}

/// The symmetric 95 % interval of a sample.
pub fn interval(values: &[f64]) -> Interval {
    symmetric(&Sorted::of(values), 0.95)
}

/// A quantity of which nothing but value and standard uncertainty matters.
pub fn known(value: f64, u: f64) -> InputQuantity {
    InputQuantity::new("", "", "1", value, u)
}

/// The budget of a result of independent quantities.
pub fn first_order(quantities: &[InputQuantity], f: Function) -> LinearBudget {
    let model = FirstOrder::new(quantities.to_vec()).expect("sound quantities");
    model.budget("1", f)
}
