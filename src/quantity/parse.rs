//! Reading "0.40 g" and "0.38 g to 0.42 g".

use super::dimension::{Dimension, UNITS, Unit};
use super::spelling::edits;
use thiserror::Error;

/// A number with its unit, in the base unit of its dimension.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quantity {
    /// Value in base units.
    pub value: f64,
    /// Which dimension.
    pub dimension: Dimension,
}

/// Why a text is not a quantity.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum QuantityError {
    /// There is no number at the start.
    #[error("`{0}` does not start with a number")]
    NoNumber(String),
    /// A decimal comma.
    #[error("`{0}` has a decimal comma; write a decimal point")]
    DecimalComma(String),
    /// A number without a unit.
    #[error("`{text}` has no unit; write for example `{example}`")]
    NoUnit {
        /// What was written.
        text: String,
        /// How it could look.
        example: &'static str,
    },
    /// An unknown unit, with the nearest known one.
    #[error("the unit `{unit}` is not known{}", nearest.map(|n| format!("; did you mean `{n}`?")).unwrap_or_default())]
    UnknownUnit {
        /// What was written.
        unit: String,
        /// The nearest spelling.
        nearest: Option<&'static str>,
    },
    /// The unit measures something else than is due here.
    #[error(
        "`{text}` is {found}, but {expected} is due here, for example `{example}`{}",
        scale(found, expected)
    )]
    WrongDimension {
        /// What was written.
        text: String,
        /// What it measures.
        found: &'static str,
        /// What should be measured.
        expected: &'static str,
        /// How it could look.
        example: &'static str,
    },
    /// Not a finite number.
    #[error("`{0}` is not a finite number")]
    NotFinite(String),
    /// `low to high` expected.
    #[error("`{text}` is not a window; write for example `{example} to ...`")]
    NotWindow {
        /// What was written.
        text: String,
        /// How an end could look.
        example: &'static str,
    },
    /// Upside down.
    #[error("the window `{0}` is upside down: its first end is above its second")]
    UpsideDown(String),
}

/// Brings typographic variants to the spelling of the unit table.
fn normalise_unit(text: &str) -> String {
    let mut out = String::new();
    for c in text.trim().chars() {
        match c {
            '·' | '*' | '⋅' | '\u{a0}' | '\u{202f}' => out.push(' '),
            'µ' | 'μ' => out.push('u'),
            '°' => {}
            '³' => out.push('3'),
            '⁻' | '−' => out.push('-'),
            '¹' => out.push('1'),
            'Ω' => out.push_str("ohm"),
            '€' => out.push_str("EUR"),
            c => out.push(c),
        }
    }
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

const MONEY: Unit = Unit {
    symbol: "money",
    dimension: Dimension::Price,
    factor: 1.0,
};

/// The three letters of a currency (ISO 4217), whichever it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
#[serde(into = "String")]
pub struct Currency([u8; 3]);

impl Currency {
    /// That of a price, if it names one.
    pub fn of(price: &str) -> Option<Self> {
        let unit = normalise_unit(split_number(price).ok()?.1);
        let unit = unit.as_bytes();
        let capitals = unit.iter().all(u8::is_ascii_uppercase);
        unit.try_into().ok().filter(|_| capitals).map(Self)
    }
}

impl From<Currency> for String {
    fn from(currency: Currency) -> Self {
        currency.to_string()
    }
}

impl std::fmt::Display for Currency {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.0
            .iter()
            .try_for_each(|b| write!(f, "{}", char::from(*b)))
    }
}

fn find_unit(text: &str) -> Result<&'static Unit, QuantityError> {
    let wanted = normalise_unit(text);
    if let Some(unit) = UNITS.iter().find(|u| u.symbol == wanted) {
        return Ok(unit);
    }
    // Three capitals are a currency, whichever: it is kept for the output and not converted.
    if wanted.len() == 3 && wanted.bytes().all(|b| b.is_ascii_uppercase()) {
        return Ok(&MONEY);
    }
    let nearest = UNITS
        .iter()
        .map(|u| (edits(u.symbol, &wanted), u.symbol))
        // Half a unit in common is chance, unless one is the beginning of the other.
        .filter(|(d, s)| {
            let alike = 2 * d <= s.len().max(wanted.len()) || wanted.starts_with(s);
            alike && *d <= 2 && *d < s.len().max(2)
        })
        .min()
        .map(|(_, s)| s);
    Err(QuantityError::UnknownUnit {
        unit: text.trim().to_owned(),
        nearest,
    })
}

/// Splits a leading number off: `(number, rest)`.
pub(super) fn split_number(text: &str) -> Result<(f64, &str), QuantityError> {
    let trimmed = text.trim_start();
    let bytes = trimmed.as_bytes();
    let mut end = 0;
    let mut plain = String::new();
    for (at, c) in trimmed.char_indices() {
        let exponent_sign = at > 0 && matches!(bytes[at - 1], b'e' | b'E');
        // A letter e belongs to the number only when digits follow ("2e-6", not "2 eggs").
        let exponent = matches!(c, 'e' | 'E')
            && trimmed[at + 1..]
                .trim_start_matches(['+', '-', '−'])
                .starts_with(|d: char| d.is_ascii_digit());
        let ok = c.is_ascii_digit()
            || c == '.'
            || (at == 0 || exponent_sign) && matches!(c, '+' | '-' | '−')
            || exponent && at > 0 && !plain.contains('e');
        if !ok {
            break;
        }
        plain.push(match c {
            '−' => '-',
            'E' => 'e',
            c => c,
        });
        end = at + c.len_utf8();
    }
    let rest = &trimmed[end..];
    if plain.is_empty() || !plain.contains(|c: char| c.is_ascii_digit()) {
        return Err(QuantityError::NoNumber(text.trim().to_owned()));
    }
    if rest.starts_with(',') && rest[1..].starts_with(|c: char| c.is_ascii_digit()) {
        return Err(QuantityError::DecimalComma(text.trim().to_owned()));
    }
    let value: f64 = plain
        .parse()
        .map_err(|_| QuantityError::NoNumber(text.trim().to_owned()))?;
    if !value.is_finite() {
        return Err(QuantityError::NotFinite(text.trim().to_owned()));
    }
    Ok((value, rest))
}

/// What K and C are for, where one was written for the other.
fn scale(found: &str, expected: &str) -> &'static str {
    let [point, difference] =
        [Dimension::Temperature, Dimension::TemperatureDifference].map(Dimension::name);
    match (found, expected) {
        (f, e) if f == difference && e == point => "; a point of the scale is written in C",
        (f, e) if f == point && e == difference => "; a difference is written in K",
        _ => "",
    }
}

/// Reads a number with a unit of any dimension.
pub fn parse_quantity(text: &str) -> Result<Quantity, QuantityError> {
    let (number, rest) = split_number(text)?;
    if rest.trim().is_empty() {
        return Err(QuantityError::NoUnit {
            text: text.trim().to_owned(),
            example: "0.40 g",
        });
    }
    let unit = find_unit(rest)?;
    let value = number * unit.factor;
    if !value.is_finite() {
        return Err(QuantityError::NotFinite(text.trim().to_owned()));
    }
    Ok(Quantity {
        value,
        dimension: unit.dimension,
    })
}

/// Reads a number with a unit of the dimension that is due, in base units.
///
/// A bare number is refused even for a fraction (`0.02`): `2 %` cannot be misread.
pub fn parse_quantity_as(text: &str, expected: Dimension) -> Result<f64, QuantityError> {
    let found = parse_quantity(text).map_err(|e| match e {
        QuantityError::NoUnit { text, .. } => QuantityError::NoUnit {
            text,
            example: expected.example(),
        },
        e => e,
    })?;
    if found.dimension == expected {
        return Ok(found.value);
    }
    Err(QuantityError::WrongDimension {
        text: text.trim().to_owned(),
        found: found.dimension.name(),
        expected: expected.name(),
        example: expected.example(),
    })
}

/// Reads `low to high`; the unit may stand once, at the end (`0.38 to 0.42 g`).
pub fn parse_window(text: &str, expected: Dimension) -> Result<(f64, f64), QuantityError> {
    let Some((low, high)) = text.split_once(" to ") else {
        return Err(QuantityError::NotWindow {
            text: text.trim().to_owned(),
            example: expected.example(),
        });
    };
    let high_value = parse_quantity_as(high, expected)?;
    let low_value = match split_number(low)? {
        (_, rest) if rest.trim().is_empty() => {
            let unit_text = split_number(high)?.1;
            parse_quantity_as(&format!("{low} {unit_text}"), expected)?
        }
        _ => parse_quantity_as(low, expected)?,
    };
    if low_value > high_value {
        return Err(QuantityError::UpsideDown(text.trim().to_owned()));
    }
    Ok((low_value, high_value))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_with_units_are_read_in_base_units() {
        let near = |t: &str, d, v: f64| {
            let got = parse_quantity_as(t, d).unwrap();
            assert!((got - v).abs() <= 1e-12 * v.abs(), "{t}: {got}");
        };
        near("0.40 g", Dimension::Mass, 0.4);
        near("400mg", Dimension::Mass, 0.4);
        near("−141 J/(mol·K)", Dimension::MolarHeatCapacity, -141.0);
        near("2e-4 /s", Dimension::Rate, 2e-4);
        near("21 °C", Dimension::Temperature, 21.0);
        near("250 µL", Dimension::Volume, 0.25);
        near("0.5 %", Dimension::Fraction, 0.005);
    }

    #[test]
    fn a_bare_number_a_wrong_dimension_and_a_misspelt_unit_are_told_apart() {
        use QuantityError as E;
        assert!(matches!(
            parse_quantity_as("0.40", Dimension::Mass),
            Err(E::NoUnit { .. })
        ));
        assert!(matches!(
            parse_quantity_as("0.40 mL", Dimension::Mass),
            Err(E::WrongDimension { .. })
        ));
        assert_eq!(
            parse_quantity_as("4 kj/mol", Dimension::MolarEnthalpy),
            Err(E::UnknownUnit {
                unit: "kj/mol".into(),
                nearest: Some("kJ/mol")
            })
        );
        assert!(matches!(
            parse_quantity_as("0,40 g", Dimension::Mass),
            Err(E::DecimalComma(_))
        ));
        assert!(matches!(
            parse_quantity_as("1e999 g", Dimension::Mass),
            Err(E::NotFinite(_))
        ));
        assert!(matches!(parse_quantity("g"), Err(E::NoNumber(_))));
    }

    #[test]
    fn a_point_is_not_a_difference() {
        assert!(parse_quantity_as("25 C", Dimension::TemperatureDifference).is_err());
        assert!(parse_quantity_as("298 K", Dimension::Temperature).is_err());
    }

    #[test]
    fn windows_may_name_their_unit_once_and_must_not_be_upside_down() {
        assert_eq!(
            parse_window("0.38 to 0.42 g", Dimension::Mass),
            Ok((0.38, 0.42))
        );
        assert_eq!(
            parse_window("380 mg to 0.42 g", Dimension::Mass),
            Ok((0.38, 0.42))
        );
        assert!(matches!(
            parse_window("0.42 g to 0.38 g", Dimension::Mass),
            Err(QuantityError::UpsideDown(_))
        ));
    }
}
