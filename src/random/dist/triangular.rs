//! Triangular distribution: density rises from `low` to `mode` and falls to `high`.
//! JCGM 101:2008, 6.4.5 is the symmetric case; one at an end describes a one-sided error.

use super::{DistError, Distribution, finite};

/// A triangle over [low, high] with its top at the mode.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Triangular {
    low: f64,
    mode: f64,
    high: f64,
}

impl Triangular {
    /// Ends and mode, `low <= mode <= high`.
    ///
    /// # Errors
    /// If a parameter is not finite or they are out of order.
    pub fn new(low: f64, mode: f64, high: f64) -> Result<Self, DistError> {
        finite(&[low, mode, high])?;
        if !(low <= mode && mode <= high) {
            return Err(DistError::UpsideDown(low, high));
        }
        Ok(Self { low, mode, high })
    }

    /// Symmetric about a centre.
    ///
    /// # Errors
    /// If a parameter is not finite or the half-width is negative.
    pub fn about(centre: f64, half_width: f64) -> Result<Self, DistError> {
        if half_width < 0.0 {
            return Err(DistError::NegativeWidth(half_width));
        }
        Self::new(centre - half_width, centre, centre + half_width)
    }

    pub(super) fn scaled(&self, f: f64) -> Self {
        Self {
            low: self.low * f,
            mode: self.mode * f,
            high: self.high * f,
        }
    }
}

impl Distribution for Triangular {
    #[inline]
    fn quantile(&self, u: f64) -> f64 {
        let width = self.high - self.low;
        if width == 0.0 {
            return self.mode;
        }
        if u * width < self.mode - self.low {
            self.low + (u * width * (self.mode - self.low)).sqrt()
        } else {
            self.high - ((1.0 - u) * width * (self.high - self.mode)).sqrt()
        }
    }
    fn cdf(&self, x: f64) -> f64 {
        let width = self.high - self.low;
        if x <= self.low {
            0.0
        } else if x >= self.high {
            1.0
        } else if x < self.mode {
            (x - self.low) * (x - self.low) / (width * (self.mode - self.low))
        } else {
            1.0 - (self.high - x) * (self.high - x) / (width * (self.high - self.mode))
        }
    }
    fn mean(&self) -> f64 {
        (self.low + self.mode + self.high) / 3.0
    }
    fn sd(&self) -> f64 {
        let (a, c, b) = (self.low, self.mode, self.high);
        ((b - a) * (b - a) - (c - a) * (b - c)).sqrt() / 18f64.sqrt()
    }
}
