//! A comparison as JSON and CSV.

use super::text::all_cautions;
use crate::design::{Compared, Comparison, Cost, Delivered, Difference};
use crate::report::json::{estimate, finite, zone};
use crate::report::problems::problems_json;
use crate::report::records::{finished, number, records};
use crate::report::words::FIRST_CAUTION;
use crate::scenario::Leg;
use crate::stats::Estimate;
use serde_json::{Value, json};

/// Name and version of the document's form.
pub const COMPARE_SCHEMA: &str = "joulecast.compare/1";

/// The whole comparison; fractions of each contender's true value, all numbers raw, null where there is none.
pub fn compare_json(c: &Comparison) -> Value {
    let mut cautions = vec![FIRST_CAUTION.to_owned()];
    cautions.extend(all_cautions(c).into_iter().map(|(told, _)| told));
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

fn letter(i: usize) -> String {
    Comparison::letter(i).to_string()
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
        "warnings": problems_json(&s.text, &s.warnings),
        "beyond": d.zones.iter().map(zone).collect::<Vec<_>>(),
        "calibration": leg(&s.calibration, o.rises[0], o.steps[0]),
        "determination": leg(&s.determination, o.rises[1], o.steps[1]),
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

fn leg(leg: &Leg, rise: f64, steps: f64) -> Value {
    if leg.runs == 0 {
        return Value::Null;
    }
    json!({
        "what": leg.what(),
        "reaction": leg.reaction.key,
        "runs": leg.runs,
        "mass_g": leg.mass.0,
        "change_of_temperature_K": finite(rise),
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

/// One contender a line, units in the header.
///
/// # Errors
/// If a record cannot be written, which memory does not refuse.
pub fn compare_csv(c: &Comparison, provenance: &str) -> Result<Vec<u8>, csv::Error> {
    let mut out = records(provenance);
    let columns = columns(c.groups);
    let words = ["letter", "name", "what", "possible", "reason", "digest"];
    let heads = columns.iter().map(|(head, _)| head.clone());
    let more = ["most_of_the_spread", "largest_bias_of", "beyond"];
    let all = words.map(str::to_owned).into_iter().chain(heads);
    out.write_record(all.chain(more.map(str::to_owned)))?;
    for (i, x) in c.contenders.iter().enumerate() {
        let d = x.result.as_ref().ok();
        let reason = x.result.as_ref().err();
        let words = [
            letter(i),
            x.name.clone(),
            x.what.clone(),
            d.is_some().to_string(),
            reason.map_or(String::new(), |z| z.words.clone()),
            d.map_or(String::new(), |d| d.scenario.digest.clone()),
        ];
        let numbers = columns
            .iter()
            .map(|(_, of)| d.map_or(String::new(), |d| number(of(d))));
        let more = [
            d.and_then(|d| d.causes.spread.first())
                .map_or(String::new(), |(s, _)| s.key.to_owned()),
            d.and_then(|d| d.causes.bias)
                .map_or(String::new(), |(s, _)| s.key.to_owned()),
            d.map_or(String::new(), |d| {
                let all: Vec<&str> = d.zones.iter().map(|z| z.bound.label()).collect();
                all.join("; ")
            }),
        ];
        out.write_record(words.into_iter().chain(numbers).chain(more))?;
    }
    finished(out)
}

type Of = Box<dyn Fn(&Delivered) -> f64>;

fn columns(groups: u32) -> Vec<(String, Of)> {
    let mut all: Vec<(String, Of)> = Vec::new();
    let mut one = |head: &str, of: Of| all.push((head.to_owned(), of));
    one("change_calibration_K", Box::new(|d| d.outcome.rises[0]));
    one("steps_calibration", Box::new(|d| d.outcome.steps[0]));
    one("change_determination_K", Box::new(|d| d.outcome.rises[1]));
    one("steps_determination", Box::new(|d| d.outcome.steps[1]));
    one("true_value_J_per_mol", Box::new(|d| d.outcome.target));
    let mut both = |head: &str, of: fn(&Delivered) -> Estimate| {
        one(
            &format!("{head}_percent"),
            Box::new(move |d| 100.0 * of(d).value),
        );
        one(
            &format!("{head}_se_percent"),
            Box::new(move |d| 100.0 * of(d).se),
        );
    };
    both("bias_in_size", |d| d.in_size(d.outcome.errors.bias));
    both("spread", |d| d.relative(d.outcome.errors.spread));
    both("within_95", Delivered::within);
    both("rms_error", |d| d.relative(d.outcome.errors.rms));
    both("spread_floor", |d| d.relative(d.causes.floor));
    both("ran_out", |d| d.outcome.ran_out);
    both("repeats_per_run", |d| d.outcome.repeats);
    both("bias_less_first", |d| d.against.bias.0);
    both("size_of_bias_less_first", |d| d.against.off.0);
    both("spread_less_first", |d| d.against.spread.0);
    both("within_95_less_first", |d| d.against.within.0);
    both("rms_error_less_first", |d| d.against.rms.0);
    one("tabulated_u_percent", Box::new(|d| 100.0 * d.literature()));
    one("place", Box::new(|d| d.place as f64));
    for (whose, n) in [("group", 1.0), ("section", f64::from(groups))] {
        let mut of = |head: &str, of: fn(&Cost) -> f64| {
            one(
                &format!("{whose}_{head}"),
                Box::new(move |d| n * of(&d.outcome.cost)),
            );
        };
        of("time_s", |c| c.time.unwrap_or(f64::NAN));
        of("money", |c| c.money.unwrap_or(f64::NAN));
        of("solid_calibration_g", |c| c.solid[0]);
        of("solid_determination_g", |c| c.solid[1]);
        of("liquid_calibration_mL", |c| c.liquid[0]);
        of("liquid_determination_mL", |c| c.liquid[1]);
    }
    all
}
