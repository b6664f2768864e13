//! What the key of a source says: a value, an error, or for what can only go one way either of both.

use super::source::{Source, Statement};
use crate::quantity::{StatementError, parse_error_statement, parse_measured};
use crate::random::Dist;

/// A statement as a value and the distribution of the source; the value of an error is 0. `whole` is what percentages of an
/// error refer to.
///
/// # Errors
/// What is wrong with it, in the form in which the source is usually stated.
pub(super) fn read(
    source: &Source,
    text: &str,
    whole: Option<f64>,
) -> Result<(f64, Dist), StatementError> {
    let error = || parse_error_statement(text, source.dimension, whole).map(|s| s.dist);
    let value = || parse_measured(text, source.dimension).map(|m| (m.value, m.dist));
    match source.statement {
        // "1 %, 60 % log-normal" is a size with its spread; "1 %" alone does not say what it is.
        Statement::Error if source.one_sided => error().map(|dist| (0.0, dist)).or_else(|e| {
            let sized = value().ok().filter(|(_, dist)| dist.exactly().is_none());
            sized.map(|(_, dist)| (0.0, dist)).ok_or(e)
        }),
        Statement::Error => error().map(|dist| (0.0, dist)),
        Statement::Disturbance if text.trim() == "none" => Ok((0.0, Dist::constant(0.0))),
        Statement::Disturbance if source.one_sided => {
            value().or_else(|e| error().map(|dist| (dist.mean(), dist)).map_err(|_| e))
        }
        Statement::Disturbance | Statement::Value => value(),
    }
}
