//! A statistic with its values in batches of trials, and the difference of two.

use super::compare_difference::{Difference, SEEN};
use crate::stats::{Estimate, Moments};

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
}

impl Statistic {
    /// Of a column in trial order.
    pub fn of(errors: &[f64], f: impl Fn(&[f64]) -> f64) -> Self {
        let n = BATCHES.min(errors.len() / SHORTEST);
        let edge = |i: usize| i * errors.len() / n;
        Self {
            value: f(errors),
            batches: (0..n).map(|i| f(&errors[edge(i)..edge(i + 1)])).collect(),
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

    /// Its size less another's. Where a sign is not known, nobody knows whether luck moves both sizes alike or against each
    /// other: then the larger error counts.
    pub fn size_less(&self, other: &Self) -> Difference {
        let value = self.value.abs() - other.value.abs();
        let apart = self.less(other).0;
        let opposite = Self {
            value: -other.value,
            batches: other.batches.iter().map(|b| -b).collect(),
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
        for (a, b) in self.batches.iter().zip(&other.batches) {
            all.push(a - b);
        }
        Difference(Estimate::new(self.value - other.value, all.mean().se))
    }
}
