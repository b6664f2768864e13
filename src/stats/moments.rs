//! Central moments gathered one value at a time and merged in a stated order.
//!
//! Update and merge formulas: P. Pébay, *Formulas for robust, one-pass parallel
//! computation of covariances and arbitrary-order statistical moments*, Sandia
//! report SAND2008-6212 (2008), which extends the pairwise variance of Chan,
//! Golub and LeVeque (1979) to the third and fourth moment.

use super::Estimate;

/// Count, mean and the sums of second to fourth powers of deviations from it.
///
/// The mean is held as an offset from the first value seen. When |mean| is far
/// above the standard deviation, subtracting that first value is exact, so the
/// offset keeps the digits which a mean of full size would round away.
///
/// Fourth powers limit the scale: standard deviations between about 1e-75 and
/// 1e75 keep all four moments in range; beyond, the shape becomes NaN.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Moments {
    count: u64,
    nonfinite: u64,
    origin: f64,
    offset: f64,
    m2: f64,
    m3: f64,
    m4: f64,
}

impl Moments {
    /// No values yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// The moments of a slice, taken in its order.
    pub fn of(values: &[f64]) -> Self {
        let mut moments = Self::new();
        for &value in values {
            moments.push(value);
        }
        moments
    }

    /// Adds one value; a non-finite one is only counted.
    pub fn push(&mut self, value: f64) {
        if !value.is_finite() {
            self.nonfinite += 1;
            return;
        }
        if self.count == 0 {
            self.origin = value;
        }
        let before = self.count as f64;
        self.count += 1;
        let n = self.count as f64;
        let delta = (value - self.origin) - self.offset;
        let step = delta / n;
        let step2 = step * step;
        let square = delta * step * before;
        self.offset += step;
        // Highest order first: each line uses the lower sums from before.
        self.m4 +=
            square * step2 * (n * n - 3.0 * n + 3.0) + 6.0 * step2 * self.m2 - 4.0 * step * self.m3;
        self.m3 += square * step * (n - 2.0) - 3.0 * step * self.m2;
        self.m2 += square;
    }

    /// Adds the values of `other` as if they followed those of `self`.
    ///
    /// Merging the same parts in the same order gives the same bits; another
    /// order or another cut agrees only to rounding.
    pub fn merge(&mut self, other: &Self) {
        self.nonfinite += other.nonfinite;
        if other.count == 0 {
            return;
        }
        if self.count == 0 {
            let nonfinite = self.nonfinite;
            *self = *other;
            self.nonfinite = nonfinite;
            return;
        }
        let (a, b) = (self.count as f64, other.count as f64);
        let n = a + b;
        let delta = ((other.origin - self.origin) + other.offset) - self.offset;
        let step = delta / n;
        let square = delta * step * a * b;
        self.m4 += other.m4
            + square * step * step * (a * a - a * b + b * b)
            + 6.0 * step * step * (a * a * other.m2 + b * b * self.m2)
            + 4.0 * step * (a * other.m3 - b * self.m3);
        self.m3 += other.m3 + square * step * (a - b) + 3.0 * step * (a * other.m2 - b * self.m2);
        self.m2 += other.m2 + square;
        self.offset += step * b;
        self.count += other.count;
    }

    /// How many finite values were added.
    pub const fn count(&self) -> u64 {
        self.count
    }

    /// How many non-finite values were met and left out.
    pub const fn nonfinite(&self) -> u64 {
        self.nonfinite
    }

    /// Arithmetic mean, standard error s/√n (JCGM 100:2008, 4.2.3). The value
    /// is NaN without values, the error NaN with fewer than two.
    pub fn mean(&self) -> Estimate {
        if self.count == 0 {
            return Estimate::undefined();
        }
        let se = self.deviation() / (self.count as f64).sqrt();
        Estimate::new(self.origin + self.offset, se)
    }

    /// Standard deviation with n − 1 in the divisor; NaN below two values.
    ///
    /// Its standard error follows from the variance of s² for any distribution
    /// with a fourth moment, (σ⁴/n)(k − (n−3)/(n−1)), with the sample kurtosis
    /// k = n M4/M2² for the true one, and the delta method for the square root.
    pub fn sd(&self) -> Estimate {
        let s = self.deviation();
        if s == 0.0 || s.is_nan() {
            return Estimate::new(s, s);
        }
        let n = self.count as f64;
        let excess = self.kurtosis() - (n - 3.0) / (n - 1.0);
        // Not max(0), which would turn a NaN into a claim of no error.
        let excess = if excess < 0.0 { 0.0 } else { excess };
        Estimate::new(s, s * (excess / (4.0 * n)).sqrt())
    }

    /// Skewness √n M3/M2^(3/2), dimensionless; NaN when all values are equal.
    ///
    /// No standard error here: the normal-theory one is wrong for the skewed and
    /// heavy-tailed columns of interest; see [`super::skewness`].
    pub fn skewness(&self) -> f64 {
        (self.count as f64).sqrt() * self.m3 / (self.m2 * self.m2.sqrt())
    }

    /// Kurtosis above that of a normal distribution, n M4/M2² − 3,
    /// dimensionless; NaN when all values are equal. Standard error:
    /// [`super::excess_kurtosis`].
    pub fn excess_kurtosis(&self) -> f64 {
        self.kurtosis() - 3.0
    }

    /// No kurtosis is below one, so less tells of sums out of range.
    fn kurtosis(&self) -> f64 {
        let k = self.count as f64 * self.m4 / (self.m2 * self.m2);
        if k.is_finite() && k > 0.99 {
            k
        } else {
            f64::NAN
        }
    }

    fn deviation(&self) -> f64 {
        if self.count < 2 {
            return f64::NAN;
        }
        (self.m2 / (self.count as f64 - 1.0)).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::*;
    use super::*;

    fn close(a: f64, b: f64, relative: f64) -> bool {
        (a - b).abs() <= relative * b.abs()
    }

    #[test]
    fn five_small_numbers_give_the_moments_worked_by_hand() {
        // 1, 2, 3, 4, 10: mean 4; deviations -3 -2 -1 0 6 give M2 = 50,
        // M3 = 180, M4 = 1394.
        let m = Moments::of(&[1.0, 2.0, 3.0, 4.0, 10.0]);
        assert!(close(m.mean().value, 4.0, 1e-15));
        assert!(close(m.sd().value, 12.5_f64.sqrt(), 1e-15));
        assert!(close(m.mean().se, (12.5_f64 / 5.0).sqrt(), 1e-15));
        let skewness = 5.0_f64.sqrt() * 180.0 / (50.0 * 50.0_f64.sqrt());
        assert!(close(m.skewness(), skewness, 1e-14));
        assert!(close(
            m.excess_kurtosis(),
            5.0 * 1394.0 / 2500.0 - 3.0,
            1e-14
        ));
    }

    #[test]
    fn an_exponential_sample_has_unit_mean_and_unit_sd() {
        let sample = exponential(11, 100_000);
        let m = Moments::of(&sample);
        assert!(agrees(m.mean(), 1.0) && agrees(m.sd(), 1.0));
        let spoiled = Moments::of(&scaled(&sample, 1.05));
        assert!(!agrees(spoiled.mean(), 1.0) && !agrees(spoiled.sd(), 1.0));
    }

    #[test]
    fn merged_parts_equal_the_whole() {
        let sample = exponential(12, 10_000);
        let whole = Moments::of(&sample);
        let mut merged = Moments::new();
        for part in [&sample[..1], &sample[1..3_000], &[], &sample[3_000..]] {
            merged.merge(&Moments::of(part));
        }
        assert_eq!(merged.count(), whole.count());
        assert!(close(merged.mean().value, whole.mean().value, 1e-12));
        assert!(close(merged.sd().value, whole.sd().value, 1e-12));
        assert!(close(merged.skewness(), whole.skewness(), 1e-11));
        assert!(close(
            merged.excess_kurtosis(),
            whole.excess_kurtosis(),
            1e-11
        ));
        let mut short = Moments::of(&sample[..1]);
        short.merge(&Moments::of(&sample[3_000..]));
        assert!(!close(short.sd().value, whole.sd().value, 1e-12));
    }

    #[test]
    fn a_mean_a_billion_times_the_sd_costs_no_digits() {
        let sample: Vec<f64> = normal(13, 200_000).iter().map(|z| 1e6 + 1e-3 * z).collect();
        // Subtracting 1e6 is exact here, so the two-pass sums are a reference.
        let n = sample.len() as f64;
        let centred: Vec<f64> = sample.iter().map(|x| x - 1e6).collect();
        let mean = centred.iter().sum::<f64>() / n;
        let m2: f64 = centred.iter().map(|d| (d - mean) * (d - mean)).sum();
        let sd = (m2 / (n - 1.0)).sqrt();
        let m = Moments::of(&sample);
        assert!(close(m.sd().value, sd, 1e-10));
        assert!((m.mean().value - 1e6 - mean).abs() < 2e-10);
        let mut halves = Moments::of(&sample[..99_000]);
        halves.merge(&Moments::of(&sample[99_000..]));
        assert!(close(halves.sd().value, sd, 1e-10));
        // The textbook difference of sums loses everything at this ratio.
        let squares: f64 = sample.iter().map(|x| x * x).sum();
        let total: f64 = sample.iter().sum();
        let naive = ((squares - total * total / n) / (n - 1.0)).abs().sqrt();
        assert!(!close(naive, sd, 1e-10));
    }

    #[test]
    fn nonfinite_values_are_counted_and_left_out() {
        let mut m = Moments::of(&[f64::NAN, 1.0, f64::INFINITY, 3.0]);
        m.merge(&Moments::of(&[f64::NEG_INFINITY]));
        let mut late = Moments::of(&[f64::NAN]);
        late.merge(&m);
        assert_eq!((late.count(), late.nonfinite()), (2, 4));
        assert_eq!(late.mean().value, 2.0);
    }

    #[test]
    fn short_and_constant_columns_say_what_they_cannot_tell() {
        assert!(Moments::new().mean().value.is_nan());
        let one = Moments::of(&[7.0]);
        assert_eq!(one.mean().value, 7.0);
        assert!(one.mean().se.is_nan() && one.sd().value.is_nan());
        let constant = Moments::of(&[0.1; 9]);
        assert_eq!(constant.sd(), Estimate::new(0.0, 0.0));
        assert_eq!(constant.mean(), Estimate::new(0.1, 0.0));
        assert!(constant.skewness().is_nan());
    }

    #[test]
    fn sums_out_of_range_leave_the_error_undefined_instead_of_zero() {
        for scale in [1e-120, 1e-90, 1e100] {
            let m = Moments::of(&scaled(&normal(14, 100), scale));
            assert!(m.sd().value > 0.0 && m.sd().se.is_nan(), "{scale}");
            assert!(m.excess_kurtosis().is_nan());
        }
    }

    #[test]
    fn stated_errors_of_mean_and_sd_match_their_spread() {
        let mean = |seed| Moments::of(&exponential(seed, 1_000)).mean();
        let sd = |seed| Moments::of(&exponential(seed, 5_000)).sd();
        assert!(honest(calibration(mean)));
        assert!(honest(calibration(sd)));
        // The normal-theory error s/sqrt(2n) is half of the right one here.
        let normal_theory = |seed| {
            let s = Moments::of(&exponential(seed, 5_000)).sd().value;
            Estimate::new(s, s / 10_000_f64.sqrt())
        };
        assert!(!honest(calibration(normal_theory)));
    }
}
