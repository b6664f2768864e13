//! How a column falls off far from its centre, and which standard errors that leaves honest.
//!
//! The error of a statistic that is made of powers of deviations is itself estimated from powers
//! twice as high. Where these are made by a few results the error is not known: it comes out too
//! small as long as the results that would make it large have not occurred. Two signs of it are
//! read off the largest deviations here. Neither can see what has not occurred at all: of an event
//! of probability p, nothing is seen in n trials with probability (1 − p)ⁿ.

use super::Estimate;
use crate::random::elementary::ln;

/// The most results that are still few, and the part of all that they must not exceed.
const FEW: usize = 10;
const FEW_OF: usize = 1_000;

/// The part of the variance that so few results make only if they lie far out: the ten largest of
/// 10,240 make 1 % of it for a normal distribution and 5 % for an exponential one.
const MUCH: f64 = 0.1;

/// How many of the largest deviations tell how steeply a column falls off.
const LARGEST: (usize, usize) = (10, 30);

/// A few results that make much of the variance of a column.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FarResults {
    /// How many: at most ten, and at most one in a thousand.
    pub count: usize,
    /// The part of the sum of squared deviations that they make: a tenth or more.
    pub share: f64,
}

/// The few results that make a tenth or more of the variance of a column, if there are such.
///
/// Then the standard deviation goes by how often chance has brought such results, and another seed
/// may give quite another one. `None` says only that none occurred, or enough of them (about a
/// hundred times the part of the variance that they make) for the stated errors to hold; and always
/// below a thousand values. Over 2000 seeds of 10,240 results no normal, rectangular, exponential or
/// chi-square (3) column raised it, a chi-square (1) column in 0.2 % and a Student t with five degrees
/// of freedom in 0.6 %. A log-normal with a standard deviation of the logarithm of 1 nearly always
/// does, and rightly: ten results make a sixth of its variance.
pub fn rare_far_results(values: &[f64]) -> Option<FarResults> {
    let mean = super::Moments::of(values).mean().value;
    Tail::about(values, mean).far
}

/// What the largest deviations of a column say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Tail {
    /// A few results that make much of the sum of squares.
    pub far: Option<FarResults>,
    /// How steeply the column falls off: beyond its largest deviations, one that is twice as large
    /// is rarer by 2^index.
    index: f64,
}

impl Tail {
    /// Of the deviations from `centre`; those that are not finite are left out.
    ///
    /// The index is that of B. M. Hill, Ann. Statist. 3 (1975) 1163 (from memory), from the 10 to 30
    /// largest: known to a fifth, and about 11 for a normal, 6 for an exponential and 3 for a
    /// log-normal (1) column of 10,240. Below a thousand values there is none.
    pub fn about(values: &[f64], centre: f64) -> Self {
        let finite = values.iter().filter(|v| v.is_finite());
        let mut sizes: Vec<f64> = finite.map(|v| (v - centre).abs()).collect();
        let n = sizes.len();
        if n < FEW_OF {
            return Self {
                far: None,
                index: f64::NAN,
            };
        }
        // Scaled, so that squares neither overflow nor vanish; summed before the order changes.
        let most = sizes.iter().copied().fold(0.0, f64::max);
        let square = |d: f64| (d / most) * (d / most);
        let all: f64 = sizes.iter().map(|d| square(*d)).sum();
        let k = (n / 340).clamp(LARGEST.0, LARGEST.1);
        let (largest, least, _) = sizes.select_nth_unstable_by(k, |a, b| b.total_cmp(a));
        largest.sort_unstable_by(|a, b| b.total_cmp(a));
        let mut made = 0.0;
        let far = (1..=FEW.min(n / FEW_OF)).find_map(|count| {
            made += square(largest[count - 1]) / all;
            (made >= MUCH).then_some(FarResults { count, share: made })
        });
        let logarithms: f64 = largest.iter().map(|d| ln(d / *least)).sum();
        Self {
            far,
            index: k as f64 / logarithms,
        }
    }

    /// A statistic of moments up to this order with its standard error, or without one if the
    /// column cannot tell it: if a few results make much of the variance, or if the index is not
    /// above one and a half times the order.
    ///
    /// In theory it must be above twice the order, or the variance of the statistic does not exist;
    /// but an exponential column has an index of 6 to 8 where it ends, and errors that hold. By the
    /// weaker demand, errors that most seeds state are within 10 % of the scatter over seeds for
    /// normal, exponential, chi-square and log-normal columns of 10,240 and 81,920 (see
    /// `tests/all/printed_errors.rs`). A limit cannot be right for every seed: a column that lacks its
    /// far results by chance looks as if it had none.
    pub fn known(&self, order: u32, statistic: Estimate) -> Estimate {
        if self.far.is_some() || self.index <= 1.5 * f64::from(order) {
            return Estimate::new(statistic.value, f64::NAN);
        }
        statistic
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::*;
    use super::super::{Summary, spread};
    use super::*;

    /// A normal column, `count` of whose values are moved to `size`.
    fn with_far(seed: u64, n: usize, count: usize, size: f64) -> Vec<f64> {
        let mut column = normal(seed, n);
        column[n - count..].fill(size);
        column
    }

    #[test]
    fn columns_without_far_results_raise_no_alarm() {
        let alarms = |column: &dyn Fn(u64) -> Vec<f64>| {
            let raised = |s: &u64| rare_far_results(&column(*s)).is_some();
            (0..200).filter(raised).count()
        };
        assert_eq!(alarms(&|s| normal(s, 10_240)), 0);
        assert_eq!(alarms(&|s| unit(s, 2_000)), 0);
        assert_eq!(alarms(&|s| exponential(s, 10_240)), 0);
        assert_eq!(alarms(&|s| with_far(s, 10_240, 1, 100.0)), 200);
    }

    #[test]
    fn a_single_result_at_three_hundred_spreads_makes_the_spread() {
        let column = with_far(71, 100_000, 1, 300.0);
        let far = rare_far_results(&column).expect("seen");
        // 90,000 of 190,000.
        assert!(far.count == 1 && (far.share - 9.0 / 19.0).abs() < 0.01);
        let s = Summary::of(&column, 0.95);
        assert_eq!(s.far, Some(far));
        assert!(s.sd.value > 1.3 && s.sd.se.is_nan() && spread(&column).se.is_nan());
        assert!(s.excess_kurtosis.se.is_nan() && s.mean.se > 0.0);
        assert!(Summary::of(&column[..99_999], 0.95).sd.se > 0.0);
    }

    #[test]
    fn few_are_at_most_ten_and_one_in_a_thousand() {
        // Each far result adds 2,000 to the 10,000 of the rest: one makes a sixth.
        let size = 2_000_f64.sqrt();
        assert_eq!(
            rare_far_results(&with_far(72, 10_000, 1, size))
                .unwrap()
                .count,
            1
        );
        assert!(rare_far_results(&with_far(72, 999, 1, size)).is_none());
        // Each of 30 adds 500 to 10,000: 250/25,000 a piece, and ten of them make a fifth.
        assert!(rare_far_results(&with_far(73, 10_000, 30, 500_f64.sqrt())).is_some());
        // Of 200 at eight spreads, ten make 640 of 22,800.
        assert!(rare_far_results(&with_far(74, 10_000, 200, 8.0)).is_none());
    }

    #[test]
    fn the_index_is_that_of_a_power_law() {
        // P(|x| > d) = d^-5.
        let of = |seed: u64, n: usize| {
            let column: Vec<f64> = unit(seed, n)
                .iter()
                .map(|u| libm::pow(1.0 - u, -0.2))
                .collect();
            Tail::about(&column, 0.0).index
        };
        let all: Vec<f64> = (0..200).map(|s| 1.0 / of(s, 10_240)).collect();
        let mean = super::super::Moments::of(&all).mean();
        assert!(agrees(mean, 0.2) && !agrees(mean, 0.25));
        assert!(of(1, 999).is_nan());
        assert!(Tail::about(&[1.0; 2_000], 1.0).index.is_nan());
    }

    #[test]
    fn errors_of_extreme_scales_are_told_as_well() {
        for scale in [1e-60, 1.0, 1e60] {
            let column = scaled(&normal(75, 2_000), scale);
            let tail = Tail::about(&column, 0.0);
            assert!(tail.far.is_none() && tail.index > 5.0);
        }
    }
}
