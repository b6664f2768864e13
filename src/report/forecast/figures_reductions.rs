//! What reductions make of one record.

use super::figures::footer;
use super::figures_record::{HELPER, kelvin, lines, on, panel, readings, unit};
use crate::forecast::{Forecast, OnRecord, Sample};
use crate::lab::Line;
use crate::report::figure::{
    Arrow, Axis, Band, Figure, Fill, Look, Mark, Panel, Point, Row, Rule, Series, Shape, Stroke,
    Tone,
};
use crate::report::words::minus;
use crate::scenario::ReductionMethod;
use crate::stats::quote;

/// Points along the edge of an area.
const EDGE: u32 = 60;

const NUMBERED: Look = Look::line(Tone::Ink, Stroke::Dotted);

/// Every reduction of the record: where it takes its change, and what that comes to. `None` without lines.
pub(super) fn reductions(f: &Forecast, sample: &Sample) -> Option<Figure> {
    let size = unit(sample).1;
    sample.lines?;
    let moments: Vec<f64> = sample.reduced.iter().filter_map(|r| r.at).collect();
    let last = moments.iter().copied().fold(0.0, f64::max);
    let mut top = panel(sample);
    top.x.ends = Some([-0.2 * last, 1.12 * last].map(|t| t / size)).filter(|e| e[1] > e[0]);
    top.marks = areas(sample);
    top.marks
        .push(Rule::upright(0.0, "", Look::line(Tone::Mid, Stroke::Thin)));
    for (i, r) in sample.reduced.iter().enumerate() {
        let Some(at) = r.at else { continue };
        if matches!(
            r.way,
            ReductionMethod::TwoReadings | ReductionMethod::Extreme
        ) {
            let level = [(0.0, r.ends[0]), (at / size, r.ends[0])];
            top.marks.push(Series::of("", HELPER, level).into());
        }
        top.marks
            .push(Rule::upright(at / size, (i + 1).to_string(), NUMBERED));
    }
    top.marks.push(readings(sample));
    let by_lines = |r: &&OnRecord| {
        !matches!(
            r.way,
            ReductionMethod::TwoReadings | ReductionMethod::Extreme
        )
    };
    let used: Vec<f64> = sample
        .reduced
        .iter()
        .filter(by_lines)
        .filter_map(|r| r.at)
        .collect();
    top.marks.extend(lines(sample, &used));
    for r in &sample.reduced {
        if let Some(at) = r.at {
            top.marks.push(
                Arrow {
                    x: at / size,
                    ends: r.ends,
                    label: String::new(),
                }
                .into(),
            );
        }
    }
    let all: Vec<String> = sample
        .reduced
        .iter()
        .map(|r| kelvin(r.change, sample.noise / 10.0))
        .collect();
    Some(Figure {
        name: "reductions".to_owned(),
        title: format!("One record, six reductions: {}", f.scenario.determination.reaction.title),
        subtitle: "first determination of the first group, about the moment of mixing; numbers as in the list below".to_owned(),
        alt: format!(
            "One record of temperature with six reductions. Their changes of temperature are {} K; the true one is {} K.",
            all.join(", "),
            kelvin(sample.true_change, sample.noise / 10.0)
        ),
        panels: vec![top, compared(sample)],
        notes: Vec::new(),
        footer: footer(f),
    })
}

/// The changes side by side, with the true one.
fn compared(sample: &Sample) -> Panel {
    let fine = sample.noise / 10.0;
    let row = |(i, r): (usize, &OnRecord)| Row {
        name: format!("{} {}", i + 1, r.way.title()),
        note: r.at.map_or(String::new(), |at| {
            format!("at {} s", quote(at, 0.1, 1).value.trim_end_matches(".0"))
        }),
        rank: None,
    };
    let point = |(i, r): (usize, &OnRecord)| {
        let off = 100.0 * (r.change / sample.true_change - 1.0);
        Point {
            x: r.change,
            y: i as f64,
            label: minus(&format!("{}  ({off:+.2} %)", kelvin(r.change, fine))),
            ..Point::default()
        }
    };
    let all = sample.reduced.iter().enumerate();
    Panel {
        x: Axis::titled("change of temperature, K (in brackets: off the true one)"),
        y: Axis::rows(all.clone().map(row).collect()),
        marks: vec![
            Rule::upright(
                sample.true_change,
                format!("true {}", kelvin(sample.true_change, fine)),
                Look::line(Tone::Accent, Stroke::Solid),
            ),
            Series {
                look: Look::marker(Tone::Ink, Shape::Disc),
                points: all.map(point).collect(),
                ..Series::default()
            }
            .into(),
        ],
        ..Panel::default()
    }
}

/// The two areas that the moment of equal areas makes equal.
fn areas(sample: &Sample) -> Vec<Mark> {
    let (Some([fore, after]), Some(own)) = (sample.lines, sample.by(ReductionMethod::EqualAreas))
    else {
        return Vec::new();
    };
    let Some(at) = own.at.filter(|at| *at > 0.0) else {
        return Vec::new();
    };
    let size = unit(sample).1;
    let mut readings = vec![(0.0, on(&fore, 0.0))];
    readings.extend(sample.readings.iter().filter(|r| r.0 > 0.0));
    let record = |t: f64| {
        let next = readings
            .partition_point(|r| r.0 < t)
            .clamp(1, readings.len().max(2) - 1);
        let (a, b) = (readings[next - 1], readings[next]);
        a.1 + (t - a.0) / (b.0 - a.0) * (b.1 - a.1)
    };
    if readings.len() < 2 {
        return Vec::new();
    }
    let area = |name: &str, fill: Fill, line: &Line, from: f64, to: f64| {
        let time = |i: u32| from + (to - from) * f64::from(i) / f64::from(EDGE);
        let points = (0..=EDGE)
            .map(time)
            .map(|t| (t / size, [record(t), on(line, t)]));
        Mark::from(Band {
            name: name.to_owned(),
            fill,
            points: points.collect(),
        })
    };
    vec![
        area("area up to equal areas", Fill::Plain, &fore, 0.0, at),
        area(
            "equal area after it",
            Fill::Hatched,
            &after,
            at,
            after.from.0,
        ),
    ]
}
