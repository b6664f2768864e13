//! Round positions along an axis and their labels.

/// Positions along an axis with the number of decimals their labels need.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Ticks {
    /// The positions, rising.
    pub at: Vec<f64>,
    /// Decimals that tell neighbours apart, no more.
    pub decimals: usize,
}

/// More decimals than this say nothing about a measured quantity; powers of ten take over.
const MOST_DECIMALS: usize = 7;

/// Ten to the given power, exact wherever the power has an exact double.
fn ten(power: i32) -> f64 {
    // The standard library's power differs in the last bit between platforms; reading the
    // number from its decimal form is correctly rounded everywhere.
    format!("1e{power}").parse().unwrap_or(1.0)
}

/// The smallest step of the series 1, 2, 2.5, 5, 10 that is not below the wanted one, as a
/// whole multiple of a power of ten.
fn round_step(wanted: f64) -> (f64, i32) {
    let power = libm::floor(libm::log10(wanted)) as i32;
    for (multiple, power) in [
        (1.0, power),
        (2.0, power),
        (25.0, power - 1),
        (5.0, power),
        (1.0, power + 1),
    ] {
        // The tolerance keeps a step that misses by rounding alone.
        if scaled(multiple, power) >= wanted * (1.0 - 1e-9) {
            return (multiple, power);
        }
    }
    (2.0, power + 1)
}

fn scaled(multiple: f64, power: i32) -> f64 {
    // Dividing by an exact power gives the double nearest to the decimal number.
    if power < 0 {
        multiple / ten(-power)
    } else {
        multiple * ten(power)
    }
}

/// The round step nearest above the wanted size, for instance for the width of a bin.
pub(super) fn step_above(wanted: f64) -> f64 {
    let (multiple, power) = round_step(wanted);
    scaled(multiple, power)
}

/// About `wanted` round positions between the ends; with `whole` only whole numbers.
pub(super) fn ticks(low: f64, high: f64, wanted: usize, whole: bool) -> Ticks {
    let mut at = Vec::new();
    let span = high - low;
    if !(span.is_finite() && span > 0.0) {
        return Ticks { at, decimals: 0 };
    }
    let mut wish = span / wanted.max(1) as f64;
    if whole {
        wish = wish.max(1.0);
    }
    let (multiple, power) = match round_step(wish) {
        (multiple, power) if whole && multiple == 25.0 && power < 0 => (5.0, power + 1),
        step => step,
    };
    let step = scaled(multiple, power);
    let slack = 1e-9 * span;
    let first = ((low - slack) / step).ceil();
    for index in 0..60 {
        let count = first + f64::from(index);
        let value = scaled(count * multiple, power);
        if !value.is_finite() || value > high + slack {
            break;
        }
        at.push(value);
    }
    Ticks {
        at,
        decimals: usize::try_from(-power).unwrap_or(0),
    }
}

/// The number of decimals at which a difference of the given size still shows.
pub(super) fn decimals_for(resolution: f64) -> usize {
    if !(resolution.is_finite() && resolution > 0.0) {
        return 3;
    }
    let power = libm::floor(libm::log10(resolution * (1.0 + 1e-9))) as i32;
    usize::try_from(-power).unwrap_or(0)
}

/// The fewest decimals in which all the values are told exactly, if `most` of them will do.
pub(super) fn exact_decimals(values: &[f64], most: usize) -> Option<usize> {
    (0..=most).find(|decimals| {
        values.iter().all(|value| {
            let printed: f64 = format!("{value:.decimals$}").parse().unwrap_or(f64::NAN);
            (printed - value).abs() <= 1e-9 * value.abs()
        })
    })
}

/// The number as printed: a true minus sign, narrow blanks in long numbers, a power of ten
/// where plain digits would become unreadable.
pub(super) fn label(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "not finite".to_owned();
    }
    let size = value.abs();
    if size != 0.0 && (size >= 1e7 || (decimals > MOST_DECIMALS && size < 1e-3)) {
        return scientific(value);
    }
    let digits = format!("{size:.0$}", decimals.min(12));
    let (whole, rest) = digits.split_at(digits.find('.').unwrap_or(digits.len()));
    let mut text = String::new();
    // "−0.00" would claim a sign that the printed digits do not show.
    if value < 0.0 && digits.bytes().any(|digit| (b'1'..=b'9').contains(&digit)) {
        text.push('\u{2212}');
    }
    for (index, digit) in whole.chars().enumerate() {
        let left = whole.len() - index;
        if index > 0 && whole.len() > 4 && left % 3 == 0 {
            text.push('\u{2009}');
        }
        text.push(digit);
    }
    text.push_str(rest);
    text
}

fn scientific(value: f64) -> String {
    let plain = format!("{value:.3e}");
    let (mantissa, power) = plain.split_once('e').unwrap_or((&plain, "0"));
    let mantissa = mantissa.trim_end_matches('0').trim_end_matches('.');
    let raised: String = power
        .chars()
        .map(|sign| match sign {
            '-' => '⁻',
            '1' => '¹',
            '2' => '²',
            '3' => '³',
            digit => char::from_u32(0x2070 + digit.to_digit(10).unwrap_or(0)).unwrap_or(digit),
        })
        .collect();
    format!("{}·10{raised}", mantissa.replace('-', "\u{2212}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round_and_labels_have_just_enough_decimals() {
        let found = ticks(-36.13, -33.2, 6, false);
        assert_eq!(found.at, [-36.0, -35.5, -35.0, -34.5, -34.0, -33.5]);
        assert_eq!(label(found.at[1], found.decimals), "\u{2212}35.5");
        let fine = ticks(24.9713, 24.9729, 5, false);
        assert_eq!(label(fine.at[0], fine.decimals), "24.9715");
        assert_eq!(ticks(0.0, 3.4, 6, true).at, [0.0, 1.0, 2.0, 3.0]);
        assert!(
            ticks(0.0, 14.0, 6, true)
                .at
                .iter()
                .all(|v| v.fract() == 0.0)
        );
    }

    #[test]
    fn odd_ranges_give_few_or_no_ticks() {
        assert!(ticks(1.0, 1.0, 5, false).at.is_empty());
        assert!(ticks(f64::NAN, 1.0, 5, false).at.is_empty());
        assert!(ticks(0.0, f64::INFINITY, 5, false).at.is_empty());
        assert!(ticks(-1e300, 1e300, 5, false).at.len() <= 12);
        assert!(ticks(0.0, 1e-300, 5, false).at.len() <= 12);
        assert!(ticks(1e9, 1e9 + 1e-6, 5, false).at.len() <= 60);
    }

    #[test]
    fn decimals_are_as_few_as_tell_the_values() {
        assert_eq!(exact_decimals(&[1.0, 2.0, 40.0], 4), Some(0));
        assert_eq!(exact_decimals(&[0.5, 0.25, 3.0 * 0.1], 4), Some(2));
        assert_eq!(exact_decimals(&[1.0 / 3.0], 4), None);
        assert_eq!(exact_decimals(&[f64::NAN], 4), None);
    }

    #[test]
    fn numbers_print_plainly() {
        assert_eq!(label(-0.0001, 2), "0.00");
        assert_eq!(label(12_345.6, 1), "12\u{2009}345.6");
        assert_eq!(label(1234.0, 0), "1234");
        assert_eq!(label(-2.5e12, 0), "\u{2212}2.5·10¹²");
        assert_eq!(decimals_for(0.01), 2);
        assert_eq!(decimals_for(0.5), 1);
        assert_eq!(decimals_for(3.0), 0);
        assert_eq!(decimals_for(f64::NAN), 3);
    }
}
