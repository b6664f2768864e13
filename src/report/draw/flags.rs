//! Words above a panel that name upright lines and stretches, in rows so that none overlaps another.

use super::canvas::{Align, Canvas};
use super::geometry::Rect;
use super::pens::stroke;
use super::style::{self, Type};
use super::text;
use crate::report::figure::Look;
use std::cmp::Ordering;

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
    fn wide(&self) -> f64 {
        text::width(&self.flag.words, self.flag.face)
    }
}

/// All flags of a panel.
pub(super) struct Flags(Vec<Seat>);

impl Flags {
    /// Finds a row for each flag: its words keep clear of other words and of the lines that lead up to others.
    pub fn arrange(flags: Vec<Flag>, plot: Rect) -> Self {
        let (low, high) = (style::RIM, style::WIDTH - style::RIM);
        let clean = |flag: Flag| Flag {
            words: text::shortened(&text::clean(&flag.words), flag.face, 0.6 * (high - low)),
            ..flag
        };
        let mut flags: Vec<Flag> = flags.into_iter().map(clean).collect();
        flags.retain(|flag| !flag.words.is_empty());
        // From the outside inwards: outer words have free room beside them, inner ones go above.
        let middle = flags.iter().map(|f| f.at).sum::<f64>() / flags.len().max(1) as f64;
        flags.sort_by(|a, b| (b.at - middle).abs().total_cmp(&(a.at - middle).abs()));
        let lines: Vec<f64> = flags.iter().map(|f| f.at).collect();
        let mut seats: Vec<Seat> = Vec::new();
        for flag in flags {
            let wide = text::width(&flag.words, flag.face);
            let x = flag.at.clamp(plot.left, plot.right);
            let beyond = if (flag.at - x).abs() > 0.5 {
                (flag.at - x).signum()
            } else {
                0.0
            };
            let (right, left, middle) = (x + 5.0, x - 5.0 - wide, x - wide / 2.0);
            let tries = match beyond {
                _ if flag.over => [middle, x - wide + 6.0, x - 6.0],
                1.0 => [left; 3],
                -1.0 => [right; 3],
                _ => [right, left, middle],
            };
            let clear = |x: f64, from: f64, wide: f64| x <= from - 1.5 || x >= from + wide + 1.5;
            let free = |row: usize, from: f64| {
                seats.iter().all(|s| match s.row.cmp(&row) {
                    Ordering::Equal => {
                        s.left >= from + wide + GAP || s.left + s.wide() + GAP <= from
                    }
                    Ordering::Greater => clear(s.flag.at, from, wide),
                    Ordering::Less => clear(x, s.left, s.wide()),
                })
            };
            let alone = |from: f64| lines.iter().all(|l| *l == flag.at || clear(*l, from, wide));
            let kept = |from: f64| from.clamp(low, (high - wide).max(low));
            let all = (0..MOST).flat_map(|row| tries.map(|from| (row, kept(from))));
            let mut free = all.filter(|(row, from)| free(*row, *from));
            let best = free
                .clone()
                .find(|(row, from)| *row < 3 && alone(*from))
                .or_else(|| free.next());
            let top = seats.iter().map(|s| s.row + 1).max().unwrap_or(0);
            let (row, left) = best.unwrap_or((top, kept(tries[0])));
            seats.push(Seat {
                flag: Flag { at: x, ..flag },
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
                let beside = !(seat.left..seat.left + seat.wide()).contains(&x);
                let end = bottom - if beside { ROW - 4.0 } else { 1.0 };
                stroke(canvas, &[(x, plot.top), (x, end)], stem);
            } else if seat.row > 0 {
                canvas.line((x, base), (x, bottom - 1.0), style::MID, 1.0);
            }
            canvas.text(
                &flag.words,
                (seat.left, bottom - 5.0),
                Align::Start,
                flag.face,
            );
        }
    }
}
