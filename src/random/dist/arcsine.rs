//! Arcsine distribution: density 1 / (pi sqrt(a^2 - (x - m)^2)), the value of a sine of amplitude a
//! at a random phase. JCGM 101:2008, 6.4.6.

use super::super::elementary::sin;
use super::{DistError, Distribution, finite};
use std::f64::consts::PI;

/// U-shaped distribution of something that cycles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arcsine {
    centre: f64,
    amplitude: f64,
}

impl Arcsine {
    /// Centre and amplitude.
    ///
    /// # Errors
    /// If a parameter is not finite or the amplitude negative.
    pub fn new(centre: f64, amplitude: f64) -> Result<Self, DistError> {
        finite(&[centre, amplitude])?;
        if amplitude < 0.0 {
            return Err(DistError::NegativeWidth(amplitude));
        }
        Ok(Self { centre, amplitude })
    }

    pub(super) fn scaled(&self, f: f64) -> Self {
        Self {
            centre: self.centre * f,
            amplitude: self.amplitude * f,
        }
    }
}

impl Distribution for Arcsine {
    #[inline]
    fn quantile(&self, u: f64) -> f64 {
        self.centre + self.amplitude * sin(PI * (u - 0.5))
    }
    fn cdf(&self, x: f64) -> f64 {
        let z = ((x - self.centre) / self.amplitude).clamp(-1.0, 1.0);
        0.5 + libm::asin(z) / PI
    }
    fn mean(&self) -> f64 {
        self.centre
    }
    fn sd(&self) -> f64 {
        self.amplitude * std::f64::consts::FRAC_1_SQRT_2
    }
}
