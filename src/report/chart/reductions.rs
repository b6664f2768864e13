//! One record of temperature, and the several differences that can be read from it.
//!
//! The moments at which differences are taken crowd into the first seconds after mixing, while
//! the lines need minutes on both sides. So the stretch around the rise fills the large plot, a
//! small one shows the whole record, and the numbers stand in a table.

use super::canvas::{Align, Canvas, paint};
use super::frame::{Axis, Frame, Sheet, Words};
use super::geometry::Rect;
use super::record::FittedLine;
use super::record_content::View;
use super::reductions_content::{Content, MOST_WAYS};
use super::reductions_draw::{Stage, frame_stretch};
use super::reductions_table::{self as table, WIDTH};
use super::reductions_words::draw_key;
use super::style::{self, NOTE, STRONG};
use super::text;
use super::{ChartError, Picture};

/// Stretches longer than this many seconds get an axis in minutes.
const LONGEST_IN_SECONDS: f64 = 1200.0;
/// Height of the row that explains strokes and shades.
const KEY_ROW: f64 = 24.0;
/// Height of the line that names a plot.
const CAPTION: f64 = 20.0;
/// Free room between the large plot and what stands beside it.
const GAP: f64 = 14.0;

/// One way to get a temperature difference from the record.
#[derive(Debug, Clone, PartialEq)]
pub struct ReductionWay {
    /// A few words, such as "lines back to mixing".
    pub name: String,
    /// The moment at which the difference is taken, in seconds; a way without one is listed
    /// but not drawn.
    pub at: Option<f64>,
    /// One end of the difference, in °C: the temperature before, for a rise the lower one.
    pub low: f64,
    /// The other end, in °C.
    pub high: f64,
    /// The difference, in K, negative for a fall.
    pub rise: f64,
}

/// The moment that makes two areas beside the record equal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EqualAreas {
    /// Where the first area begins, in seconds.
    pub from: f64,
    /// Where the first area ends and the second begins, in seconds.
    pub at: f64,
    /// Where the second area ends, in seconds.
    pub to: f64,
}

/// A record on which several ways of getting one temperature difference are shown together.
#[derive(Debug, Clone, PartialEq)]
pub struct ReductionChart {
    /// Headline; a long one is made smaller or wrapped.
    pub title: String,
    /// The line under the headline; may be empty.
    pub subtitle: String,
    /// The readings: time since mixing in seconds and temperature in °C, in any order.
    pub readings: Vec<(f64, f64)>,
    /// The line through the period before, solid where fitted, dashed up to the moments used.
    pub fore: FittedLine,
    /// The line through the period after, likewise.
    pub after: FittedLine,
    /// The ways, numbered in this order; at most eight are shown.
    pub ways: Vec<ReductionWay>,
    /// The two areas of the construction with equal areas, shaded and hatched.
    pub areas: Option<EqualAreas>,
    /// The difference without errors, in K, with which the ways are compared.
    pub true_rise: Option<f64>,
    /// Origin of the picture; may be empty.
    pub footer: String,
}

impl ReductionChart {
    /// Draws the chart.
    ///
    /// # Errors
    ///
    /// [`ChartError::NoData`] when there is no finite reading.
    pub fn draw(&self) -> Result<Picture, ChartError> {
        let content = Content::of(self).ok_or(ChartError::NoData)?;
        let note = self.note(&content);
        let sheet = Sheet::lay(&Words {
            title: &self.title,
            subtitle: &self.subtitle,
            note: &note,
            footer: &self.footer,
        });
        let free = sheet.free;
        let top = free.top + KEY_ROW;
        let split = free.right - WIDTH;
        let large = Rect::new(free.left, top + CAPTION, split - GAP, free.bottom);
        let listed = Rect::new(split, top, free.right, free.bottom);

        let whole = content.whole();
        // The large plot is narrower than its cell; this share is left after the numbers.
        let near = content.stretch(whole, 0.85 * large.width());
        let table_end = table::height(&content, self.true_rise) + listed.top;
        let small = Rect::new(split, table_end + 14.0 + CAPTION, free.right, free.bottom);

        let (close, far) = content.split(near);
        let plots = [(large, near, close), (small, whole, far)].map(|(cell, stretch, shown)| {
            let (frame, unit) = lay(cell, &content, stretch, &shown);
            (frame, unit, shown)
        });
        paint(|canvas| {
            sheet.draw(canvas);
            for (index, (frame, unit, shown)) in plots.iter().enumerate() {
                let view = View { frame, unit: *unit };
                let stage = Stage {
                    view,
                    content: &content,
                    shown,
                    large: index == 0,
                };
                frame.draw_grid(canvas, true);
                if index == 1 {
                    frame_stretch(canvas, &stage, near);
                }
                stage.draw(canvas);
                frame.draw_axes(canvas);
                stage.draw_words(canvas);
                let words = [
                    "around the rise",
                    "whole record, the stretch at left framed",
                ][index];
                caption(canvas, frame.plot, words, index == 0);
            }
            draw_key(
                canvas,
                Rect::new(free.left, free.top, free.right, top),
                &content,
            );
            table::draw(canvas, listed, &content, self.true_rise);
        })
    }

    fn note(&self, content: &Content<'_>) -> String {
        let mut parts = Vec::new();
        match self.readings.len() - content.readings.len() {
            0 => {}
            1 => parts.push("1 reading without a finite value is left out".to_owned()),
            many => parts.push(format!(
                "{many} readings without a finite value are left out"
            )),
        }
        match self.ways.len().saturating_sub(MOST_WAYS) {
            0 => {}
            1 => parts.push("1 further way is left out".to_owned()),
            many => parts.push(format!("{many} further ways are left out")),
        }
        parts.join("; ")
    }
}

/// One of the two plots and the unit of its time axis.
fn lay(cell: Rect, content: &Content<'_>, stretch: (f64, f64), shown: &[usize]) -> (Frame, f64) {
    let minutes = stretch.1 - stretch.0 > LONGEST_IN_SECONDS;
    let unit = if minutes { 60.0 } else { 1.0 };
    let (low, high) = content.temperatures(stretch, shown);
    let x = Axis {
        title: format!("time since mixing, {}", if minutes { "min" } else { "s" }),
        low: stretch.0 / unit,
        high: stretch.1 / unit,
        whole: false,
    };
    let y = Axis {
        title: "temperature, °C".to_owned(),
        low,
        high,
        whole: false,
    };
    (Frame::panel(cell, x, y, 0.0), unit)
}

fn caption(canvas: &mut Canvas<'_>, plot: Rect, words: &str, strong: bool) {
    let face = if strong {
        STRONG
    } else {
        style::Type { size: 12.0, ..NOTE }
    };
    let (words, face) = text::fit(words, face, plot.width());
    canvas.text(&words, (plot.left, plot.top - 7.0), Align::Start, face);
}
