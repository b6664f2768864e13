//! Quantiles read off the ordered results, with distribution-free errors.

use super::Estimate;
use rayon::slice::ParallelSliceMut;

/// From so many values on a sort on all threads pays.
const WORTH_SHARING: usize = 8192;

/// The finite values of a column in ascending order.
///
/// JCGM 101:2008, 7.5 represents the distribution of the output quantity by
/// exactly this: the model values in non-decreasing order.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sorted {
    values: Vec<f64>,
    nonfinite: u64,
}

impl Sorted {
    /// Orders a copy of the finite values of a column and counts the others.
    pub fn of(values: &[f64]) -> Self {
        Self::from_vec(values.to_vec())
    }

    /// As [`Sorted::of`], reusing the memory of the column.
    pub fn from_vec(mut values: Vec<f64>) -> Self {
        let all = values.len();
        values.retain(|v| v.is_finite());
        let nonfinite = (all - values.len()) as u64;
        // A total order makes equal keys identical bits, so an unstable sort
        // has only one possible outcome.
        if values.len() > WORTH_SHARING {
            values.par_sort_unstable_by(f64::total_cmp);
        } else {
            values.sort_unstable_by(f64::total_cmp);
        }
        Self { values, nonfinite }
    }

    /// Adds the values of another column. Two ordered runs are merged, not sorted again: that is
    /// what a stable sort does with them.
    pub fn join(&mut self, other: &Self) {
        self.values.extend_from_slice(&other.values);
        self.values.sort_by(f64::total_cmp);
        self.nonfinite += other.nonfinite;
    }

    /// The ordered finite values.
    pub fn values(&self) -> &[f64] {
        &self.values
    }

    /// How many finite values there are.
    pub fn len(&self) -> usize {
        self.values.len()
    }

    /// Whether there is no finite value.
    pub fn is_empty(&self) -> bool {
        self.values.is_empty()
    }

    /// How many non-finite values were left out.
    pub fn nonfinite(&self) -> u64 {
        self.nonfinite
    }

    /// The smallest finite value; NaN if there is none.
    pub fn minimum(&self) -> f64 {
        self.values.first().copied().unwrap_or(f64::NAN)
    }

    /// The largest finite value; NaN if there is none.
    pub fn maximum(&self) -> f64 {
        self.values.last().copied().unwrap_or(f64::NAN)
    }

    /// The quantile of probability `p`, 0 ≤ p ≤ 1; NaN outside or without
    /// values.
    ///
    /// Linear between order statistics: position h = (n − 1) p counted from
    /// zero at the smallest value. At p = 0 and 1 it is the smallest and the
    /// largest value.
    ///
    /// The standard error is distribution-free. The number of results below the
    /// true quantile is binomial, with standard deviation √(n p (1−p)); the
    /// values that many places above and below the position bound an interval
    /// of one standard error to each side, and half its width is stated. It is
    /// NaN when such a place falls off either end: the column is then too short
    /// for that tail. In a column of few distinct values (see
    /// [`super::Lattice`]) it is zero where both places fall on one of them.
    pub fn quantile(&self, p: f64) -> Estimate {
        if self.is_empty() || !(0.0..=1.0).contains(&p) {
            return Estimate::undefined();
        }
        let position = (self.len() - 1) as f64 * p;
        Estimate::new(self.at(position), self.standard_error_at(position, p))
    }

    /// The quantile of probability one half.
    pub fn median(&self) -> Estimate {
        self.quantile(0.5)
    }

    /// Standard error of the order statistic at `position` (from zero) taken as
    /// the quantile of probability `p`; see [`Sorted::quantile`].
    pub(super) fn standard_error_at(&self, position: f64, p: f64) -> f64 {
        let reach = (self.len() as f64 * p * (1.0 - p)).sqrt();
        let (lower, upper) = (position - reach, position + reach);
        // Written so that a NaN also counts as too short.
        let inside = reach > 0.0 && lower >= 0.0 && upper <= self.len() as f64 - 1.0;
        if !inside {
            return f64::NAN;
        }
        let width = self.at(upper) - self.at(lower);
        // Both on one step of a lattice: what parts them are the last bits of a sum.
        if width <= super::lattice::ONE * (self.maximum() - self.minimum()) {
            return 0.0;
        }
        width / 2.0
    }

    /// The value at a fractional position within 0 ..= n − 1.
    fn at(&self, position: f64) -> f64 {
        let below = position.floor();
        let low = self.values[below as usize];
        let fraction = position - below;
        if fraction == 0.0 {
            return low;
        }
        let high = self.values[below as usize + 1];
        low + fraction * (high - low)
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::*;
    use super::*;

    #[test]
    fn values_come_out_ordered_and_the_unusable_are_counted() {
        let s = Sorted::of(&[3.0, f64::NAN, -1.0, f64::INFINITY, 2.0]);
        assert_eq!(s.values(), &[-1.0, 2.0, 3.0]);
        assert_eq!((s.len(), s.nonfinite()), (3, 2));
        assert_eq!((s.minimum(), s.maximum()), (-1.0, 3.0));
    }

    #[test]
    fn joined_columns_are_ordered_as_if_they_had_been_one() {
        let all = normal(33, 1_000);
        let mut joined = Sorted::default();
        for part in all.chunks(300) {
            joined.join(&Sorted::of(part));
        }
        joined.join(&Sorted::of(&[f64::NAN]));
        assert_eq!(joined.values(), Sorted::of(&all).values());
        assert_eq!(joined.nonfinite(), 1);
    }

    #[test]
    fn positions_between_two_values_are_interpolated() {
        let s = Sorted::of(&[40.0, 10.0, 20.0, 30.0, 0.0]);
        assert_eq!(s.quantile(0.0).value, 0.0);
        assert_eq!(s.quantile(1.0).value, 40.0);
        assert_eq!(s.median().value, 20.0);
        assert_eq!(s.quantile(0.125).value, 5.0);
    }

    #[test]
    fn impossible_requests_are_undefined() {
        let s = Sorted::of(&[1.0, 2.0]);
        for p in [-0.1, 1.1, f64::NAN] {
            assert!(!s.quantile(p).is_defined());
        }
        let empty = Sorted::of(&[f64::NAN]);
        assert!(!empty.median().is_defined() && empty.minimum().is_nan());
        assert!(empty.is_empty());
    }

    #[test]
    fn a_tail_the_column_does_not_reach_has_no_error() {
        let s = Sorted::of(&normal(31, 30));
        assert!(s.quantile(0.025).se.is_nan());
        assert!(s.quantile(0.0).se.is_nan() && s.quantile(1.0).se.is_nan());
        assert!(s.median().se > 0.0);
        assert!(Sorted::of(&[1.0]).median().se.is_nan());
    }

    #[test]
    fn exponential_quantiles_are_minus_log_of_the_upper_tail() {
        let sample = exponential(32, 100_000);
        let (good, bad) = (Sorted::of(&sample), Sorted::of(&scaled(&sample, 1.3)));
        for p in [0.01, 0.025, 0.5, 0.9, 0.975] {
            let truth = -libm::log(1.0 - p);
            assert!(agrees(good.quantile(p), truth), "p = {p}");
            assert!(!agrees(bad.quantile(p), truth), "p = {p}");
        }
    }

    #[test]
    fn stated_errors_of_quantiles_match_their_spread() {
        for p in [0.025, 0.5, 0.975] {
            let ratio = calibration(|seed| Sorted::of(&exponential(seed, 4_000)).quantile(p));
            assert!(honest(ratio), "p = {p}: {ratio}");
        }
        let halved = |seed| {
            let e = Sorted::of(&exponential(seed, 4_000)).median();
            Estimate::new(e.value, e.se / 2.0)
        };
        assert!(!honest(calibration(halved)));
    }
}
