//! Balances.

use super::error::LibraryError;
use super::fact::{ErrorFact, Fact, RawError, RawFact, Reader};
use super::kind::Kind;
use super::sheet::Sheet;
use crate::quantity::Dimension;
use serde::Deserialize;

/// A balance.
#[derive(Debug, Clone)]
pub struct Balance {
    /// Key.
    pub key: String,
    /// Title.
    pub title: String,
    /// Class in words.
    pub class: String,
    /// Smallest step of the display, g (conventional, exact).
    pub readability: Fact,
    /// Scatter of one weighing, g.
    pub repeatability: ErrorFact,
    /// Departure from a straight line, g; drawn anew for each load.
    pub linearity: ErrorFact,
    /// Relative error of sensitivity: adjustment and the drift over a few kelvin, fraction.
    pub gain: ErrorFact,
    /// Largest load, g (conventional, exact).
    pub capacity: Fact,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawBalance {
    title: String,
    class: String,
    readability: RawFact,
    repeatability: RawError,
    linearity: RawError,
    gain: RawError,
    capacity: RawFact,
}

impl RawBalance {
    pub fn read(self, key: &str, reader: &Reader) -> Result<Balance, LibraryError> {
        Ok(Balance {
            key: key.to_owned(),
            title: self.title,
            class: self.class,
            readability: reader.nominal("readability", &self.readability, Dimension::Mass)?,
            repeatability: reader.error("repeatability", &self.repeatability, Dimension::Mass)?,
            linearity: reader.error("linearity", &self.linearity, Dimension::Mass)?,
            gain: reader.error("gain", &self.gain, Dimension::Fraction)?,
            capacity: reader.nominal("capacity", &self.capacity, Dimension::Mass)?,
        })
    }
}

impl Balance {
    pub(super) fn sheet(&self) -> Sheet {
        Sheet::new(&self.key, &self.title, Kind::Balance)
            .plain("class", &self.class)
            .fact("readability", &self.readability)
            .error("repeatability", &self.repeatability)
            .error("linearity", &self.linearity)
            .error("gain", &self.gain)
            .fact("capacity", &self.capacity)
    }
}

#[cfg(test)]
mod tests {
    use super::super::Library;

    #[test]
    fn coarser_balances_err_more() {
        let library = Library::builtin();
        let fine = library.balance("analytical-0.1mg").unwrap();
        let middle = library.balance("top-loading-1mg").unwrap();
        let coarse = library.balance("top-loading-10mg").unwrap();
        for (a, b) in [(fine, middle), (middle, coarse)] {
            assert!(a.readability.value < b.readability.value);
            assert!(a.repeatability.dist.sd() < b.repeatability.dist.sd());
            assert!(a.linearity.dist.sd() < b.linearity.dist.sd());
            assert!(a.gain.dist.sd() < b.gain.dist.sd());
        }
        // A mass by difference on the fine one: sqrt 2 times 0.2 mg / sqrt 3.
        let pair = 2f64.sqrt() * fine.linearity.dist.sd();
        assert!((pair - 0.000163).abs() < 1e-6);
    }
}
