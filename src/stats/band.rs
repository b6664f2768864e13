//! How often results meet a requirement, and how far they lie from zero.

use super::tail::Tail;
use super::{Estimate, Moments};
use crate::random::special::beta_inc_inverse;

/// The fewest values inside a band, and outside, from which a standard error of their share is stated.
const FEWEST_EVENTS: u64 = 10;

/// How many of the finite values lie in the closed band [low, high], and how many finite values
/// there are.
///
/// Bounds share the unit of the column and may be infinite; an empty band holds nothing. `None` with
/// a NaN bound or without finite values.
pub fn count_within(values: &[f64], low: f64, high: f64) -> Option<(u64, u64)> {
    let (mut n, mut inside) = (0_u64, 0_u64);
    for &value in values.iter().filter(|v| v.is_finite()) {
        n += 1;
        inside += u64::from(value >= low && value <= high);
    }
    (n > 0 && !low.is_nan() && !high.is_nan()).then_some((inside, n))
}

/// The share of the finite values lying in the closed band [low, high]; undefined where there is
/// nothing to count.
///
/// The standard error is binomial, √(p(1−p)/n). It is NaN with fewer than ten values inside or fewer
/// than ten outside: the count of a rare event is no normal deviate, and one that has not occurred
/// has not been shown to be impossible. Then [`share_interval`] still holds.
pub fn share_within(values: &[f64], low: f64, high: f64) -> Estimate {
    let Some((inside, all)) = count_within(values, low, high) else {
        return Estimate::undefined();
    };
    let (share, n) = (inside as f64 / all as f64, all as f64);
    let seen = inside.min(all - inside) >= FEWEST_EVENTS;
    let se = (share * (1.0 - share) / n).sqrt();
    Estimate::new(share, if seen { se } else { f64::NAN })
}

/// The 95 % interval of the probability of what occurred `inside` times in `all` trials: the
/// probabilities that would make neither so many nor so few rarer than 2.5 %.
///
/// Source: C. J. Clopper and E. S. Pearson, Biometrika 26 (1934) 404 (from memory). It holds the true
/// probability in at least 95 % of cases for any probability and any number of trials, rare events
/// included, and so in a few more for most. From 0 to 1 without trials.
pub fn share_interval(inside: u64, all: u64) -> (f64, f64) {
    let (hits, misses) = (inside as f64, all.saturating_sub(inside) as f64);
    let low = if inside == 0 {
        0.0
    } else {
        beta_inc_inverse(hits, misses + 1.0, 0.025)
    };
    let high = if inside >= all {
        1.0
    } else {
        beta_inc_inverse(hits + 1.0, misses, 0.975)
    };
    (low, high)
}

/// The root mean square of the finite values about zero, in their unit.
///
/// Applied to errors (result minus truth) it joins bias and spread in one
/// number. Standard error by the delta method, sd(y²)/(2 rms √n); 0 if all are zero, NaN below two
/// values and where the column cannot tell it: if a few results make much of it, or if it falls off
/// so slowly that the results that make the error have not all occurred.
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
    let stated = Estimate::new(largest * root, largest * mean.se / (2.0 * root));
    Tail::about(values, 0.0).known(2, stated)
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
    fn what_never_occurred_has_no_error_but_an_interval() {
        assert_eq!(share_within(&[0.0; 100], -1.0, 1.0).value, 1.0);
        assert!(share_within(&[0.0; 100], -1.0, 1.0).se.is_nan());
        assert!(share_within(&[0.0; 100], 1.0, 2.0).se.is_nan());
        // (1 - p)^100 = 0.025.
        let (low, high) = share_interval(100, 100);
        assert!((low - libm::pow(0.025, 0.01)).abs() < 1e-14 && high == 1.0);
        assert_eq!(share_interval(0, 0), (0.0, 1.0));
        let nine: Vec<f64> = (0..1_000).map(|i| f64::from(u8::from(i < 9))).collect();
        let ten: Vec<f64> = (0..1_000).map(|i| f64::from(u8::from(i < 10))).collect();
        assert!(share_within(&nine, 1.0, 1.0).se.is_nan());
        assert!(
            (share_within(&ten, 1.0, 1.0).se - 0.0099_f64.sqrt() / 1_000_f64.sqrt()).abs() < 1e-15
        );
    }

    #[test]
    fn intervals_of_shares_agree_with_another_program() {
        // scipy 1.17, beta.ppf(0.025, k, n - k + 1) and beta.ppf(0.975, k + 1, n - k).
        for (k, n, low, high) in [
            (1, 10_240, 2.472_439_129_483_146e-6, 5.439_843_575_422_72e-4),
            (
                5,
                10_240,
                1.585_619_940_198_567e-4,
                1.139_114_575_439_781_4e-3,
            ),
            (
                40,
                81_920,
                3.488_574_801_807_31e-4,
                6.648_417_551_494_704e-4,
            ),
            (
                5_120,
                10_240,
                0.490_268_032_888_201_7,
                0.509_731_967_111_798_4,
            ),
            (
                10_200,
                10_240,
                0.994_684_555_824_622_2,
                0.997_207_895_471_867_3,
            ),
            (
                500_000,
                1_000_000,
                0.499_019_519_195_311_84,
                0.500_980_480_804_688_2,
            ),
            (3, 20, 0.032_070_937_185_463_7, 0.378_926_826_545_313_96),
        ] {
            let found = share_interval(k, n);
            assert!((found.0 / low - 1.0).abs() < 1e-8, "{k} {n} {found:?}");
            assert!((found.1 / high - 1.0).abs() < 1e-8, "{k} {n} {found:?}");
        }
    }

    #[test]
    fn intervals_hold_also_for_rare_events() {
        // The coverage is a sum over the binomial distribution, by recursion: exact.
        let coverage = |p: f64, n: u64, holds: &dyn Fn(u64) -> bool| {
            let mut term = libm::exp(n as f64 * libm::log1p(-p));
            let mut sum = 0.0;
            for k in 0..=n.min(200) {
                sum += if holds(k) { term } else { 0.0 };
                term *= (n - k) as f64 / (k + 1) as f64 * p / (1.0 - p);
            }
            sum
        };
        for p in [1e-6, 1e-5, 3e-5, 1e-4, 3e-4, 1e-3, 3e-3] {
            let n = 10_240;
            let exact = |k| {
                let (low, high) = share_interval(k, n);
                low <= p && p <= high
            };
            assert!(coverage(p, n, &exact) >= 0.95, "{p}");
            // Two binomial standard errors hold one that is expected once in 63 % of cases.
            let plain = |k: u64| {
                let share = k as f64 / n as f64;
                (share - p).abs() <= 2.0 * (share * (1.0 - share) / n as f64).sqrt()
            };
            assert!(p > 2e-4 || coverage(p, n, &plain) < 0.9, "{p}");
        }
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
