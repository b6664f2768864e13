//! How loose tolerances may be, for programs.

use crate::design::{Answer, Bound, Looseness, Loosest, Step};
use crate::report::json::{estimate, finite, made, zone};
use crate::report::records::{finished, number, records};
use crate::report::sweep::json::goal_json;
use serde_json::{Value, json};

/// Name and version of the document's layout.
pub const LOOSEN_SCHEMA: &str = "joulecast.loosen/1";

/// The whole study.
pub fn loosen_json(l: &Looseness) -> Value {
    json!({
        "schema": LOOSEN_SCHEMA,
        "version": env!("CARGO_PKG_VERSION"),
        "scenario": { "title": l.scenario.title, "digest": l.scenario.digest },
        "seed": l.seed,
        "trials_per_point": l.trials,
        "cautions": l.scenario.cautions.iter().map(ToString::to_string).collect::<Vec<_>>(),
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
    })
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

/// One row for each tolerance, and one for each exchange of an instrument.
///
/// # Errors
/// If a record cannot be written, which memory does not refuse.
pub fn loosen_csv(
    l: &Looseness,
    provenance: &str,
) -> Result<Vec<(&'static str, Vec<u8>)>, csv::Error> {
    let mut tolerances = records(provenance);
    tolerances.write_record([
        "source",
        "answer",
        "factor",
        "factor_se",
        "ended_by_bound",
        "measure_if_perfect",
        "measure_if_doubled",
        "measure_if_doubled_se",
        "doubled_beyond_bound",
        "bias_at_answer",
        "bias_at_answer_se",
        "key",
        "now",
        "loosest",
    ])?;
    for x in std::iter::once(&l.together).chain(&l.tolerances) {
        let (kind, factor, perfect) = match x.answer {
            Answer::Factor(f) => ("factor", [f.value, f.se], f64::NAN),
            Answer::Any(f) => ("any", [f, f64::NAN], f64::NAN),
            Answer::Never(e) => ("never", [f64::NAN; 2], e.value),
        };
        let rows = x.now.len().max(x.set.len()).max(1);
        for i in 0..rows {
            let text =
                |pairs: &[(String, String)]| pairs.get(i).map_or(String::new(), |p| p.1.clone());
            tolerances.write_record([
                x.source.map_or("all together", |s| s.key).to_owned(),
                kind.to_owned(),
                number(factor[0]),
                number(factor[1]),
                x.bound.map_or("", Bound::label).to_owned(),
                number(perfect),
                number(x.doubled.value),
                number(x.doubled.se),
                x.doubled_beyond.map_or("", Bound::label).to_owned(),
                number(x.bias.value),
                number(x.bias.se),
                x.now
                    .get(i)
                    .or(x.set.get(i))
                    .map_or(String::new(), |p| p.0.clone()),
                text(&x.now),
                text(&x.set),
            ])?;
        }
    }
    let mut instruments = records(provenance);
    instruments.write_record([
        "instrument",
        "step",
        "entry",
        "measure",
        "measure_se",
        "change",
        "change_se",
    ])?;
    for i in &l.instruments {
        for u in &i.upgrades {
            let (kind, entry) = step(&u.step);
            instruments.write_record([
                i.key.clone(),
                kind.to_owned(),
                entry.unwrap_or("").to_owned(),
                number(u.there.value),
                number(u.there.se),
                number(u.change.value),
                number(u.change.se),
            ])?;
        }
    }
    Ok(vec![
        ("tolerances.csv", finished(tolerances)?),
        ("instruments.csv", finished(instruments)?),
    ])
}
