//! The figure of mistakes: what each does where it is made.

use super::super::words::provenance;
use crate::report::figure::{
    Axis, Direction, Figure, Fill, Look, Mark, Panel, Point, Row, Rule, Series, Shape, Span,
    Stroke, Tone,
};
use crate::slip::{Place, Slips, Studied};

/// Rows of the figure.
const ROWS: usize = 18;

/// Shifts that are drawn; a fraction.
const DRAWN: std::ops::RangeInclusive<f64> = 1e-3..=0.12;

/// The figure, if there is something to draw.
pub(super) fn slip_figures(s: &Slips) -> Vec<Figure> {
    let drawn = |m: &&Studied| DRAWN.contains(&m.largest());
    let rows: Vec<&Studied> = s.mistakes.iter().filter(drawn).take(ROWS).collect();
    let beyond = s.mistakes.iter().filter(|m| m.largest() > *DRAWN.end());
    let large: Vec<&str> = beyond.map(|m| m.mistake.key.as_ref()).collect();
    if rows.is_empty() {
        return Vec::new();
    }
    let points = |place: Place, shape: Shape, tone: Tone| {
        let at = rows.iter().enumerate();
        let own = at.filter_map(|(i, m)| {
            let shift = m.at(place)?.shift;
            Some(Point {
                x: 100.0 * shift.value,
                y: i as f64,
                ..Point::default()
            })
        });
        Series {
            name: place.phrase().to_owned(),
            look: Look {
                tone,
                stroke: Stroke::None,
                shape,
            },
            points: own.collect(),
            ..Series::default()
        }
    };
    let spread = 200.0 * s.spread.value;
    let competent = Span {
        ends: [-spread, spread],
        direction: Direction::Upright,
        label: "twice the spread of competent groups".to_owned(),
        fill: Some(Fill::Plain),
        in_key: true,
    };
    let none = Look {
        tone: Tone::Mid,
        stroke: Stroke::Thin,
        ..Look::default()
    };
    let row = |m: &&Studied| Row {
        name: m.mistake.key.to_string(),
        note: m.range.text(m.size),
        rank: None,
    };
    let told = rows.iter().take(4).filter_map(|m| {
        let e = m.at(Place::Determinations)?;
        Some(format!("{} {:+.1} %", m.mistake.key, 100.0 * e.shift.value))
    });
    let told: Vec<String> = told.collect();
    let places = [
        points(Place::Determinations, Shape::Disc, Tone::Accent),
        points(Place::Calibration, Shape::Ring, Tone::Ink),
        points(Place::Both, Shape::Diamond, Tone::Ink),
    ];
    let mut marks: Vec<Mark> = vec![competent.into(), Rule::upright(0.0, "", none)];
    // Where none of them can be made there is nothing to explain.
    let made = places
        .into_iter()
        .filter(|series| !series.points.is_empty());
    marks.extend(made.map(Mark::from));
    let usual = rows.iter().all(|m| m.size == m.range.usual);
    vec![Figure {
        name: "slips".to_owned(),
        title: "What does a mistake do to the result?".to_owned(),
        subtitle: format!(
            "{}; each at {} size",
            s.scenario.title,
            if usual { "its usual" } else { "the stated" }
        ),
        alt: format!(
            "Change of the magnitude by mistakes, made in the determinations, the calibration and all runs; in the \
             determinations: {}.",
            told.join(", ")
        ),
        panels: vec![Panel {
            x: Axis {
                reach: vec![0.0],
                ..Axis::titled("change of the magnitude of the result, %")
            },
            y: Axis::rows(rows.iter().map(row).collect()),
            marks,
            ..Panel::default()
        }],
        notes: vec![format!(
            "not drawn, since they move it by more than 12 %: {}",
            large.join(", ")
        )]
        .into_iter()
        .filter(|_| !large.is_empty())
        .collect(),
        footer: provenance(s.seed, s.trials, &s.scenario.digest),
    }]
}
