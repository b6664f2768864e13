//! A published value with where it comes from, and the error of an instrument likewise.

use super::error::{LibraryError, Problem, closest};
use crate::quantity::{Dimension, parse_error_statement, parse_measured, parse_window, texts};
use crate::random::Dist;
use serde::Deserialize;
use std::collections::BTreeMap;

texts! {
    /// How a value came into the library.
    Status::text:
    /// Read at the source named.
    Read = "read",
    /// Remembered; the source named was not opened.
    Memory = "from memory",
    /// Computed from values of the source named.
    Derived = "derived",
}

impl Status {
    fn parse(text: &str) -> Result<Self, Problem> {
        let mut all = Self::ALL.into_iter();
        all.find(|s| s.text() == text)
            .ok_or_else(|| Problem::Status(text.to_owned()))
    }
}

/// A value with its uncertainty and its source.
#[derive(Debug, Clone)]
pub struct Fact {
    /// Best value, in the base unit of [`Self::dimension`].
    pub value: f64,
    /// Distribution of the value (not of its error), in the same unit.
    pub dist: Dist,
    /// As written in the source, with its unit.
    pub text: String,
    /// Full citation.
    pub source: String,
    /// How it came here.
    pub status: Status,
    /// What a reader should know about it.
    pub note: Option<String>,
    /// What kind of quantity [`Self::value`] is.
    pub dimension: Dimension,
}

impl Fact {
    /// The same fact times `factor`, which must be positive, as another kind of quantity. The text
    /// stays as published, so that a reader finds the number of the source.
    pub fn converted(&self, factor: f64, dimension: Dimension) -> Self {
        Self {
            value: self.value * factor,
            dist: self.dist.scaled(factor),
            dimension,
            ..self.clone()
        }
    }
}

/// The error of an instrument or a table, about zero.
#[derive(Debug, Clone)]
pub struct ErrorFact {
    /// Distribution of the error, in the base unit of [`Self::dimension`].
    pub dist: Dist,
    /// As written, with its unit.
    pub text: String,
    /// Full citation.
    pub source: String,
    /// How it came here.
    pub status: Status,
    /// What a reader should know about it.
    pub note: Option<String>,
    /// What kind of quantity the error is.
    pub dimension: Dimension,
}

/// A fact in a data file.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawFact {
    pub value: String,
    pub source: String,
    pub status: String,
    pub note: Option<String>,
}

impl RawFact {
    /// A wide default for a value that is not known.
    pub fn unknown(value: &str) -> Self {
        Self {
            value: value.to_owned(),
            source: "practice".to_owned(),
            status: Status::Memory.text().to_owned(),
            note: Some(
                "not known: a wide default, which an entry of your own may replace".to_owned(),
            ),
        }
    }
}

/// An error in a data file.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawError {
    pub error: String,
    pub source: String,
    pub status: String,
    pub note: Option<String>,
}

/// What things of a teaching laboratory can have at all, by what is measured. Errors and settings have ranges of their own in
/// the table of sources.
const POSSIBLE: &[(Dimension, &str)] = &[
    (Dimension::Density, "0.05 g/mL to 25 g/mL"),
    (Dimension::SpecificHeat, "-20 J/(g K) to 20 J/(g K)"),
    (Dimension::SpecificVolume, "-10 mL/g to 10 mL/g"),
    (Dimension::MassEnthalpy, "-200000 J/g to 200000 J/g"),
    (Dimension::MolarEnthalpy, "-10000 kJ/mol to 10000 kJ/mol"),
    (
        Dimension::MolarHeatCapacity,
        "-20000 J/(mol K) to 20000 J/(mol K)",
    ),
    (Dimension::HeatCapacity, "0 J/K to 100000 J/K"),
    (Dimension::Fraction, "0 % to 1000 %"),
];

/// Reads the fields of one entry and names file, entry and field when one is wrong.
pub(super) struct Reader<'a> {
    pub file: &'a str,
    pub entry: String,
    pub citations: &'a BTreeMap<String, String>,
}

impl Reader<'_> {
    pub fn wrong(&self, field: &str, problem: impl Into<Problem>) -> LibraryError {
        LibraryError::Field {
            file: self.file.to_owned(),
            entry: self.entry.clone(),
            field: field.to_owned(),
            problem: Box::new(problem.into()),
        }
    }

    pub fn source(&self, field: &str, key: &str) -> Result<String, LibraryError> {
        self.citations.get(key).cloned().ok_or_else(|| {
            let nearest = closest(key, self.citations.keys());
            let key = key.to_owned();
            self.wrong(field, Problem::Source { key, nearest })
        })
    }

    pub fn status(&self, field: &str, text: &str) -> Result<Status, LibraryError> {
        Status::parse(text).map_err(|p| self.wrong(field, p))
    }

    /// Refuses what no thing has: a power of ten that slipped, a unit that was mistaken.
    fn possible(
        &self,
        field: &str,
        text: &str,
        value: f64,
        dimension: Dimension,
    ) -> Result<(), LibraryError> {
        let range = POSSIBLE.iter().find(|(d, _)| *d == dimension);
        let Some((_, range)) = range else {
            return Ok(());
        };
        let (low, high) = parse_window(range, dimension).expect("the table is right");
        // What must be positive says so itself.
        if (low..=high).contains(&value) || (low >= 0.0 && value <= 0.0) {
            return Ok(());
        }
        Err(self.wrong(field, Problem::Outside(text.trim().to_owned(), range)))
    }

    /// A conventional value (a nominal size, a resolution): it needs no uncertainty.
    pub fn nominal(
        &self,
        field: &str,
        raw: &RawFact,
        dimension: Dimension,
    ) -> Result<Fact, LibraryError> {
        let measured = parse_measured(&raw.value, dimension)
            .map_err(|e| self.wrong(field, Problem::from(e)))?;
        self.possible(field, &raw.value, measured.value, dimension)?;
        Ok(Fact {
            value: measured.value,
            dist: measured.dist,
            text: raw.value.trim().to_owned(),
            source: self.source(field, &raw.source)?,
            status: self.status(field, &raw.status)?,
            note: raw.note.clone(),
            dimension,
        })
    }

    /// A measured value. One without uncertainty is refused: the simulation would treat it as
    /// perfectly known without anybody having decided so.
    pub fn fact(
        &self,
        field: &str,
        raw: &RawFact,
        dimension: Dimension,
    ) -> Result<Fact, LibraryError> {
        let fact = self.nominal(field, raw, dimension)?;
        // `u = 0` is no uncertainty either.
        match fact.dist.standard_uncertainty() {
            0.0 => Err(self.wrong(field, Problem::NoUncertainty(fact.text))),
            _ => Ok(fact),
        }
    }

    /// A value that must be positive besides.
    pub fn positive(
        &self,
        field: &str,
        raw: &RawFact,
        dimension: Dimension,
    ) -> Result<Fact, LibraryError> {
        let fact = self.fact(field, raw, dimension)?;
        if fact.value > 0.0 {
            return Ok(fact);
        }
        Err(self.wrong(field, Problem::NotPositive(fact.value)))
    }

    pub fn error(
        &self,
        field: &str,
        raw: &RawError,
        dimension: Dimension,
    ) -> Result<ErrorFact, LibraryError> {
        let spread = parse_error_statement(&raw.error, dimension, None)
            .map_err(|e| self.wrong(field, Problem::from(e)))?;
        Ok(ErrorFact {
            dist: spread.dist,
            text: spread.text,
            source: self.source(field, &raw.source)?,
            status: self.status(field, &raw.status)?,
            note: raw.note.clone(),
            dimension,
        })
    }
}
