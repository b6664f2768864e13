//! Writing a quantity as a person would.

use super::dimension::{Dimension as D, UNITS};

/// Significant digits of a written number: enough for anything that a person states, few enough that what
/// binary fractions leave behind (0.30000000000000004) is gone.
const DIGITS: usize = 10;

/// A number at ten significant digits, as the shortest decimal.
pub fn decimal(x: f64) -> f64 {
    format!("{x:.*e}", DIGITS - 1).parse().unwrap_or(x)
}

/// A value given in the base unit of its dimension, written in this unit of the table: `"0.4 g"`.
pub fn write_in(value: f64, unit: &str) -> String {
    format!("{} {unit}", decimal(value / size_of(unit)))
}

/// A unit of the table in the base unit of its dimension.
pub fn size_of(unit: &str) -> f64 {
    let found = UNITS.iter().find(|u| u.symbol == unit);
    found.map_or(1.0, |u| u.factor)
}

/// The same in the unit that people would choose for it: `"4 mg"` and not `"0.004 g"`.
pub fn write_quantity(value: f64, dimension: D) -> String {
    write_in(value, usual_unit(value, dimension))
}

/// The unit that people would choose for a value of this size.
pub fn usual_unit(value: f64, dimension: D) -> &'static str {
    let small = value.abs() < 0.1 && value != 0.0;
    match dimension {
        D::Mass if small => "mg",
        D::TemperatureDifference if small => "mK",
        D::Power if small => "mW",
        D::Temperature => "C",
        D::TemperatureRate => "mK/min",
        // Seconds, where minutes or hours would need a tail of decimals.
        D::Time if value.abs() >= 3600.0 && is_short(value / 3600.0) => "h",
        D::Time if value.abs() >= 600.0 && is_short(value / 60.0) => "min",
        D::MolarEnthalpy => "kJ/mol",
        D::Fraction => "%",
        D::Rate => "1/s",
        d => UNITS
            .iter()
            .find(|u| u.dimension == d)
            .map_or("1", |u| u.symbol),
    }
}

/// Whether a number has two decimals at most.
fn is_short(x: f64) -> bool {
    decimal(x * 100.0).fract() == 0.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::parse_quantity_as;

    #[test]
    fn what_is_written_is_read_back_in_every_unit() {
        for unit in UNITS {
            for x in [0.3, 12.5, 1e-7, -4321.0] {
                let value = x * unit.factor;
                let text = write_in(value, unit.symbol);
                let back = parse_quantity_as(&text, unit.dimension).unwrap();
                assert!((back / value - 1.0).abs() < 1e-9, "{text}");
                let text = write_quantity(value, unit.dimension);
                let back = parse_quantity_as(&text, unit.dimension).unwrap();
                assert!((back / value - 1.0).abs() < 1e-9, "{text}");
            }
        }
    }

    #[test]
    fn binary_fractions_leave_nothing_behind() {
        assert_eq!(write_in(0.1 + 0.2, "g"), "0.3 g");
        assert_eq!(
            write_quantity(0.004 * 3.0, D::TemperatureDifference),
            "12 mK"
        );
        assert_eq!(write_quantity(0.02, D::Fraction), "2 %");
        assert_eq!(write_quantity(900.0, D::Time), "15 min");
        assert_eq!(write_quantity(1_100.0, D::Time), "1100 s");
        assert_eq!(write_quantity(5_400.0, D::Time), "1.5 h");
    }
}
