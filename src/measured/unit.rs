//! Units as they stand in headers and behind numbers, and what makes base units of them.

use crate::quantity::{Dimension as D, QuantityError, parse_quantity, parse_quantity_as};

/// 0 °C in kelvin.
const ICE: f64 = 273.15;

/// What makes a number in base units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Scale {
    /// Times this.
    Times(f64),
    /// Kelvin to degrees Celsius.
    Kelvin,
    /// Degrees Fahrenheit to degrees Celsius.
    Fahrenheit,
}

impl Scale {
    /// A number in base units, without what binary fractions leave behind.
    pub(super) fn apply(self, x: f64) -> f64 {
        // Far below any thermometer.
        let nano = |t: f64| (t * 1e9).round() / 1e9;
        match self {
            Self::Times(1.0) => x,
            Self::Times(f) => format!("{:.14e}", x * f).parse().unwrap_or(x * f),
            Self::Kelvin => nano(x - ICE),
            Self::Fahrenheit => nano((x - 32.0) / 1.8),
        }
    }

    /// The length of a step in base units.
    pub(super) fn step(self, step: f64) -> f64 {
        match self {
            Self::Times(f) => step * f,
            Self::Kelvin => step,
            Self::Fahrenheit => step / 1.8,
        }
    }

    /// Whether it changes a number at all.
    pub(super) fn converts(self) -> bool {
        self != Self::Times(1.0)
    }
}

/// A unit with the signs that people type for the degree sign in one spelling.
fn tidy(unit: &str) -> String {
    let unit = unit.trim().replace('℃', "°C").replace('℉', "°F");
    unit.replace(['º', '˚'], "°")
}

/// Scales of temperature by their names: what a point of them is, and what a step of them is.
fn scale_of_temperature(unit: &str) -> Option<(Scale, Scale)> {
    let name = tidy(unit).replace('°', "").trim().to_lowercase();
    let name = name.strip_prefix("deg").map_or(name.as_str(), str::trim);
    match name {
        "c" | "celsius" => Some((Scale::Times(1.0), Scale::Times(1.0))),
        "k" | "kelvin" => Some((Scale::Kelvin, Scale::Times(1.0))),
        "f" | "fahrenheit" => Some((Scale::Fahrenheit, Scale::Times(1.0 / 1.8))),
        _ => None,
    }
}

/// What makes base units of this dimension.
///
/// # Errors
/// Why not, in words.
pub(super) fn scale(unit: &str, dimension: D) -> Result<Scale, String> {
    match (dimension, scale_of_temperature(unit)) {
        (D::Temperature, Some((scale, _))) => return Ok(scale),
        // A difference is written in °C as often as in K.
        (D::TemperatureDifference, Some((_, step))) => return Ok(step),
        _ => {}
    }
    parse_quantity_as(&format!("1 {}", tidy(unit)), dimension)
        .map(Scale::Times)
        .map_err(|e| match e {
            QuantityError::WrongDimension { .. } => {
                format!("`{}` is not a unit of {}", unit.trim(), dimension.name())
            }
            QuantityError::UnknownUnit { .. } => e.to_string(),
            _ => format!("the unit `{}` is not known", unit.trim()),
        })
}

/// What a unit measures, if it is one of those that stand in files of data.
pub(super) fn measures(unit: &str) -> Option<D> {
    if let Some((scale, _)) = scale_of_temperature(unit) {
        // Kelvin are points as well as differences.
        return Some(if scale == Scale::Kelvin {
            D::TemperatureDifference
        } else {
            D::Temperature
        });
    }
    let found = parse_quantity(&format!("1 {}", tidy(unit))).ok()?.dimension;
    let stands = matches!(
        found,
        D::Mass
            | D::Volume
            | D::TemperatureDifference
            | D::Time
            | D::Voltage
            | D::Current
            | D::MolarEnthalpy
    );
    stands.then_some(found)
}
