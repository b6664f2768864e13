//! A ramp from light to dark: one hue, so that a grey print shows the same order.

use plotters::style::RGBColor;

/// The shade of the lowest and of the highest value. The light end differs from the paper, on
/// which cells without a value are left.
const LIGHT: [f64; 3] = [236.0, 241.0, 245.0];
const DARK: [f64; 3] = [40.0, 58.0, 79.0];
/// Lighter grounds carry dark words, others light ones.
const DIVIDE: f64 = 140.0;

/// The values from the light end to the dark end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Ramp {
    /// The value at the light end.
    pub low: f64,
    /// The value at the dark end.
    pub high: f64,
}

impl Ramp {
    /// A ramp over these values, widened when they coincide.
    pub fn over((low, high): (f64, f64)) -> Self {
        let pad = if high - low > 1e-9 * low.abs().max(high.abs()) {
            0.0
        } else if low.abs() > 1e-280 {
            0.1 * low.abs()
        } else {
            1.0
        };
        Self {
            low: low - pad,
            high: high + pad,
        }
    }

    /// Where a value stands on the ramp, from 0 to 1; values beyond it stand at its ends.
    pub fn share(&self, value: f64) -> f64 {
        ((value - self.low) / (self.high - self.low)).clamp(0.0, 1.0)
    }

    /// The shade of a value.
    pub fn shade(&self, value: f64) -> RGBColor {
        shade(self.share(value))
    }
}

/// The shade at a place on the ramp.
pub(super) fn shade(share: f64) -> RGBColor {
    let mix = |index: usize| {
        let level = LIGHT[index] + share * (DARK[index] - LIGHT[index]);
        level.round().clamp(0.0, 255.0) as u8
    };
    RGBColor(mix(0), mix(1), mix(2))
}

/// Lightness of a colour, from 0 to 255, as a grey print shows it.
pub(super) fn lightness(color: RGBColor) -> f64 {
    0.299 * f64::from(color.0) + 0.587 * f64::from(color.1) + 0.114 * f64::from(color.2)
}

/// Whether words on this ground have to be dark.
pub(super) fn dark_words(ground: RGBColor) -> bool {
    lightness(ground) >= DIVIDE
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn higher_values_are_darker_throughout() {
        let ramp = Ramp::over((2.0, 5.0));
        let grey = |step: u32| lightness(ramp.shade(2.0 + 0.03 * f64::from(step)));
        for step in 0..100 {
            assert!(grey(step) > grey(step + 1), "{step}");
        }
        assert!(grey(0) > 230.0 && grey(100) < 70.0);
        assert_eq!(ramp.shade(-9.0), ramp.shade(2.0));
        assert_eq!(ramp.shade(99.0), ramp.shade(5.0));
        assert!(dark_words(ramp.shade(2.0)) && !dark_words(ramp.shade(5.0)));
    }

    #[test]
    fn a_single_value_lies_in_the_middle() {
        for value in [0.0, 3.0, -1e200, 1e-300] {
            assert!((Ramp::over((value, value)).share(value) - 0.5).abs() < 1e-9);
        }
    }
}
