//! The figures of a design study: curves of one number.

use super::figures_map::map;
use super::figures_marks::{HELPER, TARGET, level, levels, window, zones};
use super::words::{axis, measured_of, name, sweep_name};
use crate::design::{Goal, Outcome, Sweep, SweepPoint, Vary};
use crate::report::figure::{Axis, Figure, Height, Look, Mark, Panel, Point, Scale, Series, Span};
use crate::report::words::provenance_of_points;
use crate::stats::{Estimate, quote};

/// The figures: a map of two numbers, curves of one.
pub(in crate::report) fn sweep_figures(sweeps: &[Sweep]) -> Vec<Figure> {
    let possible = |s: &&Sweep| s.points.iter().any(|p| p.outcome.is_some());
    let figure = |s: &Sweep| match s.vary.as_slice() {
        [one] => curves(s, one),
        [x, y] => map(s, x, y),
        _ => Figure::default(),
    };
    sweeps.iter().filter(possible).map(figure).collect()
}

/// Headline and origin of a figure.
pub(super) fn headed(s: &Sweep, subtitle: String) -> Figure {
    let key = |v: &Vary| format!("key: {}", v.parameter.path);
    Figure {
        name: sweep_name(s),
        title: s.scenario.title.clone(),
        subtitle,
        notes: s.vary.iter().map(key).collect(),
        footer: provenance_of_points(s.seed, s.trials, &s.scenario.digest),
        ..Figure::default()
    }
}

/// Beyond a bound, values larger than this many times the largest that may be proposed do not stretch the scale: they would
/// leave no room for the ones that matter.
const BEYOND: f64 = 3.0;

/// A scale begins at zero where the smallest value is less than this part of the largest.
const NEAR: f64 = 0.5;

/// What a curve shows of an outcome, as a fraction.
type Of<'a> = &'a dyn Fn(&Outcome) -> Estimate;

fn curve(s: &Sweep, at: &[f64], number: usize, name: &str, of: Of<'_>) -> Mark {
    let size = |p: &SweepPoint| p.outcome.as_ref().map_or(f64::NAN, |o| of(o).value.abs());
    let allowed = s.points.iter().filter(|p| p.zones.is_empty()).map(size);
    let most = BEYOND * allowed.fold(f64::NAN, f64::max);
    let point = |(p, x): (&SweepPoint, &f64)| {
        let e = p.outcome.as_ref().map_or(Estimate::undefined(), of);
        let [value, half] = [100.0 * e.value, 196.0 * e.se];
        Point {
            x: *x,
            y: value,
            aside: !p.zones.is_empty() && e.value.abs() > most,
            error: half.is_finite().then_some([value - half, value + half]),
            label: String::new(),
        }
    };
    Series {
        name: name.to_owned(),
        label: String::new(),
        look: Look::curve(number),
        points: s.points.iter().zip(at).map(point).collect(),
    }
    .into()
}

/// The points, with those at the ends of the window, and without the values that cannot be, where they lie between values
/// that can: between those nothing is out of bounds.
fn possible(s: &Sweep) -> Sweep {
    let mut shown = s.clone();
    if s.is_scattered() {
        shown.points.retain(|p| p.outcome.is_some());
    }
    let ends = s
        .window
        .iter()
        .flat_map(|window| window.points.iter().cloned());
    shown.points.extend(ends);
    shown.points.sort_by(|a, b| a.at[0].total_cmp(&b.at[0]));
    shown.points.dedup_by(|a, b| a.at == b.at);
    shown
}

fn curves(s: &Sweep, vary: &Vary) -> Figure {
    let (at, _) = vary.axis();
    let scattered = s.is_scattered();
    let s = &possible(s);
    let at: Vec<f64> = match s.points.len() {
        n if n == at.len() => at,
        _ => s.points.iter().map(|p| vary.on_axis(p.at[0])).collect(),
    };
    let count = vary.parameter.is_count();
    let x = Axis {
        title: axis(vary),
        scale: if count { Scale::Whole } else { Scale::Linear },
        ..Axis::default()
    };
    let mut shown: Vec<(&str, Of<'_>)> = vec![("spread", &|o| o.relative(o.errors.spread))];
    if !count {
        shown.push(("RMS error", &|o| o.relative(o.errors.rms)));
    }
    if count || matches!(s.goal, Some(Goal::Within(_))) {
        shown.push(("95 % of results within", &|o| o.relative(o.errors.within)));
    }
    if count {
        shown.push(("student's 95 % half-width", &|o| {
            o.student.map_or(Estimate::undefined(), |e| o.relative(e))
        }));
    }
    let mut panels = vec![Panel {
        y: Axis {
            title: "% of the result".to_owned(),
            ..Axis::default()
        },
        marks: zones(s, vary, &at, scattered)
            .into_iter()
            .map(Mark::from)
            .collect(),
        ..Panel::default()
    }];
    panels[0].marks.extend(window(s, vary));
    let curves = shown.iter().enumerate();
    panels[0]
        .marks
        .extend(curves.map(|(i, (name, of))| curve(s, &at, i, name, of)));
    panels[0].marks.extend(levels(s));
    panels[0].y.from_zero = near_zero(&panels[0].marks);
    let ground = |panel: &Panel| -> Vec<Mark> {
        // The same stretches, named once.
        let unnamed = |mark: &Mark| match mark {
            Mark::Span(span) => Some(Mark::Span(Span {
                label: String::new(),
                ..span.clone()
            })),
            _ => None,
        };
        panel.marks.iter().filter_map(unnamed).collect()
    };
    let mut add = |title: &str, curve: Mark, rule: Mark| {
        let mut marks = ground(&panels[0]);
        marks.extend([rule, curve]);
        panels.push(Panel {
            y: Axis::titled(title),
            marks,
            ..Panel::default()
        });
    };
    if !count {
        let of: Of<'_> = &Outcome::relative_bias;
        let curve = curve(
            s,
            &at,
            shown.len(),
            "bias: below zero, magnitude too small",
            of,
        );
        add("bias, %", curve, level(0.0, "", HELPER));
    }
    let banded = |p: &SweepPoint| p.outcome.as_ref().is_some_and(|o| o.in_band.is_some());
    if let (Some(Goal::Pass(goal)), true) = (s.goal, s.points.iter().any(banded)) {
        let of: Of<'_> = &|o| o.in_band.unwrap_or(Estimate::undefined());
        let curve = curve(
            s,
            &at,
            shown.len() + 1,
            "share of results in the fair band",
            of,
        );
        add(
            "in the band, %",
            curve,
            level(100.0 * goal, "target", TARGET),
        );
    }
    let several = panels.len() > 1;
    for panel in &mut panels {
        panel.x = x.clone();
        panel.height = if several { Height::Low } else { Height::Usual };
    }
    let mut figure = headed(s, format!("what a group will get against {}", name(vary)));
    figure.notes.insert(
        0,
        "whiskers: 95 % intervals, where longer than the marker".to_owned(),
    );
    if s.window.is_some() && !count {
        figure
            .notes
            .push("the ends of the stretch were looked for between the points".to_owned());
    }
    figure.alt = alt(s, vary);
    figure.panels = panels;
    figure
}

/// Whether curves come near enough to zero for it to stay on their scale.
fn near_zero(marks: &[Mark]) -> bool {
    let points = marks.iter().flat_map(|mark| match mark {
        Mark::Series(series) => series.points.as_slice(),
        _ => &[],
    });
    let values = points.map(|p| p.y).filter(|y| y.is_finite());
    let (low, high) = values.fold((f64::INFINITY, 0.0f64), |e, v| (e.0.min(v), e.1.max(v)));
    low < NEAR * high
}

/// The curve in words: what is measured at the first point, at the best and at the last.
fn alt(s: &Sweep, vary: &Vary) -> String {
    let told = |i: usize| {
        let p = s.points.get(i)?;
        let value = 100.0 * measured_of(s.goal, p.outcome.as_ref()?);
        let value = quote(value, value.abs(), 3).value;
        Some(format!("{value} % at {}", vary.words(p.at[0])))
    };
    let ends = [Some(0), s.best(), s.points.len().checked_sub(1)];
    let mut all: Vec<String> = ends.into_iter().flatten().filter_map(told).collect();
    all.dedup();
    let measured = super::words::measured(s.goal).trim_end_matches(", %");
    format!(
        "Curves against {}. The {measured} is {}.",
        name(vary),
        all.join(", ")
    )
}
