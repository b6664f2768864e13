//! Numbers in JSON: null where there is none.

use crate::stats::Estimate;
use serde_json::{Value, json};

/// A number, if it is one.
pub(super) fn finite(x: f64) -> Option<f64> {
    x.is_finite().then_some(x)
}

/// A value with its standard error.
pub(super) fn estimate(e: Estimate) -> Value {
    json!({ "value": finite(e.value), "se": finite(e.se) })
}
