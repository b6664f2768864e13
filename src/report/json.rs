//! Documents for programs: what all of them begin with.

use super::forecast::json::Procedure;
use super::problems::{Located, located};
use super::words::first_and_all;
use crate::help::Topic;
use crate::scenario::Scenario;
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

/// Defines a part of a document and how it is made: each key with its type and its value.
macro_rules! part {
    (
        $(#[$about:meta])*
        $name:ident $(<$life:lifetime>)? ($($from:ident: $of:ty),*):
        $($(#[$attr:meta])* $key:ident: $type:ty = $value:expr,)*
    ) => {
        $(#[$about])*
        #[derive(serde::Serialize, schemars::JsonSchema)]
        #[allow(non_snake_case)] // Units stand in keys as they are written.
        pub(in crate::report) struct $name $(<$life>)? { $($(#[$attr])* $key: $type,)* }

        impl $(<$life>)? $name $(<$life>)? {
            pub(in crate::report) fn of($($from: $of),*) -> Self {
                Self { $($key: $value,)* }
            }
        }
    };
}

pub(in crate::report) use part;

// What every document begins with. The words of a schema are those of what follows.
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

// What every answer about one scenario begins with.
#[derive(Serialize, JsonSchema)]
pub(super) struct Headed<'a, T> {
    /// Seed of all random streams.
    seed: u64,
    scenario: Named<'a>,
    /// What can hurt people or the environment, and what to do.
    cautions: Vec<String>,
    /// What its author should know.
    warnings: Vec<Located<'a>>,
    #[serde(flatten)]
    body: T,
}

part! {
    /// The scenario that was simulated.
    Named<'a>(s: &'a Scenario, runs: Option<Procedure<'a>>):
    title: &'a str = &s.title,
    /// 16 hexadecimal digits that change with its text.
    digest: &'a str = &s.digest,
    /// In a forecast, its runs.
    #[serde(flatten)]
    runs: Option<Procedure<'a>> = runs,
}

impl<'a, T> Headed<'a, T> {
    /// An answer about this scenario.
    pub(super) fn of(s: &'a Scenario, seed: u64, body: T) -> Self {
        Self::with(s, seed, None, body)
    }

    /// The same with its runs.
    pub(super) fn with(s: &'a Scenario, seed: u64, runs: Option<Procedure<'a>>, body: T) -> Self {
        Self {
            seed,
            scenario: Named::of(s, runs),
            cautions: first_and_all(&s.cautions),
            warnings: located(&s.text, &s.warnings),
            body,
        }
    }
}

/// Name and version of the form of the reference.
pub(super) const HELP: &str = "joulecast.help/1";

part! {
    /// Topics of the reference.
    Topics<'a>(topics: &'a [&'a Topic]):
    topics: &'a [&'a Topic] = topics,
}

/// Topics of the reference as JSON.
pub fn help_json(topics: &[&Topic]) -> Value {
    document(HELP, Topics::of(topics))
}
