//! Symmetric trapezoid: flat over the inner `top` share of its width, falling to zero at the ends.
//! JCGM 101:2008, 6.4.4; variance a^2 (1 + top^2) / 6 for half-width a.

use super::{DistError, Distribution, finite};

/// Trapezoid about a centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trapezoid {
    centre: f64,
    half_width: f64,
    top: f64,
}

impl Trapezoid {
    /// Centre, half-width of the base, and the top's share of the base in [0, 1]
    /// (0 a triangle, 1 a rectangle).
    ///
    /// # Errors
    /// If a parameter is not finite, the half-width negative or the share outside [0, 1].
    pub fn new(centre: f64, half_width: f64, top: f64) -> Result<Self, DistError> {
        finite(&[centre, half_width, top])?;
        if half_width < 0.0 {
            return Err(DistError::NegativeWidth(half_width));
        }
        if !(0.0..=1.0).contains(&top) {
            return Err(DistError::Shape(top, 0.0, 1.0));
        }
        Ok(Self {
            centre,
            half_width,
            top,
        })
    }

    /// The same shape about another centre.
    #[must_use]
    pub fn about(&self, centre: f64) -> Self {
        Self { centre, ..*self }
    }

    pub(super) fn scaled(&self, f: f64) -> Self {
        Self {
            centre: self.centre * f,
            half_width: self.half_width * f,
            top: self.top,
        }
    }
}

impl Distribution for Trapezoid {
    #[inline]
    fn quantile(&self, u: f64) -> f64 {
        // In units of the half-width: density 1/(1 + top) on the flat part.
        let q = u - 0.5;
        let flat = 0.5 * (2.0 * self.top) / (1.0 + self.top);
        let size = if q.abs() <= flat {
            q.abs() * (1.0 + self.top)
        } else {
            let tail = 0.5 - q.abs();
            1.0 - (2.0 * tail * (1.0 - self.top * self.top)).sqrt()
        };
        self.centre + self.half_width * if q < 0.0 { -size } else { size }
    }
    fn cdf(&self, x: f64) -> f64 {
        let z = (x - self.centre) / self.half_width;
        let size = z.abs().min(1.0);
        let upper = if size <= self.top {
            0.5 + size / (1.0 + self.top)
        } else {
            1.0 - (1.0 - size) * (1.0 - size) / (2.0 * (1.0 - self.top * self.top))
        };
        if z < 0.0 { 1.0 - upper } else { upper }
    }
    fn mean(&self) -> f64 {
        self.centre
    }
    fn sd(&self) -> f64 {
        self.half_width * ((1.0 + self.top * self.top) / 6.0).sqrt()
    }
}
