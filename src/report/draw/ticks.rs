//! Round positions along an axis, and numbers as they are written there.

use crate::report::figure::round_step;

/// More decimals than this say nothing about a measured quantity; powers of ten take over.
const MOST_DECIMALS: usize = 7;

/// Positions along an axis with their numbers.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Ticks(pub Vec<(f64, String)>);

/// About `wanted` round positions between the ends; with `whole` only whole numbers.
pub(super) fn ticks((low, high): (f64, f64), wanted: usize, whole: bool) -> Ticks {
    let span = high - low;
    if !(span.is_finite() && span > 0.0) {
        return Ticks::default();
    }
    let wish = span / wanted.max(1) as f64;
    let step = match round_step(if whole { wish.max(1.0) } else { wish }) {
        // 2.5 and the sums of rounding have no place among whole numbers.
        step if whole && (step - 2.5).abs() < 0.1 => 5.0,
        step if whole => step.round(),
        step => step,
    };
    let first = ((low - 1e-9 * span) / step).ceil();
    let all = (0..60).map(|i| (first + f64::from(i)) * step);
    let at: Vec<f64> = all.take_while(|v| *v <= high + 1e-9 * span).collect();
    labelled(&at, decimals_for(step))
}

/// Given positions with as few decimals as tell them, four at most; `None` if those do not.
pub(super) fn exact(at: &[f64]) -> Option<Ticks> {
    let tells = |decimals: &usize| {
        let printed = |v: &f64| format!("{v:.decimals$}").parse().unwrap_or(f64::NAN);
        at.iter()
            .all(|v: &f64| (printed(v) - v).abs() <= 1e-9 * v.abs())
    };
    Some(labelled(at, (0..=4).find(tells)?))
}

fn labelled(at: &[f64], decimals: usize) -> Ticks {
    Ticks(at.iter().map(|v| (*v, number(*v, decimals))).collect())
}

/// The number of decimals at which a round step still shows.
fn decimals_for(step: f64) -> usize {
    let power = libm::floor(libm::log10(step * (1.0 + 1e-9)));
    // Steps of 2.5 take one more.
    let lead = step / libm::exp10(power);
    let half = usize::from((lead - 2.5).abs() < 1e-6);
    let own = -power + half as f64;
    own.clamp(0.0, 400.0) as usize
}

/// The number as printed: a true minus sign, narrow blanks in long numbers, a power of ten where plain digits would become
/// unreadable.
pub(super) fn number(value: f64, decimals: usize) -> String {
    let size = value.abs();
    if size != 0.0 && (size >= 1e7 || (decimals > MOST_DECIMALS && size < 1e-3)) {
        return scientific(value);
    }
    if size == 0.0 && decimals > MOST_DECIMALS {
        return "0".to_owned();
    }
    let digits = format!("{size:.*}", decimals.min(12));
    let (whole, rest) = digits.split_at(digits.find('.').unwrap_or(digits.len()));
    let mut text = String::new();
    // "−0.00" would claim a sign that the printed digits do not show.
    if value < 0.0
        && digits
            .bytes()
            .any(|digit| digit.is_ascii_digit() && digit != b'0')
    {
        text.push('\u{2212}');
    }
    for (index, digit) in whole.chars().enumerate() {
        let left = whole.len() - index;
        if index > 0 && whole.len() > 4 && left.is_multiple_of(3) {
            text.push('\u{2009}');
        }
        text.push(digit);
    }
    text + rest
}

fn scientific(value: f64) -> String {
    let plain = format!("{value:.3e}");
    let (mantissa, power) = plain.split_once('e').unwrap_or((&plain, "0"));
    let mantissa = mantissa.trim_end_matches('0').trim_end_matches('.');
    let raise = |sign: char| match sign {
        '-' => '⁻',
        '1' => '¹',
        '2' => '²',
        '3' => '³',
        digit => char::from_u32(0x2070 + digit.to_digit(10).unwrap_or(0)).unwrap_or(digit),
    };
    let raised: String = power.chars().map(raise).collect();
    format!("{}·10{raised}", mantissa.replace('-', "\u{2212}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(ends: (f64, f64), whole: bool) -> Vec<String> {
        ticks(ends, 6, whole).0.into_iter().map(|t| t.1).collect()
    }

    #[test]
    fn steps_are_round_and_numbers_have_just_enough_decimals() {
        let found = words((-36.13, -33.2), false);
        assert_eq!(
            found,
            ["−36.0", "−35.5", "−35.0", "−34.5", "−34.0", "−33.5"]
        );
        assert_eq!(words((0.0, 3.4), true), ["0", "1", "2", "3"]);
        assert!(
            ticks((0.0, 14.0), 6, true)
                .0
                .iter()
                .all(|t| t.0.fract() == 0.0)
        );
        assert_eq!(words((0.0, 0.14), false)[1], "0.025");
        assert_eq!(exact(&[0.5, 0.25, 3.0 * 0.1]).unwrap().0[1].1, "0.25");
        assert_eq!(exact(&[1.0 / 3.0]), None);
    }

    #[test]
    fn odd_ranges_give_few_or_no_ticks() {
        assert!(words((1.0, 1.0), false).is_empty());
        assert!(words((f64::NAN, 1.0), false).is_empty());
        for ends in [(-1e300, 1e300), (0.0, 1e-300), (1e9, 1e9 + 1e-6)] {
            assert!(words(ends, false).len() <= 12);
        }
    }

    #[test]
    fn numbers_print_plainly() {
        assert_eq!(number(-0.0001, 2), "0.00");
        assert_eq!(number(12_345.6, 1), "12\u{2009}345.6");
        assert_eq!(number(-2.5e12, 0), "\u{2212}2.5·10¹²");
    }
}
