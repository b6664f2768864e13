//! Pictures of a record.

use crate::evaluate::{ReducedRecord, Traced};
use crate::report::figure::{
    Axis, Figure, Height, Look, Mark, Panel, Point, Row, Rule, Series, Shape, Stroke, Tone,
};
use crate::report::words::minus;
use crate::stats::quote;

/// A record to be drawn.
pub(in crate::report) struct RecordFigure<'r> {
    pub(in crate::report) name: String,
    pub(in crate::report) title: String,
    pub(in crate::report) record: &'r ReducedRecord,
    /// What is true, where that is known.
    pub(in crate::report) curve: &'r [(f64, f64)],
    pub(in crate::report) footer: String,
}

/// A record with the lines of its reduction.
pub(in crate::report) fn record_figure(f: &RecordFigure) -> Option<Figure> {
    let r = f.record;
    let lines = r.lines();
    let ends = [r.readings.first()?.0, r.readings.last()?.0];
    let moment = if r.moment.is_finite() { r.moment } else { 0.0 };
    let mut marks: Vec<Mark> = vec![Rule::upright(
        moment,
        if moment == 0.0 {
            "mixing".to_owned()
        } else {
            format!("lines taken at {moment:.0} s")
        },
        Look::line(Tone::Mid, Stroke::Dashed),
    )];
    if !f.curve.is_empty() {
        let look = Look::line(Tone::Soft, Stroke::Broad);
        marks.push(Series::of("true temperature", look, f.curve.iter().copied()).into());
    }
    let readings = r.readings.iter().copied();
    marks.push(Series::of("readings", Look::marker(Tone::Ink, Shape::Dot), readings).into());
    for (i, (own, span)) in lines
        .iter()
        .zip([[ends[0], moment], [moment, ends[1]]])
        .enumerate()
    {
        let points = span.map(|t| (t, own.at_mixing.0 + own.slope * t));
        let name = if i == 0 { "lines of the reduction" } else { "" };
        marks.push(Series::of(name, Look::line(Tone::Accent, Stroke::Solid), points).into());
    }
    let change = minus(&format!("{:+.4} K", r.change));
    Some(Figure {
        name: f.name.clone(),
        title: f.title.clone(),
        subtitle: format!("{}: {change}", r.reduction.way().title()),
        alt: format!("Temperature against time since mixing; change of temperature {change}."),
        panels: vec![Panel {
            x: Axis::titled("time since mixing, s"),
            y: Axis::titled("temperature, °C"),
            marks,
            ..Panel::default()
        }],
        notes: Vec::new(),
        footer: f.footer.clone(),
    })
}

/// The record, and every reduction side by side.
pub(super) fn trace_figures(t: &Traced, footer: String) -> Vec<Figure> {
    let good: Vec<_> = t
        .ways
        .iter()
        .filter_map(|w| Some((w, w.found.as_ref().ok()?)))
        .collect();
    let way = t.scenario.legs()[t.leg].way;
    let own = good.iter().find(|(w, _)| w.way == way).or(good.first());
    let curve = t.simulated.as_ref().map_or(&[][..], |s| s.curve.as_slice());
    let leg = t.scenario.legs()[t.leg].title().to_owned();
    let record = own.and_then(|(_, r)| {
        record_figure(&RecordFigure {
            name: "record".to_owned(),
            title: format!("A record of the {leg}"),
            record: r,
            curve,
            footer: footer.clone(),
        })
    });
    let points = good.iter().enumerate().map(|(row, (w, r))| Point {
        x: r.change,
        y: row as f64,
        error: Some([r.change - 2.0 * w.u, r.change + 2.0 * w.u]),
        label: minus(&quote(r.change, w.u, 2).value),
        ..Point::default()
    });
    let mut marks: Vec<Mark> = t
        .simulated
        .iter()
        .map(|s| Rule::upright(s.true_change, "true", Look::line(Tone::Ink, Stroke::Dashed)))
        .collect();
    marks.push(
        Series {
            name: "change of temperature, with twice its standard uncertainty".to_owned(),
            look: Look::marker(Tone::Ink, Shape::Disc),
            points: points.collect(),
            ..Series::default()
        }
        .into(),
    );
    let rows = good.iter().map(|(w, _)| Row {
        name: w.way.title().to_owned(),
        ..Row::default()
    });
    let ways = Figure {
        name: "reductions".to_owned(),
        title: "Every reduction of the same record".to_owned(),
        subtitle: "uncertainty by noise and last digit alone".to_owned(),
        alt: "The change of temperature by each reduction, with its uncertainty.".to_owned(),
        panels: vec![Panel {
            x: Axis::titled("change of temperature, K"),
            y: Axis::rows(rows.collect()),
            marks,
            height: Height::Low,
        }],
        notes: Vec::new(),
        footer,
    };
    record.into_iter().chain([ways]).collect()
}
