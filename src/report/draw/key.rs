//! The key: what each look means, in rows above the panels.

use super::canvas::{Align, Canvas};
use super::geometry::{Point, Rect};
use super::pens::{boxed, marker, outline, stroke, whisker};
use super::style::{self, LABEL, STRONG, TICK, shade};
use super::text;
use crate::report::figure::{Fill, Look, Shape, Stroke};

/// Height of a row of keys.
const ROW: f64 = 23.0;
/// Room between a sample and its words, and from one key to the next.
const GAP: f64 = 7.0;
const BETWEEN: f64 = 24.0;

/// What stands before the words of a key.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Sample {
    /// A line or a marker.
    Look(Look),
    /// A filled area.
    Fill(Fill),
    /// An interval.
    Whisker,
    /// Shades from light to dark, with the numbers of their ends.
    Ramp([String; 2]),
    /// Hatched cells with a letter.
    Hatched(String),
    /// A framed cell.
    Frame,
}

impl Sample {
    fn width(&self) -> f64 {
        match self {
            Self::Look(look) if look.stroke == Stroke::None => 16.0,
            Self::Look(_) => 44.0,
            Self::Fill(_) => 32.0,
            Self::Whisker => 36.0,
            Self::Ramp(ends) => {
                100.0 + ends.iter().map(|e| text::width(e, TICK) + 6.0).sum::<f64>()
            }
            Self::Hatched(_) => 34.0,
            Self::Frame => 18.0,
        }
    }

    fn draw(&self, canvas: &mut Canvas<'_>, (x, y): Point) {
        let area = Rect::new(x, y - 7.0, x + self.width(), y + 7.0);
        let (start, end) = ((x, y), (area.right, y));
        match self {
            Self::Look(look) => {
                stroke(canvas, &[start, end], *look);
                marker(canvas, area.center(), *look);
            }
            Self::Fill(fill) => boxed(canvas, area, *fill),
            Self::Whisker => whisker(canvas, start, end, area.grown(10.0), (style::INK, 2.2)),
            Self::Ramp([low, high]) => {
                let from = x + text::width(low, TICK) + 6.0;
                for step in 0..50 {
                    let left = from + 2.0 * f64::from(step);
                    let piece = Rect::new(left, area.top, from + 100.0, area.bottom);
                    canvas.fill(piece, shade(f64::from(step) / 49.0));
                }
                outline(
                    canvas,
                    Rect::new(from, area.top, from + 100.0, area.bottom),
                    style::INK,
                    0.8,
                );
                let baseline = y + 0.36 * TICK.size;
                canvas.text(low, (x, baseline), Align::Start, TICK);
                canvas.text(high, (from + 106.0, baseline), Align::Start, TICK);
            }
            Self::Hatched(mark) => {
                zone(canvas, area, mark);
                outline(canvas, area, style::MID, 1.0);
            }
            Self::Frame => {
                canvas.fill(area, style::FILL);
                outline(canvas, area.grown(-1.5), style::ACCENT, 3.0);
            }
        }
    }
}

/// Hatched ground with a letter on clear ground in its middle.
pub(super) fn zone(canvas: &mut Canvas<'_>, area: Rect, mark: &str) {
    canvas.hatch(&area.corners(), 7.0, style::MID, 1.0);
    letter(canvas, area.center(), mark);
}

/// A letter on clear ground.
pub(super) fn letter(canvas: &mut Canvas<'_>, (x, y): Point, mark: &str) {
    let half = text::width(mark, STRONG) / 2.0 + 3.0;
    canvas.fill(
        Rect::new(x - half, y - 7.5, x + half, y + 7.5),
        style::PAPER,
    );
    canvas.text(mark, (x, y + 0.36 * STRONG.size), Align::Middle, STRONG);
}

/// A key with its place: from the left, and its row.
struct Seat {
    sample: Sample,
    left: f64,
    row: usize,
    words: String,
}

/// The rows of keys.
pub(super) struct Key {
    seats: Vec<Seat>,
    rows: usize,
}

impl Key {
    /// Lets keys flow into rows; those of the same sample and words are one.
    pub fn flow(mut all: Vec<(Sample, String)>) -> Self {
        let mut seen: Vec<(Sample, String)> = Vec::new();
        all.retain(|key| {
            let new = !key.1.is_empty() && !seen.contains(key);
            seen.push(key.clone());
            new
        });
        let (low, high) = (style::RIM, style::WIDTH - style::RIM);
        let mut seats = Vec::new();
        let (mut left, mut row) = (low, 0);
        for (sample, words) in all {
            let before = sample.width() + GAP;
            let words = text::shortened(&text::clean(&words), LABEL, high - low - before);
            let wide = before + text::width(&words, LABEL);
            if left > low && left + wide > high {
                (left, row) = (low, row + 1);
            }
            seats.push(Seat {
                sample,
                left,
                row,
                words,
            });
            left += wide + BETWEEN;
        }
        let rows = seats.last().map_or(0, |seat: &Seat| seat.row + 1);
        Self { seats, rows }
    }

    /// Height of all rows.
    pub fn height(&self) -> f64 {
        self.rows as f64 * ROW
    }

    /// Draws the rows from a place downwards.
    pub fn draw(&self, canvas: &mut Canvas<'_>, top: f64) {
        for seat in &self.seats {
            let y = top + (seat.row as f64 + 0.5) * ROW;
            seat.sample.draw(canvas, (seat.left, y));
            let at = (seat.left + seat.sample.width() + GAP, y + 0.36 * LABEL.size);
            canvas.text(&seat.words, at, Align::Start, LABEL);
        }
    }
}

/// The key of a line that is the one to look at.
pub(super) fn bold() -> Sample {
    Sample::Look(Look {
        stroke: Stroke::Broad,
        shape: Shape::None,
        tone: crate::report::figure::Tone::Accent,
    })
}
