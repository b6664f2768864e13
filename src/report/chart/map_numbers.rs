//! Numbers on a map: values of cells, where there is room for them, and of contour lines.

use super::geometry::{Point, Rect};
use super::map_labels::{LINE, Labels, size};
use super::map_layout::Layout;
use super::map_lines::{crosses, length, seat_on};
use super::ramp::dark_words;
use super::style::{self, NOTE, Type};
use super::text;

/// A map of few and large cells has room for their numbers.
const ROOMY: (f64, f64) = (56.0, 34.0);
const FEW: usize = 64;
/// Longer contour lines than this are all labelled, not only the longest of their value.
const LONG: f64 = 220.0;

impl Labels {
    /// The numbers of cells, where cells are few and large.
    pub fn set_numbers(&mut self, layout: &Layout<'_>) {
        let chart = layout.chart;
        let smallest = layout.cells.smallest();
        let few = chart.xs.len() * chart.ys.len() <= FEW;
        if !few || smallest.0 < ROOMY.0 || smallest.1 < ROOMY.1 {
            return;
        }
        let lines: Vec<&[Point]> = layout
            .target
            .iter()
            .chain(layout.lines.iter().map(|(_, line)| line))
            .map(Vec::as_slice)
            .collect();
        for (cell, value) in chart.values() {
            let words = layout.shades.print_cell(value);
            let (wide, tall) = (text::width(&words, NOTE) + 4.0, LINE * NOTE.size);
            let area = layout.cells.area(cell);
            let room = (area.width() - wide - 8.0, area.height() - tall - 6.0);
            if room.0 < 0.0 || room.1 < 0.0 {
                continue;
            }
            let at = |(across, down): (f64, f64)| {
                let (left, top) = (
                    area.left + 4.0 + across * room.0,
                    area.top + 3.0 + down * room.1,
                );
                Rect::new(left, top, left + wide, top + tall)
            };
            // All as alike as lines and words allow: below the middle, where the best point may
            // be, else above it.
            let near = [(0.5, 0.78), (0.5, 0.22)].map(at);
            let far = [
                (0.5, 1.0),
                (0.5, 0.0),
                (0.0, 1.0),
                (1.0, 1.0),
                (0.0, 0.0),
                (1.0, 0.0),
            ];
            let clear = |place: &&Rect| !lines.iter().any(|line| crosses(**place, line));
            let free: Vec<Rect> = near
                .into_iter()
                .chain(far.map(at))
                .filter(|place| self.free(*place))
                .collect();
            let Some(place) = free.iter().take(2).find(clear).or(free.first()).copied() else {
                continue;
            };
            let ground = layout.shades.ramp.shade(value);
            let color = if dark_words(ground) {
                style::INK
            } else {
                style::PAPER
            };
            self.put(vec![words], Type { color, ..NOTE }, place).ground = ground;
        }
    }

    /// The values of thin contour lines across them.
    pub fn set_contours(&mut self, layout: &Layout<'_>) {
        let mut done: Option<f64> = None;
        let mut order: Vec<&(f64, Vec<Point>)> = layout.lines.iter().collect();
        order.sort_by(|a, b| {
            a.0.total_cmp(&b.0)
                .then(length(&b.1).total_cmp(&length(&a.1)))
        });
        for (level, line) in order {
            let again = done == Some(*level);
            if again && length(line) < LONG {
                continue;
            }
            let lines = vec![layout.shades.print(*level)];
            let others: Vec<&[Point]> = layout
                .lines
                .iter()
                .map(|(_, line)| line)
                .filter(|other| !std::ptr::eq(*other, line))
                .chain(&layout.target)
                .map(Vec::as_slice)
                .collect();
            let seat = seat_on(line, size(&lines, NOTE), layout.cells.plot, &|area| {
                self.free(area) && !others.iter().any(|other| crosses(area, other))
            });
            if let Some(area) = seat {
                let face = Type {
                    color: style::INK,
                    ..NOTE
                };
                self.put(lines, face, area);
                done = Some(*level);
            }
        }
    }
}
