//! The picture: what competent groups report, the bands, and the groups of a class as dots.

use super::sentences::plain;
use crate::grade::{ClassJudged, Grade, JudgedGroup};
use crate::report::figure::{
    Axis, Bars, Figure, Fill, Look, Mark, Panel, Point, Rule, Series, Shape, Span, Stroke, Tone,
    bins,
};
use crate::report::words::{minus, percent, provenance};
use std::collections::BTreeMap;

/// Slots across the picture in which dots are piled up.
const SLOTS: f64 = 60.0;

/// Spreads from the centre within which the picture reaches a group.
const FAR: f64 = 15.0;

/// Height of the first dot, and between dots, as parts of the tallest bar.
const FIRST: f64 = 0.06;
const NEXT: f64 = 0.075;

/// The figure.
pub(super) fn grade_figures(g: &Grade, class: Option<&ClassJudged>) -> Vec<Figure> {
    let errors: Vec<f64> = g.slips.errors.iter().map(|e| 100.0 * e).collect();
    let mut marks: Vec<Mark> = Vec::new();
    let band = 100.0 * g.band();
    marks.push(
        Span {
            ends: [-band, band],
            label: format!("band ±{}", plain(g.band())),
            fill: Some(Fill::Tinted),
            in_key: true,
            ..Span::default()
        }
        .into(),
    );
    let found = bins(&errors, None);
    let top = found.as_ref().map_or(1.0, |b| {
        b.bars.iter().map(|bar| bar.value).fold(0.0, f64::max)
    });
    if let Some(found) = found {
        marks.push(
            Bars {
                name: "competent groups, simulated".to_owned(),
                bars: found.bars,
                ..Bars::default()
            }
            .into(),
        );
    }
    marks.push(Rule::upright(
        0.0,
        "accepted",
        Look::line(Tone::Accent, Stroke::Broad),
    ));
    let mut told = String::new();
    let mut notes = Vec::new();
    if let Some(c) = class {
        let (dots, far) = dots(c, g.slips.spread.value, top);
        marks.push(dots.into());
        if !far.is_empty() {
            notes.push(format!("too far off to be drawn: {}", far.join(", ")));
        }
        told = format!(
            " The {} groups of the class lie at {} on average and scatter by {}.",
            c.groups.len(),
            percent(c.seen.mean),
            percent(c.seen.sd)
        );
    }
    let s = &g.slips;
    vec![Figure {
        name: "grade".to_owned(),
        title: match class {
            Some(_) => "The class beside what the method makes of competent groups".to_owned(),
            None => "What do competent groups report?".to_owned(),
        },
        subtitle: s.scenario.title.clone(),
        alt: format!(
            "Results of competent groups about the accepted value with the band of ±{}.{told}",
            plain(g.band())
        ),
        panels: vec![Panel {
            x: Axis::titled("result less accepted value, % of its magnitude"),
            y: Axis {
                from_zero: true,
                ..Axis::titled("share of competent groups, %")
            },
            marks,
            ..Panel::default()
        }],
        notes,
        footer: provenance(s.seed, s.trials, &s.scenario.digest),
    }]
}

/// The groups as dots, piled up where they would lie upon each other, and those that lie too far off to be drawn.
fn dots(c: &ClassJudged, spread: f64, top: f64) -> (Series, Vec<String>) {
    let far = |x: &&JudgedGroup| (x.difference - c.seen.centre).abs() > FAR * spread;
    let (far, near): (Vec<_>, Vec<_>) = c.groups.iter().partition(far);
    let at = near.iter().map(|x| 100.0 * x.difference);
    let [low, high] = at.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], x| {
        [low.min(x), high.max(x)]
    });
    let slot = ((high - low) / SLOTS).max(1e-9);
    let mut piles: BTreeMap<i64, usize> = BTreeMap::new();
    let points = near.iter().map(|group| {
        let x = 100.0 * group.difference;
        let pile = piles.entry((x / slot).round() as i64).or_default();
        *pile += 1;
        Point {
            x,
            y: top * (FIRST + NEXT * (*pile - 1) as f64),
            label: match group.outlying {
                true => group.name.clone(),
                false => String::new(),
            },
            ..Point::default()
        }
    });
    let series = Series {
        name: "groups of the class".to_owned(),
        look: Look {
            tone: Tone::Ink,
            stroke: Stroke::None,
            shape: Shape::Disc,
        },
        points: points.collect(),
        ..Series::default()
    };
    let named = |x: &JudgedGroup| format!("{} ({})", x.name, minus(&percent(x.difference)));
    (series, far.into_iter().map(named).collect())
}
