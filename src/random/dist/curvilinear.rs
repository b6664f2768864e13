//! Curvilinear trapezoid: a rectangle whose half-width w is itself known only to +-d.
//! JCGM 101:2008, 6.4.3. With c = w + d and z the distance from the centre, the density is
//! ln(c / z) / (4 d) for w - d <= z <= c and flat inside; the variance is w^2 / 3 + d^2 / 9.
//! Integrated, the lower tail is F = (c - z - z ln(c / z)) / (4 d), inverted here by Newton steps.

use super::super::elementary::ln;
use super::{DistError, Distribution, finite};

/// Rectangle with inexactly known ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvilinearTrapezoid {
    centre: f64,
    half_width: f64,
    inexactness: f64,
}

impl CurvilinearTrapezoid {
    /// Ends `low`, `high`, each known to +-`inexactness` (0 < inexactness < half the width).
    ///
    /// # Errors
    /// If a parameter is not finite, the ends are upside down or the inexactness out of range.
    pub fn new(low: f64, high: f64, inexactness: f64) -> Result<Self, DistError> {
        finite(&[low, high, inexactness])?;
        if low > high {
            return Err(DistError::UpsideDown(low, high));
        }
        let half_width = 0.5 * (high - low);
        if !(inexactness > 0.0 && inexactness < half_width) {
            return Err(DistError::Shape(inexactness, 0.0, half_width));
        }
        Ok(Self {
            centre: 0.5 * (low + high),
            half_width,
            inexactness,
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
            inexactness: self.inexactness * f,
        }
    }

    /// Probability beyond a distance z >= w - d from the centre, on one side.
    fn tail(&self, z: f64) -> f64 {
        let c = self.half_width + self.inexactness;
        ((c - z) - z * ln(c / z)) / (4.0 * self.inexactness)
    }
}

impl Distribution for CurvilinearTrapezoid {
    fn quantile(&self, u: f64) -> f64 {
        let (w, d) = (self.half_width, self.inexactness);
        let c = w + d;
        let q = u - 0.5;
        let tail = 0.5 - q.abs();
        let density = ln(c / (w - d)) / (4.0 * d);
        let size = if q.abs() <= density * (w - d) {
            q.abs() / density
        } else {
            // Near the end the tail grows as (c - z)^2 / (8 d c); Newton from there.
            let mut z = (c - (8.0 * d * c * tail).sqrt()).max(w - d);
            for _ in 0..60 {
                let slope = ln(c / z) / (4.0 * d);
                if slope <= 0.0 {
                    break;
                }
                let next = (z + (self.tail(z) - tail) / slope).clamp(w - d, c);
                let done = (next - z).abs() <= 1e-15 * c;
                z = next;
                if done {
                    break;
                }
            }
            z
        };
        self.centre + if q < 0.0 { -size } else { size }
    }
    fn cdf(&self, x: f64) -> f64 {
        let (w, d) = (self.half_width, self.inexactness);
        let z = (x - self.centre).abs();
        let tail = if z >= w + d {
            0.0
        } else if z >= w - d {
            self.tail(z)
        } else {
            0.5 - z * ln((w + d) / (w - d)) / (4.0 * d)
        };
        if x < self.centre { tail } else { 1.0 - tail }
    }
    fn mean(&self) -> f64 {
        self.centre
    }
    fn sd(&self) -> f64 {
        (self.half_width * self.half_width / 3.0 + self.inexactness * self.inexactness / 9.0).sqrt()
    }
}
