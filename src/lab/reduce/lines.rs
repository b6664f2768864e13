//! Straight lines through both periods, by ordinary least squares.

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
    mean: f64,
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

/// Weights of one reading in a line: its value at time 0, its slope (per s), and its mean.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct LineWeights {
    pub(super) at_zero: f64,
    pub(super) slope: f64,
    pub(super) mean: f64,
}

/// Weights of the readings at these times: value at 0 is sum_j T_j [1/n - t_mean (t_j - t_mean) / S],
/// slope sum_j T_j (t_j - t_mean) / S, S = sum (t_j - t_mean)^2.
pub(super) fn weights(times: &[Second]) -> Vec<LineWeights> {
    let Span { n, mean, square } = Span::of(times);
    times
        .iter()
        .map(|t| LineWeights {
            at_zero: 1.0 / n - mean * (t.0 - mean) / square,
            slope: (t.0 - mean) / square,
            mean: 1.0 / n,
        })
        .collect()
}

/// A line through points.
pub(super) fn fit(points: &[(Second, Celsius)]) -> Line {
    let times: Vec<Second> = points.iter().map(|p| p.0).collect();
    let zero = points[0].1;
    let (mut at_zero, mut slope) = (0.0, 0.0);
    for (w, (_, shown)) in weights(&times).iter().zip(points) {
        at_zero += w.at_zero * (*shown - zero).0;
        slope += w.slope * (*shown - zero).0;
    }
    Line {
        from: times[0],
        to: times[times.len() - 1],
        at_mixing: Celsius(zero.0 + at_zero),
        slope,
    }
}
