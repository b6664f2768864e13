//! Truncated distribution: any other one, given that it lies between two limits. Its quantile is the
//! base's quantile at F(low) + u (F(high) - F(low)).

use super::{Dist, DistError, Distribution, LAST};

/// A distribution cut off at limits.
#[derive(Debug, Clone, PartialEq)]
pub struct Truncated {
    base: Box<Dist>,
    low: f64,
    high: f64,
    below: f64,
    inside: f64,
}

impl Truncated {
    /// Cuts `base` to [low, high]; a limit may be infinite.
    ///
    /// # Errors
    /// If the limits are upside down or hold no probability.
    pub fn new(base: Dist, low: f64, high: f64) -> Result<Self, DistError> {
        if low.is_nan() || high.is_nan() {
            return Err(DistError::NotFinite);
        }
        if low > high {
            return Err(DistError::UpsideDown(low, high));
        }
        let below = if low == f64::NEG_INFINITY {
            0.0
        } else {
            base.cdf(low)
        };
        let up_to = if high == f64::INFINITY {
            1.0
        } else {
            base.cdf(high)
        };
        let inside = up_to - below;
        if inside.is_nan() || inside <= 0.0 {
            return Err(DistError::Empty(low, high));
        }
        Ok(Self {
            base: Box::new(base),
            low,
            high,
            below,
            inside,
        })
    }

    pub(super) fn scaled(&self, f: f64) -> Self {
        Self {
            base: Box::new(self.base.scaled(f)),
            low: self.low * f,
            high: self.high * f,
            ..*self
        }
    }
}

impl Distribution for Truncated {
    fn quantile(&self, u: f64) -> f64 {
        self.base
            .quantile((self.below + u * self.inside).min(LAST))
            .clamp(self.low, self.high)
    }
    fn cdf(&self, x: f64) -> f64 {
        if x < self.low {
            0.0
        } else if x >= self.high {
            1.0
        } else {
            ((self.base.cdf(x) - self.below) / self.inside).clamp(0.0, 1.0)
        }
    }
    fn mean(&self) -> f64 {
        numeric_moments(self).0
    }
    fn sd(&self) -> f64 {
        numeric_moments(self).1
    }
}

/// Mean and standard deviation as integrals of the quantile over u, by the midpoint rule after the
/// substitution u = t^2 (3 - 2 t), which tames the tails. Good to about 1e-6 of the deviation.
pub(super) fn numeric_moments(d: &impl Distribution) -> (f64, f64) {
    const N: u32 = 4096;
    let points = (0..N).map(|i| {
        let t = (f64::from(i) + 0.5) / f64::from(N);
        let weight = 6.0 * t * (1.0 - t) / f64::from(N);
        (d.quantile(t * t * (3.0 - 2.0 * t)), weight)
    });
    let total: f64 = points.clone().map(|(_, w)| w).sum();
    let mean = points.clone().map(|(x, w)| w * x).sum::<f64>() / total;
    let square = points
        .map(|(x, w)| w * (x - mean) * (x - mean))
        .sum::<f64>()
        / total;
    (mean, square.sqrt())
}
