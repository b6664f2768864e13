//! The pictures of a design study: curves of one number, a map of two.

use super::bounds::letters;
use super::words::{axis, measured, measured_of, name, sweep_name};
use crate::design::{Beyond, Bound, Goal, Outcome, Sweep, SweepPoint, Vary};
use crate::report::chart::{
    ChartError, Curve, CurvePoint, CurvesChart, MapChart, MapZone, Mark, Panel, Picture, Span, Spot,
};
use crate::report::words::provenance_of_points;
use crate::stats::Estimate;

/// Names and pictures.
///
/// # Errors
/// If a picture cannot be drawn.
pub fn sweep_pictures(sweeps: &[Sweep]) -> Result<Vec<(String, Picture)>, ChartError> {
    let mut all = Vec::new();
    for s in sweeps {
        if s.points.iter().all(|p| p.outcome.is_none()) {
            continue;
        }
        let picture = match s.vary.as_slice() {
            [one] => curves(s, one)?,
            _ => map(s)?,
        };
        all.push((sweep_name(s), picture));
    }
    Ok(all)
}

fn footer(s: &Sweep) -> String {
    provenance_of_points(s.seed, s.trials, &s.scenario.digest)
}

/// Beyond a bound, values larger than this many times the largest that may be proposed do not stretch the scale: they would
/// leave no room for the ones that matter.
const BEYOND: f64 = 3.0;

fn curve(s: &Sweep, at: &[f64], name: &str, of: &dyn Fn(&Outcome) -> Estimate) -> Curve {
    let size = |p: &SweepPoint| p.outcome.as_ref().map_or(f64::NAN, |o| of(o).value.abs());
    let allowed = s.points.iter().filter(|p| p.zones.is_empty()).map(size);
    let most = BEYOND * allowed.fold(f64::NAN, f64::max);
    let point = |(p, x): (&SweepPoint, &f64)| {
        let e = p.outcome.as_ref().map_or(Estimate::undefined(), of);
        CurvePoint {
            x: *x,
            y: 100.0 * e.value,
            aside: !p.zones.is_empty() && e.value.abs() > most,
            se: if e.se.is_finite() { 100.0 * e.se } else { 0.0 },
        }
    };
    Curve {
        name: name.to_owned(),
        points: s.points.iter().zip(at).map(point).collect(),
    }
}

/// Without the values that cannot be, where they lie between values that can: between those nothing is out of bounds.
fn possible(s: &Sweep) -> Sweep {
    let mut shown = s.clone();
    if s.is_scattered() {
        shown.points.retain(|p| p.outcome.is_some());
    }
    shown
}

fn curves(s: &Sweep, vary: &Vary) -> Result<Picture, ChartError> {
    let (at, _) = vary.axis();
    let scattered = s.is_scattered();
    let s = &possible(s);
    let at: Vec<f64> = match s.points.len() {
        n if n == at.len() => at,
        _ => s.points.iter().map(|p| vary.on_axis(p.at[0])).collect(),
    };
    let count = vary.knob.is_count();
    let spread = curve(s, &at, "spread", &|o| o.relative(o.errors.spread));
    let rms = curve(s, &at, "RMS error", &|o| o.relative(o.errors.rms));
    let within = curve(s, &at, "95 % of results within", &|o| {
        o.relative(o.errors.within)
    });
    let student = curve(s, &at, "student's 95 % half-width", &|o| {
        o.student.map_or(Estimate::undefined(), |e| o.relative(e))
    });
    let mut levels = Vec::new();
    if let (Some(fit), Some(o)) = (&s.fit, s.points.iter().find_map(|p| p.outcome.as_ref())) {
        levels.push(Mark {
            at: 100.0 * fit.floor.value / o.target.abs(),
            label: "floor of the spread: infinitely many runs".to_owned(),
        });
    }
    if let Some(goal @ (Goal::Spread(x) | Goal::Within(x))) = s.goal {
        levels.push(Mark {
            at: 100.0 * x,
            label: match goal {
                Goal::Within(_) => "target for 95 %".to_owned(),
                _ => "target for the spread".to_owned(),
            },
        });
    }
    let first = if count {
        vec![spread, within, student]
    } else if matches!(s.goal, Some(Goal::Within(_))) {
        vec![spread, rms, within]
    } else {
        vec![spread, rms]
    };
    let mut panels = vec![Panel {
        y_title: "% of the result".to_owned(),
        curves: first,
        levels,
        from_zero: true,
    }];
    let banded = s
        .points
        .iter()
        .any(|p| p.outcome.as_ref().is_some_and(|o| o.in_band.is_some()));
    if !count {
        panels.push(Panel {
            y_title: "bias, %".to_owned(),
            curves: vec![curve(
                s,
                &at,
                "bias: below zero, magnitude too small",
                &Outcome::relative_bias,
            )],
            levels: vec![Mark {
                at: 0.0,
                label: String::new(),
            }],
            from_zero: false,
        });
    }
    if let (Some(Goal::Pass(x)), true) = (s.goal, banded) {
        panels.push(Panel {
            y_title: "in the band, %".to_owned(),
            curves: vec![curve(s, &at, "share of results in the fair band", &|o| {
                o.in_band.unwrap_or(Estimate::undefined())
            })],
            levels: vec![Mark {
                at: 100.0 * x,
                label: "target".to_owned(),
            }],
            from_zero: false,
        });
    }
    let window = s.window.as_ref().map(|w| {
        let [low, high] = w.ends.map(|x| vary.on_axis(x));
        Span {
            low,
            high,
            label: "meets the target".to_owned(),
        }
    });
    CurvesChart {
        title: s.scenario.title.clone(),
        subtitle: format!("what a group will get against {}", name(vary)),
        x_title: axis(vary),
        panels,
        zones: zones(s, vary, &at, scattered),
        window,
        whole_x: count,
        note: String::new(),
        footer: footer(s),
    }
    .draw()
}

/// Share of the way to the next point that a zone reaches where nothing is known between points.
const UNKNOWN: f64 = 0.2;

/// Stretches of the axis that are out of bounds: each from where the window was seen to end, else from half-way to the last
/// point inside.
fn zones(s: &Sweep, vary: &Vary, at: &[f64], scattered: bool) -> Vec<Span> {
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
            spans.push(Span {
                low: match first {
                    0 => at[0],
                    _ => edge(first, first - 1),
                },
                high: if i == labels.len() {
                    at[i - 1]
                } else {
                    edge(i - 1, i)
                },
                label: labels[first].clone(),
            });
        }
        first = i;
    }
    spans
}

fn beyond(p: &SweepPoint) -> String {
    let mut bounds: Vec<Bound> = p.zones.iter().map(|z| z.bound).collect();
    bounds.sort();
    bounds.dedup();
    let labels: Vec<&str> = bounds.iter().map(|b| b.label()).collect();
    labels.join(", ")
}

fn map(s: &Sweep) -> Result<Picture, ChartError> {
    let [x, y] = s.vary.as_slice() else {
        return Err(ChartError::NoData);
    };
    let ((xs, _), (ys, _)) = (x.axis(), y.axis());
    let columns = xs.len();
    // Where nothing is in bounds its numbers are all there is.
    let nowhere = s.points.iter().all(|p| !p.zones.is_empty());
    let z = (0..ys.len())
        .map(|j| {
            let cell = |i: usize| {
                let p = &s.points[j * columns + i];
                // A number out of bounds is nothing to steer by, and a hatched cell is easier to read pale.
                let shown = nowhere || p.zones.is_empty();
                let o = p.outcome.as_ref().filter(|_| shown);
                o.map_or(f64::NAN, |o| 100.0 * measured_of(s.goal, o))
            };
            (0..columns).map(cell).collect()
        })
        .collect();
    // By the letters of the text, so that both name the same bounds alike.
    let mut zones: Vec<MapZone> = Vec::new();
    for (k, p) in s
        .points
        .iter()
        .enumerate()
        .filter(|(_, p)| !p.zones.is_empty())
    {
        let (mark, cell) = (letters(s, p), (k % columns, k / columns));
        match zones.iter_mut().find(|z| z.mark == mark) {
            Some(zone) => zone.cells.push(cell),
            None => zones.push(MapZone {
                mark,
                label: beyond(p),
                cells: vec![cell],
            }),
        }
    }
    let spot = |k: usize, label: &str| Spot {
        x: xs[k % columns],
        y: ys[k / columns],
        label: label.to_owned(),
    };
    // Of runs more is always better: only the least that does says something.
    let counts = s.vary.iter().all(|v| v.knob.is_count());
    let best = match (s.least(), counts) {
        (Some(k), true) => Some(spot(k, "least effort that meets the target")),
        (Some(k), false) => Some(spot(k, "smallest RMS error that meets the target")),
        (None, false) => s.best().map(|k| spot(k, "smallest RMS error")),
        (None, true) => None,
    };
    MapChart {
        title: s.scenario.title.clone(),
        subtitle: format!("{} against {}", name(x), name(y)),
        x_title: axis(x),
        y_title: axis(y),
        z_title: measured(s.goal).to_owned(),
        whole_x: x.knob.is_count(),
        whole_y: y.knob.is_count(),
        xs,
        ys,
        z,
        zones,
        target: s.goal.map(|g| Mark {
            at: 100.0 * g.target(),
            label: "target".to_owned(),
        }),
        contours: Vec::new(),
        best,
        note: String::new(),
        footer: footer(s),
    }
    .draw()
}
