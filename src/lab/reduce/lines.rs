//! Straight lines through both periods, by ordinary least squares.

use super::ways::LineSeen;
use crate::quantity::{Celsius, Second};

/// A fitted line, for a picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// First reading it is fitted to.
    pub from: Second,
    /// Last reading it is fitted to.
    pub to: Second,
    /// Its value at the moment of mixing.
    pub at_mixing: Celsius,
    /// Its slope, K/s.
    pub slope: f64,
}

/// Where the readings of a line lie: all that the errors of its values need.
#[derive(Debug, Clone, Copy)]
pub(super) struct Span {
    n: f64,
    /// Their mean time, s.
    pub(super) mean: f64,
    /// Sum of squares about the mean; infinite for a single reading, whose value is the same everywhere.
    square: f64,
}

impl Span {
    pub(super) fn of(times: &[Second]) -> Self {
        let n = times.len() as f64;
        let mean = times.iter().map(|t| t.0).sum::<f64>() / n;
        let square: f64 = times.iter().map(|t| (t.0 - mean) * (t.0 - mean)).sum();
        Self {
            n,
            mean,
            square: if square > 0.0 { square } else { f64::INFINITY },
        }
    }

    /// The line of a record with these sums over its readings, of d and of (t - t_mean) d: slope `sum (t - t_mean) d / S`,
    /// mean `sum d / n`, value at mixing `mean - t_mean slope`.
    #[inline]
    pub(super) fn line(&self, sum: f64, moment: f64) -> LineSeen {
        let (slope, mean) = (moment / self.square, sum / self.n);
        LineSeen {
            at_zero: mean - self.mean * slope,
            slope,
            mean,
        }
    }

    /// Sum over the readings of the products of their weights in the line's values at two times: their covariance for a
    /// unit variance of a reading, `1/n + (s - t_mean)(t - t_mean) / S`.
    pub(super) fn covariance(&self, s: f64, t: f64) -> f64 {
        1.0 / self.n + (s - self.mean) * (t - self.mean) / self.square
    }

    /// What the line says at a time of a reading that rises by 1 in a second: the time, for a single reading its own.
    pub(super) fn follows(&self, t: f64) -> f64 {
        if self.square.is_finite() {
            t
        } else {
            self.mean
        }
    }
}

/// A line through points.
pub(super) fn fit(points: &[(Second, Celsius)]) -> Line {
    let times: Vec<Second> = points.iter().map(|p| p.0).collect();
    let zero = points[0].1;
    let span = Span::of(&times);
    let d = |at: usize| (points[at].1 - zero).0;
    let sum = (0..points.len()).map(d).sum();
    let moment = (0..points.len())
        .map(|j| (times[j].0 - span.mean) * d(j))
        .sum();
    let LineSeen { at_zero, slope, .. } = span.line(sum, moment);
    Line {
        from: times[0],
        to: times[times.len() - 1],
        at_mixing: Celsius(zero.0 + at_zero),
        slope,
    }
}
