//! Decimal digits of a double, so that rounding is done in the base people read.

/// A decimal number: sign, digits from the most significant on, and the power
/// of ten of the last digit. Zero has no digits and no sign.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Decimal {
    negative: bool,
    digits: Vec<u8>,
    last: i32,
}

impl Decimal {
    /// The shortest decimal that reads back as `value`, which must be finite.
    pub(super) fn of(value: f64) -> Self {
        let text = format!("{:e}", value.abs());
        let (mantissa, exponent) = text.split_once('e').unwrap_or((&text, "0"));
        let fraction = mantissa.split_once('.').map_or(0, |(_, f)| f.len());
        let mut digits: Vec<u8> = mantissa
            .bytes()
            .filter(u8::is_ascii_digit)
            .map(|b| b - b'0')
            .collect();
        if value == 0.0 {
            digits.clear();
        }
        Self {
            negative: value < 0.0,
            digits,
            last: exponent.parse::<i32>().unwrap_or(0) - fraction as i32,
        }
    }

    /// The power of ten of the last digit.
    pub(super) fn last(&self) -> i32 {
        self.last
    }

    /// The power of ten of the first digit; meaningless for a zero.
    fn leading(&self) -> i32 {
        self.last + self.digits.len() as i32 - 1
    }

    /// Rounded to the power of ten `place`, halves away from zero. Digits are
    /// dropped, never added.
    pub(super) fn rounded(mut self, place: i32) -> Self {
        if place <= self.last {
            return self;
        }
        let drop = place.saturating_sub(self.last) as usize;
        self.last = place;
        let Some(keep) = self.digits.len().checked_sub(drop) else {
            self.digits.clear();
            self.negative = false;
            return self;
        };
        let up = self.digits.get(keep).is_some_and(|&d| d >= 5);
        self.digits.truncate(keep);
        if up {
            self.increment();
        }
        self.negative &= !self.digits.is_empty();
        self
    }

    /// Adds one to the last digit.
    fn increment(&mut self) {
        for digit in self.digits.iter_mut().rev() {
            if *digit < 9 {
                *digit += 1;
                return;
            }
            *digit = 0;
        }
        self.digits.insert(0, 1);
    }

    /// Rounded to exactly `count` significant digits (0 is taken as 1), padded
    /// with zeros if there are fewer.
    pub(super) fn significant(self, count: u32) -> Self {
        if self.digits.is_empty() {
            return self;
        }
        // Seventeen digits denote any double; more would only be zeros.
        let count = count.clamp(1, 17) as i32;
        let place = self.leading() - count + 1;
        let mut rounded = self.rounded(place);
        // A carry such as 9.96 to 10.0 leaves one digit too many.
        let place = rounded.leading() - count + 1;
        rounded = rounded.rounded(place);
        while rounded.last > place {
            rounded.digits.push(0);
            rounded.last -= 1;
        }
        rounded
    }

    /// The nearest double.
    pub(super) fn to_f64(&self) -> f64 {
        let mut text = String::from(if self.negative { "-0" } else { "0" });
        text.extend(self.digits.iter().map(|&d| char::from(b'0' + d)));
        text.push_str(&format!("e{}", self.last));
        let value: f64 = text.parse().unwrap_or(f64::NAN);
        if value == 0.0 { 0.0 } else { value }
    }

    /// Half a unit of the place 10^`place`, as the nearest double.
    pub(super) fn half_of_place(place: i32) -> f64 {
        let half = Self {
            negative: false,
            digits: vec![5],
            last: place - 1,
        };
        half.to_f64()
    }

    /// Plain notation with the digits down to `place` shown; no exponent.
    pub(super) fn plain(&self, place: i32) -> String {
        let decimals = usize::try_from(-place).unwrap_or(0);
        let mut digits = self.digits.clone();
        let padding = self.last.saturating_sub(place.min(0)).max(0) as usize;
        if !digits.is_empty() {
            digits.resize(digits.len() + padding, 0);
        }
        // At least one digit stands before the point.
        let missing = (decimals + 1).saturating_sub(digits.len());
        let mut text = String::from(if self.negative { "-" } else { "" });
        let shown = std::iter::repeat_n(0, missing).chain(digits.iter().copied());
        let before = missing + digits.len() - decimals;
        for (i, digit) in shown.enumerate() {
            if i == before {
                text.push('.');
            }
            text.push(char::from(b'0' + digit));
        }
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_double_is_taken_apart_and_put_together_again() {
        for x in [0.0, 1.0, -12.5, 1e-300, 1.797e308, 5e-324, 0.1 + 0.2] {
            assert_eq!(Decimal::of(x).to_f64(), x);
        }
        assert_eq!(Decimal::of(-12.5).last(), -1);
        assert_eq!(Decimal::of(-12.5).leading(), 1);
    }

    #[test]
    fn nines_carry_into_a_new_digit() {
        let d = Decimal::of(99.96).rounded(-1);
        assert_eq!(d.plain(-1), "100.0");
        assert_eq!(Decimal::of(0.6).rounded(0).plain(0), "1");
        assert_eq!(Decimal::of(0.06).rounded(0).plain(0), "0");
    }

    #[test]
    fn padding_adds_zeros_only() {
        assert_eq!(Decimal::of(3.0).plain(-2), "3.00");
        assert_eq!(Decimal::of(1200.0).plain(2), "1200");
        assert_eq!(Decimal::of(0.0).plain(-2), "0.00");
        assert_eq!(Decimal::of(3.0).significant(3).last(), -2);
    }
}
