//! What a varied number is written as: in the base unit, whatever the range that it comes from, so that the same value always
//! gives the same bits.

use super::parameter_places::leg_of;
use crate::quantity::{Dimension, parse_measured, write_in};
use crate::scenario::schema;
use crate::scenario::{Document, Leg, Raw, Scenario, SourceId, source};

/// The window of a leg about another target mass, with the same relative width; `None` without a window.
pub(super) fn moved_window(leg: &Leg, mass: f64) -> Option<String> {
    let dist = &leg.binding(SourceId::Window).input;
    if dist.is_exact() || leg.mass.0 <= 0.0 {
        return None;
    }
    let [low, high] = [0.0, 1.0].map(|p| mass * (1.0 + dist.dist.quantile(p) / leg.mass.0));
    Some(between(low, high, Dimension::Mass))
}

pub(super) fn window(mass: f64, half: f64, d: Dimension) -> String {
    between(mass - half, mass + half, d)
}

fn between(low: f64, high: f64, d: Dimension) -> String {
    format!("{} to {}", base(low, d), base(high, d))
}

pub(super) fn half_width(leg: &Leg) -> f64 {
    let dist = &leg.binding(SourceId::Window).input.dist;
    0.5 * (dist.quantile(1.0) - dist.quantile(0.0))
}

pub(super) fn base(value: f64, d: Dimension) -> String {
    match d {
        Dimension::Temperature => write_in(value, "C"),
        d => write_in(value, d.base_unit()),
    }
}

/// What a scenario says under a key: there, or at the top for all legs, or what the library says in its place; empty if
/// nobody says anything.
pub(super) fn said(scenario: &Scenario, doc: &Document, key: &str) -> String {
    let (leg, tail) = schema::in_leg(key);
    for path in [key, tail] {
        if let Some(Raw::Text(text)) = doc.entries.get(path).map(|e| &e.raw) {
            return text.clone();
        }
    }
    let source = source::find(tail);
    source.map_or(String::new(), |s| {
        leg_of(scenario, leg).binding(s.id).stated.clone()
    })
}

/// A statement with another value: whatever it says of the error stays; of a range, its width.
pub(super) fn with_value(text: &str, value: f64, d: Dimension) -> String {
    let text = text.trim();
    if text.contains(" to ") {
        let Ok(m) = parse_measured(text, d) else {
            return base(value, d);
        };
        let [low, high] = [0.0, 1.0].map(|p| m.dist.quantile(p) + value - m.value);
        return between(low, high, d);
    }
    let cut = text
        .find([',', '±'])
        .or_else(|| text.find("+-"))
        .unwrap_or(text.len());
    let rest = &text[cut..];
    let gap = if rest.is_empty() || rest.starts_with(',') {
        ""
    } else {
        " "
    };
    let kept = format!("{}{gap}{rest}", base(value, d));
    // No statement at all, or one in words, or one of a rate in place of a time, whose relative error holds for both.
    if parse_measured(&kept, d).is_ok() {
        kept
    } else {
        base(value, d)
    }
}
