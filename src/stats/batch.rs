//! Standard errors by batch means, for statistics without a usable formula.
//!
//! The column is cut in its own order into batches, the statistic is taken of
//! each, and its spread over the batches, divided by the root of their number,
//! estimates the error of the statistic of the whole column. This holds for a
//! statistic whose error falls as 1/√n and makes no assumption on the shape.
//!
//! Two limits. With B batches the error itself is known to a relative
//! 1/√(2(B−1)), about 13 % for 32. And a batch has a bias of its own: the
//! skewness and kurtosis of a short batch cannot exceed about the root of its
//! length and its length, so for heavy tails the stated error is too small
//! until single batches sample the tail well.

use super::{Estimate, Moments};

/// How many batches the shape statistics use.
pub const BATCHES: usize = 32;

/// The fewest values in a batch that still speak of a shape; below it standard
/// errors are NaN.
pub const SHORTEST_BATCH: usize = 8;

/// Cuts a column in order into `batches` runs whose lengths differ by at most
/// one; `None` if they would be shorter than [`SHORTEST_BATCH`].
pub(super) fn cut(
    values: &[f64],
    batches: usize,
) -> Option<impl Iterator<Item = &[f64]> + use<'_>> {
    let n = values.len();
    if batches < 2 || n / batches < SHORTEST_BATCH {
        return None;
    }
    // Product in 128 bits: a long column times the batch count may not fit usize.
    let edge = move |i: usize| (i as u128 * n as u128 / batches as u128) as usize;
    Some((0..batches).map(move |i| &values[edge(i)..edge(i + 1)]))
}

/// The standard deviation of one statistic over the batches; NaN if any batch
/// failed to define it, since leaving it out would flatter the rest.
pub(super) fn spread(statistics: &Moments) -> f64 {
    if statistics.nonfinite() > 0 {
        return f64::NAN;
    }
    statistics.sd().value
}

/// Standard error of `statistic` of the whole column by batch means.
///
/// `values` in trial order; the result has the unit of the statistic. NaN when a
/// batch would hold fewer than [`SHORTEST_BATCH`] values or leaves the statistic
/// undefined. The statistic must cope with non-finite values itself.
pub fn standard_error(values: &[f64], batches: usize, statistic: impl Fn(&[f64]) -> f64) -> f64 {
    let Some(runs) = cut(values, batches) else {
        return f64::NAN;
    };
    let mut statistics = Moments::new();
    for run in runs {
        statistics.push(statistic(run));
    }
    spread(&statistics) / (batches as f64).sqrt()
}

/// Skewness of a column with its error from [`BATCHES`] batches; dimensionless.
pub fn skewness(values: &[f64]) -> Estimate {
    let of = |run: &[f64]| Moments::of(run).skewness();
    Estimate::new(of(values), standard_error(values, BATCHES, of))
}

/// Excess kurtosis of a column with its error from [`BATCHES`] batches;
/// dimensionless.
pub fn excess_kurtosis(values: &[f64]) -> Estimate {
    let of = |run: &[f64]| Moments::of(run).excess_kurtosis();
    Estimate::new(of(values), standard_error(values, BATCHES, of))
}

#[cfg(test)]
mod tests {
    use super::super::testing::*;
    use super::*;

    #[test]
    fn batches_cover_the_column_once_and_in_order() {
        let column: Vec<f64> = (0..1_003).map(f64::from).collect();
        let runs: Vec<&[f64]> = cut(&column, 32).unwrap().collect();
        assert_eq!(runs.len(), 32);
        assert!(runs.iter().all(|r| r.len() == 31 || r.len() == 32));
        assert_eq!(runs.concat(), column);
    }

    #[test]
    fn a_column_too_short_for_batches_states_no_error() {
        let column = normal(21, BATCHES * SHORTEST_BATCH - 1);
        assert!(skewness(&column).value.is_finite());
        assert!(skewness(&column).se.is_nan());
        assert!(standard_error(&column, 1, |r| r[0]).is_nan());
        assert!(skewness(&[]).value.is_nan());
    }

    #[test]
    fn a_batch_of_equal_values_leaves_the_error_undefined() {
        let mut column = normal(22, 3_200);
        column[..100].fill(1.0);
        assert!(skewness(&column).se.is_nan());
    }

    #[test]
    fn normal_and_exponential_shapes_are_recognised() {
        // Normal: 0 and 0; exponential: 2 and 6 (any table of distributions).
        let bell = normal(23, 200_000);
        assert!(agrees(skewness(&bell), 0.0));
        assert!(agrees(excess_kurtosis(&bell), 0.0));
        let decay = exponential(24, 200_000);
        assert!(agrees(skewness(&decay), 2.0));
        assert!(agrees(excess_kurtosis(&decay), 6.0));
        assert!(!agrees(skewness(&decay), 0.0));
        let squared: Vec<f64> = bell.iter().map(|z| z + 0.05 * z * z).collect();
        assert!(!agrees(skewness(&squared), 0.0));
    }

    #[test]
    fn stated_errors_of_the_shape_match_their_spread() {
        assert!(honest(calibration(|seed| skewness(&normal(seed, 6_400)))));
        assert!(honest(calibration(|seed| excess_kurtosis(&normal(
            seed, 12_800
        )))));
        let halved = |seed| {
            let e = skewness(&normal(seed, 6_400));
            Estimate::new(e.value, e.se / 2.0)
        };
        assert!(!honest(calibration(halved)));
    }

    #[test]
    fn batch_means_of_the_mean_reproduce_the_classical_error() {
        let column = normal(25, 64_000);
        let batch = standard_error(&column, BATCHES, |r| Moments::of(r).mean().value);
        let classical = Moments::of(&column).mean().se;
        // Relative standard error of an sd from 32 batches: 1/sqrt(62).
        let allowed = Z / 62_f64.sqrt();
        assert!((batch / classical - 1.0).abs() < allowed);
        assert!((2.0 * batch / classical - 1.0).abs() > allowed);
    }
}
