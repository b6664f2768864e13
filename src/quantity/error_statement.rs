//! Reading what people write about an error: `"0.08 mL rectangular"`, `"u = 0.06 mL"`,
//! `"2s = 0.4 mg"`, `"U = 0.26 J/g, k = 2"`, `"0.2 mL exponential"`, `"exactly 2 %"`.
//!
//! | written | means |
//! |---|---|
//! | `none` | no error |
//! | `exactly 1 mL` | always this much |
//! | `+-0.1 K`, `+/- 0.1 K`, `0.1 K rectangular`, `0.1 K uniform` | equally likely within these limits (JCGM 100, 4.3.7) |
//! | `0.1 K triangular`, `0.1 K arcsine` | limits with that shape |
//! | `0.1 K trapezoid, top = 50 %` | limits with a flat top of that share |
//! | `0.1 K curvilinear, limits = 0.02 K` | limits that are themselves uncertain |
//! | `u = 0.06 mL`, `s = 0.06 mL`, `sd = 0.06 mL` | standard uncertainty, normal |
//! | `u = 0.06 mL rectangular` | standard uncertainty of that shape |
//! | `u = 0.06 mL, dof = 9` | standard uncertainty with degrees of freedom, Student t |
//! | `2s = 0.4 mg` | that many standard deviations, normal |
//! | `U = 0.26 J/g, k = 2` | expanded uncertainty, normal |
//! | `0.2 mL exponential` | one-sided, that mean |
//! | `0.2 mL one-sided` | one-sided, absolute value of a normal with that sd |
//! | `35 % log-normal` | behind a value: standard deviation of the logarithm |
//! | `0 mL to 0.5 mL` | equally likely between; `triangular` puts the top in the middle |
//! | `0 % to 3 % beta(1, 4)` | beta between |
//!
//! A percentage where another dimension is due is relative to the value that the error belongs to.

use super::dimension::Dimension;
use super::parse::{QuantityError, parse_quantity, parse_quantity_as, split_number};
use super::spelling::edits;
use crate::random::{Dist, DistError, Form};
use thiserror::Error;

/// An error distribution about zero, as stated.
#[derive(Debug, Clone, PartialEq)]
pub struct ErrorStatement {
    /// Distribution of the error, in base units.
    pub dist: Dist,
    /// What was written.
    pub text: String,
}

/// Why a text is not an error statement.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum StatementError {
    /// A quantity in it is wrong.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
    /// The distribution cannot exist.
    #[error(transparent)]
    Dist(#[from] DistError),
    /// A word that is no shape.
    #[error("`{word}` is not a shape of error{}", nearest.map(|n| format!("; did you mean `{n}`?")).unwrap_or_default())]
    Shape {
        /// What was written.
        word: String,
        /// The nearest shape.
        nearest: Option<&'static str>,
    },
    /// `U = ...` without `k = ...`.
    #[error("an expanded uncertainty needs its coverage factor: write `U = ..., k = 2`")]
    NoCoverageFactor,
    /// A size that does not say what it is the size of.
    #[error("say what `{0}` is: `{0} rectangular`, `u = {0}`, `exactly {0}`")]
    NoShape(String),
    /// A clause is missing.
    #[error("`{shape}` needs `{clause}`")]
    Missing {
        /// The shape.
        shape: &'static str,
        /// The clause it needs.
        clause: &'static str,
    },
    /// A clause that nobody reads.
    #[error("`{0}` is not understood here")]
    Stray(String),
    /// Several values are needed for a log-normal one.
    #[error("a log-normal spread is written in %, and belongs to a positive value")]
    LogNormalOfValue,
    /// Half-width, u or mean below zero.
    #[error("`{0}`: the size of an error cannot be negative")]
    Negative(String),
}

const SHAPES: &[&str] = &[
    "rectangular",
    "triangular",
    "arcsine",
    "trapezoid",
    "curvilinear",
    "normal",
    "exponential",
    "one-sided",
    "log-normal",
];

/// Other words for them.
const ALSO_CALLED: &[(&str, &str)] = &[
    ("uniform", "rectangular"),
    ("gaussian", "normal"),
    ("Gaussian", "normal"),
    ("lognormal", "log-normal"),
];

/// A clause `name = value` after a comma.
struct Clauses<'t>(Vec<(&'t str, &'t str)>);

impl<'t> Clauses<'t> {
    fn take(&mut self, name: &str) -> Option<&'t str> {
        let at = self.0.iter().position(|(n, _)| *n == name)?;
        Some(self.0.remove(at).1)
    }
}

/// Reads sizes in the due dimension, or in % of the value that the error belongs to.
#[derive(Clone, Copy)]
pub(super) struct Scale {
    pub(super) dimension: Dimension,
    pub(super) value: Option<f64>,
}

impl Scale {
    fn read(self, text: &str) -> Result<f64, StatementError> {
        if let (Some(value), Ok(q)) = (self.value, parse_quantity(text))
            && q.dimension == Dimension::Fraction
            && self.dimension != Dimension::Fraction
        {
            return Ok(q.value * value.abs());
        }
        Ok(parse_quantity_as(text, self.dimension)?)
    }

    fn size(self, text: &str) -> Result<f64, StatementError> {
        let size = self.read(text)?;
        if size < 0.0 {
            return Err(StatementError::Negative(text.trim().to_owned()));
        }
        Ok(size)
    }
}

/// Reads an error about zero. `relative_to` is the value a percentage refers to, if there is one.
///
/// # Errors
/// If the text is not one of the forms of the module's table.
pub fn parse_error_statement(
    text: &str,
    dimension: Dimension,
    relative_to: Option<f64>,
) -> Result<ErrorStatement, StatementError> {
    let scale = Scale {
        dimension,
        value: relative_to,
    };
    let dist = read_spread(text.trim(), scale)?;
    // Without the value before it, nothing says of what it is a percentage.
    if matches!(dist.form(), Form::LogNormal(_)) {
        return Err(StatementError::LogNormalOfValue);
    }
    Ok(ErrorStatement {
        dist,
        text: text.trim().to_owned(),
    })
}

pub(super) fn read_spread(text: &str, scale: Scale) -> Result<Dist, StatementError> {
    let text = text.replace("+/-", "+-");
    let text = text.as_str();
    if text == "none" {
        return Ok(Dist::constant(0.0));
    }
    if let Some(rest) = text.strip_prefix("exactly ") {
        return Ok(Dist::constant(scale.read(rest)?));
    }
    let (head, tail) = split_clauses(text);
    let mut clauses = Clauses(tail);
    let dist = read_head(head, scale, &mut clauses)?;
    match clauses.0.first() {
        Some((name, "")) => Err(StatementError::Stray((*name).to_owned())),
        Some((name, value)) => Err(StatementError::Stray(format!("{name} = {value}"))),
        None => Ok(dist),
    }
}

/// Splits `head, a = 1, b = 2`; a comma inside brackets does not count.
fn split_clauses(text: &str) -> (&str, Vec<(&str, &str)>) {
    let mut depth = 0i32;
    let mut parts = text.split(move |c| {
        match c {
            '(' => depth += 1,
            ')' => depth -= 1,
            _ => {}
        }
        c == ',' && depth == 0
    });
    let head = parts.next().unwrap_or_default().trim();
    let tail = parts
        .map(|part| match part.split_once('=') {
            Some((name, value)) => (name.trim(), value.trim()),
            None => (part.trim(), ""),
        })
        .collect();
    (head, tail)
}

fn read_head(head: &str, scale: Scale, clauses: &mut Clauses) -> Result<Dist, StatementError> {
    if let Some((name, value)) = head.split_once('=') {
        return read_named(name.trim(), value.trim(), scale, clauses);
    }
    if let Some((low, high)) = head.split_once(" to ") {
        return read_between(low, high, scale);
    }
    let limits = head.strip_prefix("+-").or_else(|| head.strip_prefix('±'));
    let (size_text, shape) = split_shape(limits.unwrap_or(head))?;
    match shape {
        // A log-normal spread is always a pure number.
        Some("log-normal") => Ok(Dist::log_normal(
            1.0,
            parse_quantity_as(size_text, Dimension::Fraction)?,
        )?),
        Some(shape) => shaped(shape, scale.size(size_text)?, scale, clauses),
        None if limits.is_some() => shaped("rectangular", scale.size(size_text)?, scale, clauses),
        None => {
            scale.size(size_text)?;
            Err(StatementError::NoShape(size_text.trim().to_owned()))
        }
    }
}

/// `u = Q [shape]`, `s = Q`, `2s = Q`, `U = Q, k = 2`.
fn read_named(
    name: &str,
    value: &str,
    scale: Scale,
    clauses: &mut Clauses,
) -> Result<Dist, StatementError> {
    let (size_text, shape) = split_shape(value)?;
    let size = scale.size(size_text)?;
    let u = match name {
        "u" | "s" | "sd" | "SD" => size,
        "U" => {
            let k = clauses.take("k").ok_or(StatementError::NoCoverageFactor)?;
            size / bare_number(k)?
        }
        _ => {
            let (n, rest) =
                split_number(name).map_err(|_| StatementError::Stray(name.to_owned()))?;
            if rest.trim() != "s" || n <= 0.0 {
                return Err(StatementError::Stray(name.to_owned()));
            }
            size / n
        }
    };
    if let Some(dof) = clauses.take("dof") {
        return Ok(Dist::student(0.0, u, bare_number(dof)?)?);
    }
    Ok(match shape {
        None | Some("normal") => Dist::normal(0.0, u)?,
        Some("rectangular") => Dist::within(0.0, u * 3f64.sqrt())?,
        Some("triangular") => Dist::triangular_within(0.0, u * 6f64.sqrt())?,
        Some("arcsine") => Dist::arcsine(0.0, u * 2f64.sqrt())?,
        Some("exponential") => Dist::exponential(0.0, u)?,
        Some(other) => return Err(StatementError::Stray(other.to_owned())),
    })
}

fn read_between(low: &str, high: &str, scale: Scale) -> Result<Dist, StatementError> {
    let (high_text, shape, beta) = match high.split_once("beta(") {
        Some((before, args)) => {
            let args = args.trim().trim_end_matches(')');
            let (a, b) = args.split_once(',').ok_or(StatementError::Missing {
                shape: "beta",
                clause: "two shape parameters, for example beta(1, 4)",
            })?;
            (before, None, Some((bare_number(a)?, bare_number(b)?)))
        }
        None => {
            let (text, shape) = split_shape(high)?;
            (text, shape, None)
        }
    };
    let high = scale.read(high_text)?;
    let low = match split_number(low)? {
        (_, rest) if rest.trim().is_empty() => {
            scale.read(&format!("{low} {}", split_number(high_text)?.1))?
        }
        _ => scale.read(low)?,
    };
    if low > high {
        return Err(DistError::UpsideDown(low, high).into());
    }
    if let Some((a, b)) = beta {
        return Ok(Dist::beta(a, b, low, high)?);
    }
    let (centre, half) = (0.5 * (low + high), 0.5 * (high - low));
    Ok(match shape {
        None | Some("rectangular") => Dist::rectangular(low, high)?,
        Some("triangular") => Dist::triangular_within(centre, half)?,
        Some("arcsine") => Dist::arcsine(centre, half)?,
        Some(other) => return Err(StatementError::Stray(other.to_owned())),
    })
}

fn shaped(
    shape: &str,
    size: f64,
    scale: Scale,
    clauses: &mut Clauses,
) -> Result<Dist, StatementError> {
    Ok(match shape {
        "rectangular" => Dist::within(0.0, size)?,
        "triangular" => Dist::triangular_within(0.0, size)?,
        "arcsine" => Dist::arcsine(0.0, size)?,
        "normal" => Dist::normal(0.0, size)?,
        "exponential" => Dist::exponential(0.0, size)?,
        "one-sided" => Dist::normal(0.0, size)?.folded()?,
        "trapezoid" => {
            let top = clauses.take("top").ok_or(StatementError::Missing {
                shape: "trapezoid",
                clause: "top = 50 %",
            })?;
            Dist::trapezoid(0.0, size, parse_quantity_as(top, Dimension::Fraction)?)?
        }
        "curvilinear" => {
            let limits = clauses.take("limits").ok_or(StatementError::Missing {
                shape: "curvilinear",
                clause: "limits = (how far each limit may be off)",
            })?;
            Dist::curvilinear(-size, size, scale.size(limits)?)?
        }
        other => return Err(StatementError::Stray(other.to_owned())),
    })
}

/// Splits a trailing shape word off a size: `"0.08 mL rectangular"`.
fn split_shape(text: &str) -> Result<(&str, Option<&'static str>), StatementError> {
    let text = text.trim();
    let Some((before, word)) = text.rsplit_once(' ') else {
        return Ok((text, None));
    };
    if let Some(shape) = SHAPES.iter().find(|s| **s == word) {
        return Ok((before.trim(), Some(shape)));
    }
    if let Some((_, shape)) = ALSO_CALLED.iter().find(|(also, _)| *also == word) {
        return Ok((before.trim(), Some(shape)));
    }
    // A long lower-case word at the end is a misspelt shape; anything else belongs to the unit.
    if word.len() >= 5 && word.chars().all(|c| c.is_ascii_lowercase() || c == '-') {
        let nearest = SHAPES
            .iter()
            .map(|s| (edits(s, word), *s))
            .filter(|(d, _)| *d <= 4)
            .min()
            .map(|(_, s)| s);
        return Err(StatementError::Shape {
            word: word.to_owned(),
            nearest,
        });
    }
    Ok((text, None))
}

fn bare_number(text: &str) -> Result<f64, StatementError> {
    let (n, rest) = split_number(text)?;
    if !rest.trim().is_empty() {
        return Err(StatementError::Stray(text.trim().to_owned()));
    }
    Ok(n)
}

#[cfg(test)]
#[path = "spread_tests.rs"]
mod tests;
