//! The cells of a map on the sheet: shades, missing values and forbidden cells.

use std::collections::BTreeSet;

use super::canvas::Canvas;
use super::geometry::{Point, Rect};
use super::legend::draw_blank;
use super::map_layout::Layout;
use super::map_scale::contour;
use super::style;

/// Distance of the strokes that hatch forbidden cells.
const HATCH: f64 = 12.0;

/// The grid on the sheet. Cell edges lie midway between neighbouring positions.
pub(super) struct Cells {
    /// The area of all cells.
    pub plot: Rect,
    x_ends: Point,
    y_ends: Point,
    /// Edges of the columns from left to right, on whole pixels.
    pub columns: Vec<f64>,
    /// Edges of the rows from bottom to top, on whole pixels.
    pub rows: Vec<f64>,
}

impl Cells {
    /// The edges between and around positions; the outermost cells are as wide to the outside
    /// as they are to the inside.
    pub fn edges(positions: &[f64], whole: bool) -> Vec<f64> {
        let (Some(first), Some(last)) = (positions.first(), positions.last()) else {
            return vec![0.0, 1.0];
        };
        let between = positions.windows(2).map(|p| p[0] + (p[1] - p[0]) / 2.0);
        let between: Vec<f64> = between.collect();
        let alone = if whole || *first == 0.0 {
            0.5
        } else {
            0.1 * first.abs()
        };
        let before = between.first().map_or(alone, |edge| edge - first);
        let behind = between.last().map_or(alone, |edge| last - edge);
        let mut edges = vec![first - before];
        edges.extend(between);
        edges.push(last + behind);
        edges
    }

    /// Lays the cells between these edges over the plot.
    pub fn lay(xs: Vec<f64>, ys: Vec<f64>, plot: Rect) -> Self {
        let ends = |edges: &[f64]| match edges {
            [first, .., last] => (*first, *last),
            _ => (0.0, 1.0),
        };
        let mut cells = Self {
            plot,
            x_ends: ends(&xs),
            y_ends: ends(&ys),
            columns: Vec::new(),
            rows: Vec::new(),
        };
        // Edges on whole pixels leave no light seams between cells.
        cells.columns = xs.iter().map(|x| cells.x(*x).round()).collect();
        cells.rows = ys.iter().map(|y| cells.y(*y).round()).collect();
        cells
    }

    /// Horizontal place of a value.
    pub fn x(&self, value: f64) -> f64 {
        let (low, high) = self.x_ends;
        self.plot.left + (value - low) / (high - low) * self.plot.width()
    }

    /// Vertical place of a value.
    pub fn y(&self, value: f64) -> f64 {
        let (low, high) = self.y_ends;
        self.plot.bottom - (value - low) / (high - low) * self.plot.height()
    }

    /// Place of a pair of values.
    pub fn at(&self, (x, y): Point) -> Point {
        (self.x(x), self.y(y))
    }

    /// The area of a cell.
    pub fn area(&self, (column, row): (usize, usize)) -> Rect {
        Rect::new(
            self.columns[column],
            self.rows[row + 1],
            self.columns[column + 1],
            self.rows[row],
        )
    }

    /// Width and height of the smallest cell.
    pub fn smallest(&self) -> (f64, f64) {
        let least = |edges: &[f64]| {
            let sizes = edges.windows(2).map(|pair| (pair[1] - pair[0]).abs());
            sizes.fold(f64::INFINITY, f64::min)
        };
        (least(&self.columns), least(&self.rows))
    }

    /// Whether an area lies within these cells.
    pub fn within(&self, area: Rect, cells: &BTreeSet<(usize, usize)>) -> bool {
        let plot = self.plot;
        if !(plot.holds((area.left, area.top)) && plot.holds((area.right, area.bottom))) {
            return false;
        }
        let column = |x: f64| self.columns.partition_point(|edge| *edge <= x).max(1) - 1;
        let row = |y: f64| self.rows.partition_point(|edge| *edge >= y).max(1) - 1;
        let (left, right) = (column(area.left), column(area.right - 0.01));
        let (bottom, top) = (row(area.bottom), row(area.top + 0.01));
        (left..=right).all(|column| (bottom..=top).all(|row| cells.contains(&(column, row))))
    }
}

/// Slanted strokes over cells, continuous from one cell to the next.
fn hatch(canvas: &mut Canvas<'_>, areas: &[Rect]) {
    // A light rim keeps the strokes visible on dark shades.
    for (color, width) in [(style::PAPER, 2.6), (style::MID, 1.1)] {
        for area in areas {
            let mut sum = ((area.left + area.top) / HATCH).floor() * HATCH;
            while sum < area.right + area.bottom {
                let ends = ((sum - area.bottom, area.bottom), (sum - area.top, area.top));
                if let Some((from, to)) = area.cut(ends.0, ends.1) {
                    canvas.line(from, to, color, width);
                }
                sum += HATCH;
            }
        }
    }
}

/// Cells with those right above them, as few areas as that gives.
fn stacks(layout: &Layout<'_>, cells: &BTreeSet<(usize, usize)>) -> Vec<Rect> {
    let mut stacks: Vec<Rect> = Vec::new();
    // The set runs up each column in turn.
    for cell in cells {
        let area = layout.cells.area(*cell);
        match stacks.last_mut() {
            Some(last) if last.left == area.left && last.top == area.bottom => last.top = area.top,
            _ => stacks.push(area),
        }
    }
    stacks
}

/// The edges of a set of cells towards cells outside it.
fn borders(layout: &Layout<'_>, cells: &BTreeSet<(usize, usize)>) -> Vec<[Point; 2]> {
    let mut borders = Vec::new();
    for (column, row) in cells {
        let area = layout.cells.area((*column, *row));
        let (left, right) = (column.checked_sub(1), Some(column + 1));
        let (below, above) = (row.checked_sub(1), Some(row + 1));
        // The frame of the map is border enough where the grid ends.
        let ends = (layout.chart.xs.len(), layout.chart.ys.len());
        let beside = |column: Option<usize>, row: Option<usize>| {
            column
                .zip(row)
                .is_none_or(|cell| cells.contains(&cell) || cell.0 >= ends.0 || cell.1 >= ends.1)
        };
        let corners = outline_corners(area);
        for (inner, from, to) in [
            (beside(left, Some(*row)), 0, 3),
            (beside(right, Some(*row)), 1, 2),
            (beside(Some(*column), above), 0, 1),
            (beside(Some(*column), below), 3, 2),
        ] {
            if !inner {
                borders.push([corners[from], corners[to]]);
            }
        }
    }
    borders
}

fn outline_corners(area: Rect) -> [Point; 4] {
    [
        (area.left, area.top),
        (area.right, area.top),
        (area.right, area.bottom),
        (area.left, area.bottom),
    ]
}

impl Layout<'_> {
    /// Draws shades, forbidden cells and contour lines.
    pub fn draw_cells(&self, canvas: &mut Canvas<'_>) {
        let chart = self.chart;
        let forbidden = chart.forbidden();
        for row in 0..chart.ys.len() {
            let mut column = 0;
            while column < chart.xs.len() {
                let shade = |column: usize| {
                    let value = chart.grid().value(column, row);
                    value.map(|value| self.shades.ramp.shade(value))
                };
                let own = shade(column);
                let mut last = column;
                // Neighbours of one shade are one rectangle, which keeps large maps small.
                while own.is_some() && last + 1 < chart.xs.len() && shade(last + 1) == own {
                    last += 1;
                }
                let mut area = self.cells.area((column, row));
                area.right = self.cells.area((last, row)).right;
                match own {
                    Some(color) => canvas.fill_rect(area, color),
                    None if forbidden.contains(&(column, row)) => {
                        canvas.fill_rect(area, style::PAPER);
                    }
                    None => draw_blank(canvas, area),
                }
                column = last + 1;
            }
        }
        for zone in &chart.zones {
            let cells: BTreeSet<(usize, usize)> = zone.cells.iter().copied().collect();
            hatch(canvas, &stacks(self, &cells));
            let borders = borders(self, &cells);
            for (color, width) in [(style::PAPER, 4.0), (style::MID, 1.6)] {
                for [from, to] in &borders {
                    canvas.line(*from, *to, color, width);
                }
            }
        }
        for (_, line) in &self.lines {
            contour(canvas, line, false);
        }
        for line in &self.target {
            contour(canvas, line, true);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn edges_lie_midway_and_mirror_outwards() {
        assert_eq!(Cells::edges(&[1.0, 2.0, 4.0], false), [0.5, 1.5, 3.0, 5.0]);
        assert_eq!(Cells::edges(&[3.0], true), [2.5, 3.5]);
        assert_eq!(Cells::edges(&[0.0], false), [-0.5, 0.5]);
        assert_eq!(Cells::edges(&[100.0], false), [90.0, 110.0]);
    }

    #[test]
    fn areas_are_found_within_cells() {
        let edges = || vec![0.0, 1.0, 2.0, 3.0];
        let cells = Cells::lay(edges(), edges(), Rect::new(0.0, 0.0, 300.0, 300.0));
        assert_eq!(cells.area((0, 0)), Rect::new(0.0, 200.0, 100.0, 300.0));
        let corner: BTreeSet<(usize, usize)> = [(0, 0), (1, 0)].into();
        assert!(cells.within(Rect::new(0.0, 200.0, 200.0, 300.0), &corner));
        assert!(!cells.within(Rect::new(0.0, 199.0, 150.0, 300.0), &corner));
        assert!(!cells.within(Rect::new(50.0, 250.0, 201.0, 300.0), &corner));
        assert!(!cells.within(Rect::new(-1.0, 250.0, 150.0, 290.0), &corner));
    }
}
