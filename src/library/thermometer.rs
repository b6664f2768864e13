//! Thermometers.

use super::error::LibraryError;
use super::fact::{ErrorFact, Fact, RawError, RawFact, Reader};
use super::kind::Kind;
use super::sheet::Sheet;
use crate::quantity::Dimension;
use serde::Deserialize;

/// A thermometer with whatever reads it.
#[derive(Debug, Clone)]
pub struct Thermometer {
    /// Key.
    pub key: String,
    /// Title.
    pub title: String,
    /// Smallest step that is read, K (conventional, exact).
    pub resolution: Fact,
    /// Scatter of one reading, K.
    pub noise: ErrorFact,
    /// Error common to all readings, K, at 25 °C. It cancels in a temperature difference.
    pub offset: ErrorFact,
    /// Relative error of a temperature difference, fraction.
    pub gain: ErrorFact,
    /// Drift of the indication, K/s.
    pub drift: ErrorFact,
    /// Time constant with which it follows the stirred liquid, s.
    pub lag: Fact,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawThermometer {
    title: String,
    resolution: RawFact,
    noise: RawError,
    offset: RawError,
    gain: RawError,
    drift: RawError,
    lag: RawFact,
}

impl RawThermometer {
    pub fn read(self, key: &str, reader: &Reader) -> Result<Thermometer, LibraryError> {
        let kelvin = Dimension::TemperatureDifference;
        Ok(Thermometer {
            key: key.to_owned(),
            title: self.title,
            resolution: reader.nominal("resolution", &self.resolution, kelvin)?,
            noise: reader.error("noise", &self.noise, kelvin)?,
            offset: reader.error("offset", &self.offset, kelvin)?,
            gain: reader.error("gain", &self.gain, Dimension::Fraction)?,
            drift: reader.error("drift", &self.drift, Dimension::TemperatureRate)?,
            lag: reader.positive("lag", &self.lag, Dimension::Time)?,
        })
    }
}

impl Thermometer {
    pub(super) fn sheet(&self) -> Sheet {
        Sheet::new(&self.key, &self.title, Kind::Thermometer)
            .fact("resolution", &self.resolution)
            .error("noise", &self.noise)
            .error("offset", &self.offset)
            .error("gain", &self.gain)
            .error("drift", &self.drift)
            .fact("lag", &self.lag)
    }
}

#[cfg(test)]
mod tests {
    use super::super::Library;

    #[test]
    fn iec_60751_classes_have_their_limits_at_25_degrees() {
        // Limits of error ±(constant + slope |t|).
        for (class, constant, slope, limit) in [
            ("aa", 0.10, 0.0017, 0.1425),
            ("a", 0.15, 0.002, 0.200),
            ("b", 0.30, 0.005, 0.425),
            ("c", 0.60, 0.01, 0.85),
        ] {
            let key = format!("pt100-{class}");
            let pt = Library::builtin().thermometer(&key).unwrap();
            let offset = pt.offset.dist.quantile(1.0);
            assert!((offset - limit).abs() < 1e-12, "{class}: {offset}");
            assert!((constant + slope * 25.0 - limit).abs() < 1e-12);
            assert!((pt.gain.dist.quantile(1.0) - slope).abs() < 1e-12);
            assert!(pt.offset.source.contains("IEC 60751"));
        }
    }
}
