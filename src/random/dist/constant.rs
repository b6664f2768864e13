//! A value that does not vary.

use super::Distribution;

/// All probability at one value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Constant(f64);

impl Constant {
    /// Always `value`.
    pub fn new(value: f64) -> Self {
        Self(value)
    }

    /// The value.
    pub fn value(&self) -> f64 {
        self.0
    }
}

impl Distribution for Constant {
    fn quantile(&self, _: f64) -> f64 {
        self.0
    }
    fn cdf(&self, x: f64) -> f64 {
        if x < self.0 { 0.0 } else { 1.0 }
    }
    fn mean(&self) -> f64 {
        self.0
    }
    fn sd(&self) -> f64 {
        0.0
    }
}
