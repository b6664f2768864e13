//! The figure of a comparison: a ranking by the distance that 95 % of groups stay within.

use super::cells::zones;
use super::text::compare_provenance;
use crate::design::{Comparison, Delivered};
use crate::report::figure::{Axis, Bar, Bars, Figure, Fill, Panel, Row};
use crate::report::rank::figures::{LANES, bar};
use crate::report::words::minus;
use crate::stats::Estimate;

/// Names and pictures.
///
/// The figure.
pub(in crate::report) fn compare_figures(c: &Comparison) -> Vec<Figure> {
    let placed = c.by_place();
    let bars = |of: &dyn Fn(&Delivered) -> Estimate, lane: usize| -> Vec<Bar> {
        let one = |(row, (_, d)): (usize, &(usize, &Delivered))| {
            // Value and 95 % interval; a magnitude ends at zero.
            let e = of(d);
            let [value, half] = [100.0 * e.value, 196.0 * e.se];
            let ends = [(value - half).max(0.0), value + half];
            bar(row, LANES[lane], value, ends, format!("{value:.2}"))
        };
        placed.iter().enumerate().map(one).collect()
    };
    let bias = |d: &Delivered| {
        let bias = d.relative(d.outcome.errors.bias);
        Estimate::new(bias.value.abs(), bias.se)
    };
    let marks = [
        (
            "95 % of groups stay within",
            Fill::Strong,
            bars(&|d| d.within(), 0),
        ),
        ("magnitude of the bias", Fill::Hatched, bars(&bias, 1)),
    ];
    let told = |(i, d): &(usize, &Delivered)| {
        format!(
            "{} {:.2} %",
            c.contenders[*i].name,
            100.0 * d.within().value
        )
    };
    let told: Vec<String> = placed.iter().map(told).collect();
    let marks = marks.into_iter().map(|(name, fill, bars)| {
        let bars = Bars {
            name: name.to_owned(),
            fill,
            bars,
            ..Bars::default()
        };
        bars.into()
    });
    vec![Figure {
        name: "compare".to_owned(),
        title: "Which procedure comes closest to the true value?".to_owned(),
        subtitle: "all on the same random numbers; those that are not told apart share a place"
            .to_owned(),
        alt: format!(
            "Bars of the distance from the true value that 95 % of groups stay within, the closest first: {}.",
            told.join(", ")
        ),
        panels: vec![Panel {
            x: Axis {
                from_zero: true,
                ..Axis::titled("% of each one's true value")
            },
            y: Axis::rows(placed.iter().map(|(i, d)| row(c, *i, d)).collect()),
            marks: marks.collect(),
            ..Panel::default()
        }],
        notes: vec!["whiskers: 95 % intervals".to_owned()],
        footer: compare_provenance(c),
    }]
}

fn row(c: &Comparison, i: usize, d: &Delivered) -> Row {
    let [calibration, determination] = d.outcome.changes;
    let signed = |change: f64| minus(&format!("{change:+.2} K"));
    let mut note = if d.scenario.calibration.runs == 0 {
        format!("ΔT {}", signed(determination))
    } else {
        format!("ΔT {}, {}", signed(calibration), signed(determination))
    };
    if !d.zones.is_empty() {
        note.push_str(&format!("; {}", zones(d)));
    }
    Row {
        name: format!("{}: {}", Comparison::letter(i), c.contenders[i].name),
        note,
        rank: u32::try_from(d.place).ok(),
    }
}
