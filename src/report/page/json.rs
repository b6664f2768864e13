//! All answers about one scenario as JSON.

use crate::report::json::{Formed, Headed, document, part};
use crate::report::{forecast, grade, loosen, rank, slip, sweep};
use serde_json::Value;

/// Name and version of the document's form.
pub(in crate::report) const REPORT_SCHEMA: &str = "joulecast.report/1";

/// The document of an answer about one scenario.
type Of<T> = Formed<Headed<'static, T>>;

part! {
    /// The documents of all answers about one scenario.
    Answers(forecast: Value, rank: Value, sweep: Value, loosen: Option<Value>, more: [Value; 2], study: Option<Value>):
    #[schemars(with = "Of<forecast::json::Answer<'_>>")]
    forecast: Value = forecast,
    #[schemars(with = "Of<rank::json::Answer<'_>>")]
    rank: Value = rank,
    #[schemars(with = "Of<sweep::json::Answer<'_>>")]
    sweep: Value = sweep,
    /// Null without a target.
    #[schemars(with = "Option<Of<loosen::json::Answer<'_>>>")]
    loosen: Option<Value> = loosen,
    #[schemars(with = "Of<slip::json::Answer<'_>>")]
    slip: Value = more[0].clone(),
    #[schemars(with = "Of<grade::json::Answer<'_>>")]
    grade: Value = more[1].clone(),
    /// Runs and masses to look up, where a solid is weighed.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<Of<sweep::json::Answer<'_>>>")]
    study: Option<Value> = study,
}

/// All answers about one scenario, each as its own command gives it.
pub fn report_json(
    forecast: Value,
    rank: Value,
    sweep: Value,
    loosen: Option<Value>,
    slip_and_grade: [Value; 2],
    study: Option<Value>,
) -> Value {
    document(
        REPORT_SCHEMA,
        Answers::of(forecast, rank, sweep, loosen, slip_and_grade, study),
    )
}
