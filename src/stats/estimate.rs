//! A number together with what the finite count of trials leaves unknown of it.

/// A statistic and its Monte Carlo standard error, both in the unit of the
/// statistic.
#[derive(Debug, Clone, Copy, PartialEq)]
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

    /// Whether the value itself exists (its standard error may still be NaN).
    pub const fn is_defined(&self) -> bool {
        self.value.is_finite()
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
    fn a_value_without_an_error_is_still_a_value() {
        assert!(Estimate::new(1.0, f64::NAN).is_defined());
    }
}
