//! The picture of a comparison: a ranking by the distance that 95 % of groups stay within.

use super::cells::zones;
use super::text::compare_provenance;
use crate::design::{Comparison, Delivered};
use crate::report::chart::{BarRow, BarsChart, ChartError, Picture};
use crate::stats::Estimate;

/// Names and pictures.
///
/// # Errors
/// If a picture cannot be drawn.
pub fn compare_pictures(c: &Comparison) -> Result<Vec<(&'static str, Picture)>, ChartError> {
    let rows = c.by_place().into_iter().map(|(i, d)| row(c, i, d));
    let chart = BarsChart {
        title: "Which procedure comes closest to the true value?".to_owned(),
        subtitle: "all on the same random numbers; those that are not told apart share a place"
            .to_owned(),
        x_title: "% of each one's true value".to_owned(),
        rows: rows.collect(),
        marks: Vec::new(),
        bar_name: "95 % of groups stay within".to_owned(),
        second_name: "size of the bias".to_owned(),
        footer: compare_provenance(c),
    };
    Ok(vec![("compare", chart.draw()?)])
}

fn row(c: &Comparison, i: usize, d: &Delivered) -> BarRow {
    // Value and 95 % interval; a size ends at zero.
    let span = |e: Estimate| {
        let [value, half] = [100.0 * e.value, 196.0 * e.se];
        (value, (value - half).max(0.0), value + half)
    };
    let (value, low, high) = span(d.within());
    let bias = d.relative(d.outcome.errors.bias);
    let [calibration, determination] = d.outcome.rises;
    let signed = |rise: f64| format!("{rise:+.2} K").replace('-', "−");
    let mut note = if d.scenario.calibration.runs == 0 {
        format!("ΔT {}", signed(determination))
    } else {
        format!("ΔT {}, {}", signed(calibration), signed(determination))
    };
    if !d.zones.is_empty() {
        note.push_str(&format!("; {}", zones(d)));
    }
    BarRow {
        label: format!("{}: {}", Comparison::letter(i), c.contenders[i].name),
        note,
        value,
        low,
        high,
        second: Some(span(Estimate::new(bias.value.abs(), bias.se))),
        rank: u32::try_from(d.place).ok(),
    }
}
