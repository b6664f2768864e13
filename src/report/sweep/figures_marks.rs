//! Levels and stretches of the figures of a study.

use crate::design::{Beyond, Bound, Goal, Sweep, SweepPoint, Vary};
use crate::report::figure::{Direction, Fill, Look, Mark, Rule, Span, Stroke, Tone};

/// The look of a target, and of a helper.
pub(super) const TARGET: Look = Look::line(Tone::Accent, Stroke::Solid);
pub(super) const HELPER: Look = Look::line(Tone::Ink, Stroke::Thin);

/// A level line.
pub(super) fn level(at: f64, label: &str, look: Look) -> Mark {
    Rule {
        at,
        label: label.to_owned(),
        direction: Direction::Across,
        look,
    }
    .into()
}

/// The floor that infinitely many runs would leave, and the target.
pub(super) fn levels(s: &Sweep) -> Vec<Mark> {
    let mut levels = Vec::new();
    if let (Some(fit), Some(o)) = (&s.fit, s.points.iter().find_map(|p| p.outcome.as_ref())) {
        let floor = 100.0 * fit.floor.value / o.target.abs();
        levels.push(level(
            floor,
            "floor of the spread: infinitely many runs",
            HELPER,
        ));
    }
    match s.goal {
        Some(Goal::Within(x)) => levels.push(level(100.0 * x, "target for 95 %", TARGET)),
        Some(Goal::Spread(x)) => levels.push(level(100.0 * x, "target for the spread", TARGET)),
        _ => {}
    }
    levels
}

/// The stretch that meets the target.
pub(super) fn window(s: &Sweep, vary: &Vary) -> Option<Mark> {
    let window = s.window.as_ref()?;
    let span = Span {
        ends: [0, 1].map(|side| match (window.beyond[side], side) {
            // What lies beyond was not looked at: no end is known.
            (Beyond::NotLookedAt, 0) => f64::NEG_INFINITY,
            (Beyond::NotLookedAt, _) => f64::INFINITY,
            _ => vary.on_axis(window.ends[side]),
        }),
        label: "meets the target".to_owned(),
        ..Span::default()
    };
    Some(span.into())
}

/// Share of the way to the next point that a zone reaches where nothing is known between points.
const UNKNOWN: f64 = 0.2;

/// Stretches of the axis that are out of bounds: each from where the window was seen to end, else from half-way to the last
/// point inside.
pub(super) fn zones(s: &Sweep, vary: &Vary, at: &[f64], scattered: bool) -> Vec<Span> {
    let part = if scattered { UNKNOWN } else { 0.5 };
    let ends: Vec<f64> = s
        .window
        .iter()
        .flat_map(|w| {
            let beyond = [w.ends[0] - w.fineness[0], w.ends[1] + w.fineness[1]];
            let bound = |i: &usize| matches!(w.beyond[*i], Beyond::Bound(_));
            [0, 1].into_iter().filter(bound).map(move |i| beyond[i])
        })
        .map(|x| vary.on_axis(x))
        .collect();
    // The edge between a point of a zone and its neighbour outside.
    let edge = |own: usize, other: usize| {
        let (low, high) = (at[own].min(at[other]), at[own].max(at[other]));
        let seen = ends.iter().find(|x| (low..=high).contains(*x));
        seen.copied()
            .unwrap_or(at[own] + part * (at[other] - at[own]))
    };
    let labels: Vec<String> = s.points.iter().map(beyond).collect();
    let mut spans = Vec::new();
    let mut first = 0;
    for i in 1..=labels.len() {
        if i < labels.len() && labels[i] == labels[first] {
            continue;
        }
        if !labels[first].is_empty() {
            let low = if first == 0 {
                at[0]
            } else {
                edge(first, first - 1)
            };
            let high = if i == labels.len() {
                at[i - 1]
            } else {
                edge(i - 1, i)
            };
            spans.push(Span {
                ends: [low, high],
                label: labels[first].clone(),
                fill: Some(Fill::Tinted),
                ..Span::default()
            });
        }
        first = i;
    }
    spans
}

pub(super) fn beyond(p: &SweepPoint) -> String {
    let mut bounds: Vec<Bound> = p.zones.iter().map(|z| z.bound).collect();
    bounds.sort();
    bounds.dedup();
    let labels: Vec<&str> = bounds.iter().map(|b| b.label()).collect();
    labels.join(", ")
}
