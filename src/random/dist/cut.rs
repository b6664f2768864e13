//! A distribution given that the quantity lies between two limits. Its quantile is the base's quantile at
//! F(low) + u (F(high) - F(low)); above the base's median both are counted from the upper end, so that far up as far down no
//! digits are lost.

use super::super::elementary::exp;
use super::{Dist, DistError};

/// The greatest number below 1. A probability computed from a uniform number near 1 may round up to
/// 1 itself, whose quantile is infinite or undefined; those that can do so stop here.
pub(super) const LAST: f64 = 1.0 - f64::EPSILON / 2.0;

/// Below this probability of the base it is looked at whether what lies inside is found again.
const RARE: f64 = 1e-6;

/// Probabilities much smaller have fewer digits, in the end none.
const LEAST: f64 = 1e-300;

/// A distribution cut off at limits.
#[derive(Debug, Clone, PartialEq)]
pub struct Cut {
    base: Dist,
    low: f64,
    high: f64,
    /// Whether probabilities are counted from the upper end.
    from_above: bool,
    /// The base's probability beyond the outer limit, and between the limits.
    outside: f64,
    inside: f64,
}

impl Cut {
    pub(super) fn new(base: Dist, low: f64, high: f64) -> Result<Self, DistError> {
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
        let from_above = below(low) >= 0.5;
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
            base,
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

    pub(super) fn has_moment(&self, order: f64) -> bool {
        self.low.is_finite() && self.high.is_finite() || self.base.has_moment(order)
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

    pub(super) fn quantile(&self, u: f64) -> f64 {
        self.at(u, 1.0 - u)
    }

    pub(super) fn upper_quantile(&self, v: f64) -> f64 {
        self.at(1.0 - v, v)
    }

    pub(super) fn cdf(&self, x: f64) -> f64 {
        1.0 - self.above(x)
    }

    pub(super) fn above(&self, x: f64) -> f64 {
        if x < self.low {
            return 1.0;
        }
        if x >= self.high {
            return 0.0;
        }
        let p = if self.from_above {
            (self.base.above(x) - self.outside) / self.inside
        } else {
            1.0 - (self.base.cdf(x) - self.outside) / self.inside
        };
        p.clamp(0.0, 1.0)
    }

    pub(super) fn mean(&self) -> f64 {
        if self.has_moment(1.0) {
            self.mean_of(|x| x)
        } else {
            // Infinite on the open side, undefined with two of them.
            self.low + self.high
        }
    }

    pub(super) fn sd(&self) -> f64 {
        if !self.has_moment(2.0) {
            return f64::INFINITY;
        }
        let mean = self.mean();
        self.mean_of(|x| (x - mean) * (x - mean)).sqrt()
    }

    /// The expectation of a function of the quantity, as an integral over the probabilities p below and above
    /// the median, with p = e^(-s) / 2 and s = e^y: the trapezoidal rule in y, which converges
    /// exponentially for such integrands, also where the tails are those of a Student t. Good to about
    /// 1e-8 of the result.
    fn mean_of(&self, f: impl Fn(f64) -> f64) -> f64 {
        const STEPS: i32 = 64;
        // From e^y = 1e-13, below which nothing is left, to p = 1e-143, before a quantile overflows.
        let points = (-30 * STEPS..=29 * STEPS / 5).map(|i| {
            let s = exp(f64::from(i) / f64::from(STEPS));
            let p = 0.5 * exp(-s);
            p * s * (f(self.quantile(p)) + f(self.upper_quantile(p)))
        });
        points.sum::<f64>() / f64::from(STEPS)
    }
}
