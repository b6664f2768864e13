//! Documents for programs: what all of them begin with.

use super::forecast::json::Procedure;
use super::problems::{Located, located};
use super::words::first_and_all;
use crate::scenario::Scenario;
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

/// A document with its form.
#[derive(Serialize, JsonSchema)]
pub(super) struct Formed<T> {
    /// Name and version of the document's form.
    schema: &'static str,
    /// Version of the program.
    version: &'static str,
    #[serde(flatten)]
    body: T,
}

/// A document of this form. A number that is not finite is null.
pub(super) fn document(schema: &'static str, body: impl Serialize) -> Value {
    let version = env!("CARGO_PKG_VERSION");
    let formed = Formed {
        schema,
        version,
        body,
    };
    serde_json::to_value(formed).expect("all keys are texts")
}

/// An answer about one scenario.
#[derive(Serialize, JsonSchema)]
pub(super) struct Headed<'a, T> {
    /// Seed of all random streams.
    seed: u64,
    pub(super) scenario: Named<'a>,
    /// What can hurt people or the environment, and what to do.
    cautions: Vec<String>,
    /// What its author should know.
    warnings: Vec<Located<'a>>,
    #[serde(flatten)]
    body: T,
}

/// The scenario that was simulated.
#[derive(Serialize, JsonSchema)]
pub(super) struct Named<'a> {
    title: &'a str,
    /// 16 hexadecimal digits that change with its text.
    digest: &'a str,
    /// In a forecast, its runs.
    #[serde(flatten)]
    pub(super) procedure: Option<Procedure<'a>>,
}

impl<'a> From<&'a Scenario> for Named<'a> {
    fn from(s: &'a Scenario) -> Self {
        Self {
            title: &s.title,
            digest: &s.digest,
            procedure: None,
        }
    }
}

impl<'a, T> Headed<'a, T> {
    /// An answer about this scenario.
    pub(super) fn of(s: &'a Scenario, seed: u64, body: T) -> Self {
        Self {
            seed,
            scenario: s.into(),
            cautions: first_and_all(&s.cautions),
            warnings: located(&s.text, &s.warnings),
            body,
        }
    }
}
