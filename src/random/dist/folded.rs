//! Folded distribution: the absolute value of a distribution symmetric about zero. A one-sided error
//! such as a loss, stated by the spread it would have if it went both ways.

use super::truncated::mean_of;
use super::{Dist, DistError, Distribution};

/// |x| of a symmetric x.
#[derive(Debug, Clone, PartialEq)]
pub struct Folded(Box<Dist>);

impl Folded {
    /// Folds a distribution that is symmetric about zero.
    ///
    /// # Errors
    /// If its median is not zero.
    pub fn new(base: Dist) -> Result<Self, DistError> {
        let median = base.quantile(0.5);
        if median != 0.0 {
            return Err(DistError::Shape(median, 0.0, 0.0));
        }
        Ok(Self(Box::new(base)))
    }

    pub(super) fn base(&self) -> &Dist {
        &self.0
    }

    pub(super) fn scaled(&self, f: f64) -> Self {
        Self(Box::new(self.0.scaled(f)))
    }
}

impl Distribution for Folded {
    fn quantile(&self, u: f64) -> f64 {
        // The upper half of the base, from its upper end: 1 - u is exact.
        self.upper_quantile(1.0 - u)
    }
    fn cdf(&self, x: f64) -> f64 {
        if x <= 0.0 {
            0.0
        } else {
            2.0 * self.0.cdf(x) - 1.0
        }
    }
    fn above(&self, x: f64) -> f64 {
        if x <= 0.0 { 1.0 } else { 2.0 * self.0.above(x) }
    }
    fn upper_quantile(&self, v: f64) -> f64 {
        self.0.upper_quantile(0.5 * v)
    }
    fn mean(&self) -> f64 {
        if self.0.has_mean() {
            mean_of(self, |x| x)
        } else {
            f64::INFINITY
        }
    }
    fn sd(&self) -> f64 {
        // The mean square is that of the base, which has no mean.
        let (base, mean) = (self.0.sd(), self.mean());
        if base.is_finite() {
            (base * base - mean * mean).sqrt()
        } else {
            f64::INFINITY
        }
    }
}
