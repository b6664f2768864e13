//! A record as JSON.

use crate::evaluate::{Fitted, MixedAt, Traced, WayFound};
use crate::report::json::{Headed, document, part};
use serde_json::Value;

/// Name and version of the document's form.
pub const TRACE_SCHEMA: &str = "joulecast.trace/1";

part! {
    /// A record with every reduction of it.
    Answer<'a>(t: &'a Traced):
    leg: String = t.scenario.legs()[t.leg].title().to_owned(),
    file: &'a str = &t.measured.file,
    simulated: bool = t.simulated.is_some(),
    /// Moment of mixing in the record's own time.
    mixed_at_s: f64 = t.mixed_at.0,
    mixed_at_is_found: bool = t.mixed_at.1 == MixedAt::Found,
    /// Where the line behind begins, from mixing.
    settle_s: f64 = t.settle,
    reductions: Vec<Reduced<'a>> = t.ways.iter().map(|w| Reduced::of(t, w)).collect(),
    lines: Vec<Line> = t.lines.iter().flatten().map(Line::of).collect(),
    leak_per_s: Option<f64> = t.leak.map(|l| l[0]),
    leak_u_per_s: Option<f64> = t.leak.map(|l| l[1]),
    /// Standard deviation of a reading as the scenario states noise and last digit.
    stated_noise_K: f64 = t.stated,
    true_change_of_temperature_K: Option<f64> = t.simulated.as_ref().map(|s| s.true_change),
    findings: &'a [String] = &t.findings,
}

part! {
    /// A reduction, or why this record does not allow it.
    Reduced<'a>(t: &'a Traced, w: &'a WayFound):
    reduction: &'static str = w.way.word(),
    change_of_temperature_K: Option<f64> = w.found.as_ref().ok().map(|r| r.change),
    /// Standard uncertainty by noise and last digit.
    u_K: f64 = w.u,
    /// Change of temperature less the true one, of a simulated record.
    less_true_K: Option<f64> = t.simulated.as_ref().zip(w.found.as_ref().ok()).map(|(s, r)| r.change - s.true_change),
    mixing_C: Option<f64> = w.found.as_ref().ok().map(|r| r.mixing),
    taken_at_s: Option<f64> = w.found.as_ref().ok().map(|r| r.moment),
    why_not: Option<&'a str> = w.found.as_ref().err().map(String::as_str),
}

part! {
    /// A straight line through a period.
    Line(l: &Fitted):
    n: usize = l.n,
    from_s: f64 = l.ends[0],
    to_s: f64 = l.ends[1],
    slope_K_per_s: f64 = l.slope[0],
    slope_u_K_per_s: f64 = l.slope[1],
    scatter_K: f64 = l.scatter,
}

/// Everything that was made of a record.
pub fn trace_json(t: &Traced, seed: u64) -> Value {
    document(TRACE_SCHEMA, Headed::of(&t.scenario, seed, Answer::of(t)))
}
