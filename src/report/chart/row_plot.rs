//! What charts of rows share: names on the left, one scale below, a sheet as tall as its rows.

use super::canvas::{Align, Canvas, paint_tall};
use super::frame::{
    Axis, Frame, SCALE_ROOM, Sheet, Words, draw_x_ticks, draw_x_title, fitting_ticks,
};
use super::geometry::Rect;
use super::picture::{ChartError, Picture};
use super::row_names::Names;
use super::row_scale::{Beside, Scale, Window};
use super::style::{self, LABEL, TICK, Type};
use super::text;
use super::ticks::{Ticks, label};

/// More rows than this are not drawn; a taller picture could not be read or printed.
pub(super) const MOST_ROWS: usize = 40;
/// Height of a row of keys.
pub(super) const KEY_ROW: f64 = 24.0;
/// Room of the sample of a key, and between two keys.
pub(super) const SAMPLE: f64 = 26.0;
const KEY_GAP: f64 = 26.0;
/// Longer names of keys are made smaller.
const KEY_ROOM: f64 = 360.0;

/// The layout from left to right, which does not depend on the heights.
pub(super) struct Across {
    /// Where values stand.
    pub scale: Scale,
    names: Names,
    left: f64,
    right: f64,
}

impl Across {
    /// Shares the width out between names, data and the words beside the data.
    pub fn lay(names: Names, window: Window, words: &[Beside]) -> Self {
        let (rim, end) = Frame::sides();
        let (left, right) = (rim + names.width() + 12.0, end - 12.0);
        Self {
            scale: Scale::lay(window, (left, right), words),
            names,
            left,
            right,
        }
    }
}

/// A laid-out chart of rows.
pub(super) struct RowPlot {
    /// Where the data go.
    pub plot: Rect,
    /// The strip above the plot that was asked for.
    pub strip: Rect,
    /// Where values stand.
    pub scale: Scale,
    /// The middle of each row.
    pub middles: Vec<f64>,
    sheet: Sheet,
    height: u32,
    names: Names,
    ticks: Ticks,
    title: String,
}

impl RowPlot {
    /// Lays out a sheet that is as tall as rows of at least the given height need it.
    pub fn lay(words: &Words<'_>, across: Across, title: &str, (least, strip): (f64, f64)) -> Self {
        let heights = across.names.heights(least);
        let rows: f64 = heights.iter().sum();
        // What the words around the plot take shows on a sheet of any height.
        let draft = Sheet::lay(words).free.height();
        let around = f64::from(style::HEIGHT) - draft;
        let pad = 4.0;
        let height = (around + strip + rows + 2.0 * pad + SCALE_ROOM).ceil();
        let height = height.clamp(1.0, 20_000.0) as u32;
        let sheet = Sheet::lay_tall(words, height);

        let top = sheet.free.top + strip;
        let plot = Rect::new(
            across.left,
            top,
            across.right,
            sheet.free.bottom - SCALE_ROOM,
        );
        let middles = heights
            .iter()
            .scan(top + pad, |top, height| {
                *top += height;
                Some(*top - height / 2.0)
            })
            .collect();
        Self {
            plot,
            strip: Rect::new(across.left, sheet.free.top, across.right, top),
            middles,
            ticks: ticks_over(&across.scale, plot),
            scale: across.scale,
            sheet,
            height,
            names: across.names,
            title: title.to_owned(),
        }
    }

    /// Draws the surroundings and, between grid and axis, the data.
    pub fn paint(&self, draw: impl FnOnce(&mut Canvas<'_>)) -> Result<Picture, ChartError> {
        let plot = self.plot;
        paint_tall(self.height, |canvas| {
            for value in &self.ticks.at {
                let x = self.scale.x_free(*value);
                canvas.line((x, plot.top), (x, plot.bottom), style::GRID, 1.0);
            }
            draw(canvas);
            let (from, to) = ((plot.left, plot.bottom), (plot.right, plot.bottom));
            canvas.line(from, to, style::INK, 1.2);
            draw_x_ticks(canvas, plot, &self.ticks, |value| self.scale.x_free(value));
            draw_x_title(canvas, plot, &self.title, self.sheet.free);
            for (row, middle) in self.middles.iter().enumerate() {
                self.names.draw(canvas, row, self.sheet.free.left, *middle);
            }
            self.sheet.draw(canvas);
        })
    }

    /// An upright line over all rows where zero is, if the data reach there.
    pub fn draw_zero(&self, canvas: &mut Canvas<'_>) {
        if !self.scale.beyond(0.0) {
            let x = self.scale.x(0.0);
            let (from, to) = ((x, self.plot.top), (x, self.plot.bottom));
            canvas.line(from, to, style::INK, 1.2);
        }
    }
}

/// The round values below the data; none stands more than a step away from them, where only
/// words are.
fn ticks_over(scale: &Scale, plot: Rect) -> Ticks {
    let (low, high) = scale.values((plot.left, plot.right));
    let axis = Axis {
        title: String::new(),
        low,
        high,
        whole: false,
    };
    let mut ticks = fitting_ticks(&axis, plot.width());
    let step = match ticks.at[..] {
        [first, second, ..] => 0.999 * (second - first),
        _ => 0.0,
    };
    let Window { low, high } = scale.window;
    let decimals = ticks.decimals;
    let (rim, end) = Frame::sides();
    ticks.at.retain(|value| {
        // A long number at an end of the axis must not stick out of the sheet.
        let half = text::width(&label(*value, decimals), TICK) / 2.0;
        let x = scale.x_free(*value);
        let near = *value > low - step && *value < high + step;
        near && x - half >= rim - 6.0 && x + half <= end + 6.0
    });
    ticks
}

/// A key: the name of a mark, and where the mark and its name stand.
pub(super) struct Key {
    /// Middle of the sample.
    pub sample: f64,
    /// The words.
    pub words: String,
    /// Their face.
    pub face: Type,
    /// Left end of the words.
    pub left: f64,
    /// Right end of the words.
    pub right: f64,
}

/// Keys side by side, beginning at the given place or, when that is too far right, earlier.
pub(super) fn keys(names: &[&str], start: f64) -> Vec<Key> {
    let (low, high) = Frame::sides();
    let set: Vec<(String, Type)> = names
        .iter()
        .map(|name| text::fit(&text::clean(name), LABEL, KEY_ROOM))
        .collect();
    let total: f64 = set
        .iter()
        .map(|(words, face)| SAMPLE + 7.0 + text::width(words, *face) + KEY_GAP)
        .sum::<f64>()
        - KEY_GAP;
    let mut x = start.min(high - total).max(low);
    set.into_iter()
        .map(|(words, face)| {
            let left = x + SAMPLE + 7.0;
            let right = left + text::width(&words, face);
            let key = Key {
                sample: x + SAMPLE / 2.0,
                words,
                face,
                left,
                right,
            };
            x = right + KEY_GAP;
            key
        })
        .collect()
}

/// Writes the name of a key.
pub(super) fn draw_key(canvas: &mut Canvas<'_>, key: &Key, middle: f64) {
    let at = (key.left, middle + 0.36 * key.face.size);
    canvas.text(&key.words, at, Align::Start, key.face);
}

/// How a whisker is drawn: colour, width, and half the height of its ends.
pub(super) type WhiskerLook = (plotters::style::RGBColor, f64, f64);

/// Draws a whisker between two values; an end beyond the window becomes an arrow.
pub(super) fn draw_whisker(
    canvas: &mut Canvas<'_>,
    scale: &Scale,
    (low, high): (f64, f64),
    y: f64,
    (color, width, half): WhiskerLook,
) {
    let ends = [(low, -1.0), (high, 1.0)];
    canvas.line((scale.x(low), y), (scale.x(high), y), color, width);
    for (value, outward) in ends {
        let x = scale.x(value);
        if scale.beyond(value) {
            canvas.arrow_head((x, y), (outward, 0.0), color);
        } else {
            canvas.line((x, y - half), (x, y + half), color, width);
        }
    }
}

/// The remarks below the plot, those that are not empty.
pub(super) fn remarks(parts: &[String]) -> String {
    let told: Vec<&str> = parts
        .iter()
        .map(String::as_str)
        .filter(|part| !part.is_empty())
        .collect();
    told.join("; ")
}

/// Says how many rows are left out.
pub(super) fn left_out(rows: usize) -> String {
    match rows.saturating_sub(MOST_ROWS) {
        0 => String::new(),
        1 => "1 further row is not shown".to_owned(),
        many => format!("{many} further rows are not shown"),
    }
}

/// Says what the whiskers are, if there are any, and what an arrow at their end means.
pub(super) fn whisker_remark(scale: &Scale, drawn: &[(f64, f64)], what: &str) -> String {
    let beyond = |(low, high): &(f64, f64)| scale.beyond(*low) || scale.beyond(*high);
    if drawn.is_empty() {
        String::new()
    } else if drawn.iter().any(beyond) {
        format!("{what}, an arrow where one goes on beyond the scale")
    } else {
        what.to_owned()
    }
}
