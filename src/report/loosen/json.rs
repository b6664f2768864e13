//! How loose tolerances may be, for programs.

use crate::design::{self, Answer as Found, Looseness, Loosest, Step, Upgrade};
use crate::report::json::{Headed, document};
use crate::stats::Estimate;
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

/// Name and version of the document's layout.
pub const LOOSEN_SCHEMA: &str = "joulecast.loosen/1";

/// How far a procedure is from its target, and what could give way.
#[derive(Serialize, JsonSchema)]
pub(in crate::report) struct Answer<'a> {
    #[serde(flatten)]
    looseness: &'a Looseness,
    /// Whether the target is met now.
    met: bool,
    /// All tolerances in the same proportion.
    together: Tolerance<'a>,
    /// Each tolerance alone, the one with the largest step first.
    tolerances: Vec<Tolerance<'a>>,
    instruments: Vec<Instrument<'a>>,
}

/// What a tolerance may be.
#[derive(Serialize, JsonSchema)]
struct Tolerance<'a> {
    /// Key of the error source; null for all together.
    source: Option<&'a str>,
    answer: Kind,
    /// How many times as large.
    factor: Option<Estimate>,
    /// What is compared with the target without this error, where even that does not meet it.
    measure_if_perfect: Option<Estimate>,
    #[serde(flatten)]
    rest: &'a Loosest,
    now: Vec<Statement<'a>>,
    loosest: Vec<Statement<'a>>,
}

/// Whether there is a largest factor.
#[derive(Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
enum Kind {
    /// There is.
    Factor,
    /// The target is met at the largest that was looked at.
    Any,
    /// It is not met even without this error.
    Never,
}

/// A key of the scenario and what it says.
#[derive(Serialize, JsonSchema)]
struct Statement<'a> {
    key: &'a str,
    value: &'a str,
}

/// An instrument and what may come in its place.
#[derive(Serialize, JsonSchema)]
struct Instrument<'a> {
    #[serde(flatten)]
    instrument: &'a design::Instrument,
    exchanges: Vec<Exchange<'a>>,
}

/// An exchange and what it brings.
#[derive(Serialize, JsonSchema)]
struct Exchange<'a> {
    /// `better`, `worse` or `perfect`.
    step: &'static str,
    /// Key of the library; null for a perfect one.
    entry: Option<&'a str>,
    #[serde(flatten)]
    rest: &'a Upgrade,
}

impl<'a> From<&'a Loosest> for Tolerance<'a> {
    fn from(rest: &'a Loosest) -> Self {
        let (answer, factor, measure_if_perfect) = match rest.answer {
            Found::Factor(f) => (Kind::Factor, Some(f), None),
            Found::Any(f) => (Kind::Any, Some(Estimate::new(f, f64::NAN)), None),
            Found::Never(e) => (Kind::Never, None, Some(e)),
        };
        Self {
            source: rest.source.map(|s| s.key),
            answer,
            factor,
            measure_if_perfect,
            rest,
            now: statements(&rest.now),
            loosest: statements(&rest.set),
        }
    }
}

fn statements(pairs: &[(String, String)]) -> Vec<Statement<'_>> {
    pairs
        .iter()
        .map(|(key, value)| Statement { key, value })
        .collect()
}

impl<'a> From<&'a Upgrade> for Exchange<'a> {
    fn from(rest: &'a Upgrade) -> Self {
        let (step, entry) = match &rest.step {
            Step::Better(key) => ("better", Some(&**key)),
            Step::Worse(key) => ("worse", Some(&**key)),
            Step::Perfect => ("perfect", None),
        };
        Self { step, entry, rest }
    }
}

/// The whole study.
pub fn loosen_json(l: &Looseness) -> Value {
    let answer = Answer {
        looseness: l,
        met: l.goal.met(l.now.value),
        together: (&l.together).into(),
        tolerances: l.tolerances.iter().map(Tolerance::from).collect(),
        instruments: l
            .instruments
            .iter()
            .map(|instrument| Instrument {
                instrument,
                exchanges: instrument.upgrades.iter().map(Exchange::from).collect(),
            })
            .collect(),
    };
    document(LOOSEN_SCHEMA, Headed::of(&l.scenario, l.seed, answer))
}
