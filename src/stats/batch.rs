//! Standard errors by leaving out batches, for statistics without a usable formula.
//!
//! The column is cut in its own order into batches; the statistic is taken of all but one of them,
//! for each in turn, and the spread of these numbers gives its error (the delete-a-group jackknife,
//! M. H. Quenouille, Biometrika 43 (1956) 353, from memory). Each of them is of nearly the whole
//! column, so that a statistic which needs a long column, such as a kurtosis, is not judged by what
//! it is in a short one.
//!
//! With B batches the error itself is known to a relative 1/√(2(B−1)), about 13 % for 32.

use super::tail::Tail;
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
pub(super) fn spread(statistics: &[f64]) -> f64 {
    let all = Moments::of(statistics);
    if all.nonfinite() > 0 {
        return f64::NAN;
    }
    all.sd().value
}

/// The moments of a column without its first batch, without its second, and so on; `None` if the
/// batches would be shorter than [`SHORTEST_BATCH`]. Values in trial order.
pub fn left_out(values: &[f64], batches: usize) -> Option<Vec<Moments>> {
    let parts: Vec<Moments> = cut(values, batches)?.map(Moments::of).collect();
    let without = |i: usize| {
        let mut others = Moments::new();
        for part in parts[..i].iter().chain(&parts[i + 1..]) {
            others.merge(part);
        }
        others
    };
    Some((0..batches).map(without).collect())
}

/// Standard error of a statistic from what it is without each of the batches: √((B−1)/B Σ(x − x̄)²).
/// NaN with fewer than two, or if one of them is not finite.
pub fn jackknife(statistics: &[f64]) -> f64 {
    let batches = statistics.len() as f64;
    spread(statistics) * (batches - 1.0) / batches.sqrt()
}

/// Skewness of a column with its error from [`BATCHES`] batches; dimensionless. The error is NaN
/// where the column cannot tell it: if a few results make much of the variance, or if it falls off
/// so slowly that the results that make the error have not all occurred.
pub fn skewness(values: &[f64]) -> Estimate {
    shape(values)[0]
}

/// Excess kurtosis of a column with its error from [`BATCHES`] batches;
/// dimensionless. As for [`skewness`], the error may be NaN, and is so more often.
pub fn excess_kurtosis(values: &[f64]) -> Estimate {
    shape(values)[1]
}

/// Skewness and excess kurtosis.
pub(super) fn shape(values: &[f64]) -> [Estimate; 2] {
    let all = Moments::of(values);
    let tail = Tail::about(values, all.mean().value);
    let left = left_out(values, BATCHES).unwrap_or_default();
    let known = |order, of: fn(&Moments) -> f64| {
        let se = jackknife(&left.iter().map(of).collect::<Vec<_>>());
        tail.known(order, Estimate::new(of(&all), se))
    };
    [
        known(3, Moments::skewness),
        known(4, Moments::excess_kurtosis),
    ]
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
        assert!(left_out(&column, 1).is_none() && jackknife(&[1.0]).is_nan());
        assert!(skewness(&[]).value.is_nan());
    }

    #[test]
    fn a_column_that_is_constant_without_one_batch_has_no_error_of_its_shape() {
        let mut column = vec![1.0; 3_200];
        column[..100].copy_from_slice(&normal(22, 100));
        assert!(skewness(&column).value.is_finite() && skewness(&column).se.is_nan());
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
    fn errors_of_the_shape_hold_off_the_bell_or_are_not_stated() {
        // The spread of the batches by themselves states 0.4 to 0.7 of these errors.
        let skewed = |seed| skewness(&exponential(seed, 81_920));
        let peaked = |seed| excess_kurtosis(&exponential(seed, 81_920));
        for ratio in [calibration(skewed), calibration(peaked)] {
            // An error from eighth powers is itself known to a tenth at best.
            assert!((ratio - 1.0).abs() < 0.15 + Z / 800_f64.sqrt(), "{ratio}");
        }
        let far = |seed| -> Vec<f64> {
            let bell = normal(seed, 10_240);
            bell.iter().map(|z| libm::exp(*z)).collect()
        };
        let stated = (0..50).filter(|s| excess_kurtosis(&far(*s)).se.is_finite());
        assert!(stated.count() <= 3);
    }

    #[test]
    fn the_jackknife_of_the_mean_reproduces_the_classical_error() {
        let column = normal(25, 64_000);
        let left = left_out(&column, BATCHES).unwrap();
        let means: Vec<f64> = left.iter().map(|m| m.mean().value).collect();
        let classical = Moments::of(&column).mean().se;
        // Relative standard error of an sd from 32 batches: 1/sqrt(62).
        let allowed = Z / 62_f64.sqrt();
        assert!((jackknife(&means) / classical - 1.0).abs() < allowed);
        assert!((2.0 * jackknife(&means) / classical - 1.0).abs() > allowed);
    }
}
