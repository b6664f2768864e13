//! The pictures of `loosen`: what a doubled tolerance costs, and what other instruments bring.

use super::words::{class, instrument, now};
use crate::design::{Looseness, Loosest, Step};
use crate::report::chart::{BarRow, BarsChart, ChartError, Mark, Picture};
use crate::report::words::provenance_of_points;
use crate::stats::{Estimate, quote};

/// Rows of a picture.
const ROWS: usize = 14;

/// Names and pictures.
///
/// # Errors
/// If a picture cannot be drawn.
pub fn loosen_pictures(l: &Looseness) -> Result<Vec<(&'static str, Picture)>, ChartError> {
    let mut all = vec![("doubled", doubled(l)?)];
    if l.instruments.iter().any(|i| !i.upgrades.is_empty()) {
        all.push(("instruments", instruments(l)?));
    }
    Ok(all)
}

/// A value in % with the ends of its 95 % interval.
fn bar(e: Estimate) -> (f64, f64, f64) {
    let [value, half] = [e.value, 1.96 * e.se].map(|x| 100.0 * x);
    (value, value - half, value + half)
}

/// Lines for what is now and for the target.
fn marks(l: &Looseness) -> Vec<Mark> {
    let of = |x: f64, label: &str| Mark {
        at: 100.0 * x,
        label: format!("{label} {} %", quote(100.0 * x, 100.0 * x, 3).value),
    };
    vec![of(l.now.value, "now"), of(l.goal.target(), "target")]
}

fn footer(l: &Looseness) -> String {
    provenance_of_points(l.seed, l.trials, &l.scenario.digest)
}

fn doubled(l: &Looseness) -> Result<Picture, ChartError> {
    let possible: Vec<&Loosest> = l
        .tolerances
        .iter()
        .filter(|x| x.doubled.is_defined())
        .collect();
    let rows = possible.iter().take(ROWS).map(|x| {
        let (value, low, high) = bar(x.doubled);
        let beyond = x.doubled_beyond.map_or("", |_| "; out of bounds");
        BarRow {
            label: x.source.map_or(String::new(), |s| s.key.to_owned()),
            note: format!("now {}{beyond}", now(x)),
            value,
            low,
            high,
            ..BarRow::default()
        }
    });
    BarsChart {
        title: l.scenario.title.clone(),
        subtitle: match possible.len() {
            n if n > ROWS => {
                format!("each tolerance twice as large, alone: the {ROWS} largest of {n}")
            }
            _ => "each tolerance twice as large, alone".to_owned(),
        },
        x_title: format!("{}, %", l.goal.name()),
        rows: rows.collect(),
        marks: marks(l),
        footer: footer(l),
        ..BarsChart::default()
    }
    .draw()
}

fn instruments(l: &Looseness) -> Result<Picture, ChartError> {
    let mut rows = Vec::new();
    for i in &l.instruments {
        for u in &i.upgrades {
            let (value, low, high) = bar(u.there);
            rows.push(BarRow {
                label: match &u.step {
                    Step::Better(key) | Step::Worse(key) => key.clone(),
                    Step::Perfect => format!("{} without error", instrument(i)),
                },
                note: match &u.step {
                    Step::Perfect => String::new(),
                    _ => format!("one step from {}: {}", instrument(i), class(i, &u.step)),
                },
                value,
                low,
                high,
                ..BarRow::default()
            });
        }
    }
    rows.truncate(ROWS);
    BarsChart {
        title: l.scenario.title.clone(),
        subtitle: "each instrument exchanged, alone".to_owned(),
        x_title: format!("{}, %", l.goal.name()),
        rows,
        marks: marks(l),
        footer: footer(l),
        ..BarsChart::default()
    }
    .draw()
}
