//! Reading a value together with its error.

use super::dimension::Dimension;
use super::error_statement::{Scale, StatementError, read_spread};
use super::parse::parse_quantity_as;
use crate::random::{Dist, Form};

/// A value with its error.
#[derive(Debug, Clone, PartialEq)]
pub struct Measured {
    /// Best value, in base units.
    pub value: f64,
    /// Distribution of the *value* (not of the error), in base units.
    pub dist: Dist,
}

/// Reads a value with or without its error: `"45 J/K, u = 4 J/K"`, `"45 J/K +-4 J/K"`,
/// `"99.0 % to 100 %"` (its middle is the value), `"45 J/K"`, `"exactly 45 J/K"`.
///
/// # Errors
/// If neither the value nor its error can be read.
pub fn parse_measured(text: &str, dimension: Dimension) -> Result<Measured, StatementError> {
    let text = text.trim().replace("+/-", "+-");
    // Exact is what a value without error is anyway; saying so is no mistake.
    let (text, exact) = match text.strip_prefix("exactly ") {
        Some(rest) => (rest, true),
        None => (text.as_str(), false),
    };
    if text.contains(" to ") && !exact {
        let dist = read_spread(
            text,
            Scale {
                dimension,
                value: None,
            },
        )?;
        return Ok(Measured {
            value: dist.mean(),
            dist,
        });
    }
    let cut = text
        .find([',', '±'])
        .or_else(|| text.find("+-"))
        .unwrap_or(text.len());
    let value = parse_quantity_as(&text[..cut], dimension)?;
    let rest = text[cut..].trim_start_matches(',').trim();
    if exact && !rest.is_empty() {
        return Err(StatementError::Stray(rest.to_owned()));
    }
    if rest.is_empty() {
        return Ok(Measured {
            value,
            dist: Dist::constant(value),
        });
    }
    // A percentage of a point on the Celsius scale means nothing.
    let (difference, relative_to) = match dimension {
        Dimension::Temperature => (Dimension::TemperatureDifference, None),
        d => (d, Some(value)),
    };
    let scale = Scale {
        dimension: difference,
        value: relative_to,
    };
    let error = read_spread(rest, scale)?;
    if relative_to.is_none() && matches!(error.form(), Form::LogNormal(_)) {
        return Err(StatementError::LogNormalOfValue);
    }
    Ok(Measured {
        value,
        dist: about(value, &error)?,
    })
}

/// The distribution of a value whose error (about zero) is given.
fn about(value: f64, error: &Dist) -> Result<Dist, StatementError> {
    Ok(match error.form() {
        Form::LogNormal(sigma) if value > 0.0 => Dist::log_normal(value, *sigma)?,
        Form::LogNormal(_) => return Err(StatementError::LogNormalOfValue),
        Form::Beta(..) | Form::Folded(_) | Form::Cut(_) => {
            return Err(StatementError::Stray(error.shape().to_owned()));
        }
        _ => error.shifted(value),
    })
}
