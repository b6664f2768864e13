//! Names of what a sweep varies, and its values in words.

use crate::design::{Goal, Outcome, Sweep, SweepPoint, Vary};
use crate::report::words::{in_a_row, leg_of};
use crate::scenario::{SOURCES, Source, schema};

/// The error source that a varied number belongs to, if it is the size of one.
pub(super) fn source_of(vary: &Vary) -> Option<&'static Source> {
    let tail = schema::in_leg(bare(vary)).1;
    SOURCES.iter().find(|s| s.key == tail)
}

/// The key that is varied, be it its standard uncertainty.
pub(super) fn bare(vary: &Vary) -> &str {
    let path = vary.parameter.path.trim_start_matches("u(");
    path.trim_end_matches(')')
}

/// What a varied number is called on an axis or in a table, without its unit.
pub(in crate::report) fn name(vary: &Vary) -> String {
    let path = vary.parameter.path.as_str();
    if path == "runs" {
        // Where nothing calibrates there is one kind.
        return match vary.parameter.is_single() {
            true => "determinations".to_owned(),
            false => "runs of each kind".to_owned(),
        };
    }
    let leg = leg_of(bare(vary));
    let own = source_of(vary).map(|s| s.doc.split(" (").next().unwrap_or(s.doc));
    let plain = match (schema::in_leg(bare(vary)).1, leg) {
        ("runs", "calibration") => return "calibration runs".to_owned(),
        ("runs", "determination") if !vary.parameter.others => return "determinations".to_owned(),
        ("runs", _) => "runs",
        ("charge.window", _) => "half-width of the mass window",
        ("charge.mass", _) => "mass of sample",
        ("charge.wait", _) => "waiting time before the release",
        ("liquid.volume", _) => "volume of liquid",
        ("liquid.mass", _) => "mass of liquid",
        ("record.after", _) => "record after mixing",
        ("record.fore", _) => "record before mixing",
        ("record.interval", _) => "time between readings",
        ("record.settle", _) => "beginning of the readings that count",
        ("dissolving.time", _) => "dissolving time",
        ("dissolving.mixing_time", _) => "mixing time",
        ("electrical.time", _) => "heating time",
        ("room.temperature", _) => "room temperature",
        ("thermometer.lag", _) => "lag of the thermometer",
        ("thermometer.resolution", _) => "last digit of the thermometer",
        (tail, _) => own.unwrap_or(tail),
    };
    let u = if path.starts_with("u(") { "u of " } else { "" };
    if leg.is_empty() {
        format!("{u}{plain}")
    } else {
        format!("{u}{plain} ({leg})")
    }
}

/// The same with its unit.
pub(in crate::report) fn axis(vary: &Vary) -> String {
    let (_, unit) = vary.axis();
    match unit.as_str() {
        "" => name(vary),
        unit => format!("{}, {unit}", name(vary)),
    }
}

/// A file's name for a sweep.
pub fn sweep_name(sweep: &Sweep) -> String {
    let slug = |v: &Vary| {
        let kept = v
            .parameter
            .path
            .chars()
            .map(|c| if c.is_alphanumeric() { c } else { '-' });
        kept.collect::<String>().trim_matches('-').to_owned()
    };
    let all: Vec<String> = sweep.vary.iter().map(slug).collect();
    all.join("-and-")
}

/// One value in words.
pub(super) fn value(v: &Vary, x: f64) -> String {
    match v.parameter.path.as_str() {
        "calibration.runs" => counted(x, "calibration run"),
        "determination.runs" if !v.parameter.others => counted(x, "determination"),
        path if schema::in_leg(path).1 == "runs" && path != "runs" => {
            format!("{} ({})", counted(x, "run"), leg_of(path))
        }
        "runs" if v.parameter.is_single() => counted(x, "determination"),
        "runs" => format!("{} of each kind", counted(x, "run")),
        // A bare number says nothing.
        path if v.parameter.is_count() => format!("{path} = {x:.0}"),
        _ => v.words(x),
    }
}

/// The values of a point.
pub(super) fn at(sweep: &Sweep, point: &SweepPoint) -> String {
    let pairs = sweep.vary.iter().zip(&point.at);
    in_a_row(&pairs.map(|(v, x)| value(v, *x)).collect::<Vec<_>>())
}

pub(super) fn counted(n: f64, what: &str) -> String {
    let s = if n == 1.0 { "" } else { "s" };
    format!("{n:.0} {what}{s}")
}

/// Some points of a sweep of one number by their values.
pub(super) fn listed(s: &Sweep, points: &[usize]) -> String {
    let words = points.iter().map(|i| at(s, &s.points[*i]));
    in_a_row(&words.collect::<Vec<_>>())
}

/// What a map shows of an outcome, as a fraction: what the target is about, the spread without one.
pub(in crate::report) fn measured_of(goal: Option<Goal>, o: &Outcome) -> f64 {
    match goal {
        Some(goal) => goal.measure(o).value,
        None => o.relative(o.errors.spread).value,
    }
}

/// What that is called, with its unit.
pub(in crate::report) fn measured(goal: Option<Goal>) -> &'static str {
    match goal {
        Some(Goal::Within(_)) => "95 % of results within, %",
        Some(Goal::Pass(_)) => "share in the fair band, %",
        _ => "spread, %",
    }
}
