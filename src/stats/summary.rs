//! Everything a report says of one column.

use super::batch::shape;
use super::tail::{FarResults, Tail};
use super::{Estimate, Interval, Moments, Sorted, symmetric};

/// The statistics of a column of results, all but the shape in its unit.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, schemars::JsonSchema)]
pub struct Summary {
    /// How many finite values entered.
    pub n: u64,
    /// How many values were not finite and left out.
    pub nonfinite: u64,
    /// Arithmetic mean.
    pub mean: Estimate,
    /// Standard deviation, n − 1 in the divisor.
    pub sd: Estimate,
    /// Skewness, dimensionless.
    pub skewness: Estimate,
    /// Kurtosis above the normal distribution's, dimensionless.
    pub excess_kurtosis: Estimate,
    /// Median.
    pub median: Estimate,
    /// Coverage interval: the probabilistically symmetric one unless another is asked for.
    pub interval: Interval,
    /// Smallest finite value; NaN if none.
    pub minimum: f64,
    /// Largest finite value; NaN if none.
    pub maximum: f64,
    /// A few results that make much of the variance, if there are such: then the spread is theirs.
    #[serde(skip)]
    pub far: Option<FarResults>,
}

/// The standard deviation of a column, n − 1 in the divisor. Its standard error is that of
/// [`Moments::sd`], or NaN where the column cannot tell it: if a few results make much of the
/// variance, or if it falls off so slowly that the results that make the error have not all occurred.
pub fn spread(values: &[f64]) -> Estimate {
    let moments = Moments::of(values);
    Tail::about(values, moments.mean().value).known(2, moments.sd())
}

impl Summary {
    /// Summarises `values`, given in trial order, with a coverage interval of
    /// probability `p`. Whatever the column is too short to tell is NaN.
    pub fn of(values: &[f64], p: f64) -> Self {
        let moments = Moments::of(values);
        let sorted = Sorted::of(values);
        let tail = Tail::about(values, moments.mean().value);
        let [skewness, excess_kurtosis] = shape(values);
        Self {
            n: moments.count(),
            nonfinite: moments.nonfinite(),
            mean: moments.mean(),
            sd: tail.known(2, moments.sd()),
            skewness,
            excess_kurtosis,
            median: sorted.median(),
            interval: symmetric(&sorted, p),
            minimum: sorted.minimum(),
            maximum: sorted.maximum(),
            far: tail.far,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::*;
    use super::*;

    #[test]
    fn an_exponential_column_is_described_correctly() {
        let mut column = exponential(61, 100_000);
        column.push(f64::NAN);
        let describes = |s: &Summary| {
            [
                agrees(s.mean, 1.0),
                agrees(s.sd, 1.0),
                agrees(s.median, std::f64::consts::LN_2),
                agrees(s.interval.high, 3.6888794541139363),
                agrees(s.skewness, 2.0),
                agrees(s.excess_kurtosis, 6.0),
            ]
        };
        let s = Summary::of(&column, 0.95);
        assert_eq!((s.n, s.nonfinite), (100_000, 1));
        assert_eq!(describes(&s), [true; 6]);
        assert!(s.minimum >= 0.0 && s.maximum > s.interval.high.value);
        // Scale spoils everything but the shape.
        let spoiled = Summary::of(&scaled(&column, 1.1), 0.95);
        assert_eq!(
            describes(&spoiled),
            [false, false, false, false, true, true]
        );
    }

    #[test]
    fn the_same_slice_gives_the_same_bits() {
        let column = normal(62, 5_000);
        assert_eq!(Summary::of(&column, 0.95), Summary::of(&column, 0.95));
        let reversed: Vec<f64> = column.iter().rev().copied().collect();
        assert_eq!(Sorted::of(&column), Sorted::of(&reversed));
    }

    #[test]
    fn an_empty_column_is_undefined_throughout() {
        let s = Summary::of(&[f64::NAN, f64::INFINITY], 0.95);
        assert_eq!((s.n, s.nonfinite), (0, 2));
        assert!(!s.mean.is_defined() && !s.median.is_defined());
        assert!(!s.interval.low.is_defined() && s.minimum.is_nan());
    }
}
