//! The plainest model: a list of inputs and a function of one trial's values.

use super::model::{Model, Output};
use crate::random::{BLOCK, Column, Dist, Draws, Input, MultivariateNormal, Name, Tag};

/// One input of a [`ListModel`], or a correlated set that is drawn as one.
#[derive(Debug, Clone)]
pub enum ListInput {
    /// An independent input.
    One(String, Input),
    /// Jointly normal inputs; they are one source.
    Correlated(String, MultivariateNormal),
}

impl ListInput {
    /// An independent input whose perfect value is its distribution's mean.
    pub fn new(name: &str, dist: impl Into<Dist>) -> Self {
        let dist = dist.into();
        let ideal = dist.mean();
        Self::One(name.to_owned(), Input::about(dist, ideal))
    }
}

/// A list of inputs and any function of them.
///
/// The function receives one trial's values in the order of the list (members of a correlated set
/// in their own order) and pushes its results, as many as there are names.
pub struct ListModel<F> {
    inputs: Vec<ListInput>,
    results: Vec<String>,
    function: F,
}

impl<F: Fn(&[f64], &mut [f64]) + Sync> ListModel<F> {
    /// A model from inputs, result names and a function `(values, results)`.
    pub fn new(inputs: Vec<ListInput>, results: &[&str], function: F) -> Self {
        Self {
            inputs,
            results: results.iter().map(|r| (*r).to_owned()).collect(),
            function,
        }
    }
}

impl<F: Fn(&[f64], &mut [f64]) + Sync> Model for ListModel<F> {
    fn columns(&self) -> Vec<String> {
        self.results.clone()
    }

    fn block(&self, draws: &Draws) -> Output {
        let mut columns: Vec<Column<f64>> = Vec::new();
        for input in &self.inputs {
            match input {
                ListInput::One(name, input) => {
                    let name = Name::once(Tag::of(name), Tag::of(""));
                    columns.push(draws.column(name, 0, input));
                }
                ListInput::Correlated(name, set) => {
                    columns.extend(set.draw(draws, Name::once(Tag::of(name), Tag::of(""))));
                }
            }
        }
        let mut out = vec![Column::splat(0.0); self.results.len()];
        let mut values = vec![0.0; columns.len()];
        let mut results = vec![0.0; out.len()];
        for trial in 0..BLOCK {
            for (v, c) in values.iter_mut().zip(&columns) {
                *v = c[trial];
            }
            (self.function)(&values, &mut results);
            for (c, r) in out.iter_mut().zip(&results) {
                c[trial] = *r;
            }
        }
        out
    }
}
