//! Digits worth printing: GUM 7.2.6 and the numerical tolerance of
//! JCGM 101:2008, 7.9.2.
//!
//! Rounding works on the shortest decimal that denotes the number, the one a
//! reader would see in full print, with halves going away from zero (rule B of
//! ISO 80000-1:2009, Annex B). Binary rounding would send 0.145 to 0.14.

mod decimal;

use decimal::Decimal;

/// Significant digits printed where no uncertainty says how many.
const UNGUIDED_DIGITS: u32 = 6;

/// A result and its uncertainty, rounded to the same decimal place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Quoted {
    /// The value, in plain notation.
    pub value: String,
    /// The uncertainty, in plain notation.
    pub u: String,
}

/// Rounds an uncertainty to `digits` significant digits (0 is taken as 1).
///
/// Returns the rounded number and the power of ten of its last digit, or `None`
/// unless `u` is positive and finite. When rounding gains a digit, the last is
/// given up: 0.0996 to two digits is 0.10, with last place 10^−2.
pub fn significant(u: f64, digits: u32) -> Option<(f64, i32)> {
    let rounded = shortened(u, digits)?;
    Some((rounded.to_f64(), rounded.last()))
}

fn shortened(u: f64, digits: u32) -> Option<Decimal> {
    let usable = u > 0.0 && u.is_finite();
    usable.then(|| Decimal::of(u).significant(digits))
}

/// Rounds to `decimals` places after the point, or before it if negative.
/// Non-finite values pass unchanged; a result of zero is +0.
pub fn round_to(value: f64, decimals: i32) -> f64 {
    if !value.is_finite() {
        return value;
    }
    Decimal::of(value)
        .rounded(decimals.saturating_neg())
        .to_f64()
}

/// Quotes a result to the place of its uncertainty, GUM 7.2.6: 10.057 62 with
/// 0.027 becomes 10.058 and 0.027. `digits` of the uncertainty are kept, one or
/// two being usual.
///
/// Both strings use plain notation, never a negative zero. If `u` is zero,
/// negative or not finite it cannot guide, and the value is given to six
/// significant digits; `u` then reads "0", "NaN" (also for a negative one) or
/// "inf".
pub fn quote(value: f64, u: f64, digits: u32) -> Quoted {
    let guide = shortened(u, digits);
    let value = if !value.is_finite() {
        format!("{value}")
    } else {
        let decimal = Decimal::of(value);
        match &guide {
            Some(guide) => decimal.rounded(guide.last()).plain(guide.last()),
            None => {
                let kept = decimal.significant(UNGUIDED_DIGITS);
                kept.plain(kept.last())
            }
        }
    };
    let u = match guide {
        Some(guide) => guide.plain(guide.last()),
        None if u == 0.0 => "0".to_owned(),
        None if u == f64::INFINITY => "inf".to_owned(),
        None => "NaN".to_owned(),
    };
    Quoted { value, u }
}

/// Numerical tolerance of an uncertainty, JCGM 101:2008, 7.9.2: with
/// u = c × 10^l and c an integer of `ndig` digits, half of 10^l.
///
/// In the unit of `u`. Zero for u = 0, where nothing short of exact agreement
/// will do; NaN for a negative or non-finite one.
pub fn numerical_tolerance(u: f64, ndig: u32) -> f64 {
    if u == 0.0 {
        return 0.0;
    }
    match shortened(u, ndig) {
        Some(rounded) => Decimal::half_of_place(rounded.last()),
        None => f64::NAN,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pair(value: f64, u: f64, digits: u32) -> (String, String) {
        let quoted = quote(value, u, digits);
        (quoted.value, quoted.u)
    }

    fn reads(value: f64, u: f64, digits: u32, expected: (&str, &str)) {
        let (v, w) = pair(value, u, digits);
        assert_eq!((v.as_str(), w.as_str()), expected);
    }

    #[test]
    fn the_guide_s_own_example_is_rounded_to_the_milliohm() {
        reads(10.05762, 0.027, 2, ("10.058", "0.027")); // GUM 7.2.6
    }

    #[test]
    fn an_uncertainty_that_gains_a_digit_gives_one_up() {
        assert_eq!(significant(0.0996, 2), Some((0.1, -2)));
        assert_eq!(significant(0.0995, 2), Some((0.1, -2)));
        assert_eq!(significant(0.0994, 2), Some((0.099, -3)));
        assert_eq!(significant(9.96, 1), Some((10.0, 1)));
        reads(1.23456, 0.0996, 2, ("1.23", "0.10"));
        reads(1.23456, 0.0994, 2, ("1.235", "0.099"));
        reads(1.23456, 0.0996, 1, ("1.2", "0.1"));
    }

    #[test]
    fn an_uncertainty_above_the_units_rounds_tens_and_hundreds() {
        reads(98_765.4, 1_234.0, 2, ("98800", "1200"));
        reads(98_765.4, 1_234.0, 1, ("99000", "1000"));
        reads(-40.0, 1_234.0, 2, ("0", "1200"));
        reads(5.0, 12.0, 2, ("5", "12"));
    }

    #[test]
    fn negative_results_keep_their_sign_unless_they_vanish() {
        reads(-10.05762, 0.027, 2, ("-10.058", "0.027"));
        reads(-0.0004, 0.13, 2, ("0.00", "0.13"));
        reads(-0.0, 0.13, 2, ("0.00", "0.13"));
        assert!(round_to(-0.004, 2).is_sign_positive());
    }

    #[test]
    fn trailing_zeros_are_printed_up_to_the_place_of_the_uncertainty() {
        reads(3.0, 0.0021, 2, ("3.0000", "0.0021"));
        reads(3.0, 0.2, 2, ("3.00", "0.20"));
        reads(0.0, 0.5, 1, ("0.0", "0.5"));
    }

    #[test]
    fn without_a_usable_uncertainty_six_digits_are_given() {
        reads(10.0576249, 0.0, 2, ("10.0576", "0"));
        reads(-0.00123456789, f64::NAN, 2, ("-0.00123457", "NaN"));
        reads(1_234_567.0, f64::INFINITY, 1, ("1234570", "inf"));
        reads(999_999.7, -1.0, 1, ("1000000", "NaN"));
        reads(2.0, 0.0, 1, ("2.00000", "0"));
        reads(0.0, 0.0, 1, ("0", "0"));
        reads(f64::NAN, 0.12, 1, ("NaN", "0.1"));
        reads(f64::NEG_INFINITY, 0.0, 1, ("-inf", "0"));
    }

    #[test]
    fn rounding_to_places_works_on_both_sides_of_the_point() {
        assert_eq!(round_to(2.675, 2), 2.68);
        assert_eq!(round_to(-2.675, 2), -2.68);
        assert_eq!(round_to(1_250.0, -2), 1_300.0);
        assert_eq!(round_to(0.1, 300), 0.1);
        assert_eq!(round_to(7.0, i32::MIN), 0.0);
        assert_eq!(round_to(7.0, i32::MAX), 7.0);
        assert_eq!(round_to(f64::INFINITY, 2), f64::INFINITY);
    }

    #[test]
    fn unusable_uncertainties_have_no_significant_digits() {
        for u in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(significant(u, 2), None);
        }
        assert_eq!(significant(0.27, 0), Some((0.3, -1)));
        assert_eq!(significant(5e-324, 1), Some((5e-324, -324)));
    }

    #[test]
    fn tolerances_follow_the_supplement() {
        // JCGM 101:2008, 7.9.2 and the worked examples of clause 9.
        let cases = [
            (0.00035, 2, 5e-6),
            (2.0, 1, 0.5),
            (2.0, 2, 0.05),
            (10.1, 2, 0.5),
            (0.0754, 1, 0.005),
            (36.0, 1, 5.0),
            (36.0, 2, 0.5),
        ];
        for (u, ndig, delta) in cases {
            assert_eq!(numerical_tolerance(u, ndig), delta, "u = {u}, {ndig}");
            assert_ne!(numerical_tolerance(10.0 * u, ndig), delta);
        }
        assert_eq!(numerical_tolerance(0.0, 2), 0.0);
        assert!(numerical_tolerance(f64::NAN, 2).is_nan());
        assert!(numerical_tolerance(-1.0, 2).is_nan());
    }
}
