//! One simulated record, and what reductions make of it.

use super::figures::footer;
use crate::forecast::{Forecast, OnRecord, Sample};
use crate::lab::Line;
use crate::report::figure::{
    Arrow, Axis, Figure, Look, Mark, Panel, Point, Rule, Series, Shape, Stroke, Tone,
};
use crate::report::words::digits;
use crate::scenario::ReductionMethod;

/// Stretches longer than this many seconds get an axis in minutes.
const LONGEST_IN_SECONDS: f64 = 1200.0;

const READING: Look = Look::marker(Tone::Ink, Shape::Dot);
const FITTED: Look = Look::line(Tone::Accent, Stroke::Solid);
const CARRIED: Look = Look::line(Tone::Accent, Stroke::Dashed);
/// The look of a helper.
pub(super) const HELPER: Look = Look::line(Tone::Mid, Stroke::Dotted);

/// The unit of a time axis: its name, and its size in seconds.
pub(super) fn unit(sample: &Sample) -> (&'static str, f64) {
    let times = sample.curve.first().zip(sample.curve.last());
    let long = times.is_some_and(|(a, b)| b.0 - a.0 > LONGEST_IN_SECONDS);
    if long { ("min", 60.0) } else { ("s", 1.0) }
}

/// The axes of a record.
pub(super) fn panel(sample: &Sample) -> Panel {
    Panel {
        x: Axis::titled(format!("time since mixing, {}", unit(sample).0)),
        y: Axis::titled("temperature, °C"),
        ..Panel::default()
    }
}

pub(super) fn on(line: &Line, time: f64) -> f64 {
    line.at_mixing.0 + line.slope * time
}

/// A temperature difference down to its noise, with a true minus sign.
pub(super) fn kelvin(change: f64, noise: f64) -> String {
    digits(change, noise.max(1e-4))
}

pub(super) fn readings(sample: &Sample) -> Mark {
    let size = unit(sample).1;
    let points = sample.readings.iter().map(|(t, v)| (t / size, *v));
    Series::of("reading", READING, points).into()
}

/// Both lines: solid where they are fitted, dashed as far as the moments at which they are read.
pub(super) fn lines(sample: &Sample, moments: &[f64]) -> Vec<Mark> {
    let size = unit(sample).1;
    let mut marks: Vec<Mark> = Vec::new();
    for (line, label) in sample
        .lines
        .iter()
        .flatten()
        .zip(["line before", "line after"])
    {
        let (from, to) = (line.from.0, line.to.0);
        let first = moments.iter().copied().fold(from, f64::min);
        let last = moments.iter().copied().fold(to, f64::max);
        let piece = |name: &str, look: Look, a: f64, b: f64| {
            Series::of(name, look, [a, b].map(|t| (t / size, on(line, t))))
        };
        for (a, b) in [(first, from), (to, last)] {
            if b > a {
                marks.push(piece("extrapolated", CARRIED, a, b).into());
            }
        }
        let fitted = Series {
            label: label.to_owned(),
            ..piece("fitted line", FITTED, from, to)
        };
        marks.push(fitted.into());
    }
    marks
}

/// The first determination of the first group, with the evaluation that the lab uses.
pub(super) fn record(f: &Forecast, sample: &Sample) -> Figure {
    let size = unit(sample).1;
    let mut panel = panel(sample);
    let curve = sample.curve.iter().map(|(t, v)| (t / size, *v));
    let soft = Look::line(Tone::Soft, Stroke::Broad);
    panel
        .marks
        .push(Series::of("true temperature", soft, curve).into());
    let mut told = String::new();
    let fitted = sample.lines.is_some() && !sample.reduced.is_empty();
    if let Some(own) = sample.by(sample.way) {
        told = kelvin(own.change, sample.noise);
        let at = own.at.unwrap_or(0.0);
        if fitted {
            let moment = match sample.way {
                ReductionMethod::BackToMixing => "moment of mixing",
                ReductionMethod::SixtyThree => "63 % of the change",
                ReductionMethod::EqualAreas => "equal areas",
                ReductionMethod::TwoReadings | ReductionMethod::Extreme => "reading taken",
                ReductionMethod::RegnaultPfaundler => "mixing",
            };
            if sample.way != ReductionMethod::BackToMixing && at != 0.0 {
                panel.marks.push(Rule::upright(
                    0.0,
                    "mixing",
                    Look::line(Tone::Mid, Stroke::Thin),
                ));
            }
            panel.marks.push(Rule::upright(
                at / size,
                moment,
                Look::line(Tone::Mid, Stroke::DashDot),
            ));
            panel.marks.push(readings(sample));
            panel.marks.extend(lines(sample, &[at]));
        } else {
            panel.marks.push(Rule::upright(
                0.0,
                "mixing",
                Look::line(Tone::Mid, Stroke::Thin),
            ));
            panel.marks.extend(single(sample, &own));
        }
        let x = if fitted { at } else { at / 2.0 };
        panel.marks.push(
            Arrow {
                x: x / size,
                ends: own.ends,
                label: format!("ΔT = {told} K"),
            }
            .into(),
        );
    } else {
        panel.marks.push(readings(sample));
    }
    Figure {
        name: "record".to_owned(),
        title: format!("One simulated run: {}", f.scenario.determination.reaction.title),
        subtitle: "first determination of the first group; the thermometer's own offset parts dots and curve"
            .to_owned(),
        alt: format!(
            "Temperature against time of one simulated determination, as it is and as it is read. The change that is found is \
             {told} K, the true one {} K.",
            kelvin(sample.true_change, sample.noise)
        ),
        panels: vec![panel],
        notes: Vec::new(),
        footer: footer(f),
    }
}

/// The two single readings of a record without lines, and helpers to the arrow between them.
fn single(sample: &Sample, own: &OnRecord) -> Vec<Mark> {
    let size = unit(sample).1;
    let middle = own.at.unwrap_or(0.0) / 2.0;
    let helper = |(t, v): &(f64, f64)| {
        Mark::from(Series::of(
            "",
            HELPER,
            [(t / size, *v), (middle / size, *v)],
        ))
    };
    let mut marks: Vec<Mark> = sample.readings.iter().map(helper).collect();
    let names = ["first reading", "second reading"];
    let point = |((t, v), name): (&(f64, f64), &str)| Point {
        x: t / size,
        y: *v,
        label: name.to_owned(),
        ..Point::default()
    };
    marks.push(
        Series {
            name: "reading".to_owned(),
            look: Look::marker(Tone::Accent, Shape::Target),
            points: sample.readings.iter().zip(names).map(point).collect(),
            ..Series::default()
        }
        .into(),
    );
    marks
}
