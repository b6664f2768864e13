//! What is wrong with a scenario, and where.

use crate::quantity::texts;
use std::fmt;
use std::ops::Range;

texts! {
    /// How bad it is.
    Severity::text:
    /// It can be run, but its author should know.
    Warning = "warning",
    /// It cannot be run.
    Error = "error",
}

/// What a limit of a procedure is about, where a study of designs must tell limits apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Concern {
    /// More solid than dissolves.
    Solubility,
    /// What should be in excess runs out.
    Excess,
    /// The solid is not dissolved when it should be.
    Slow,
    /// A heater is on while readings count.
    Late,
    /// The change of temperature is too small for the thermometer.
    SmallChange,
    /// A solution of another strength than its tables are for.
    Strength,
    /// More dangerous than a study may suggest.
    Hazard,
    /// The reaction that calibrates is the one that is determined.
    Circular,
    /// A solution that freezes or boils.
    Phase,
    /// An error of so few degrees of freedom that a result has no spread.
    NoSpread,
}

/// One problem of a scenario file.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Problem {
    /// How bad.
    pub severity: Severity,
    /// Key path it belongs to; empty for the file as a whole.
    pub path: String,
    /// What is wrong.
    pub message: String,
    /// What was expected, or what to do.
    pub hint: Option<String>,
    /// Bytes of the file it points at.
    #[serde(skip)]
    pub span: Option<Range<usize>>,
    /// The limit it is about, if it is one of those.
    #[serde(skip)]
    pub concern: Option<Concern>,
}

impl Problem {
    /// An error at a key.
    pub fn error(path: &str, message: impl Into<String>) -> Self {
        Self {
            severity: Severity::Error,
            path: path.to_owned(),
            message: message.into(),
            hint: None,
            span: None,
            concern: None,
        }
    }

    /// A warning at a key.
    pub fn warning(path: &str, message: impl Into<String>) -> Self {
        Self {
            severity: Severity::Warning,
            ..Self::error(path, message)
        }
    }

    /// Adds what to do.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    /// Adds which limit it is about.
    #[must_use]
    pub fn about(mut self, concern: impl Into<Option<Concern>>) -> Self {
        self.concern = concern.into();
        self
    }

    /// Adds where it is.
    #[must_use]
    pub fn at(mut self, span: Option<Range<usize>>) -> Self {
        self.span = span;
        self
    }

    /// Line and column (from 1, in characters) in the text it belongs to; none in a text that does
    /// not reach as far.
    pub fn position(&self, text: &str) -> Option<(usize, usize)> {
        positions(text, std::slice::from_ref(self)).pop()?
    }
}

/// The position of each problem; of problems in the order of the text, in one walk through it.
pub fn positions(text: &str, problems: &[Problem]) -> Vec<Option<(usize, usize)>> {
    let begin = (0, 1, 1);
    let (mut at, mut line, mut column) = begin;
    let mut place = |p: &Problem| {
        let start = p.span.as_ref()?.start;
        if start < at {
            (at, line, column) = begin;
        }
        for c in text.get(at..start)?.chars() {
            (line, column) = match c {
                '\n' => (line + 1, 1),
                _ => (line, column + 1),
            };
        }
        at = start;
        Some((line, column))
    };
    problems.iter().map(&mut place).collect()
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.path.is_empty() {
            write!(f, "{}: ", self.path)?;
        }
        f.write_str(&self.message)?;
        if let Some(hint) = &self.hint {
            write!(f, " ({hint})")?;
        }
        Ok(())
    }
}

/// Everything that is wrong with one text.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{} problem(s) in the scenario", .0.len())]
pub struct Problems(pub Vec<Problem>);
