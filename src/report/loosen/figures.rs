//! The figures of `loosen`: what a doubled tolerance costs, and what other instruments bring.

use super::words::{class, instrument, now};
use crate::design::{Looseness, Loosest, Step};
use crate::report::figure::{Axis, Bar, Bars, Figure, Fill, Look, Panel, Row, Rule, Stroke, Tone};
use crate::report::rank::figures::bar;
use crate::report::words::provenance_of_points;
use crate::stats::{Estimate, quote};

/// Rows of a figure.
const ROWS: usize = 14;

/// Sides of a bar, from the middle of its row.
const LANE: [f64; 2] = [-0.2, 0.2];

/// The figures; one without rows has nothing to show.
pub(in crate::report) fn loosen_figures(l: &Looseness) -> Vec<Figure> {
    vec![doubled(l), instruments(l)]
}

/// Three figures of a value in %.
fn percent(value: f64) -> String {
    quote(value, value, 3).value
}

/// Bars with what is now and the target.
fn figure(l: &Looseness, name: &str, subtitle: String, rows: Vec<(Row, Estimate)>) -> Figure {
    let rule = |at: f64, label: &str, tone: Tone, stroke: Stroke| {
        let label = format!("{label} {} %", percent(100.0 * at));
        Rule::upright(100.0 * at, label, Look::line(tone, stroke))
    };
    let one = |(i, (_, e)): (usize, &(Row, Estimate))| {
        let [value, half] = [100.0 * e.value, 196.0 * e.se];
        bar(i, LANE, value, [value - half, value + half], percent(value))
    };
    let bars: Vec<Bar> = rows.iter().enumerate().map(one).collect();
    let largest = rows.first().zip(bars.first());
    let largest =
        largest.map(|((row, _), bar)| format!(" The first: {} {} %.", row.name, bar.label));
    Figure {
        name: name.to_owned(),
        title: l.scenario.title.clone(),
        alt: format!(
            "Bars of the {}, {subtitle}. It is {} % now; the target is {} %.{}",
            l.goal.name(),
            percent(100.0 * l.now.value),
            percent(100.0 * l.goal.target()),
            largest.unwrap_or_default()
        ),
        subtitle,
        panels: vec![Panel {
            x: Axis {
                from_zero: true,
                ..Axis::titled(format!("{}, %", l.goal.name()))
            },
            y: Axis::rows(rows.into_iter().map(|r| r.0).collect()),
            marks: vec![
                Bars {
                    fill: Fill::Strong,
                    bars,
                    ..Bars::default()
                }
                .into(),
                rule(l.now.value, "now", Tone::Accent, Stroke::Solid),
                rule(l.goal.target(), "target", Tone::Ink, Stroke::Dashed),
            ],
            ..Panel::default()
        }],
        notes: vec!["whiskers: 95 % intervals".to_owned()],
        footer: provenance_of_points(l.seed, l.trials, &l.scenario.digest),
    }
}

fn doubled(l: &Looseness) -> Figure {
    let mut possible: Vec<&Loosest> = l.tolerances.iter().collect();
    possible.retain(|x| x.doubled.is_defined());
    let subtitle = match possible.len() {
        n if n > ROWS => format!("each tolerance twice as large, alone: the {ROWS} largest of {n}"),
        _ => "each tolerance twice as large, alone".to_owned(),
    };
    let row = |x: &&Loosest| {
        let beyond = x.doubled_beyond.map_or("", |_| "; out of bounds");
        let row = Row {
            name: x.source.map_or(String::new(), |s| s.key.to_owned()),
            note: format!("now {}{beyond}", now(x)),
            rank: None,
        };
        (row, x.doubled)
    };
    let rows = possible.iter().take(ROWS).map(row).collect();
    figure(l, "doubled", subtitle, rows)
}

fn instruments(l: &Looseness) -> Figure {
    let all = l
        .instruments
        .iter()
        .flat_map(|i| i.upgrades.iter().map(move |u| (i, u)));
    let rows = all.map(|(i, u)| {
        let row = Row {
            name: match &u.step {
                Step::Better(key) | Step::Worse(key) => key.clone(),
                Step::Perfect => format!("{} without error", instrument(i)),
            },
            note: match &u.step {
                Step::Perfect => String::new(),
                _ => format!("one step from {}: {}", instrument(i), class(i, &u.step)),
            },
            rank: None,
        };
        (row, u.there)
    });
    let subtitle = "each instrument exchanged, alone".to_owned();
    figure(l, "instruments", subtitle, rows.take(ROWS).collect())
}
