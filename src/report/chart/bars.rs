//! Lying bars with intervals: shares of a variance, biases, whatever is compared by length.

use super::Mark;
use super::canvas::{Align, Canvas};
use super::frame::Words;
use super::geometry::Rect;
use super::row_marks::RowMarks;
use super::row_names::{Names, RowWords};
use super::row_plot::{
    Across, KEY_ROW, MOST_ROWS, RowPlot, SAMPLE, draw_key, draw_whisker, keys, left_out, remarks,
    whisker_remark,
};
use super::row_scale::{Beside, Scale, Window, usable};
use super::style::{self, LABEL, NOTE, Type};
use super::text;
use super::{ChartError, Picture};

/// Rows of one bar and of two.
const ROW: f64 = 27.0;
const DOUBLE_ROW: f64 = 41.0;
/// Half the thickness of a lone bar, of the upper and of the lower of a pair.
const LONE: f64 = 7.5;
const UPPER: f64 = 6.5;
const LOWER: f64 = 4.0;
/// How far the middles of a pair lie from the middle of the row.
const APART: f64 = 8.5;
/// Free room between a bar or its whisker and the number there.
const GAP: f64 = 7.0;
/// Room that a line leaves beside a number.
const ROOM: f64 = 3.0;
/// What stands where a value cannot be drawn.
const MISSING: &str = "no value";

/// One row of a [`BarsChart`].
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BarRow {
    /// Name of the row; a long one is wrapped.
    pub label: String,
    /// Small words below the name; may be empty.
    pub note: String,
    /// Length of the bar; a negative one points to the left.
    pub value: f64,
    /// Lower end of the 95 % interval; without a finite one no whisker is drawn.
    pub low: f64,
    /// Upper end of the 95 % interval.
    pub high: f64,
    /// A second, thinner bar below the first: value, lower and upper end of its interval.
    pub second: Option<(f64, f64, f64)>,
    /// Place in the order, counted from one, set before the name.
    pub rank: Option<u32>,
}

/// Lying bars with whiskers, one row for each thing compared, in the order given.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BarsChart {
    /// Headline; a long one is made smaller or wrapped.
    pub title: String,
    /// The line under the headline; may be empty.
    pub subtitle: String,
    /// Name of the quantity with its unit, such as "share of the variance, %".
    pub x_title: String,
    /// The rows from top to bottom.
    pub rows: Vec<BarRow>,
    /// Up to three upright lines through all rows, the first one whole and in colour.
    pub marks: Vec<Mark>,
    /// What the bars are called beside the second ones.
    pub bar_name: String,
    /// What the second bars are called.
    pub second_name: String,
    /// Origin of the picture; may be empty.
    pub footer: String,
}

/// A bar ready to be drawn.
struct Bar {
    row: usize,
    value: f64,
    whisker: Option<(f64, f64)>,
    second: bool,
    /// The number at its end.
    words: String,
    face: Type,
}

impl Bar {
    /// The value at whose far side the number stands, and whether that is the left side.
    fn end(&self) -> (f64, bool) {
        let (low, high) = self.whisker.unwrap_or((self.value, self.value));
        if self.value < 0.0 {
            (low.min(self.value), true)
        } else {
            (high.max(self.value), false)
        }
    }
}

fn interval(low: f64, high: f64) -> Option<(f64, f64)> {
    (usable(low) && usable(high) && low <= high).then_some((low, high))
}

impl BarsChart {
    /// Draws the chart.
    ///
    /// # Errors
    ///
    /// [`ChartError::NotFinite`] when a mark is not, [`ChartError::NoData`] when no row has a finite value.
    pub fn draw(&self) -> Result<Picture, ChartError> {
        if self.marks.iter().any(|mark| !usable(mark.at)) {
            return Err(ChartError::NotFinite("a mark"));
        }
        let rows = &self.rows[..self.rows.len().min(MOST_ROWS)];
        let (bars, window) = bars(rows, &self.marks).ok_or(ChartError::NoData)?;
        let double = bars.iter().any(|bar| bar.second);

        let words: Vec<RowWords<'_>> = rows
            .iter()
            .map(|row| RowWords {
                rank: row.rank,
                label: &row.label,
                note: &row.note,
            })
            .collect();
        let mut beside: Vec<Beside> = bars
            .iter()
            .map(|bar| {
                let (at, leftward) = bar.end();
                let room = GAP + text::width(&bar.words, bar.face) + 2.0;
                Beside { at, room, leftward }
            })
            .collect();
        beside.push(Beside {
            at: 0.0,
            room: GAP + text::width(MISSING, NOTE),
            leftward: false,
        });
        let across = Across::lay(Names::set(&words), window, &beside);

        let drawn: Vec<(f64, f64)> = bars
            .iter()
            .filter_map(|bar| visible(&across.scale, bar))
            .collect();
        let note = remarks(&[
            whisker_remark(&across.scale, &drawn, "whiskers: 95 % intervals"),
            left_out(self.rows.len()),
        ]);
        let around = Words {
            title: &self.title,
            subtitle: &self.subtitle,
            note: &note,
            footer: &self.footer,
        };
        let marks = RowMarks::lay(&self.marks, &across.scale);
        let (row, keys) = if double {
            (DOUBLE_ROW, KEY_ROW)
        } else {
            (ROW, 0.0)
        };
        let heights = (row, keys + marks.height());
        let plot = RowPlot::lay(&around, across, &self.x_title, heights);
        plot.paint(|canvas| {
            if double {
                self.draw_keys(canvas, &plot);
            }
            let place = |bar| Some((bar, place(&plot, bar, double)?));
            let placed: Vec<(&Bar, (f64, f64))> = bars.iter().filter_map(place).collect();
            for (bar, place) in &placed {
                draw_body(canvas, &plot, bar, *place);
            }
            plot.draw_zero(canvas);
            let middle = |(bar, (middle, _)): &(&Bar, (f64, f64))| number(&plot, bar, *middle);
            let numbers: Vec<Rect> = placed.iter().map(middle).collect();
            marks.draw(canvas, &plot, &numbers);
            for ((bar, place), area) in placed.iter().zip(&numbers) {
                draw_number(canvas, &plot, bar, *place, *area);
            }
            for (row, middle) in plot.middles.iter().enumerate() {
                if !bars.iter().any(|bar| bar.row == row) {
                    let at = (plot.scale.x(0.0) + GAP, middle + 0.36 * NOTE.size);
                    canvas.text(MISSING, at, Align::Start, NOTE);
                }
            }
        })
    }

    fn draw_keys(&self, canvas: &mut Canvas<'_>, plot: &RowPlot) {
        let middle = plot.strip.top + KEY_ROW / 2.0 - 2.0;
        let keys = keys(&[&self.bar_name, &self.second_name], plot.plot.left);
        for (second, key) in [false, true].into_iter().zip(&keys) {
            let half = if second { LOWER } else { UPPER };
            let area = Rect::new(
                key.sample - SAMPLE / 2.0,
                middle - half,
                key.sample + SAMPLE / 2.0,
                middle + half,
            );
            fill(canvas, area, second);
            draw_key(canvas, key, middle);
        }
    }
}

/// All bars of the rows and the window that holds them, unless there is none.
fn bars(rows: &[BarRow], marks: &[Mark]) -> Option<(Vec<Bar>, Window)> {
    let mut bars = Vec::new();
    for (index, row) in rows.iter().enumerate() {
        let first = Some((row.value, row.low, row.high));
        for (second, bar) in [(false, first), (true, row.second)] {
            if let Some((value, low, high)) = bar.filter(|bar| usable(bar.0)) {
                bars.push(Bar {
                    row: index,
                    value,
                    whisker: interval(low, high),
                    second,
                    words: String::new(),
                    face: if second { NOTE } else { LABEL },
                });
            }
        }
    }
    if bars.is_empty() {
        return None;
    }
    let mut core = vec![0.0];
    core.extend(bars.iter().map(|bar| bar.value));
    core.extend(marks.iter().map(|mark| mark.at));
    let whiskers: Vec<f64> = bars
        .iter()
        .filter_map(|bar| bar.whisker)
        .flat_map(|(low, high)| [low, high])
        .collect();
    let window = Window::over(&core, &whiskers)?;
    for bar in &mut bars {
        bar.words = window.print(bar.value);
    }
    Some((bars, window))
}

/// The body of a bar: plain grey, or hatched for the second of a pair.
fn fill(canvas: &mut Canvas<'_>, area: Rect, second: bool) {
    if second {
        canvas.fill_rect(area, style::PAPER);
        canvas.hatch(area, 5.0, style::MID);
    } else {
        canvas.fill_rect(area, style::SOFT);
    }
    let Rect {
        left,
        top,
        right,
        bottom,
    } = area;
    let around = [
        (left, top),
        (right, top),
        (right, bottom),
        (left, bottom),
        (left, top),
    ];
    canvas.path(&around, style::MID, 0.8);
}

/// The ends of a whisker long enough to be seen.
fn visible(scale: &Scale, bar: &Bar) -> Option<(f64, f64)> {
    bar.whisker.filter(|(low, high)| {
        scale.x(*high) - scale.x(*low) > 1.0 || scale.beyond(*low) || scale.beyond(*high)
    })
}

/// Middle and half the thickness of a bar.
fn place(plot: &RowPlot, bar: &Bar, double: bool) -> Option<(f64, f64)> {
    let middle = plot.middles.get(bar.row)?;
    Some(match (double, bar.second) {
        (false, _) => (*middle, LONE),
        (true, false) => (middle - APART, UPPER),
        (true, true) => (middle + APART, LOWER),
    })
}

fn draw_body(canvas: &mut Canvas<'_>, plot: &RowPlot, bar: &Bar, (middle, half): (f64, f64)) {
    let scale: &Scale = &plot.scale;
    let (zero, end) = (scale.x(0.0), scale.x(bar.value));
    let area = Rect::new(zero.min(end), middle - half, zero.max(end), middle + half);
    if area.width() > 0.3 {
        fill(canvas, area, bar.second);
    }
}

/// Where the number of a bar stands, with a little room around it.
fn number(plot: &RowPlot, bar: &Bar, middle: f64) -> Rect {
    let (at, leftward) = bar.end();
    let width = text::width(&bar.words, bar.face);
    let left = if leftward {
        plot.scale.x(at) - GAP - width
    } else {
        plot.scale.x(at) + GAP
    };
    let half = 0.8 * bar.face.size;
    Rect::new(
        left - ROOM,
        middle - half,
        left + width + ROOM,
        middle + half,
    )
}

/// The whisker of a bar and its number.
fn draw_number(
    canvas: &mut Canvas<'_>,
    plot: &RowPlot,
    bar: &Bar,
    (middle, half): (f64, f64),
    area: Rect,
) {
    let scale: &Scale = &plot.scale;
    if let Some(ends) = visible(scale, bar) {
        draw_whisker(canvas, scale, ends, middle, (style::INK, 1.5, half - 2.0));
    }
    let at = (area.left + ROOM, middle + 0.36 * bar.face.size);
    canvas.text(&bar.words, at, Align::Start, bar.face);
}
