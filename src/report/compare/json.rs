//! A comparison as JSON.

use super::cells::letter;
use super::text::all_cautions;
use crate::design::{Compared, Comparison, Cost, Delivered, Difference};
use crate::report::document::DEFERENCE;
use crate::report::json::{estimate, finite, zone};
use crate::report::problems::located;
use crate::scenario::Leg;
use crate::stats::Estimate;
use serde_json::{Value, json};

/// Name and version of the document's form.
pub const COMPARE_SCHEMA: &str = "joulecast.compare/1";

/// The whole comparison; fractions of each contender's true value, all numbers raw, null where there is none.
pub fn compare_json(c: &Comparison) -> Value {
    let mut cautions = vec![DEFERENCE.to_owned()];
    cautions.extend(
        all_cautions(c)
            .into_iter()
            .map(|(told, _)| told.to_string()),
    );
    let contenders: Vec<Value> = c
        .contenders
        .iter()
        .enumerate()
        .map(|(i, x)| contender(i, x, c.groups))
        .collect();
    json!({
        "schema": COMPARE_SCHEMA,
        "version": env!("CARGO_PKG_VERSION"),
        "seed": c.seed,
        "trials": c.trials,
        "groups_of_a_section": c.groups,
        "cap_K": c.cap,
        "cautions": cautions,
        "order": c.by_place().iter().map(|(i, _)| letter(*i)).collect::<Vec<_>>(),
        "contenders": contenders,
    })
}

fn contender(i: usize, x: &Compared, groups: u32) -> Value {
    let mut all = json!({
        "letter": letter(i),
        "name": x.name,
        "what": x.what,
        "possible": x.result.is_ok(),
        "reason": x.result.as_ref().err().map(zone),
    });
    let Ok(d) = &x.result else {
        return all;
    };
    if let (Value::Object(all), Value::Object(more)) = (&mut all, delivered(d, groups)) {
        all.extend(more);
    }
    all
}

fn delivered(d: &Delivered, groups: u32) -> Value {
    let (s, o) = (&d.scenario, &d.outcome);
    let rel = |e: Estimate| estimate(d.relative(e));
    let first = |at: usize| {
        let (source, share) = d.causes.spread.get(at)?;
        Some(json!({
            "source": source.key,
            "total_share": { "value": finite(share.value), "low": finite(share.low), "high": finite(share.high) },
        }))
    };
    json!({
        "scenario": { "title": s.title, "digest": s.digest },
        "cautions": s.cautions.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "warnings": located(&s.text, &s.warnings),
        "beyond": d.zones.iter().map(zone).collect::<Vec<_>>(),
        "calibration": leg(&s.calibration, o.changes[0], o.steps[0]),
        "determination": leg(&s.determination, o.changes[1], o.steps[1]),
        "true_value_J_per_mol": o.target,
        "nonfinite_trials": o.errors.nonfinite,
        "bias_in_size": estimate(d.in_size(o.errors.bias)),
        "spread": rel(o.errors.spread),
        "within_95": rel(o.errors.within),
        "rms_error": rel(o.errors.rms),
        "spread_floor": rel(d.causes.floor),
        "tabulated_u": finite(d.literature()),
        "place": d.place,
        "most_of_the_spread": (0..d.causes.spread.len()).filter_map(first).collect::<Vec<_>>(),
        "largest_bias": d.causes.bias.map(|(source, e)| json!({
            "source": source.key,
            "bias_in_size": estimate(d.in_size(e)),
        })),
        "ran_out_share": estimate(o.ran_out),
        "repeats_per_run": estimate(o.repeats),
        "cost_of_a_group": cost(&o.cost, 1.0),
        "cost_of_a_section": cost(&o.cost, f64::from(groups)),
        "less_the_first": {
            "bias_in_size": estimate(d.against.bias.0),
            "size_of_bias": difference(d.against.off),
            "spread": difference(d.against.spread),
            "within_95": difference(d.against.within),
            "rms_error": difference(d.against.rms),
        },
    })
}

fn leg(leg: &Leg, change: f64, steps: f64) -> Value {
    if leg.runs == 0 {
        return Value::Null;
    }
    json!({
        "what": leg.what(),
        "reaction": leg.reaction.key,
        "runs": leg.runs,
        "mass_g": leg.mass.0,
        "change_of_temperature_K": finite(change),
        "in_steps_of_the_thermometer": finite(steps),
    })
}

fn difference(d: Difference) -> Value {
    json!({
        "value": finite(d.0.value),
        "se": finite(d.0.se),
        "verdict": d.verdict().words(),
    })
}

fn cost(c: &Cost, groups: f64) -> Value {
    json!({
        "time_s": c.time.map(|t| groups * t),
        "money": c.money.map(|m| groups * m),
        "currency": c.money.and(c.currency).map(|x| x.to_string()),
        "solid_calibration_g": groups * c.solid[0],
        "solid_determination_g": groups * c.solid[1],
        "liquid_calibration_mL": groups * c.liquid[0],
        "liquid_determination_mL": groups * c.liquid[1],
    })
}
