//! A forecast as JSON, and its sampled results as CSV.

use crate::forecast::{ClaimCoverage, Ended, Extras, Forecast};
use crate::report::budget::data::budget_json;
use crate::report::json::{estimate, finite, headed};
use crate::report::records::{finished, number, records};
use crate::scenario::{Heat, Scenario};
use crate::stats::{Interval, IntervalKind, StopRule, Summary};
use serde_json::{Value, json};

/// Name and version of the document's form.
pub const SCHEMA: &str = "joulecast.forecast/1";

/// The whole forecast; energies in J/mol, all numbers raw (unrounded), null where there is none.
pub fn forecast_json(f: &Forecast, extras: &Extras) -> Value {
    let s = &f.scenario;
    let body = json!({
        "trials": f.trials,
        "nonphysical_trials": f.nonphysical,
        "wrong_sign_trials": f.wrong_sign,
        "scenario": {
            "calibration": calibration(s),
            "determination": { "reaction": s.determination.reaction.key, "runs": s.determination.runs },
            "cycle": s.is_cycle().then_some(&s.cycle.text),
        },
        "accepted_J_per_mol": f.target,
        "accepted_u_J_per_mol": s.tabulated_u().0,
        "compared_u_J_per_mol": estimate(f.compared()),
        "tabulated_J_per_mol": s.tabulated().0,
        "quoted_at_C": s.target.quote_at.0,
        "result_J_per_mol": summary(&f.value.summary, &f.value.interval),
        "bias_J_per_mol": estimate(f.bias),
        "spread_J_per_mol": estimate(f.spread),
        "rms_error_J_per_mol": estimate(f.rms),
        "within_95_percent_J_per_mol": estimate(f.within),
        "ended": ended(f.ended),
        "band": f.in_band.map(|p| json!({
            "half_width": s.target.band,
            "about": if f.beside.medium.is_some() { "true value in the medium" } else { "accepted value" },
            "share_within": estimate(p),
        })),
        "calibration_constant_J_per_K": summary(&f.constant, &f.constant.symmetric),
        "calibration_change_of_temperature_K": summary(&f.changes[0], &f.changes[0].symmetric),
        "determination_change_of_temperature_K": summary(&f.changes[1], &f.changes[1].symmetric),
        "claims": {
            "scatter": f.scatter_claim.map(claim),
            "linear": f.linear_claim.map(claim),
        },
        "excess": excess(f),
        "cycle_legs": cycle_legs(f),
        "medium": medium(f),
        "negative_constants": f.beside.negative_constants,
        "linear_budget": budget_json(&f.budget),
        "share_of_variance_averaged_by_more_runs": f.averaged.map(estimate),
        "causes": causes(f),
        "repeats": repeats(f),
        "reductions": reductions(extras),
        "class": class(extras),
    });
    headed(SCHEMA, s, f.seed, body)
}

/// What should be in excess.
fn excess(f: &Forecast) -> Value {
    json!(f.beside.excess.as_ref().map(|e| json!({
        "per_mole_of": e.named,
        "planned_margin": finite(e.planned),
        "margin": summary(&e.margin, &e.margin.symmetric),
        "share_of_runs_where_it_runs_out": estimate(e.ran_out),
        "linear_budget_valid": !e.kink(),
    })))
}

/// Legs of a cycle.
fn cycle_legs(f: &Forecast) -> Value {
    json!(
        f.beside
            .legs
            .iter()
            .map(|l| json!({
                "leg": l.name,
                "reaction": l.what,
                "coefficient": l.coefficient,
                "change_of_temperature_K": summary(&l.change, &l.change.symmetric),
                "value_J_per_mol": summary(&l.value, &l.value.symmetric),
            }))
            .collect::<Vec<_>>()
    )
}

/// Against the table.
fn medium(f: &Forecast) -> Value {
    json!(f.beside.medium.map(|m| json!({
        "tabulated_J_per_mol": m.tabulated,
        "true_value_less_tabulated_J_per_mol": summary(&m.shift, &m.shift.symmetric),
        "result_less_tabulated_J_per_mol": summary(&m.away, &m.away.symmetric),
        "share_within_band_about_tabulated": m.in_band.map(estimate),
    })))
}

/// What moves the mean.
fn causes(f: &Forecast) -> Value {
    json!(
        f.causes
            .iter()
            .map(|c| json!({
                "source": c.agent.key(),
                "scope": c.agent.scope(),
                "bias_J_per_mol": estimate(c.bias),
                "spread_without_over_with": c.spread_without,
            }))
            .collect::<Vec<_>>()
    )
}

/// Inspection and repeats.
fn repeats(f: &Forecast) -> Value {
    json!(f.repeats.map(|r| json!({
        "for_each_calibration": estimate(r.calibration),
        "for_each_determination": estimate(r.determination),
        "residue_share": estimate(r.residue),
        "residue_share_without_rule": estimate(r.residue_without),
        "incomplete_share": estimate(r.incomplete),
        "incomplete_share_without_rule": estimate(r.incomplete_without),
        "shift_J_per_mol": estimate(r.shift),
        "extra_time_s": r.cost.time,
        "planned_time_s": r.cost.planned_time,
        "extra_solid_g": r.cost.solid,
        "extra_liquid_mL": r.cost.liquid,
        "extra_cost": r.cost.money,
        "currency": f.scenario.times.currency.map(|c| c.to_string()),
    })))
}

/// All reductions on the same records.
fn reductions(extras: &Extras) -> Value {
    json!(
        extras
            .ways
            .iter()
            .map(|w| json!({
                "reduction": w.way.word(),
                "bias_J_per_mol": estimate(w.bias),
                "spread_J_per_mol": estimate(w.spread),
                "rms_error_J_per_mol": estimate(w.rms),
            }))
            .collect::<Vec<_>>()
    )
}

/// A class of groups.
fn class(extras: &Extras) -> Value {
    json!(extras.class.map(|c| json!({
        "groups": c.groups,
        "classes": c.classes,
        "scatter_J_per_mol": estimate(c.scatter),
        "mean_bias_J_per_mol": estimate(c.bias),
        "mean_spread_J_per_mol": estimate(c.mean_spread),
        "mean_interval_J_per_mol": {
            "low": estimate(c.mean_interval.low),
            "high": estimate(c.mean_interval.high),
        },
        "linear_claim_coverage_5_to_95_percent": c.coverage.map(|(l, h)| [l, h]),
    })))
}

/// How the vessel is calibrated.
fn calibration(s: &Scenario) -> Value {
    let leg = &s.calibration;
    let kind = match (leg.heat, s.lab.assumed_vessel) {
        (_, Some(_)) => "none",
        (Heat::Reaction, None) => "reaction",
        (Heat::Electrical(_), None) => "electrical",
        (Heat::HotWater { .. }, None) => "hot and cold water",
    };
    json!({
        "kind": kind,
        "reaction": (kind == "reaction").then_some(&leg.reaction.key),
        "runs": leg.runs,
        "assumed_vessel_J_per_K": s.lab.assumed_vessel.map(|v| v.0),
    })
}

fn claim(c: ClaimCoverage) -> Value {
    json!({
        "stated_probability": 0.95,
        "coverage": estimate(c.coverage),
        "mean_half_width_J_per_mol": estimate(c.half_width),
        "groups": c.groups,
    })
}

fn summary(s: &Summary, interval: &Interval) -> Value {
    json!({
        "n": s.n,
        "nonfinite": s.nonfinite,
        "mean": estimate(s.mean),
        "median": estimate(s.median),
        "sd": estimate(s.sd),
        "skewness": estimate(s.skewness),
        "excess_kurtosis": estimate(s.excess_kurtosis),
        "interval": {
            "probability": interval.probability,
            "kind": match interval.kind {
                IntervalKind::Symmetric => "symmetric",
                IntervalKind::Shortest => "shortest",
            },
            "low": estimate(interval.low),
            "high": estimate(interval.high),
        },
        "minimum": finite(s.minimum),
        "maximum": finite(s.maximum),
    })
}

/// All kept trials, one a line; a comment line says where they come from.
pub fn samples_csv(f: &Forecast, provenance: &str) -> Result<Vec<u8>, csv::Error> {
    let mut writer = records(provenance);
    writer.write_record(std::iter::once("trial").chain(f.names.iter().map(String::as_str)))?;
    for trial in 0..f.columns.first().map_or(0, Vec::len) {
        let values = f.columns.iter().map(|c| number(c[trial]));
        writer.write_record(std::iter::once(trial.to_string()).chain(values))?;
    }
    finished(writer)
}

/// Why the trials ended, by which rule.
fn ended(ended: Ended) -> Value {
    let rule = |rule: StopRule| match rule {
        StopRule::Digits(digits) => json!({ "digits": digits }),
        StopRule::Relative(part) => json!({ "errors_over_spread": part }),
    };
    match ended {
        Ended::Asked => json!({ "by": "number asked for" }),
        Ended::Settled(r) => json!({ "by": "rule", "rule": rule(r) }),
        Ended::Most(r) => json!({ "by": "largest number", "rule": rule(r) }),
    }
}
