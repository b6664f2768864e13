//! Whether a linear result stands up to the simulated one: JCGM 101:2008, clause 8.

use super::numerical_tolerance;

/// The verdict on a linear result, all numbers in the unit of the result.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Validity {
    /// Numerical tolerance of the uncertainty at the digits asked for.
    pub delta: f64,
    /// Distance between the two lower ends.
    pub d_low: f64,
    /// Distance between the two upper ends.
    pub d_high: f64,
    /// Whether neither distance exceeds the tolerance.
    pub valid: bool,
}

/// Compares the interval `y` -+ `coverage_half_width` of a linear budget with a simulated coverage
/// interval `mc` (low, high) of the same coverage probability, JCGM 101:2008, 8.2.
///
/// `u` is the standard uncertainty of the budget; the tolerance is that of `u` at `digits`
/// significant digits (7.9.2; 0 is taken as 1). All in the unit of the result. The simulated ends
/// must themselves be known well within the tolerance (a fifth of it is advised), or the verdict is left
/// to chance. A number that is not finite, or a negative `u`, is never valid.
///
/// Source: JCGM 101:2008, clause 8 and 7.9.2 (from memory).
pub fn clause8(y: f64, u: f64, coverage_half_width: f64, mc: (f64, f64), digits: u32) -> Validity {
    let delta = numerical_tolerance(u, digits);
    let d_low = (y - coverage_half_width - mc.0).abs();
    let d_high = (y + coverage_half_width - mc.1).abs();
    Validity {
        delta,
        d_low,
        d_high,
        valid: d_low <= delta && d_high <= delta,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Ends computed independently: in closed form, or by quadrature. The guide prints the same to
    // the digits of its tables 2 to 6 (from memory).

    #[test]
    fn a_sum_of_normals_is_valid_at_two_digits() {
        // JCGM 101:2008, 9.2.2.
        let end = 3.919_927_969_080_108;
        let v = clause8(0.0, 2.0, end, (-3.92, 3.92), 2);
        assert_eq!(v.delta, 0.05);
        assert!(v.valid && v.d_low < 1e-4 && v.d_high < 1e-4);
        // A single end that is off by more than the tolerance is enough.
        assert!(!clause8(0.0, 2.0, end, (-3.92, 3.98), 2).valid);
        assert!(!clause8(0.0, 2.0, end, (-3.98, 3.92), 2).valid);
    }

    #[test]
    fn a_sum_of_equal_rectangles_is_valid_at_two_digits_and_not_at_three() {
        // JCGM 101:2008, 9.2.3.
        let mc = 3.879_406_741_347_821;
        let v = |digits| clause8(0.0, 2.0, 3.919_927_969_080_108, (-mc, mc), digits);
        assert!(v(1).valid && v(2).valid && !v(3).valid);
        assert!((v(2).d_low - 0.040_521_227_732_287).abs() < 1e-12);
    }

    #[test]
    fn a_dominating_rectangle_is_not_valid() {
        // JCGM 101:2008, 9.2.4.
        let mc = 17.015_814_099_975_994;
        let v = clause8(
            0.0,
            10.148_891_565_092_22,
            19.891_461_950_583_093,
            (-mc, mc),
            2,
        );
        assert_eq!(v.delta, 0.5);
        assert!(!v.valid && (v.d_low - 2.875_647_850_607_098).abs() < 1e-12);
    }

    #[test]
    fn first_order_fails_in_the_calibration_of_a_mass_and_higher_order_passes() {
        // JCGM 101:2008, 9.3, at one digit.
        let mc = (1.084_433_270_588_316_6, 1.383_566_751_098_438_4);
        let k = 1.959_963_984_540_054;
        let of = |u: f64| clause8(1.234, u, k * u, mc, 1);
        let (first, higher) = (of(0.053_851_648_071_345_05), of(0.074_963_473_850_333_8));
        assert_eq!(first.delta, 0.005);
        assert!(!first.valid && (first.d_low - 0.044_019_438_68).abs() < 1e-9);
        assert!(higher.valid && higher.d_low > 0.0);
    }

    #[test]
    fn nothing_undefined_is_valid() {
        assert!(!clause8(f64::NAN, 1.0, 2.0, (-2.0, 2.0), 1).valid);
        assert!(!clause8(0.0, f64::NAN, 2.0, (-2.0, 2.0), 1).valid);
        assert!(!clause8(0.0, -1.0, 2.0, (-2.0, 2.0), 1).valid);
        // Without any uncertainty only exact agreement will do.
        assert!(clause8(3.0, 0.0, 0.0, (3.0, 3.0), 1).valid);
        assert!(!clause8(3.0, 0.0, 0.0, (3.0, 3.1), 1).valid);
    }
}
