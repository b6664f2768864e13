//! Finding free room for a label in a plot full of data.
//!
//! The plot is covered with small cells; whatever is drawn marks the cells it touches. A label
//! then goes to the place nearest to what it names where the fewest marked cells are covered.

use super::geometry::{Point, Rect, distance};

/// Edge of a cell in nominal pixels.
const CELL: f64 = 4.0;
/// Free room kept around a label.
const MARGIN: f64 = 6.0;
/// What covering one cell costs, in pixels of distance.
const COVERED: f64 = 60.0;

/// The cells of a plot and which of them are taken.
pub(super) struct Places {
    area: Rect,
    columns: usize,
    rows: usize,
    taken: Vec<u32>,
}

impl Places {
    /// An empty plot.
    pub fn new(area: Rect) -> Self {
        let cells = |length: f64| (length / CELL).ceil().max(1.0) as usize;
        let (columns, rows) = (cells(area.width()), cells(area.height()));
        Self {
            area,
            columns,
            rows,
            taken: vec![0; columns * rows],
        }
    }

    fn cell(&self, (x, y): Point) -> (usize, usize) {
        // The cast turns what lies outside to the left or above into zero.
        let column = ((x - self.area.left) / CELL).floor() as usize;
        let row = ((y - self.area.top) / CELL).floor() as usize;
        (column.min(self.columns - 1), row.min(self.rows - 1))
    }

    /// Marks an area as taken; each cell counts `weight` at most.
    pub fn block(&mut self, area: Rect, weight: u32) {
        let (from_column, from_row) = self.cell((area.left, area.top));
        let (to_column, to_row) = self.cell((area.right, area.bottom));
        for row in from_row..=to_row {
            for column in from_column..=to_column {
                let cell = &mut self.taken[row * self.columns + column];
                *cell = (*cell).max(weight);
            }
        }
    }

    /// Marks a point with some room around it.
    pub fn block_point(&mut self, at: Point, radius: f64, weight: u32) {
        if self.area.holds(at) {
            self.block(Rect::new(at.0, at.1, at.0, at.1).grown(radius), weight);
        }
    }

    /// Marks a straight line.
    pub fn block_line(&mut self, from: Point, to: Point, weight: u32) {
        if let Some((from, to)) = self.area.cut(from, to) {
            let steps = (distance(from, to) / (CELL / 2.0)).ceil().max(1.0);
            for step in 0..=steps as usize {
                let share = step as f64 / steps;
                let at = (
                    from.0 + share * (to.0 - from.0),
                    from.1 + share * (to.1 - from.1),
                );
                self.block_point(at, 1.5, weight);
            }
        }
    }

    /// Sums over all cells above and to the left, from which the sum over any block follows.
    fn sums(&self) -> Vec<u32> {
        let wide = self.columns + 1;
        let mut sums = vec![0; wide * (self.rows + 1)];
        for row in 0..self.rows {
            let mut line = 0;
            for column in 0..self.columns {
                line += self.taken[row * self.columns + column];
                sums[(row + 1) * wide + column + 1] = sums[row * wide + column + 1] + line;
            }
        }
        sums
    }

    /// How much of an area is taken: nothing when it is free.
    pub fn covered(&self, area: Rect) -> u32 {
        let (from, to) = (
            self.cell((area.left, area.top)),
            self.cell((area.right, area.bottom)),
        );
        let rows = from.1..=to.1;
        rows.flat_map(|row| (from.0..=to.0).map(move |column| row * self.columns + column))
            .map(|cell| self.taken[cell])
            .sum()
    }

    /// The best place for a label of this size that names one of the anchors, and how far from
    /// the anchor it is. The place is taken from then on.
    pub fn seat(&mut self, size: (f64, f64), anchors: &[Point]) -> (Rect, Point) {
        let sums = self.sums();
        let wide = self.columns + 1;
        let (right, bottom) = (self.area.right - size.0, self.area.bottom - size.1);
        let start = (
            self.area.left.min(right).max(0.0),
            self.area.top.min(bottom).max(0.0),
        );
        let mut best = (
            f64::INFINITY,
            Rect::new(start.0, start.1, start.0 + size.0, start.1 + size.1),
            anchors.first().copied().unwrap_or(start),
        );
        let mut top = start.1 + MARGIN;
        while top <= bottom - MARGIN {
            let mut left = start.0 + MARGIN;
            while left <= right - MARGIN {
                let place = Rect::new(left, top, left + size.0, top + size.1);
                let near = place.grown(MARGIN);
                let from = self.cell((near.left, near.top));
                let to = self.cell((near.right, near.bottom));
                let covered = sums[(to.1 + 1) * wide + to.0 + 1] + sums[from.1 * wide + from.0]
                    - sums[from.1 * wide + to.0 + 1]
                    - sums[(to.1 + 1) * wide + from.0];
                let burden = f64::from(covered) * COVERED;
                if burden < best.0 {
                    for (index, anchor) in anchors.iter().enumerate() {
                        let apart = distance(place.nearest(*anchor), *anchor);
                        // Earlier anchors are the better ones.
                        let cost = burden + apart + 6.0 * index as f64;
                        if cost < best.0 {
                            best = (cost, place, *anchor);
                        }
                    }
                }
                left += CELL;
            }
            top += CELL;
        }
        self.block(best.1, 12);
        (best.1, best.2)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_avoid_lines_and_each_other() {
        let area = Rect::new(50.0, 50.0, 850.0, 450.0);
        let mut places = Places::new(area);
        let (from, to) = ((50.0, 250.0), (850.0, 260.0));
        places.block_line(from, to, 1);
        let anchors = [(400.0, 254.0)];
        let seats: Vec<Rect> = (0..4)
            .map(|_| places.seat((120.0, 16.0), &anchors).0)
            .collect();
        assert!(places.covered(Rect::new(60.0, 240.0, 90.0, 260.0)) > 0);
        assert_eq!(places.covered(Rect::new(60.0, 300.0, 90.0, 320.0)), 0);
        for (index, one) in seats.iter().enumerate() {
            assert!(one.cut(from, to).is_none(), "{one:?}");
            for other in &seats[..index] {
                let apart = one.right <= other.left
                    || other.right <= one.left
                    || one.bottom <= other.top
                    || other.bottom <= one.top;
                assert!(apart, "{one:?} covers {other:?}");
            }
        }
    }

    #[test]
    fn a_label_larger_than_the_plot_gets_a_place_all_the_same() {
        let mut places = Places::new(Rect::new(50.0, 50.0, 60.0, 60.0));
        let (seat, _) = places.seat((400.0, 30.0), &[]);
        assert!(seat.left.is_finite() && seat.top.is_finite());
    }
}
