//! Log-normal distribution: ln x is normal with mean ln(median) and standard deviation `sigma`.
//! Sigma is what people call the relative run-to-run spread of a rate.

use super::super::elementary::{exp, exp_each, ln};
use super::super::special::normal_cdf;
use super::normal::Normal;
use super::{BLOCK, DistError, Distribution, finite};

/// Log-normal by its median and the standard deviation of the logarithm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LogNormal {
    median: f64,
    sigma: f64,
}

impl LogNormal {
    /// Median > 0 and standard deviation of the logarithm >= 0.
    ///
    /// # Errors
    /// If a parameter is not finite or out of range.
    pub fn new(median: f64, sigma: f64) -> Result<Self, DistError> {
        finite(&[median, sigma])?;
        if median <= 0.0 {
            return Err(DistError::NotPositive(median));
        }
        if sigma < 0.0 {
            return Err(DistError::NegativeWidth(sigma));
        }
        Ok(Self { median, sigma })
    }

    /// Standard deviation of the logarithm.
    pub fn sigma(&self) -> f64 {
        self.sigma
    }

    pub(super) fn scaled(&self, f: f64) -> Self {
        Self {
            median: self.median * f,
            sigma: self.sigma,
        }
    }

    fn log(&self) -> Normal {
        Normal::new(0.0, self.sigma).expect("validated when constructed")
    }
}

impl Distribution for LogNormal {
    fn quantile(&self, u: f64) -> f64 {
        self.median * exp(self.log().quantile(u))
    }
    fn cdf(&self, x: f64) -> f64 {
        if x <= 0.0 {
            0.0
        } else {
            normal_cdf(ln(x / self.median) / self.sigma)
        }
    }
    fn above(&self, x: f64) -> f64 {
        if x <= 0.0 {
            1.0
        } else {
            normal_cdf(-ln(x / self.median) / self.sigma)
        }
    }
    fn upper_quantile(&self, v: f64) -> f64 {
        self.median * exp(self.log().upper_quantile(v))
    }
    fn mean(&self) -> f64 {
        self.median * exp(0.5 * self.sigma * self.sigma)
    }
    fn sd(&self) -> f64 {
        let s2 = self.sigma * self.sigma;
        self.median * (super::super::elementary::exp_m1(s2) * exp(s2)).sqrt()
    }
    fn transform(&self, column: &mut [f64; BLOCK]) {
        self.log().transform(column);
        exp_each(column);
        for x in column {
            *x *= self.median;
        }
    }
}
