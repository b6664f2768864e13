//! A number together with what the finite count of trials leaves unknown of it.

/// A statistic and its Monte Carlo standard error, both in the unit of the
/// statistic.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, schemars::JsonSchema)]
pub struct Estimate {
    /// The statistic; NaN when the column is too short to have one.
    pub value: f64,
    /// Its standard error; NaN when the column cannot tell.
    pub se: f64,
}

impl Estimate {
    /// Pairs a statistic with its standard error.
    pub const fn new(value: f64, se: f64) -> Self {
        Self { value, se }
    }

    /// The estimate of something the column does not define.
    pub const fn undefined() -> Self {
        Self::new(f64::NAN, f64::NAN)
    }

    /// The root of a quantity that cannot be negative, such as a variance: 0 if chance has made it so.
    /// The standard error is that of a slope, but at most half its own root: of 0 ± e, 0 ± √e / 2.
    pub fn root(&self) -> Self {
        let root = self.value.max(0.0).sqrt();
        let steepest = root.max(self.se.sqrt());
        let se = if self.se == 0.0 {
            0.0
        } else {
            self.se / (2.0 * steepest)
        };
        Self::new(root, se)
    }

    /// Whether the value itself exists (its standard error may still be NaN).
    pub const fn is_defined(&self) -> bool {
        self.value.is_finite()
    }

    /// Whether it differs from zero by more than three standard errors: what any answer calls detected.
    pub fn is_seen(&self) -> bool {
        self.value.abs() > 3.0 * self.se
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_undefined_estimate_has_neither_value_nor_error() {
        let nothing = Estimate::undefined();
        assert!(!nothing.is_defined());
        assert!(nothing.se.is_nan());
    }

    #[test]
    fn the_root_of_nothing_keeps_an_error() {
        assert_eq!(Estimate::new(4.0, 0.4).root(), Estimate::new(2.0, 0.1));
        for nothing in [0.0, -0.01] {
            let root = Estimate::new(nothing, 0.04).root();
            assert!(root.value == 0.0 && (root.se - 0.1).abs() < 1e-15);
        }
        assert_eq!(Estimate::new(0.0, 0.0).root(), Estimate::new(0.0, 0.0));
        assert!(Estimate::undefined().root().se.is_nan());
    }

    #[test]
    fn a_value_without_an_error_is_still_a_value() {
        assert!(Estimate::new(1.0, f64::NAN).is_defined());
    }
}
