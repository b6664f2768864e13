//! Words above a panel that name upright lines and stretches, in rows so that none overlaps another.

use super::canvas::{Align, Canvas};
use super::geometry::Rect;
use super::pens::stroke;
use super::style::{self, Type};
use super::text;
use crate::report::figure::Look;

/// Height of a row of words.
const ROW: f64 = 19.0;
/// Free room beside words.
const GAP: f64 = 7.0;
/// Most rows; words beyond are shortened into the last one.
const MOST: usize = 12;

/// Words above a place of the horizontal axis.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Flag {
    /// Where the place is: on the axis, and on the sheet once that is laid out.
    pub at: f64,
    /// The words.
    pub words: String,
    /// Their face.
    pub face: Type,
    /// The line that leads up to the words: that of a rule.
    pub stem: Option<Look>,
    /// Whether the words stand above the middle of a stretch instead of beside a line.
    pub over: bool,
}

/// A flag on the sheet.
struct Seat {
    flag: Flag,
    /// The side on which the place lies beyond the axis: -1, 0 or 1.
    beyond: f64,
    left: f64,
    row: usize,
}

impl Seat {
    fn stretch(&self) -> (f64, f64) {
        (self.left - GAP, self.left + text::width(&self.flag.words, self.flag.face) + GAP)
    }
}

/// All flags of a panel.
pub(super) struct Flags(Vec<Seat>);

impl Flags {
    /// Finds a row for each flag: its words keep clear of other words and of the lines that lead up to others.
    pub fn arrange(flags: Vec<Flag>, plot: Rect) -> Self {
        let (low, high) = (style::RIM, style::WIDTH - style::RIM);
        let mut seats: Vec<Seat> = Vec::new();
        for mut flag in flags {
            flag.words = text::shortened(&text::clean(&flag.words), flag.face, 0.6 * (high - low));
            if flag.words.is_empty() {
                continue;
            }
            let wide = text::width(&flag.words, flag.face);
            let x = flag.at.clamp(plot.left, plot.right);
            let beyond = if flag.at < x - 0.5 {
                -1.0
            } else if flag.at > x + 0.5 {
                1.0
            } else {
                0.0
            };
            let (right, left, middle) = (x + 5.0, x - 5.0 - wide, x - wide / 2.0);
            let tries = match beyond {
                _ if flag.over => [middle, middle, middle],
                1.0 => [left, left, left],
                -1.0 => [right, right, right],
                _ => [right, left, middle],
            };
            let free = |row: usize, from: f64| {
                let (start, end) = (from - GAP, from + wide + GAP);
                seats.iter().all(|s| match s.row.cmp(&row) {
                    std::cmp::Ordering::Equal => s.stretch().0 >= end || s.stretch().1 <= start,
                    std::cmp::Ordering::Greater => s.flag.at <= start || s.flag.at >= end,
                    std::cmp::Ordering::Less => x <= s.stretch().0 || x >= s.stretch().1,
                })
            };
            let clamped = tries.map(|from| from.clamp(low, (high - wide).max(low)));
            let found = (0..MOST)
                .flat_map(|row| clamped.map(|from| (row, from)))
                .find(|(row, from)| free(*row, *from));
            let top = seats.iter().map(|s| s.row + 1).max().unwrap_or(0);
            let (row, left) = found.unwrap_or((top, clamped[0]));
            flag.at = x;
            seats.push(Seat {
                flag,
                beyond,
                left,
                row,
            });
        }
        Self(seats)
    }

    /// Height of all rows.
    pub fn height(&self) -> f64 {
        let rows = self.0.iter().map(|s| s.row + 1).max().unwrap_or(0);
        rows as f64 * ROW
    }

    /// Draws words, and lines up to them from the upper edge of the panel; `base` is the lower edge of the first row.
    pub fn draw(&self, canvas: &mut Canvas<'_>, base: f64, plot: Rect) {
        for seat in &self.0 {
            let (flag, x) = (&seat.flag, seat.flag.at);
            let bottom = base - seat.row as f64 * ROW;
            if seat.beyond != 0.0 {
                let tip = (x + 12.0 * seat.beyond, bottom - 9.0);
                canvas.arrow_head(tip, (seat.beyond, 0.0), flag.face.color);
            } else if let Some(stem) = flag.stem {
                let beside = !(seat.left..seat.left + text::width(&flag.words, flag.face)).contains(&x);
                let end = bottom - if beside { ROW - 4.0 } else { 1.0 };
                stroke(canvas, &[(x, plot.top), (x, end)], stem);
            } else if seat.row > 0 {
                canvas.line((x, base), (x, bottom - 1.0), style::MID, 1.0);
            }
            canvas.text(&flag.words, (seat.left, bottom - 5.0), Align::Start, flag.face);
        }
    }
}
