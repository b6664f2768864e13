//! What improving each source would buy: the error now, with a source halved, and without it.

use super::canvas::{Align, Canvas};
use super::frame::{Frame, Words};
use super::row_names::{Names, RowWords};
use super::row_plot::{
    Across, KEY_ROW, Key, MOST_ROWS, RowPlot, draw_key, draw_whisker, keys, left_out, remarks,
    whisker_remark,
};
use super::row_scale::{Beside, Scale, Window, usable};
use super::style::{self, LABEL, NOTE, STRONG, Type};
use super::text;
use super::{ChartError, Picture};

/// Height of a row: each of its circles has a lane of its own, since both often coincide.
const ROW: f64 = 41.0;
/// How far the lanes lie from the middle of the row.
const APART: f64 = 8.5;
/// Radii of the open and of the filled circle.
const OPEN: f64 = 5.0;
const FILLED: f64 = 4.6;
/// Free room between the marks of a row and the number there.
const GAP: f64 = 6.0;
/// With all data beyond this share of the largest, the scale does not begin at zero.
const NEAR_ZERO: f64 = 0.6;
/// A whisker shorter than its mark is left out.
const SHORTEST: f64 = 1.2 * OPEN;
/// What stands where nothing can be drawn.
const MISSING: &str = "no value";

/// One row of a [`StepsChart`].
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StepRow {
    /// Name of the source; a long one is wrapped.
    pub label: String,
    /// Small words below the name; may be empty.
    pub note: String,
    /// The error without the source, and its standard error.
    pub perfect: (f64, f64),
    /// The error with the source halved, and its standard error.
    pub halved: (f64, f64),
}

/// The error now beside the error after each single improvement, one row for each source.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StepsChart {
    /// Headline; a long one is made smaller or wrapped.
    pub title: String,
    /// The line under the headline; may be empty.
    pub subtitle: String,
    /// Name of the error with its unit, such as "RMS error, kJ/mol".
    pub x_title: String,
    /// The rows from top to bottom.
    pub rows: Vec<StepRow>,
    /// The error as things are.
    pub now: f64,
    /// Origin of the picture; may be empty.
    pub footer: String,
}

/// A circle, ready to be drawn.
struct Circle {
    row: usize,
    value: f64,
    whisker: Option<(f64, f64)>,
    filled: bool,
    /// The number beside it.
    words: String,
    face: Type,
}

impl Circle {
    /// The value at whose far side the number stands, and whether that is the left side.
    fn end(&self, now: f64) -> (f64, bool) {
        let (low, high) = self.whisker.unwrap_or((self.value, self.value));
        if self.value <= now {
            (low, true)
        } else {
            (high, false)
        }
    }
}

/// The circles of all rows that have a value.
fn circles(rows: &[StepRow]) -> Vec<Circle> {
    let mut all = Vec::new();
    for (row, step) in rows.iter().enumerate() {
        for (filled, (value, error)) in [(false, step.halved), (true, step.perfect)] {
            let (low, high) = (value - 2.0 * error, value + 2.0 * error);
            let known = error > 0.0 && usable(low) && usable(high);
            if usable(value) {
                all.push(Circle {
                    row,
                    value,
                    whisker: known.then_some((low, high)),
                    filled,
                    words: String::new(),
                    face: if filled { LABEL } else { NOTE },
                });
            }
        }
    }
    all
}

impl StepsChart {
    /// Draws the chart.
    ///
    /// # Errors
    ///
    /// [`ChartError::NotFinite`] when `now` is not, [`ChartError::NoData`] when no row has a
    /// finite value.
    pub fn draw(&self) -> Result<Picture, ChartError> {
        if !usable(self.now) {
            return Err(ChartError::NotFinite("the error now"));
        }
        let rows = &self.rows[..self.rows.len().min(MOST_ROWS)];
        let mut circles = circles(rows);
        let (window, zoomed) = self.window(&circles).ok_or(ChartError::NoData)?;
        for circle in &mut circles {
            circle.words = window.print(circle.value);
        }

        let words: Vec<RowWords<'_>> = rows
            .iter()
            .map(|row| RowWords {
                rank: None,
                label: &row.label,
                note: &row.note,
            })
            .collect();
        let mut beside: Vec<Beside> = circles
            .iter()
            .map(|circle| {
                let (at, leftward) = circle.end(self.now);
                let room = OPEN + GAP + text::width(&circle.words, circle.face) + 2.0;
                Beside { at, room, leftward }
            })
            .collect();
        beside.push(Beside {
            at: self.now,
            room: OPEN + GAP + text::width(MISSING, NOTE),
            leftward: true,
        });
        let across = Across::lay(Names::set(&words), window, &beside);

        let now_words = format!("now {}", window.print(self.now));
        let (now_words, now_face) = text::fit(&now_words, STRONG, 300.0);
        let half = text::width(&now_words, now_face) / 2.0;
        let (low, high) = Frame::sides();
        let now_x = across.scale.x(self.now).min(high - half).max(low + half);
        let keys = keys(&["source halved", "source perfect"], low);
        // Words over the line and the keys share a row where they are far enough apart.
        let shared = keys
            .last()
            .is_none_or(|key| key.right + 16.0 < now_x - half);
        let strip = if shared { KEY_ROW } else { 2.0 * KEY_ROW };

        let drawn: Vec<(f64, f64)> = circles
            .iter()
            .filter_map(|circle| visible(&across.scale, circle))
            .collect();
        let whiskers = "whiskers: two standard errors to either side";
        let note = remarks(&[
            whisker_remark(&across.scale, &drawn, whiskers),
            if zoomed {
                "the scale does not begin at zero".to_owned()
            } else {
                String::new()
            },
            left_out(self.rows.len()),
        ]);
        let around = Words {
            title: &self.title,
            subtitle: &self.subtitle,
            note: &note,
            footer: &self.footer,
        };
        let plot = RowPlot::lay(&around, across, &self.x_title, (ROW, strip));
        plot.paint(|canvas| {
            draw_keys(canvas, &keys, plot.strip.top + KEY_ROW / 2.0 - 2.0);
            plot.draw_zero(canvas);
            let face = Type {
                color: style::ACCENT,
                ..now_face
            };
            let x = plot.scale.x(self.now);
            let top = plot.plot.top;
            canvas.text(&now_words, (now_x, top - 7.0), Align::Middle, face);
            let line = ((x, top - 3.0), (x, plot.plot.bottom));
            canvas.line(line.0, line.1, style::ACCENT, 2.2);
            for circle in &circles {
                self.draw_step(canvas, &plot, circle);
            }
            for (row, middle) in plot.middles.iter().enumerate() {
                if !circles.iter().any(|circle| circle.row == row) {
                    let at = (x - OPEN - GAP, middle + 0.36 * NOTE.size);
                    canvas.text(MISSING, at, Align::End, NOTE);
                }
            }
        })
    }

    /// The window over all values, and whether zero was left out of it.
    fn window(&self, circles: &[Circle]) -> Option<(Window, bool)> {
        if circles.is_empty() {
            return None;
        }
        let mut core: Vec<f64> = circles.iter().map(|circle| circle.value).collect();
        core.push(self.now);
        let low = core.iter().copied().fold(f64::INFINITY, f64::min);
        let high = core.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let zoomed = low > NEAR_ZERO * high;
        if zoomed {
            // A little free room keeps the marks off the ends, and tiny differences small.
            let pad = (0.04 * (high - low)).max(0.01 * high);
            core.extend([low - pad, high + pad]);
        } else {
            core.push(0.0);
        }
        let whiskers: Vec<f64> = circles
            .iter()
            .filter_map(|circle| circle.whisker)
            .flat_map(|(low, high)| [low, high])
            .collect();
        let window = Window::over(&core, &whiskers)?;
        Some((window, zoomed && window.low > 0.0))
    }

    fn draw_step(&self, canvas: &mut Canvas<'_>, plot: &RowPlot, circle: &Circle) {
        let Some(middle) = plot.middles.get(circle.row) else {
            return;
        };
        let y = if circle.filled {
            middle + APART
        } else {
            middle - APART
        };
        let scale = &plot.scale;
        let x = scale.x(circle.value);
        canvas.line((scale.x(self.now), y), (x, y), style::SOFT, 2.6);
        if let Some(ends) = visible(scale, circle) {
            draw_whisker(canvas, scale, ends, y, (style::INK, 1.3, 4.5));
        }
        draw_circle(canvas, (x, y), circle.filled);
        let (end, leftward) = circle.end(self.now);
        let baseline = y + 0.36 * circle.face.size;
        if leftward {
            let at = (scale.x(end).min(x - OPEN) - GAP, baseline);
            canvas.text(&circle.words, at, Align::End, circle.face);
        } else {
            let at = (scale.x(end).max(x + OPEN) + GAP, baseline);
            canvas.text(&circle.words, at, Align::Start, circle.face);
        }
    }
}

/// The ends of a whisker that its circle does not hide.
fn visible(scale: &Scale, circle: &Circle) -> Option<(f64, f64)> {
    let (low, high) = circle.whisker?;
    let longest = (scale.x(high) - scale.x(circle.value)).max(scale.x(circle.value) - scale.x(low));
    (longest > SHORTEST).then_some((low, high))
}

fn draw_circle(canvas: &mut Canvas<'_>, at: (f64, f64), filled: bool) {
    if filled {
        canvas.dot(at, FILLED, style::INK);
    } else {
        canvas.ring(at, OPEN, (style::INK, 1.6));
    }
}

fn draw_keys(canvas: &mut Canvas<'_>, keys: &[Key], middle: f64) {
    for (filled, key) in [false, true].into_iter().zip(keys) {
        draw_circle(canvas, (key.sample, middle), filled);
        draw_key(canvas, key, middle);
    }
}
