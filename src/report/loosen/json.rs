//! How loose tolerances may be, for programs.

use crate::design::{
    Answer as Found, Bound, Instrument, Looseness, Loosest, Made, OutOfBounds, Smallest, Step,
    Upgrade,
};
use crate::report::json::{Headed, document, part};
use crate::report::sweep::json::Aim;
use crate::stats::Estimate;
use serde_json::Value;

/// Name and version of the document's layout.
pub const LOOSEN_SCHEMA: &str = "joulecast.loosen/1";

part! {
    /// How far a procedure is from its target, and what could give way.
    Answer<'a>(l: &'a Looseness):
    trials_per_point: u64 = l.trials,
    goal: Aim = Aim::of(l.goal),
    /// What is compared with the target now.
    now: Estimate = l.now,
    met: bool = l.goal.met(l.now.value),
    most_of_the_spread: Option<&'a Made> = l.made.as_ref(),
    /// Bounds that the procedure is beyond as it is.
    out_of_bounds: &'a [OutOfBounds] = &l.beyond,
    /// All tolerances in the same proportion.
    together: Tolerance<'a> = Tolerance::of(&l.together),
    /// Each tolerance alone, the one with the largest step first.
    tolerances: Vec<Tolerance<'a>> = l.tolerances.iter().map(Tolerance::of).collect(),
    /// Numbers of runs, waiting times.
    numbers: &'a [Smallest] = &l.numbers,
    instruments: Vec<Exchanged<'a>> = l.instruments.iter().map(Exchanged::of).collect(),
}

part! {
    /// What a tolerance may be.
    Tolerance<'a>(x: &'a Loosest):
    /// Key of the error source; null for all together.
    source: Option<&'a str> = x.source.map(|s| s.key),
    /// `factor`; `any`: the target is met at the largest that was looked at; `never`: not even without this error.
    answer: &'static str = match x.answer {
        Found::Factor(_) => "factor",
        Found::Any(_) => "any",
        Found::Never(_) => "never",
    },
    /// How many times as large.
    factor: Option<Estimate> = match x.answer {
        Found::Factor(f) => Some(f),
        Found::Any(f) => Some(Estimate::new(f, f64::NAN)),
        Found::Never(_) => None,
    },
    ended_by_bound: Option<Bound> = x.bound,
    /// What is compared with the target without this error, where even that does not meet it.
    measure_if_perfect: Option<Estimate> = match x.answer {
        Found::Never(e) => Some(e),
        _ => None,
    },
    measure_if_doubled: Estimate = x.doubled,
    doubled_beyond_bound: Option<Bound> = x.doubled_beyond,
    /// A fraction of the result, signed like it.
    bias_at_answer: Estimate = x.bias,
    now: Vec<Statement<'a>> = x.now.iter().map(Statement::of).collect(),
    loosest: Vec<Statement<'a>> = x.set.iter().map(Statement::of).collect(),
}

part! {
    /// A key of the scenario and what it says.
    Statement<'a>(pair: &'a (String, String)):
    key: &'a str = &pair.0,
    value: &'a str = &pair.1,
}

part! {
    /// An instrument and what may come in its place.
    Exchanged<'a>(i: &'a Instrument):
    /// Key of the library.
    key: &'a str = &i.key,
    /// Keys of the scenario that name it.
    paths: &'a [String] = &i.paths,
    /// Sources that the scenario states itself, which an exchange does not touch.
    stated_in_scenario: &'a [String] = &i.own,
    exchanges: Vec<Exchange<'a>> = i.upgrades.iter().map(Exchange::of).collect(),
}

part! {
    /// An exchange and what it brings.
    Exchange<'a>(u: &'a Upgrade):
    /// `better`, `worse` or `perfect`.
    step: &'static str = step(&u.step).0,
    /// Key of the library; null for a perfect one.
    entry: Option<&'a str> = step(&u.step).1,
    /// What is compared with the target.
    measure: Estimate = u.there,
    /// The same less what it is now.
    change: Estimate = u.change,
    crosses_bound: Option<Bound> = u.crossed,
    /// What the lab would assume of a vessel that nothing calibrates.
    assumed_vessel_J_per_K: Option<f64> = u.assumed.map(|v| v.0),
}

fn step(step: &Step) -> (&'static str, Option<&str>) {
    match step {
        Step::Better(key) => ("better", Some(key)),
        Step::Worse(key) => ("worse", Some(key)),
        Step::Perfect => ("perfect", None),
    }
}

/// The whole study.
pub fn loosen_json(l: &Looseness) -> Value {
    document(
        LOOSEN_SCHEMA,
        Headed::of(&l.scenario, l.seed, Answer::of(l)),
    )
}
