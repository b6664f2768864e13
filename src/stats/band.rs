//! How often results meet a requirement, and how far they lie from zero.

use super::{Estimate, Moments};

/// The share of the finite values lying in the closed band [low, high].
///
/// Bounds share the unit of the column and may be infinite; an empty band holds
/// nothing; a NaN bound or a column without finite values gives NaN.
///
/// The standard error is binomial, √(p(1−p)/n), but with two successes and two
/// failures added to the count (A. Agresti and B. A. Coull, Am. Stat. 52, 1998):
/// a run with no failure has not shown that failures are impossible.
pub fn share_within(values: &[f64], low: f64, high: f64) -> Estimate {
    let (mut n, mut inside) = (0_u64, 0_u64);
    for &value in values.iter().filter(|v| v.is_finite()) {
        n += 1;
        inside += u64::from(value >= low && value <= high);
    }
    if n == 0 || low.is_nan() || high.is_nan() {
        return Estimate::undefined();
    }
    let (n, inside) = (n as f64, inside as f64);
    let padded = (inside + 2.0) / (n + 4.0);
    let se = (padded * (1.0 - padded) / (n + 4.0)).sqrt();
    Estimate::new(inside / n, se)
}

/// The root mean square of the finite values about zero, in their unit.
///
/// Applied to errors (result minus truth) it joins bias and spread in one
/// number. Standard error by the delta method, sd(y²)/(2 rms √n); NaN below two
/// values, and 0 if all are zero.
pub fn rms(values: &[f64]) -> Estimate {
    let finite = || values.iter().copied().filter(|v| v.is_finite());
    let largest = finite().fold(f64::NAN, |most, v| v.abs().max(most));
    if largest == 0.0 {
        return Estimate::new(0.0, 0.0);
    }
    // Squares of scaled values neither overflow nor vanish.
    let mut squares = Moments::new();
    for value in finite() {
        let share = value / largest;
        squares.push(share * share);
    }
    let mean = squares.mean();
    let root = mean.value.sqrt();
    Estimate::new(largest * root, largest * mean.se / (2.0 * root))
}

#[cfg(test)]
mod tests {
    use super::super::testing::*;
    use super::*;

    #[test]
    fn both_ends_belong_to_the_band() {
        let column = [1.0, 2.0, 3.0, 4.0, f64::NAN];
        assert_eq!(share_within(&column, 2.0, 3.0).value, 0.5);
        assert_eq!(share_within(&column, 2.0, f64::INFINITY).value, 0.75);
        assert_eq!(share_within(&column, 3.0, 2.0).value, 0.0);
    }

    #[test]
    fn a_perfect_record_still_has_an_error() {
        let all = share_within(&[0.0; 100], -1.0, 1.0);
        assert_eq!(all.value, 1.0);
        // Padded share 102/104: the root of (102/104)(2/104)/104.
        let by_hand = (204.0_f64 / (104.0 * 104.0 * 104.0)).sqrt();
        assert!((all.se - by_hand).abs() < 1e-15);
        assert!(share_within(&[0.0; 100], 1.0, 2.0).se > 0.0);
    }

    #[test]
    fn a_band_that_cannot_be_judged_is_undefined() {
        assert!(!share_within(&[f64::NAN], 0.0, 1.0).is_defined());
        assert!(!share_within(&[1.0], f64::NAN, 1.0).is_defined());
    }

    #[test]
    fn two_thirds_of_a_normal_sample_lie_within_one_sd() {
        let truth = 0.6826894921370859; // erf(1/sqrt 2)
        let sample = normal(51, 100_000);
        assert!(agrees(share_within(&sample, -1.0, 1.0), truth));
        assert!(!agrees(
            share_within(&scaled(&sample, 1.05), -1.0, 1.0),
            truth
        ));
    }

    #[test]
    fn rms_joins_bias_and_spread() {
        let shifted: Vec<f64> = normal(52, 100_000).iter().map(|z| z + 0.3).collect();
        let truth = 1.09_f64.sqrt();
        assert!(agrees(rms(&shifted), truth));
        assert!(!agrees(rms(&scaled(&shifted, 1.05)), truth));
    }

    #[test]
    fn rms_of_extreme_zero_or_missing_values_is_sound() {
        assert!((rms(&[3e200, 4e200]).value / 12.5_f64.sqrt() - 1e200).abs() < 1e186);
        assert_eq!(rms(&[0.0, -0.0]), Estimate::new(0.0, 0.0));
        assert!(rms(&[f64::NAN]).value.is_nan() && rms(&[]).value.is_nan());
        assert_eq!(rms(&[-2.0, f64::INFINITY]).value, 2.0);
        assert!(rms(&[-2.0]).se.is_nan());
    }

    #[test]
    fn stated_errors_of_share_and_rms_match_their_spread() {
        let share = |seed| share_within(&normal(seed, 1_000), -1.0, 1.0);
        let root = |seed| rms(&exponential(seed, 5_000));
        assert!(honest(calibration(share)));
        assert!(honest(calibration(root)));
        let doubled = |seed| Estimate::new(share(seed).value, 2.0 * share(seed).se);
        assert!(!honest(calibration(doubled)));
    }
}
