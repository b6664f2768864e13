//! Rectangular distribution: density 1 / (b - a) between a and b. JCGM 101:2008, 6.4.2.

use super::{DistError, Distribution, finite};

/// Equally likely everywhere between two ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rectangular {
    low: f64,
    high: f64,
}

impl Rectangular {
    /// Between `low` and `high`, which may be equal.
    ///
    /// # Errors
    /// If an end is not finite or they are upside down.
    pub fn new(low: f64, high: f64) -> Result<Self, DistError> {
        finite(&[low, high])?;
        if low > high {
            return Err(DistError::UpsideDown(low, high));
        }
        Ok(Self { low, high })
    }

    /// Centre plus or minus a half-width.
    ///
    /// # Errors
    /// If a parameter is not finite or the half-width is negative.
    pub fn about(centre: f64, half_width: f64) -> Result<Self, DistError> {
        if half_width < 0.0 {
            return Err(DistError::NegativeWidth(half_width));
        }
        Self::new(centre - half_width, centre + half_width)
    }

    pub(super) fn scaled(&self, f: f64) -> Self {
        Self {
            low: self.low * f,
            high: self.high * f,
        }
    }
}

impl Distribution for Rectangular {
    #[inline]
    fn quantile(&self, u: f64) -> f64 {
        // About the centre: symmetric limits then give exactly antisymmetric errors.
        0.5 * (self.low + self.high) + (self.high - self.low) * (u - 0.5)
    }
    fn cdf(&self, x: f64) -> f64 {
        if x < self.low {
            0.0
        } else if x >= self.high {
            1.0
        } else {
            (x - self.low) / (self.high - self.low)
        }
    }
    fn mean(&self) -> f64 {
        0.5 * (self.low + self.high)
    }
    fn sd(&self) -> f64 {
        (self.high - self.low) / 12f64.sqrt()
    }
}
