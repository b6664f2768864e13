//! What can be wrong with an entry, always with the file, the entry and the field.

use super::equation::EquationError;
use super::formula::FormulaError;
use super::kind::Kind;
use crate::quantity::{MOST_CANDIDATES, QuantityError, StatementError, likeness};
use thiserror::Error;

/// Why a library file, an entry of it or a key is refused.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum LibraryError {
    /// The file is not TOML of the expected layout.
    #[error("{file}: {message}")]
    Toml {
        /// File as named by the caller.
        file: String,
        /// What the TOML reader says, with line and column.
        message: String,
    },
    /// A section that is none.
    #[error("{file}: no section is called `{section}`{}", hint(nearest))]
    Section {
        /// File as named by the caller.
        file: String,
        /// Section as written.
        section: String,
        /// Nearest section.
        nearest: Option<String>,
    },
    /// An entry lacks a field, or has one too many.
    #[error("{file}: {entry}: {message}")]
    Layout {
        /// File as named by the caller.
        file: String,
        /// Section and key, for example `reactions.kcl-water`.
        entry: String,
        /// What the TOML reader says.
        message: String,
    },
    /// A field cannot be used.
    #[error("{file}: {entry}: {field}: {problem}")]
    Field {
        /// File as named by the caller.
        file: String,
        /// Section and key, for example `reactions.kcl-water`.
        entry: String,
        /// Field within the entry.
        field: String,
        /// What is wrong.
        problem: Box<Problem>,
    },
    /// The key is there already.
    #[error("{file}: {entry} is there already; give the new entry another key")]
    Duplicate {
        /// File as named by the caller.
        file: String,
        /// Section and key.
        entry: String,
    },
    /// Entries that were not looked at, because too many others are wrong.
    #[error("{0} further entries were not read, so much else is wrong")]
    Unread(usize),
    /// Nothing has this key.
    #[error("no {kind} is called `{key}`{}", hint(nearest))]
    UnknownKey {
        /// What was looked for.
        kind: Kind,
        /// Key as written.
        key: String,
        /// Nearest key of that kind.
        nearest: Option<String>,
    },
}

/// What is wrong with one field.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum Problem {
    /// A value or an error statement.
    #[error(transparent)]
    ErrorStatement(#[from] StatementError),
    /// A plain quantity.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
    /// A formula.
    #[error(transparent)]
    Formula(#[from] FormulaError),
    /// An equation.
    #[error(transparent)]
    Equation(#[from] EquationError),
    /// A species whose enthalpy of formation is not in the library.
    #[error(
        "the enthalpy of formation of `{species}` is not in the library: give it under [species], or give the reaction its `enthalpy`{}",
        hint(nearest)
    )]
    NoFormation {
        /// Species as written.
        species: String,
        /// Nearest species.
        nearest: Option<String>,
    },
    /// A species without its state.
    #[error("`{0}` has no state; write (aq), (cr), (l) or (g) behind it")]
    NoState(String),
    /// A field that means nothing without another one.
    #[error("needs `{0}` as well")]
    Needs(&'static str),
    /// A reaction that is referred to but starts from something else.
    #[error("`{0}` does not start from {1}")]
    Unfit(String, String),
    /// A value without any uncertainty.
    #[error("`{0}` has no uncertainty; write one after a comma, for example `{0}, u = 1 %`")]
    NoUncertainty(String),
    /// A value that no thing of this kind has.
    #[error("{0} is not possible: only {1} is")]
    Outside(String, &'static str),
    /// An equation that starts from something else than the substance.
    #[error("the equation starts from {species}, but the substance is {formula}")]
    OtherSubstance {
        /// First species of the equation.
        species: String,
        /// Formula of the substance.
        formula: String,
    },
    /// A status that is none.
    #[error("`{0}` is not a status; write `read`, `from memory` or `derived`")]
    Status(String),
    /// A source that is not in the list of citations.
    #[error(
        "the citation `{key}` is not listed under [citations]{}",
        hint(nearest)
    )]
    Source {
        /// Key as written.
        key: String,
        /// Nearest citation.
        nearest: Option<String>,
    },
    /// A reference to an entry that is not there.
    #[error("no {kind} is called `{key}`{}", hint(nearest))]
    Reference {
        /// What was looked for.
        kind: Kind,
        /// Key as written.
        key: String,
        /// Nearest key.
        nearest: Option<String>,
    },
    /// A table of values over temperature.
    #[error(
        "point {0} of the table is out of order, not finite or not positive (temperatures must rise)"
    )]
    Point(usize),
    /// A table without points.
    #[error("the table has no points")]
    Empty,
    /// A number that must be positive.
    #[error("{0} must be positive")]
    NotPositive(f64),
    /// A word that is not one of a list.
    #[error("`{word}` is not one of: {known}")]
    Word {
        /// Word as written.
        word: String,
        /// The words that are.
        known: String,
    },
    /// A glassware row with neither class nor limit, or with both.
    #[error("row {0}: give `a` and `b`, one of them, or `limit` alone")]
    Limits(usize),
}

fn hint(nearest: &Option<String>) -> String {
    nearest
        .as_ref()
        .map(|n| format!("; did you mean `{n}`?"))
        .unwrap_or_default()
}

/// The candidate that looks most like `wanted`, if any looks like it at all.
pub(super) fn closest<'a>(
    wanted: &str,
    candidates: impl Iterator<Item = &'a String>,
) -> Option<String> {
    let wanted = wanted.to_lowercase();
    candidates
        .take(MOST_CANDIDATES)
        .map(|c| (likeness(&c.to_lowercase(), &wanted), c))
        .filter(|(likeness, _)| *likeness > 0.75)
        // `total_cmp` with the key as tie-break keeps the answer independent of map order.
        .max_by(|a, b| a.0.total_cmp(&b.0).then_with(|| b.1.cmp(a.1)))
        .map(|(_, c)| c.clone())
}
