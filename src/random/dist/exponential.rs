//! Exponential distribution: density exp(-(x - a) / m) / m for x >= a. JCGM 101:2008, 6.4.10: what is
//! known of a non-negative quantity when only its mean is known.

use super::super::elementary::{exp, exp_m1, ln, ln_each};
use super::{BLOCK, DistError, Distribution, finite};

/// One-sided exponential from a start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Exponential {
    start: f64,
    mean_excess: f64,
}

impl Exponential {
    /// Start and mean excess above it.
    ///
    /// # Errors
    /// If a parameter is not finite or the mean excess negative.
    pub fn new(start: f64, mean_excess: f64) -> Result<Self, DistError> {
        finite(&[start, mean_excess])?;
        if mean_excess < 0.0 {
            return Err(DistError::NegativeWidth(mean_excess));
        }
        Ok(Self { start, mean_excess })
    }

    pub(super) fn scaled(&self, f: f64) -> Self {
        Self {
            start: self.start * f,
            mean_excess: self.mean_excess * f,
        }
    }
}

impl Distribution for Exponential {
    #[inline]
    fn quantile(&self, u: f64) -> f64 {
        self.start - self.mean_excess * ln(1.0 - u)
    }
    fn cdf(&self, x: f64) -> f64 {
        if x <= self.start {
            0.0
        } else {
            -exp_m1(-(x - self.start) / self.mean_excess)
        }
    }
    fn above(&self, x: f64) -> f64 {
        exp((self.start - x).min(0.0) / self.mean_excess)
    }
    fn upper_quantile(&self, v: f64) -> f64 {
        self.start - self.mean_excess * ln(v)
    }
    fn mean(&self) -> f64 {
        self.start + self.mean_excess
    }
    fn sd(&self) -> f64 {
        self.mean_excess
    }
    fn transform(&self, column: &mut [f64; BLOCK]) {
        for u in column.iter_mut() {
            *u = 1.0 - *u;
        }
        ln_each(column);
        for x in column {
            *x = self.start - self.mean_excess * *x;
        }
    }
}
