//! The figure of two numbers: a map.

use super::bounds::letters;
use super::figures::headed;
use super::figures_marks::beyond;
use super::words::{axis, measured, measured_of, name};
use crate::design::{Goal, Sweep, Vary};
use crate::report::figure::{
    Axis, Cells, Figure, Hatched, Height, Level, Panel, Scale, round_step,
};
use crate::report::words::digits;
use crate::stats::quote;

/// Lines of equal values, about.
const LINES: f64 = 5.0;

/// The map of a study, column by column of the first number.
pub(super) fn map(s: &Sweep, x: &Vary, y: &Vary) -> Figure {
    let ((xs, _), (ys, _)) = (x.axis(), y.axis());
    let columns = xs.len();
    // Where nothing is in bounds its numbers are all there is.
    let nowhere = s.points.iter().all(|p| !p.zones.is_empty());
    let cell = |k: usize| {
        let p = &s.points[k];
        // A number out of bounds is nothing to steer by, and a hatched cell is easier to read pale.
        let shown = nowhere || p.zones.is_empty();
        let o = p.outcome.as_ref().filter(|_| shown);
        o.map_or(f64::NAN, |o| 100.0 * measured_of(s.goal, o))
    };
    let row = |j: usize| (0..columns).map(|i| cell(j * columns + i)).collect();
    let z: Vec<Vec<f64>> = (0..ys.len()).map(row).collect();
    let counts = s.vary.iter().all(|v| v.parameter.is_count());
    // Of runs more is always better: only the least that does says something.
    let best = match (s.least(), counts) {
        (Some(k), true) => Some((k, "least effort that meets the target")),
        (Some(k), false) => Some((k, "smallest RMS error that meets the target")),
        (None, false) => s.best().map(|k| (k, "smallest RMS error")),
        (None, true) => None,
    };
    let mut figure = headed(s, format!("{} against {}", name(x), name(y)));
    let told = |k: usize| {
        let value = cell(k);
        let value = quote(value, value.abs(), 3).value;
        let at = &s.points[k].at;
        format!("{value} % at {} and {}", x.words(at[0]), y.words(at[1]))
    };
    figure.alt = format!(
        "Map of the {} over {} and {}.{}",
        measured(s.goal).trim_end_matches(", %"),
        name(x),
        name(y),
        best.map_or(String::new(), |(k, why)| format!(
            " The {why}: {}.",
            told(k)
        ))
    );
    let stepped = s.vary.iter().any(|v| v.parameter.is_count());
    let scale = |v: &Vary, at: &[f64]| Axis {
        title: axis(v),
        scale: match v.parameter.is_count() {
            true => Scale::Whole,
            false => Scale::Linear,
        },
        at: at.to_vec(),
        ..Axis::default()
    };
    figure.panels = vec![Panel {
        x: scale(x, &xs),
        y: scale(y, &ys),
        height: Height::Tall,
        marks: vec![
            Cells {
                name: measured(s.goal).to_owned(),
                levels: levels(s.goal, &z),
                zones: zones(s, columns),
                best: best.map(|(k, why)| ((k % columns, k / columns), why.to_owned())),
                stepped,
                xs,
                ys,
                z,
            }
            .into(),
        ],
    }];
    figure
}

/// Round values, and the target.
fn levels(goal: Option<Goal>, z: &[Vec<f64>]) -> Vec<Level> {
    let values = || z.iter().flatten().copied().filter(|v| v.is_finite());
    let low = values().fold(f64::INFINITY, f64::min);
    let high = values().fold(f64::NEG_INFINITY, f64::max);
    let target = goal.map(|goal| Level {
        at: 100.0 * goal.target(),
        label: "border of what meets the target".to_owned(),
        bold: true,
        above: matches!(goal, Goal::Pass(_)),
    });
    let mut all = Vec::new();
    if high > low {
        let step = round_step((high - low) / LINES);
        let first = (low / step).ceil();
        let at = (0..20).map(|i| (first + f64::from(i)) * step);
        all.extend(at.take_while(|v| *v < high).map(|at| Level {
            label: digits(at, step),
            at,
            ..Level::default()
        }));
        // A round line right beside the target would only hide it.
        let near = |l: &Level| {
            target
                .as_ref()
                .is_some_and(|t| (l.at - t.at).abs() < 0.3 * step)
        };
        all.retain(|l| !near(l));
    }
    all.extend(target);
    all
}

/// Cells out of bounds, by the letters of the text, so that both name the same bounds alike.
fn zones(s: &Sweep, columns: usize) -> Vec<Hatched> {
    let mut zones: Vec<Hatched> = Vec::new();
    let barred = s
        .points
        .iter()
        .enumerate()
        .filter(|(_, p)| !p.zones.is_empty());
    for (k, p) in barred {
        let (mark, cell) = (letters(s, p), (k % columns, k / columns));
        match zones.iter_mut().find(|z| z.mark == mark) {
            Some(zone) => zone.cells.push(cell),
            None => zones.push(Hatched {
                mark,
                label: beyond(p),
                cells: vec![cell],
            }),
        }
    }
    zones
}
