//! Truncated distribution: any other one, given that it lies between two limits. Its quantile is the
//! base's quantile at F(low) + u (F(high) - F(low)); above the base's median both are counted from the
//! upper end, so that far up as far down no digits are lost.

use super::super::elementary::exp;
use super::{Dist, DistError, Distribution, LAST};

/// Below this probability of the base it is looked at whether what lies inside is found again.
const RARE: f64 = 1e-6;

/// Probabilities much smaller have fewer digits, in the end none.
const LEAST: f64 = 1e-300;

/// A distribution cut off at limits.
#[derive(Debug, Clone, PartialEq)]
pub struct Truncated {
    base: Box<Dist>,
    low: f64,
    high: f64,
    /// Whether probabilities are counted from the upper end.
    from_above: bool,
    /// The base's probability beyond the outer limit, and between the limits.
    outside: f64,
    inside: f64,
}

impl Truncated {
    /// Cuts `base` to [low, high]; a limit may be infinite.
    ///
    /// # Errors
    /// If the limits are upside down or hold no probability, or so little of it that the base cannot
    /// tell what lies between them (for a normal, beyond 37 standard deviations).
    pub fn new(base: Dist, low: f64, high: f64) -> Result<Self, DistError> {
        if low.is_nan() || high.is_nan() {
            return Err(DistError::NotFinite);
        }
        if low > high {
            return Err(DistError::UpsideDown(low, high));
        }
        let below = |x: f64| match x {
            f64::NEG_INFINITY => 0.0,
            f64::INFINITY => 1.0,
            x => base.cdf(x),
        };
        let from_above = below(low) > 0.5;
        let (outside, up_to) = if !from_above {
            (below(low), below(high))
        } else if high == f64::INFINITY {
            (0.0, base.above(low))
        } else {
            (base.above(high), base.above(low))
        };
        let found = Self {
            low,
            high,
            from_above,
            outside,
            inside: up_to - outside,
            base: Box::new(base),
        };
        let again = |u: &f64| (found.cdf(found.quantile(*u)) - u).abs() < 1e-6;
        let sound = found.inside > RARE || [0.25, 0.5, 0.75].iter().all(again);
        if found.inside > LEAST && sound {
            Ok(found)
        } else {
            Err(DistError::Empty(low, high))
        }
    }

    pub(super) fn base(&self) -> &Dist {
        &self.base
    }

    pub(super) fn is_bounded(&self) -> bool {
        self.low.is_finite() && self.high.is_finite()
    }

    pub(super) fn scaled(&self, f: f64) -> Self {
        Self {
            base: Box::new(self.base.scaled(f)),
            low: self.low * f,
            high: self.high * f,
            ..*self
        }
    }

    /// The value with these probabilities below and above it.
    fn at(&self, below: f64, above: f64) -> f64 {
        let x = if self.from_above {
            let p = self.outside + above * self.inside;
            self.base.upper_quantile(p.max(f64::MIN_POSITIVE))
        } else {
            let p = self.outside + below * self.inside;
            self.base.quantile(p.clamp(f64::MIN_POSITIVE, LAST))
        };
        x.clamp(self.low, self.high)
    }
}

impl Distribution for Truncated {
    fn quantile(&self, u: f64) -> f64 {
        self.at(u, 1.0 - u)
    }
    fn cdf(&self, x: f64) -> f64 {
        if x < self.low {
            return 0.0;
        }
        if x >= self.high {
            return 1.0;
        }
        let p = if self.from_above {
            1.0 - (self.base.above(x) - self.outside) / self.inside
        } else {
            (self.base.cdf(x) - self.outside) / self.inside
        };
        p.clamp(0.0, 1.0)
    }
    fn upper_quantile(&self, v: f64) -> f64 {
        self.at(1.0 - v, v)
    }
    fn mean(&self) -> f64 {
        if self.is_bounded() || self.base.has_mean() {
            mean_of(self, |x| x)
        } else {
            f64::NAN
        }
    }
    fn sd(&self) -> f64 {
        if self.is_bounded() || self.base.has_variance() {
            let mean = self.mean();
            mean_of(self, |x| (x - mean) * (x - mean)).sqrt()
        } else {
            f64::INFINITY
        }
    }
}

/// The expectation of a function of a quantity, as an integral over the probabilities p below and above
/// the median, with p = e^(-s) / 2 and s = e^y: the trapezoidal rule in y, which converges
/// exponentially for such integrands, also where the tails are those of a Student t. Good to about
/// 1e-8 of the result.
pub(super) fn mean_of(d: &impl Distribution, f: impl Fn(f64) -> f64) -> f64 {
    const STEPS: i32 = 64;
    // From e^y = 1e-13, below which nothing is left, to p = 1e-143, before a quantile overflows.
    let points = (-30 * STEPS..=29 * STEPS / 5).map(|i| {
        let s = exp(f64::from(i) / f64::from(STEPS));
        let p = 0.5 * exp(-s);
        p * s * (f(d.quantile(p)) + f(d.upper_quantile(p)))
    });
    points.sum::<f64>() / f64::from(STEPS)
}
