//! The pictures of `loosen`: what a doubled tolerance costs, and what other instruments bring.

use super::chart::{BarRow, BarsChart, ChartError, Picture};
use super::loosen_text::instrument;
use super::words::provenance;
use crate::design::{Looseness, Step};
use crate::stats::Estimate;

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

fn standing(l: &Looseness) -> String {
    format!(
        "now {:.3} %; the target is {} %",
        100.0 * l.now.value,
        crate::quantity::decimal(100.0 * l.goal.target())
    )
}

fn footer(l: &Looseness) -> String {
    provenance(l.seed, l.trials, &l.scenario.digest)
}

fn doubled(l: &Looseness) -> Result<Picture, ChartError> {
    let rows = l.tolerances.iter().take(ROWS).map(|x| {
        let (value, low, high) = bar(x.doubled);
        BarRow {
            label: x.source.map_or(String::new(), |s| s.key.to_owned()),
            note: x
                .now
                .first()
                .map_or(String::new(), |(_, text)| format!("now {text}")),
            value,
            low,
            high,
            ..BarRow::default()
        }
    });
    BarsChart {
        title: l.scenario.title.clone(),
        subtitle: format!("each tolerance twice as large, alone; {}", standing(l)),
        x_title: format!("{}, %", l.goal.name()),
        rows: rows.collect(),
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
                note: match u.step {
                    Step::Better(_) => format!("one class better than {}", instrument(i)),
                    Step::Worse(_) => format!("one class worse than {}", instrument(i)),
                    Step::Perfect => String::new(),
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
        subtitle: format!("each instrument exchanged, alone; {}", standing(l)),
        x_title: format!("{}, %", l.goal.name()),
        rows,
        footer: footer(l),
        ..BarsChart::default()
    }
    .draw()
}
