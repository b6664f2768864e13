//! Upright lines through all rows of a chart of bars, such as what is now and what is to be reached.

use super::Mark;
use super::canvas::{Align, Canvas};
use super::frame::Frame;
use super::geometry::Rect;
use super::pens::dashed_path;
use super::row_plot::RowPlot;
use super::row_scale::Scale;
use super::rows::{Flag, Seat, arrange};
use super::style::{self, NOTE};
use super::text;

/// Most lines with a name.
pub(super) const MOST_MARKS: usize = 3;
/// Height of a row of names.
const NAME_ROW: f64 = 19.0;
/// Width of a line.
const WIDTH: f64 = 1.8;
/// Longer names are made smaller.
const NAME_ROOM: f64 = 260.0;

/// Lines with their names, ready to be drawn.
pub(super) struct RowMarks {
    lines: Vec<(f64, String, Seat)>,
}

impl RowMarks {
    /// Finds a place for each name above the plot.
    pub fn lay(marks: &[Mark], scale: &Scale) -> Self {
        let marks = &marks[..marks.len().min(MOST_MARKS)];
        let names = marks.iter().map(|mark| {
            let name = text::clean(&mark.label);
            text::fit(&name, NOTE, NAME_ROOM).0
        });
        let names: Vec<String> = names.collect();
        let flags: Vec<Flag> = marks
            .iter()
            .zip(&names)
            .map(|(mark, name)| Flag {
                x: scale.x(mark.at),
                width: text::width(name, NOTE),
            })
            .collect();
        let seats = arrange(&flags, Frame::sides());
        let xs = flags.iter().map(|flag| flag.x);
        Self {
            lines: xs
                .zip(names)
                .zip(seats)
                .map(|((x, name), seat)| (x, name, seat))
                .collect(),
        }
    }

    /// Room for the names above the plot.
    pub fn height(&self) -> f64 {
        let rows = self.lines.iter().map(|(.., seat)| seat.row + 1).max();
        rows.unwrap_or(0) as f64 * NAME_ROW
    }

    /// Draws lines and names; the first line whole and in colour, the others broken; none runs through a number.
    pub fn draw(&self, canvas: &mut Canvas<'_>, plot: &RowPlot, numbers: &[Rect]) {
        for (index, (x, name, seat)) in self.lines.iter().enumerate() {
            let base = plot.plot.top - 6.0 - NAME_ROW * seat.row as f64;
            let crossed = numbers.iter().filter(|n| *x > n.left && *x < n.right);
            let mut gaps: Vec<(f64, f64)> = crossed.map(|n| (n.top, n.bottom)).collect();
            gaps.sort_by(|a, b| a.0.total_cmp(&b.0));
            gaps.push((plot.plot.bottom, plot.plot.bottom));
            let mut from = base - NOTE.size;
            for (top, bottom) in gaps {
                let ends = [(*x, from), (*x, top)];
                if top > from && index == 0 {
                    canvas.line(ends[0], ends[1], style::ACCENT, WIDTH);
                } else if top > from {
                    dashed_path(canvas, &ends, &[6.0, 4.0], (style::INK, WIDTH));
                }
                from = from.max(bottom);
            }
            canvas.text(name, (seat.left, base), Align::Start, NOTE);
        }
    }
}
