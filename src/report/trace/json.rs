//! A record as JSON, and as the file that `evaluate` reads.

use crate::evaluate::{MixedAt, Traced};
use crate::report::json::{finite, headed};
use serde_json::{Value, json};
use std::fmt::Write;

/// Name and version of the document's form.
const SCHEMA: &str = "joulecast.trace/1";

/// Everything that was made of a record.
pub fn trace_json(t: &Traced, seed: u64) -> Value {
    let ways = t.ways.iter().map(|w| {
        let found = w.found.as_ref().ok();
        json!({
            "reduction": w.way.word(),
            "change_of_temperature_K": found.map(|r| r.change),
            "u_K": finite(w.u),
            "mixing_C": found.map(|r| r.mixing),
            "taken_at_s": found.and_then(|r| finite(r.moment)),
            "why_not": w.found.as_ref().err(),
        })
    });
    let lines = t.lines.iter().flatten().map(|l| {
        json!({
            "n": l.n,
            "from_s": l.ends[0],
            "to_s": l.ends[1],
            "slope_K_per_s": l.slope[0],
            "slope_u_K_per_s": l.slope[1],
            "scatter_K": l.scatter,
        })
    });
    let body = json!({
        "leg": t.scenario.legs()[t.leg].title(),
        "file": t.measured.file,
        "simulated": t.simulated.is_some(),
        "mixed_at_s": t.mixed_at.0,
        "mixed_at_is_found": t.mixed_at.1 == MixedAt::Found,
        "settle_s": t.settle,
        "reductions": ways.collect::<Vec<_>>(),
        "lines": lines.collect::<Vec<_>>(),
        "leak_per_s": t.leak.and_then(|l| finite(l[0])),
        "leak_u_per_s": t.leak.and_then(|l| finite(l[1])),
        "stated_noise_K": t.stated,
        "true_change_of_temperature_K": t.simulated.as_ref().map(|s| s.true_change),
        "findings": t.findings,
    });
    headed(SCHEMA, &t.scenario, seed, body)
}

/// The record as a file: times from mixing, which a row of its own marks.
pub fn record_csv(t: &Traced) -> String {
    let mut out = String::from("time [s],temperature [C],mixed\n");
    let mut marked = false;
    for (time, temperature) in t.measured.times.iter().zip(&t.measured.temperatures) {
        if !marked && *time > t.mixed_at.0 {
            let _ = writeln!(out, "{},,x", t.mixed_at.0);
            marked = true;
        }
        let _ = writeln!(out, "{time},{temperature},");
    }
    out
}
