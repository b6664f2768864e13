//! A share of the variance with its interval.

use super::control::{Controls, dot};
use crate::random::special::student_quantile;

/// Upper probability of a two-sided 95 % interval.
const UPPER: f64 = 0.975;

/// A share of the variance, dimensionless.
#[derive(Debug, Clone, PartialEq, serde::Serialize, schemars::JsonSchema)]
pub struct Share {
    /// The estimate. Not cut off at 0 or 1: a small share may come out slightly negative. Not a
    /// number if the result has no variance.
    pub value: f64,
    /// Its standard error.
    pub se: f64,
    /// Lower end of the 95 % interval by Student's t.
    pub low: f64,
    /// Upper end of the 95 % interval.
    pub high: f64,
    /// Degrees of freedom of the standard error.
    #[serde(skip)]
    pub dof: f64,
    /// One number per batch, whose mean is `value` and whose standard deviation over the root of
    /// their number is `se`. Shares of one study can be added and subtracted batch by batch.
    #[serde(skip)]
    pub batches: Vec<f64>,
}

impl Share {
    /// The ratio of two means over batches, each taken with its controls at zero. The error is that
    /// of numerator less ratio times denominator (linearised).
    pub(super) fn ratio(numerator: &[f64], denominator: &[f64], controls: &Controls) -> Self {
        let n = controls.intercept(numerator);
        let d = controls.intercept(denominator);
        let value = n.value / d.value;
        let residuals: Vec<f64> = n
            .residuals
            .iter()
            .zip(&d.residuals)
            .map(|(n, r)| (n - value * r) / d.value)
            .collect();
        let squares = dot(&residuals, &residuals);
        let dof = controls.dof() as f64;
        let se = (squares / dof * controls.leverage()).sqrt();
        // Blown up, so that the batches by themselves show the error after regression.
        let count = residuals.len() as f64;
        let stretch = if squares > 0.0 {
            se * (count * (count - 1.0) / squares).sqrt()
        } else {
            0.0
        };
        let batches = residuals.iter().map(|r| value + stretch * r).collect();
        Self::with(value, se, dof, batches)
    }

    /// The sum of shares of one study.
    pub(super) fn sum<'a>(shares: impl IntoIterator<Item = &'a Self>) -> Self {
        let (mut batches, mut dof) = (Vec::new(), f64::INFINITY);
        for share in shares {
            batches.resize(share.batches.len(), 0.0);
            for (sum, b) in batches.iter_mut().zip(&share.batches) {
                *sum += b;
            }
            dof = dof.min(share.dof);
        }
        if batches.is_empty() {
            return Self::with(0.0, 0.0, dof, batches);
        }
        Self::of_batches(batches, dof)
    }

    /// This share less another of the same study, batch by batch: what both owe to the same draws
    /// drops out.
    pub fn less(&self, other: &Self) -> Self {
        let batches = self
            .batches
            .iter()
            .zip(&other.batches)
            .map(|(a, b)| a - b)
            .collect();
        Self::of_batches(batches, self.dof.min(other.dof))
    }

    /// A share that is the mean of these batches.
    #[cfg(test)]
    pub(super) fn plain(batches: &[f64]) -> Self {
        Self::of_batches(batches.to_vec(), batches.len() as f64 - 1.0)
    }

    fn of_batches(batches: Vec<f64>, dof: f64) -> Self {
        let none = Controls::new(batches.len(), &[]);
        let mean = none.intercept(&batches);
        let squares = dot(&mean.residuals, &mean.residuals);
        let se = (squares / none.dof() as f64 * none.leverage()).sqrt();
        Self::with(mean.value, se, dof, batches)
    }

    fn with(value: f64, se: f64, dof: f64, batches: Vec<f64>) -> Self {
        let half = if se == 0.0 {
            0.0
        } else {
            student_quantile(UPPER, dof) * se
        };
        Self {
            value,
            se,
            low: value - half,
            high: value + half,
            dof,
            batches,
        }
    }

    /// Whether the interval lies above zero.
    pub fn is_positive(&self) -> bool {
        self.low > 0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(a: f64, b: f64) -> bool {
        (a - b).abs() < 1e-12
    }

    fn plain(numerator: &[f64], denominator: &[f64]) -> Share {
        Share::ratio(numerator, denominator, &Controls::new(numerator.len(), &[]))
    }

    #[test]
    fn a_ratio_has_the_error_worked_by_hand() {
        // Means 1.5 and 3, ratio 1/2; residuals -0.5 + 0.5, 0 and 0.5 - 0.5 over 3: none.
        let exact = plain(&[1.0, 1.5, 2.0], &[2.0, 3.0, 4.0]);
        assert_eq!((exact.value, exact.se), (0.5, 0.0));
        // Denominator 3 throughout: the mean of 1/3, 1/2, 2/3 with deviation 1/6.
        let s = plain(&[1.0, 1.5, 2.0], &[3.0; 3]);
        let se = 1.0 / 6.0 / 3.0_f64.sqrt();
        assert!(close(s.value, 0.5) && close(s.se, se));
        // Student's t with two degrees of freedom: 4.302653 (any table).
        assert!((s.high - (0.5 + 4.302_652_73 * se)).abs() < 1e-8);
        assert!(close(s.low, 1.0 - s.high));
        assert!(close(s.batches[0], 1.0 / 3.0) && close(s.batches[2], 2.0 / 3.0));
    }

    #[test]
    fn batches_carry_the_error_after_regression() {
        let n = [0.3, 0.1, 0.5, 0.2, 0.6, 0.4];
        let controls = Controls::new(6, &[vec![0.1, -0.2, 0.2, -0.1, 0.3, 0.1]]);
        let s = Share::ratio(&n, &[1.0; 6], &controls);
        let again = Share::of_batches(s.batches.clone(), s.dof);
        assert!(close(again.value, s.value) && close(again.se, s.se));
        assert_eq!(s.dof, 4.0);
        assert!(s.se < plain(&n, &[1.0; 6]).se);
    }

    #[test]
    fn a_difference_knows_what_both_share() {
        let a = plain(&[1.0, 1.5, 2.1, 0.4], &[3.0; 4]);
        let b = plain(&[0.9, 1.4, 2.0, 0.3], &[3.0; 4]);
        let d = a.less(&b);
        assert!(close(d.value, 0.1 / 3.0) && d.se < 1e-12 && d.is_positive());
        assert!(!b.less(&a).is_positive() && a.se > 0.1);
        let sum = Share::sum([&a, &b]);
        assert!(close(sum.value, a.value + b.value) && close(sum.se, 2.0 * a.se));
        assert_eq!(Share::sum([]).value, 0.0);
    }

    #[test]
    fn without_variance_nothing_has_a_share() {
        let s = plain(&[0.0; 4], &[0.0; 4]);
        assert!(s.value.is_nan() && !s.is_positive() && !s.less(&s).is_positive());
    }
}
