//! A statistic with its values in batches of trials, and the difference of two.

use super::compare_difference::{Difference, SEEN};
use crate::stats::{Estimate, Moments, Sorted};

/// Most batches.
const BATCHES: usize = 32;

/// Fewest trials of a batch.
const SHORTEST: usize = 8;

/// One statistic: of all trials, and of each batch.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Statistic {
    /// Of all trials.
    pub value: f64,
    batches: Vec<f64>,
    /// What each trial adds to the error of a quantile; empty for other statistics.
    influence: Vec<f64>,
}

/// The density at a quantile is taken over so much of probability to either side.
const ABOUT: f64 = 0.02;

impl Statistic {
    /// Of a column in trial order.
    pub fn of(errors: &[f64], f: impl Fn(&[f64]) -> f64) -> Self {
        let n = BATCHES.min(errors.len() / SHORTEST);
        let edge = |i: usize| i * errors.len() / n;
        Self {
            value: f(errors),
            batches: (0..n).map(|i| f(&errors[edge(i)..edge(i + 1)])).collect(),
            influence: Vec::new(),
        }
    }

    /// The quantile of the sizes of a column below which a share `p` of them lies. Each trial adds (p - 1[size <= q]) / f(q) / n to
    /// its error (R. R. Bahadur, Ann. Math. Stat. 37 (1966) 577, from memory). Of two quantiles on common random numbers only
    /// trials that lie on different sides count in the difference, which quantiles of short batches see too little of.
    pub fn of_sizes(errors: &[f64], p: f64) -> Self {
        let sizes = |v: &[f64]| Sorted::from_vec(v.iter().map(|e| e.abs()).collect());
        let plain = Self::of(errors, |v| sizes(v).quantile(p).value);
        let all = sizes(errors);
        let [low, high] = [p - ABOUT, p + ABOUT].map(|p| all.quantile(p).value);
        let per_density = (high - low) / (2.0 * ABOUT);
        let influence = errors.iter().map(|e| {
            let below = if e.abs() <= plain.value { 1.0 } else { 0.0 };
            // What is no number stays none.
            if e.is_nan() {
                *e
            } else {
                (p - below) * per_density
            }
        });
        Self {
            influence: influence.collect(),
            ..plain
        }
    }

    /// With its standard error.
    pub fn estimate(&self) -> Estimate {
        Estimate::new(self.value, self.se())
    }

    fn se(&self) -> f64 {
        Moments::of(&self.batches).mean().se
    }

    /// Whether the trials know its sign.
    fn has_sign(&self) -> bool {
        self.value.abs() > SEEN * self.se()
    }

    /// Its size less another's. Where a sign is not known, it is unknown whether noise moves both sizes alike or against each
    /// other: then the larger error counts.
    pub fn size_less(&self, other: &Self) -> Difference {
        let value = self.value.abs() - other.value.abs();
        let apart = self.less(other).0;
        let opposite = Self {
            value: -other.value,
            batches: other.batches.iter().map(|b| -b).collect(),
            influence: Vec::new(),
        };
        let together = self.less(&opposite).0;
        let se = if apart.value == 0.0 && apart.se == 0.0 {
            0.0
        } else if !(self.has_sign() && other.has_sign()) {
            apart.se.max(together.se)
        } else if self.value.signum() == other.value.signum() {
            apart.se
        } else {
            together.se
        };
        Difference(Estimate::new(value, se))
    }

    /// This one less another's.
    pub fn less(&self, other: &Self) -> Difference {
        let mut all = Moments::new();
        let [own, others] = match [self, other].map(|s| s.influence.as_slice()) {
            [[], _] | [_, []] => [self.batches.as_slice(), other.batches.as_slice()],
            both => both,
        };
        for (a, b) in own.iter().zip(others) {
            all.push(a - b);
        }
        Difference(Estimate::new(self.value - other.value, all.mean().se))
    }
}
