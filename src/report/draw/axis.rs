//! Axes: lines, ticks, numbers, names of rows.

use super::canvas::{Align, Canvas};
use super::geometry::Rect;
use super::style::{self, AXIS, LABEL, NOTE, TICK};
use super::text;
use super::ticks::{Ticks, exact, ticks};
use super::view::{ROW, View};
use crate::report::figure::{Axis, Row, Scale};

/// Room below a panel for numbers, and for the name of the axis.
pub(super) const NUMBERS: f64 = 26.0;
pub(super) const NAME: f64 = 21.0;
/// Widest column of names.
const WIDEST: f64 = 310.0;
/// Room for ranks.
const RANK: f64 = 36.0;
/// Most given places that get a number.
const GIVEN: usize = 12;

/// A row of an axis of names on the sheet.
pub(super) struct Named {
    name: Vec<String>,
    note: Vec<String>,
    rank: String,
    /// Its height.
    pub height: f64,
}

/// Sets the rows of an axis: names and notes in as many lines as they need.
pub(super) fn named(rows: &[Row]) -> Vec<Named> {
    let set = |row: &Row| {
        let name = text::wrap(&row.name, LABEL, WIDEST, 2);
        let note = text::wrap(&row.note, NOTE, WIDEST, 3);
        let tall = name.len() as f64 * LABEL.leading() + note.len() as f64 * NOTE.leading();
        Named {
            rank: row.rank.map_or(String::new(), |rank| format!("{rank}.")),
            height: (tall + 9.0).max(ROW),
            name,
            note,
        }
    };
    rows.iter().map(set).collect()
}

/// Room that the names need at the left of the panel.
pub(super) fn names_width(rows: &[Named]) -> f64 {
    let widths = rows.iter().flat_map(|row| {
        let names = row.name.iter().map(|line| text::width(line, LABEL));
        names.chain(row.note.iter().map(|line| text::width(line, NOTE)))
    });
    let ranked = rows.iter().any(|row| !row.rank.is_empty());
    widths.fold(0.0, f64::max) + 10.0 + if ranked { RANK } else { 0.0 }
}

/// Draws names at the left of a panel.
pub(super) fn draw_rows(canvas: &mut Canvas<'_>, view: &View, rows: &[Named]) {
    for (row, middle) in rows.iter().zip(&view.y.rows) {
        let (names, notes) = (row.name.len() as f64, row.note.len() as f64);
        let mut y = middle - (names * LABEL.leading() + notes * NOTE.leading()) / 2.0;
        let lines = row.name.iter().map(|line| (line, LABEL));
        for (at, (line, face)) in lines
            .chain(row.note.iter().map(|line| (line, NOTE)))
            .enumerate()
        {
            let baseline = y + text::ASCENT * face.size + 1.5;
            canvas.text(line, (view.plot.left - 10.0, baseline), Align::End, face);
            if at == 0 {
                let face = style::Type {
                    color: style::MID,
                    ..LABEL
                };
                canvas.text(&row.rank, (style::RIM + 22.0, baseline), Align::End, face);
            }
            y += face.leading();
        }
    }
}

/// Numbers of a horizontal axis: those places that are given, if they find room, else as many round ones as do.
pub(super) fn across(axis: &Axis, ends: (f64, f64), length: f64) -> Ticks {
    let px = |v: f64| (v - ends.0) / (ends.1 - ends.0) * length;
    let fits = |found: &Ticks| {
        found.0.windows(2).all(|pair| {
            let half = |t: &(f64, String)| text::width(&t.1, TICK) / 2.0;
            px(pair[1].0) - px(pair[0].0) > half(&pair[0]) + half(&pair[1]) + 12.0
        })
    };
    let given = (1..=GIVEN)
        .contains(&axis.at.len())
        .then(|| exact(&axis.at))
        .flatten();
    let whole = axis.scale == Scale::Whole;
    let round = [10, 8, 6, 5, 4, 3, 2, 1].map(|wanted| ticks(ends, wanted, whole));
    given
        .into_iter()
        .chain(round)
        .find(fits)
        .unwrap_or_default()
}

/// Numbers of a vertical axis.
pub(super) fn upward(axis: &Axis, ends: (f64, f64), length: f64) -> Ticks {
    let given = (1..=GIVEN)
        .contains(&axis.at.len())
        .then(|| exact(&axis.at))
        .flatten();
    let close = |found: &Ticks| {
        let mut pairs = found.0.windows(2);
        pairs.all(|p| (p[1].0 - p[0].0) / (ends.1 - ends.0) * length > 17.0)
    };
    let wanted = (length / 55.0).clamp(2.0, 8.0) as usize;
    let round = || ticks(ends, wanted, axis.scale == Scale::Whole);
    given.filter(close).unwrap_or_else(round)
}

/// Room that numbers need at the left of the panel.
pub(super) fn numbers_width(ticks: &Ticks) -> f64 {
    ticks
        .0
        .iter()
        .map(|t| text::width(&t.1, TICK))
        .fold(0.0, f64::max)
        + 12.0
}

/// Draws grid lines, behind everything.
pub(super) fn grid(canvas: &mut Canvas<'_>, view: &View, x: &Ticks, y: &Ticks) {
    let plot = view.plot;
    for (value, _) in &x.0 {
        let at = view.x.px(*value);
        canvas.faint((at, plot.top), (at, plot.bottom), style::GRID, 1.0);
    }
    for (value, _) in &y.0 {
        let at = view.y.px(*value);
        canvas.faint((plot.left, at), (plot.right, at), style::GRID, 1.0);
    }
}

/// Draws both axes with their numbers.
pub(super) fn draw(canvas: &mut Canvas<'_>, view: &View, x: &Ticks, y: &Ticks, x_numbers: bool) {
    let plot = view.plot;
    let corner = (plot.left, plot.bottom);
    canvas.path(
        &[(plot.left, plot.top), corner, (plot.right, plot.bottom)],
        style::INK,
        1.2,
    );
    for (value, words) in &x.0 {
        let at = view.x.px(*value);
        canvas.line((at, plot.bottom), (at, plot.bottom + 5.0), style::INK, 1.2);
        let half = text::width(words, TICK) / 2.0;
        if x_numbers && at + half < style::WIDTH - 4.0 && at - half > 4.0 {
            let baseline = plot.bottom + 9.0 + text::ASCENT * TICK.size;
            canvas.text(words, (at, baseline), Align::Middle, TICK);
        }
    }
    for (value, words) in &y.0 {
        let at = view.y.px(*value);
        canvas.line((plot.left - 5.0, at), (plot.left, at), style::INK, 1.2);
        canvas.text(
            words,
            (plot.left - 9.0, at + 0.36 * TICK.size),
            Align::End,
            TICK,
        );
    }
}

/// Draws the name of a horizontal axis below its numbers.
pub(super) fn name(canvas: &mut Canvas<'_>, plot: Rect, title: &str) {
    let words = text::shortened(&text::clean(title), AXIS, style::WIDTH - 2.0 * style::RIM);
    let half = text::width(&words, AXIS) / 2.0;
    let (low, high) = (style::RIM + half, style::WIDTH - style::RIM - half);
    let x = plot.center().0.min(high).max(low);
    let baseline = plot.bottom + NUMBERS + text::ASCENT * AXIS.size + 2.0;
    canvas.text(&words, (x, baseline), Align::Middle, AXIS);
}
