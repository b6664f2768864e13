//! Numbers as people read them: never more digits than are known, never a row of zeros.

use crate::stats::quote;

/// Whether zeros would hide the digits of a number.
fn needs_power(size: f64) -> bool {
    size != 0.0 && !(1e-4..1e6).contains(&size)
}

/// So many digits, with a power of ten where zeros would hide them; a dash for what is no number.
pub fn figures(x: f64, n: u32) -> String {
    if !x.is_finite() {
        "-".to_owned()
    } else if needs_power(x.abs()) {
        format!("{x:.*e}", n.saturating_sub(1) as usize)
    } else {
        quote(x, x.abs(), n).value
    }
}

/// A number to the place of its uncertainty, of which so many digits count.
pub fn by_uncertainty(value: f64, u: f64, n: u32) -> String {
    if !value.is_finite() || !u.is_finite() {
        return figures(value, 6);
    }
    if value == 0.0 {
        return "0".to_owned();
    }
    if u <= 0.0 {
        return format!("{value}");
    }
    let rounded = quote(value, u, n).value;
    let number: f64 = rounded.parse().unwrap_or(value);
    if number == 0.0 {
        return "0".to_owned();
    }
    if number.abs() < 1e-4 && u < 1e-3 {
        let after = n.saturating_sub(1) as usize;
        let exponent = |x: f64| -> i32 {
            let text = format!("{x:.after$e}");
            text.split_once('e')
                .map_or(0, |(_, e)| e.parse().unwrap_or(0))
        };
        // As many digits more than u has as the value is longer.
        let kept = (n as i32 - 1 + exponent(number) - exponent(u)).max(0) as usize;
        return format!("{number:.kept$e}");
    }
    rounded
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_stops_where_its_uncertainty_does() {
        let pair = |value, u| format!("{} {}", by_uncertainty(value, u, 2), figures(u, 2));
        assert_eq!(pair(50_000_623.0, 25.0), "50000623 25");
        assert_eq!(pair(11.5e-6, 1.1547e-6), "1.15e-5 1.2e-6");
        assert_eq!(pair(0.019_661, 9.471e-6), "0.0196610 9.5e-6");
        assert_eq!(pair(0.0, 0.003), "0 0.0030");
        assert_eq!(pair(2e-7, 3.1e-5), "0 3.1e-5");
        assert_eq!(pair(6e-7, 3.1e-5), "1e-6 3.1e-5");
        assert_eq!(pair(-0.001_04, 9.96e-5), "-0.00104 1.0e-4");
        assert_eq!(pair(0.02, 0.3), "0.02 0.30");
        assert_eq!(pair(0.002, 0.3), "0 0.30");
        assert_eq!(pair(f64::NAN, f64::NAN), "- -");
    }
}
