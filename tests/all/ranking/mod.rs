//! Ranking of sources, on models with exact answers, run as any other model.

mod budget;
mod choice;
mod conditions;
mod coverage;
mod effects;
mod examples;

use crate::judge::near;
use joulecast::engine::{ListInput, ListModel, Model};
use joulecast::random::{Dist, Tag};
use joulecast::rank::{Group, Share, ShareOptions, Shares, TRIALS, shares};

/// Standard errors a correct estimate may stray.
pub const Z: f64 = 5.0;

/// A model with one result.
pub fn model<'a>(inputs: Vec<ListInput>, f: impl Fn(&[f64]) -> f64 + Sync + 'a) -> impl Model + 'a {
    ListModel::new(inputs, &["y"], move |x: &[f64], y: &mut [f64]| y[0] = f(x))
}

/// Normal about zero.
pub fn normal(sd: f64) -> Dist {
    Dist::normal(0.0, sd).expect("valid")
}

/// Rectangular between two ends.
pub fn rectangular(low: f64, high: f64) -> Dist {
    Dist::rectangular(low, high).expect("valid")
}

/// One group for each of these names of inputs.
pub fn singly(names: &[&str]) -> Vec<Group> {
    names.iter().map(|n| together(n, &[n])).collect()
}

/// A group of inputs.
pub fn together(name: &str, inputs: &[&str]) -> Group {
    Group::new(name, tags(inputs))
}

/// The tags of inputs.
pub fn tags(names: &[&str]) -> Vec<Tag> {
    names.iter().map(|n| Tag::of(n)).collect()
}

/// Shares of the only result, at the default number of trials.
pub fn share_out(model: &dyn Model, groups: &[Group], all: &[&str], seed: u64) -> Shares {
    shares(model, 0, groups, &tags(all), &ShareOptions::new(seed)).expect("not interrupted")
}

/// The same with four times as many.
pub fn share_out_well(model: &dyn Model, groups: &[Group], all: &[&str], seed: u64) -> Shares {
    let options = ShareOptions::new(seed).trials(4 * TRIALS);
    shares(model, 0, groups, &tags(all), &options).expect("not interrupted")
}

/// Whether a share agrees with the truth by its own standard error.
pub fn right(share: &Share, truth: f64) -> bool {
    near(share.value, truth, share.se, Z)
}

/// Asserts that a share agrees with the truth and would not agree with one that is off by `bite`.
#[track_caller]
pub fn right_and_sharp(what: &str, share: &Share, truth: f64, bite: f64) {
    assert!(
        right(share, truth),
        "{what}: {} +- {}, not {truth}",
        share.value,
        share.se
    );
    assert!(
        !right(share, truth + bite) && !right(share, truth - bite),
        "{what}: an error of {bite} would pass unseen, standard error {}",
        share.se
    );
}
