//! Folded distribution: the absolute value of a distribution symmetric about zero. A one-sided error
//! such as a loss, stated by the spread it would have if it went both ways.

use super::{Dist, DistError, Distribution, LAST};

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

    pub(super) fn scaled(&self, f: f64) -> Self {
        Self(Box::new(self.0.scaled(f)))
    }
}

impl Distribution for Folded {
    fn quantile(&self, u: f64) -> f64 {
        self.0.quantile((0.5 + 0.5 * u).min(LAST))
    }
    fn cdf(&self, x: f64) -> f64 {
        if x <= 0.0 {
            0.0
        } else {
            2.0 * self.0.cdf(x) - 1.0
        }
    }
    fn mean(&self) -> f64 {
        super::truncated::numeric_moments(self).0
    }
    fn sd(&self) -> f64 {
        super::truncated::numeric_moments(self).1
    }
}
