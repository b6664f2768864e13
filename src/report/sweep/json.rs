//! A design study for programs.

use super::words::sweep_name;
use crate::design::{
    Beyond, Goal, Limit, NoSplit, Outcome, Split, SplitPoint, Sweep, SweepPoint, VarianceFit, Vary,
    Window,
};
use crate::quantity::Dimension;
use crate::report::json::{estimate, finite, headed, zone};
use crate::scenario::Scenario;
use serde_json::{Value, json};

/// Name and version of the document's layout.
pub const SWEEP_SCHEMA: &str = "joulecast.sweep/1";

/// The whole study.
pub fn sweep_json(
    scenario: &Scenario,
    seed: u64,
    trials: u64,
    sweeps: &[Sweep],
    split: Option<&Result<Split, NoSplit>>,
) -> Value {
    let body = json!({
        "trials_per_point": trials,
        "sweeps": sweeps.iter().map(one).collect::<Vec<_>>(),
        "split": split.and_then(|s| s.as_ref().ok()).map(of_split),
        "no_split": split.and_then(|s| s.as_ref().err()).map(|why| match why {
            NoSplit::NothingCalibrates => json!({ "why": "nothing calibrates" }),
            NoSplit::TooShort { session, needed } => json!({
                "why": "the session is too short", "session_s": session, "needed_s": needed,
            }),
            NoSplit::TooFew { runs, needed } => json!({
                "why": "too few runs", "total_runs": runs, "needed_runs": needed,
            }),
            NoSplit::Impossible => json!({ "why": "no numbers of runs make an experiment" }),
        }),
    });
    headed(SWEEP_SCHEMA, scenario, seed, body)
}

fn unit(vary: &Vary) -> &'static str {
    vary.parameter.dimension().map_or("1", Dimension::base_unit)
}

fn one(s: &Sweep) -> Value {
    let vary = |v: &Vary| {
        json!({
            "path": v.parameter.path,
            "unit": unit(v),
            "now": finite(v.parameter.now),
            "values": v.values,
        })
    };
    json!({
        "name": sweep_name(s),
        "vary": s.vary.iter().map(vary).collect::<Vec<_>>(),
        "largest_change_of_temperature_K": s.cap,
        "goal": s.goal.map(goal_json),
        "window": s.window.as_ref().map(of_window),
        "reached_outside_window_at": s.further().iter().map(|i| s.points[*i].at[0]).collect::<Vec<_>>(),
        "only_some_values_can_be": s.is_scattered(),
        "best": s.best().map(|i| &s.points[i].at),
        "least": s.least().map(|i| &s.points[i].at),
        "fit": s.fit.as_ref().map(of_fit),
        "throughout": s.throughout.iter().map(zone).collect::<Vec<_>>(),
        "points": s.points.iter().map(of_point).collect::<Vec<_>>(),
    })
}

fn of_window(w: &Window) -> Value {
    let end = |i: usize| {
        let beyond = match w.beyond[i] {
            Beyond::NotLookedAt => "not looked at",
            Beyond::Missed => "target missed",
            Beyond::Bound(bound) => bound.label(),
        };
        json!({
            "value": w.ends[i],
            "se": finite(w.se[i]),
            "fineness": w.fineness[i],
            "beyond": beyond,
        })
    };
    json!({ "low": end(0), "high": end(1) })
}

/// What is to be reached.
pub(in crate::report) fn goal_json(goal: Goal) -> Value {
    json!({ "measure": goal.name(), "target": goal.target() })
}

fn of_fit(f: &VarianceFit) -> Value {
    json!({
        "form": "V = floor^2 + sum of part / runs, (J/mol)^2",
        "floor_J_per_mol": estimate(f.floor),
        "parts_J2_per_mol2": f.parts,
        "largest_misfit_of_spread": finite(f.misfit),
    })
}

fn of_point(p: &SweepPoint) -> Value {
    json!({
        "at": p.at,
        "out_of_bounds": p.zones.iter().map(zone).collect::<Vec<_>>(),
        "outcome": p.outcome.as_ref().map(outcome_json),
    })
}

/// What a procedure delivers.
pub(in crate::report) fn outcome_json(o: &Outcome) -> Value {
    json!({
        "result_J_per_mol": finite(o.target),
        "spread_J_per_mol": estimate(o.errors.spread),
        "bias_J_per_mol": estimate(o.errors.bias),
        "rms_J_per_mol": estimate(o.errors.rms),
        "within_95_J_per_mol": estimate(o.errors.within),
        "in_band": o.in_band.map(estimate),
        "student_half_width_J_per_mol": o.student.map(estimate),
        "change_of_temperature_K": o.changes.map(finite),
        "change_in_steps_of_the_reading": o.steps.map(finite),
        "repeats_per_run": estimate(o.repeats),
        "repeats_per_calibration_and_determination": o.repeats_each,
        "excess_ran_out": estimate(o.ran_out),
        "time_s": o.cost.time.and_then(finite),
        "money": o.cost.money.and_then(finite),
        "currency": o.cost.money.and(o.cost.currency).map(|c| c.to_string()),
        "solid_g": o.cost.solid.map(finite),
        "liquid_mL": o.cost.liquid.map(finite),
        "nonfinite_trials": o.errors.nonfinite,
    })
}

fn of_split(s: &Split) -> Value {
    let point = |p: &SplitPoint| {
        json!({
            "calibrations": p.runs[0],
            "determinations": p.runs[1],
            "spread_J_per_mol": estimate(p.spread),
            "more_than_best_J_per_mol": estimate(p.more),
        })
    };
    json!({
        "limit": match s.limit {
            Limit::Total { runs, .. } => json!({ "total_runs": runs }),
            Limit::Session { length, set_up, run } => json!({
                "session_s": length, "set_up_s": set_up, "run_s": run,
            }),
        },
        "legs_with_each_number_of_determinations": s.legs,
        "ways": s.ways,
        "best": point(&s.points[s.best]),
        "goal": s.held.map(|(goal, _)| goal_json(goal)),
        "best_measure": s.held.map(|(_, there)| estimate(there)),
        "equal": s.equal.as_ref().map(point),
        "ideal": s.ideal,
        "fit": s.fit.as_ref().map(of_fit),
        "points": s.points.iter().map(point).collect::<Vec<_>>(),
    })
}
