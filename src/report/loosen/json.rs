//! How loose tolerances may be, for programs.

use crate::design::{Answer, Bound, Looseness, Loosest, Step};
use crate::report::json::{estimate, finite, headed, made, zone};
use crate::report::sweep::json::goal_json;
use serde_json::{Value, json};

/// Name and version of the document's layout.
pub const LOOSEN_SCHEMA: &str = "joulecast.loosen/1";

/// The whole study.
pub fn loosen_json(l: &Looseness) -> Value {
    let body = json!({
        "trials_per_point": l.trials,
        "goal": goal_json(l.goal),
        "now": estimate(l.now),
        "met": l.goal.met(l.now.value),
        "most_of_the_spread": l.made.as_ref().map(made),
        "out_of_bounds": l.beyond.iter().map(zone).collect::<Vec<_>>(),
        "together": loosest(&l.together),
        "tolerances": l.tolerances.iter().map(loosest).collect::<Vec<_>>(),
        "numbers": l.numbers.iter().map(|n| json!({
            "path": n.path,
            "now": finite(n.now),
            "smallest": n.least,
            "smallest_se": finite(n.se),
            "not_told_from_target": n.close,
            "ended_by_bound": n.bound.map(Bound::label),
            "measure_there": estimate(n.there),
            "bias_there": estimate(n.bias),
            "largest_looked_at": finite(n.most),
        })).collect::<Vec<_>>(),
        "instruments": l.instruments.iter().map(|i| json!({
            "key": i.key,
            "paths": i.paths,
            "stated_in_scenario": i.own,
            "exchanges": i.upgrades.iter().map(|u| json!({
                "step": step(&u.step).0,
                "entry": step(&u.step).1,
                "measure": estimate(u.there),
                "change": estimate(u.change),
                "crosses_bound": u.crossed.map(Bound::label),
                "assumed_vessel_J_per_K": u.assumed.map(|v| finite(v.0)),
            })).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
    });
    headed(LOOSEN_SCHEMA, &l.scenario, l.seed, body)
}

fn step(step: &Step) -> (&'static str, Option<&str>) {
    match step {
        Step::Better(key) => ("better", Some(key)),
        Step::Worse(key) => ("worse", Some(key)),
        Step::Perfect => ("perfect", None),
    }
}

fn keys(pairs: &[(String, String)]) -> Value {
    let each = pairs
        .iter()
        .map(|(key, text)| json!({ "key": key, "value": text }));
    each.collect()
}

fn loosest(x: &Loosest) -> Value {
    let (kind, factor, perfect) = match x.answer {
        Answer::Factor(f) => ("factor", estimate(f), Value::Null),
        Answer::Any(f) => ("any", json!({ "value": f, "se": null }), Value::Null),
        Answer::Never(e) => ("never", Value::Null, estimate(e)),
    };
    json!({
        "source": x.source.map(|s| s.key),
        "answer": kind,
        "factor": factor,
        "ended_by_bound": x.bound.map(Bound::label),
        "measure_if_perfect": perfect,
        "measure_if_doubled": estimate(x.doubled),
        "doubled_beyond_bound": x.doubled_beyond.map(Bound::label),
        "bias_at_answer": estimate(x.bias),
        "now": keys(&x.now),
        "loosest": keys(&x.set),
    })
}
