//! Numbers in JSON: null where there is none.

use crate::design::Zone;
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

/// Where a procedure is out of bounds, and why.
pub(super) fn zone(z: &Zone) -> Value {
    json!({ "bound": z.bound.label(), "leg": z.leg, "words": z.words })
}

/// Where most of a spread is made.
pub(super) fn made(made: &crate::design::Made) -> Value {
    json!({ "leg": made.leg, "share": made.share, "more_of": made.path })
}
