//! Numbers in JSON: null where there is none.

use super::problems::problems_json;
use super::words::first_and_all;
use crate::design::OutOfBounds;
use crate::scenario::Scenario;
use crate::stats::Estimate;
use serde_json::{Value, json};

/// An answer about one scenario, with what all of them begin with.
pub(super) fn headed(schema: &str, s: &Scenario, seed: u64, mut body: Value) -> Value {
    body["schema"] = json!(schema);
    body["version"] = json!(env!("CARGO_PKG_VERSION"));
    body["seed"] = json!(seed);
    body["scenario"]["title"] = json!(s.title);
    body["scenario"]["digest"] = json!(s.digest);
    body["cautions"] = json!(first_and_all(&s.cautions));
    body["warnings"] = problems_json(&s.text, &s.warnings);
    body
}

/// A number, if it is one.
pub(super) fn finite(x: f64) -> Option<f64> {
    x.is_finite().then_some(x)
}

/// A value with its standard error.
pub(super) fn estimate(e: Estimate) -> Value {
    json!({ "value": finite(e.value), "se": finite(e.se) })
}

/// Where a procedure is out of bounds, and why.
pub(super) fn zone(z: &OutOfBounds) -> Value {
    json!({ "bound": z.bound.label(), "leg": z.leg, "words": z.words })
}

/// Where most of a spread is made.
pub(super) fn made(made: &crate::design::Made) -> Value {
    json!({ "leg": made.leg, "share": made.share, "more_of": made.path })
}
