//! The table beside the plot: what each way finds, and how far that is from the truth.

use super::canvas::{Align, Canvas};
use super::geometry::{Point, Rect};
use super::reductions_content::Content;
use super::style::{self, LABEL, NOTE, Type};
use super::text;
use super::ticks::{decimals_for, label};

/// Width of the table and of the small plot below it.
pub(super) const WIDTH: f64 = 352.0;
/// Height of a row.
const ROW: f64 = 20.0;
/// Height of the row that names the columns.
const HEAD: f64 = 20.0;
/// Radius of the ring around a number.
pub(super) const RING: f64 = 8.0;
/// Right ends of the columns with numbers, counted from the right edge.
const COLUMNS: [f64; 3] = [141.0, 73.0, 0.0];
/// The widest number in each of them.
const ROOMS: [f64; 3] = [32.0, 62.0, 66.0];
/// Printed when there is no number to print.
const NONE: &str = "–";

const DIGIT: Type = Type {
    size: 11.0,
    bold: true,
    color: style::INK,
};
const CELL: Type = Type {
    size: 12.5,
    ..LABEL
};

/// The number of a way in a ring, which ties the arrow to its row.
pub(super) fn ring(canvas: &mut Canvas<'_>, (x, y): Point, number: usize) {
    canvas.dot((x, y), RING, style::INK);
    canvas.dot((x, y), RING - 1.2, style::PAPER);
    let at = (x, y + 0.37 * DIGIT.size);
    canvas.text(&label(number as f64, 0), at, Align::Middle, DIGIT);
}

/// How tall the table is.
pub(super) fn height(content: &Content<'_>, truth: Option<f64>) -> f64 {
    let rows = content.ways.len() + usize::from(truth.is_some());
    HEAD + rows as f64 * ROW + 6.0
}

/// The deviation from the truth in per cent.
fn deviation(rise: f64, truth: Option<f64>) -> Option<f64> {
    let part = 100.0 * (rise / truth? - 1.0);
    part.is_finite().then_some(part)
}

fn signed(value: f64, decimals: usize) -> String {
    let plain = label(value, decimals);
    let positive = value > 0.0 && plain.bytes().any(|digit| (b'1'..=b'9').contains(&digit));
    format!("{}{plain} %", if positive { "+" } else { "" })
}

fn moment(at: Option<f64>) -> String {
    match at {
        Some(at) if at.is_finite() => {
            label(at, usize::from(at.fract() != 0.0 && at.abs() < 1000.0))
        }
        _ => NONE.to_owned(),
    }
}

/// Draws the table.
pub(super) fn draw(canvas: &mut Canvas<'_>, area: Rect, content: &Content<'_>, truth: Option<f64>) {
    // Tenths of a millikelvin are the finest that any thermometer here resolves.
    let fine = decimals_for(content.size / 1000.0).min(4);
    let parts: Vec<Option<f64>> = content
        .ways
        .iter()
        .map(|way| deviation(way.rise, truth))
        .collect();
    // Hundredths of a per cent mean nothing beside tens of per cent.
    let coarse = parts.iter().flatten().any(|part| part.abs() >= 99.95);
    let part_decimals = if coarse { 1 } else { 2 };
    let compared = truth.is_some();

    let mut top = area.top;
    let names = ["at, s", "ΔT, K", if compared { "from true" } else { "" }];
    let mut row = |top: f64, name: &str, cells: [&str; 3], face: Type| {
        let baseline = top + ROW / 2.0 + 0.36 * face.size;
        let start = area.left + 2.0 * RING + 8.0;
        let ends = columns(area, compared);
        let (name, small) = text::fit(&text::clean(name), face, ends[0] - ROOMS[0] - 4.0 - start);
        canvas.text(&name, (start, baseline), Align::Start, small);
        for ((words, end), room) in cells.iter().zip(ends).zip(ROOMS) {
            let (words, small) = text::fit(words, face, room);
            canvas.text(&words, (end, baseline), Align::End, small);
        }
    };
    row(top, "way", names, NOTE);
    top += HEAD;
    for (way, part) in content.ways.iter().zip(&parts) {
        let part = match part {
            Some(part) => signed(*part, part_decimals),
            None if compared => NONE.to_owned(),
            None => String::new(),
        };
        let cells = [&moment(way.at), &label(way.rise, fine), &part];
        row(top, &way.name, cells.map(String::as_str), CELL);
        top += ROW;
    }
    if let Some(truth) = truth {
        let face = Type { bold: true, ..CELL };
        row(top + 4.0, "true", ["", &label(truth, fine), ""], face);
    }

    let rules = [area.top + HEAD - 0.5]
        .into_iter()
        .chain(compared.then_some(top + 2.0));
    for y in rules {
        canvas.line((area.left, y), (area.right, y), style::SOFT, 1.0);
    }
    for index in 0..content.ways.len() {
        let y = area.top + HEAD + (index as f64 + 0.5) * ROW;
        ring(canvas, (area.left + RING + 1.0, y), index + 1);
    }
}

/// Without a truth the last column is missing and the others move into its place.
fn columns(area: Rect, compared: bool) -> [f64; 3] {
    let shift = if compared { 0.0 } else { COLUMNS[1] };
    COLUMNS.map(|from_right| (area.right - from_right + shift).min(area.right))
}
