//! A ranking as JSON and CSV.

use crate::rank::{GroupEffects, GroupShare, Ranking, Share, State};
use crate::report::json::{estimate, finite, headed};
use crate::stats::Validity;
use serde_json::{Value, json};

/// Name and version of the document's form.
pub const RANK_SCHEMA: &str = "joulecast.rank/1";

/// The whole ranking; energies in J/mol, shares from 0 to 1, all numbers raw, null where there is none.
pub fn rank_json(r: &Ranking) -> Value {
    let mut document = json!({
        "trials": r.trials,
        "nonfinite_trials": r.nonfinite,
        "true_value_J_per_mol": r.target,
        "now": state(&r.now),
        "spread_floor_J_per_mol": estimate(r.floor),
        "sum_of_first_order_shares": share(&r.sums[0]),
        "sum_of_total_shares": share(&r.sums[1]),
    });
    let sources: Vec<Value> = r
        .sources
        .iter()
        .map(|x| {
            json!({
                "source": x.source.key,
                "family": x.source.family.name(),
                "scope": x.source.scope.name(),
                "one_sided": x.one_sided,
                "rank": x.rank,
                "first_order": share(&x.share.first),
                "total": share(&x.share.total),
                "better": better(&x.better),
            })
        })
        .collect();
    let families: Vec<Value> = r
        .families
        .iter()
        .map(|x| {
            json!({
                "family": x.family.name(),
                "rank": x.rank,
                "first_order": share(&x.share.first),
                "total": share(&x.share.total),
                "better": better(&x.better),
            })
        })
        .collect();
    document["sources"] = Value::Array(sources);
    document["families"] = Value::Array(families);
    document["scopes"] = r.scopes.iter().map(scope).collect();
    document["sides"] = r
        .sides
        .iter()
        .map(|x| {
            let side = |s: &crate::rank::Side| {
                json!({ "bias_J_per_mol": estimate(s.bias), "spread_J_per_mol": estimate(s.spread) })
            };
            json!({
                "source": x.source.key,
                "through_calibration": side(&x.calibration),
                "through_determination": side(&x.determination),
                "through_both": side(&x.both),
                "cancels": finite(x.cancels),
            })
        })
        .collect();
    document["linear_budget"] = budget(r);
    headed(RANK_SCHEMA, &r.scenario, r.seed, document)
}

fn budget(r: &Ranking) -> Value {
    let b = &r.budget;
    let verdict = |v: &Validity| {
        json!({
            "delta_J_per_mol": finite(v.delta),
            "d_low_J_per_mol": finite(v.d_low),
            "d_high_J_per_mol": finite(v.d_high),
            "valid": v.valid,
        })
    };
    let mut all = crate::report::budget_json(b);
    all["u_if_constant_independent_J_per_mol"] = json!(b.u_if_independent);
    all["valid_to_two_digits"] = verdict(&r.validity[0]);
    all["valid_to_one_digit"] = verdict(&r.validity[1]);
    all["bias_beside_budget_J_per_mol"] = json!(finite(r.beside_budget));
    all
}

fn share(s: &Share) -> Value {
    json!({
        "value": finite(s.value),
        "se": finite(s.se),
        "low": finite(s.low),
        "high": finite(s.high),
    })
}

fn scope(s: &GroupShare) -> Value {
    json!({ "scope": s.name, "first_order": share(&s.first), "total": share(&s.total) })
}

fn state(s: &State) -> Value {
    json!({
        "bias_J_per_mol": estimate(s.mean),
        "spread_J_per_mol": estimate(s.sd),
        "rms_error_J_per_mol": estimate(s.rms),
    })
}

fn better(e: &GroupEffects) -> Value {
    json!({
        "perfect": state(&e.effects[0].treated),
        "gain_if_perfect": state(&e.effects[0].gain),
        "halved": state(&e.effects[1].treated),
        "gain_if_halved": state(&e.effects[1].gain),
    })
}
