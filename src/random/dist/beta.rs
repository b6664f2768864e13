//! Beta distribution stretched over [low, high]: density proportional to y^(a-1) (1-y)^(b-1) with
//! y = (x - low) / (high - low).

use super::super::special::{beta_inc, beta_inc_inverse};
use super::{DistError, Distribution, finite};

/// Beta between two ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beta {
    a: f64,
    b: f64,
    low: f64,
    high: f64,
}

impl Beta {
    /// Shape parameters a, b > 0 and the ends.
    ///
    /// # Errors
    /// If a parameter is not finite, a shape not positive or the ends upside down.
    pub fn new(a: f64, b: f64, low: f64, high: f64) -> Result<Self, DistError> {
        finite(&[a, b, low, high])?;
        if a <= 0.0 || b <= 0.0 {
            return Err(DistError::NotPositive(a.min(b)));
        }
        if low > high {
            return Err(DistError::UpsideDown(low, high));
        }
        Ok(Self { a, b, low, high })
    }

    pub(super) fn scaled(&self, f: f64) -> Self {
        Self {
            low: self.low * f,
            high: self.high * f,
            ..*self
        }
    }
}

impl Distribution for Beta {
    fn quantile(&self, u: f64) -> f64 {
        self.low + (self.high - self.low) * beta_inc_inverse(self.a, self.b, u)
    }
    fn cdf(&self, x: f64) -> f64 {
        beta_inc(self.a, self.b, (x - self.low) / (self.high - self.low))
    }
    fn mean(&self) -> f64 {
        self.low + (self.high - self.low) * self.a / (self.a + self.b)
    }
    fn sd(&self) -> f64 {
        let sum = self.a + self.b;
        (self.high - self.low) * (self.a * self.b / (sum + 1.0)).sqrt() / sum
    }
}
