//! Samples and yardsticks shared by the unit tests of this module.

use super::Estimate;
use rand::rngs::Xoshiro256PlusPlus;
use rand::{RngExt, SeedableRng};
use rand_distr::{Distribution, Exp1, StandardNormal};

/// How many standard errors a correct estimate may stray: a normal deviate
/// passes 5 once in 1.7 million.
pub const Z: f64 = 5.0;

/// How many repetitions a calibration uses.
const SEEDS: u64 = 400;

/// `n` draws of `draw` from a portable generator.
fn draws(seed: u64, n: usize, draw: impl Fn(&mut Xoshiro256PlusPlus) -> f64) -> Vec<f64> {
    let mut generator = Xoshiro256PlusPlus::seed_from_u64(seed);
    (0..n).map(|_| draw(&mut generator)).collect()
}

/// Standard normal.
pub fn normal(seed: u64, n: usize) -> Vec<f64> {
    draws(seed, n, |g| StandardNormal.sample(g))
}

/// Exponential of mean one.
pub fn exponential(seed: u64, n: usize) -> Vec<f64> {
    draws(seed, n, |g| Exp1.sample(g))
}

/// Rectangular on [0, 1).
pub fn unit(seed: u64, n: usize) -> Vec<f64> {
    draws(seed, n, |g| g.random::<f64>())
}

/// Every value times `factor`: the standard way to spoil a sample.
pub fn scaled(values: &[f64], factor: f64) -> Vec<f64> {
    values.iter().map(|v| v * factor).collect()
}

/// Whether an estimate lies within [`Z`] of its own standard errors of `truth`.
pub fn agrees(estimate: Estimate, truth: f64) -> bool {
    (estimate.value - truth).abs() <= Z * estimate.se
}

/// The spread of an estimate over many seeds, divided by the standard error it
/// states on average: one if the statement is honest. Seeds that state none do not count.
pub fn calibration(estimate: impl Fn(u64) -> Estimate) -> f64 {
    let all: Vec<Estimate> = (0..SEEDS)
        .map(|seed| estimate(1_000 + seed))
        .filter(|e| e.se.is_finite())
        .collect();
    let n = all.len() as f64;
    let mean = all.iter().map(|e| e.value).sum::<f64>() / n;
    let stated = all.iter().map(|e| e.se).sum::<f64>() / n;
    let squares: f64 = all
        .iter()
        .map(|e| (e.value - mean) * (e.value - mean))
        .sum();
    (squares / (n - 1.0)).sqrt() / stated
}

/// Whether a calibration ratio is one, within [`Z`] relative standard errors
/// 1/sqrt(2 n) of a standard deviation taken from n repetitions.
pub fn honest(ratio: f64) -> bool {
    (ratio - 1.0).abs() <= Z / (2.0 * SEEDS as f64).sqrt()
}
