//! Measured runs and their result as JSON: numbers raw, null where there is none.

use crate::evaluate::{Evaluated, MixedAt, of_leg};
use crate::report::budget::data::budget_json;
use crate::report::json::{finite, headed};
use serde_json::{Value, json};

/// Name and version of the document's form.
const SCHEMA: &str = "joulecast.evaluate/1";

/// The whole evaluation.
pub fn evaluate_json(e: &Evaluated) -> Value {
    let (r, a) = (&e.stated, &e.agreement);
    let legs = e.scenario.legs();
    let runs = (0..legs.len()).flat_map(|at| {
        let all = of_leg(&e.measured.runs, at)
            .zip(e.results(at))
            .zip(&e.u_runs[at]);
        let (value, u_key) = match at {
            0 => ("constant_J_per_K", "u_alone_J_per_K"),
            _ => ("value_J_per_mol", "u_alone_J_per_mol"),
        };
        let name = legs[at].title();
        all.map(move |((run, result), u)| {
            let mut own = json!({
                "run": run.label,
                "leg": name,
                "remark": run.remark,
                "solid_g": run.seen.solid.0,
                "liquid_g": run.seen.liquid.0,
                "change_of_temperature_K": run.seen.change.0,
                "mixing_C": run.seen.mixing.0,
                "mixed_at_s": run.record.as_ref().map(|r| r.mixed_at.0),
                "mixed_at_is_found": run.record.as_ref().map(|r| r.mixed_at.1 == MixedAt::Found),
            });
            own[value] = json!(finite(*result));
            own[u_key] = json!(finite(*u));
            own
        })
    });
    let consistency = e.consistency.iter().enumerate().filter_map(|(at, c)| {
        let c = c.as_ref()?;
        Some(json!({
            "leg": legs[at].title(),
            "n": c.n,
            "observed_sd": c.observed,
            "explained_sd": c.explained,
            "chi_square": c.chi_square,
            "percentile": c.percentile,
            "birge_ratio": c.birge,
            "outlier": c.outlier.map(|o| json!({
                "run": of_leg(&e.measured.runs, at).nth(o.at).map(|r| r.label.clone()),
                "grubbs": o.g,
                "p": o.p,
            })),
        }))
    });
    let left_out = e.measured.left_out.iter();
    let body = json!({
        "trials": e.trials,
        "result_J_per_mol": r.value,
        "u_J_per_mol": r.u,
        "low_J_per_mol": r.low,
        "high_J_per_mol": r.high,
        "probability": r.probability,
        "coverage_factor": r.factor(),
        "evaluated_J_per_mol": e.evaluation.enthalpy,
        "run_effects": if e.by_scatter() { "scatter" } else { "stated" },
        "linear_half_width_J_per_mol": e.linear,
        "linear_is_valid": e.linear_is_good,
        "constant_J_per_K": finite(e.evaluation.constant),
        "constant_u_J_per_K": e.u_constant.and_then(|u| finite(u.value)),
        "quoted_at_C": e.scenario.target.quote_at.0,
        "runs": runs.collect::<Vec<_>>(),
        "left_out": left_out.map(|l| json!({
            "run": l.label,
            "leg": legs[l.leg].title(),
            "remark": l.remark,
        })).collect::<Vec<_>>(),
        "assumed": e.measured.notes,
        "agreement": {
            "accepted_J_per_mol": a.accepted,
            "accepted_u_J_per_mol": a.accepted_u,
            "difference_J_per_mol": a.difference,
            "u_of_difference_J_per_mol": a.u,
            "normalised_difference": a.normalised,
            "zeta": finite(a.zeta),
            "probability": finite(a.probability),
            "significant_from_J_per_mol": finite(a.significant),
        },
        "consistency": consistency.collect::<Vec<_>>(),
        "without_remarks": e.without.as_ref().map(|w| json!({
            "left_out": w.runs.iter().map(|r| &r.0).collect::<Vec<_>>(),
            "result_J_per_mol": w.value,
            "u_J_per_mol": w.u,
        })),
        "changes": e.changes.iter().map(|c| json!({
            "change": c.words,
            "u_ratio": finite(c.ratio),
        })).collect::<Vec<_>>(),
        "linear_budget": budget_json(&e.budget),
    });
    headed(SCHEMA, &e.scenario, e.seed, body)
}
