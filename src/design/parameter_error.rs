//! Why a number of a scenario cannot be varied.

use thiserror::Error;

/// Why a path cannot be varied.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum ParameterError {
    /// No such key.
    #[error("{path}: {message}{}", hint.as_ref().map(|h| format!(" ({h})")).unwrap_or_default())]
    Unknown {
        /// As written.
        path: String,
        /// What is wrong with it.
        message: String,
        /// What to do.
        hint: Option<String>,
    },
    /// A key that takes no number.
    #[error("{0}: takes no number that could be varied")]
    NoNumber(String),
    /// `u(...)` of something that states no error.
    #[error(
        "{0}: no error belongs to this; `u(...)` takes the key of an error source, such as thermometer.offset"
    )]
    NoError(String),
    /// An error that is not there has no shape that could be kept.
    #[error(
        "{0}: there is no such error now, so its shape is not known; state it in the scenario first"
    )]
    NoShape(String),
    /// `u(...)` of a value that is stated without any spread.
    #[error("{0}: it is stated without any spread; vary `{1}` itself")]
    NoSpread(String, String),
}
