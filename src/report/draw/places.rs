//! Which parts of the sheet are taken, and free room for a label near what it names.

use super::geometry::{Point, Rect, between, distance};

/// Edge of a cell in nominal pixels.
const CELL: f64 = 4.0;
/// Free room kept around a label.
const MARGIN: f64 = 4.0;
/// What covering one line costs, in pixels of distance.
const COVERED: f64 = 40.0;
/// Weight of a cell under a label or a marker: nothing may stand there again.
pub(super) const SOLID: u32 = 10_000;
/// Weight of a cell under a line.
pub(super) const LINE: u32 = 1;

/// The cells of a sheet and which of them are taken.
pub(super) struct Places {
    columns: usize,
    rows: usize,
    taken: Vec<u32>,
}

impl Places {
    /// An empty sheet.
    pub fn new(width: f64, height: f64) -> Self {
        let [columns, rows] = [width, height].map(|l| (l / CELL).ceil().max(1.0) as usize);
        Self {
            columns,
            rows,
            taken: vec![0; columns * rows],
        }
    }

    fn cell(&self, (x, y): Point) -> (usize, usize) {
        // The cast turns what lies outside to the left or above into zero.
        let [column, row] = [x, y].map(|v| (v / CELL).floor() as usize);
        (column.min(self.columns - 1), row.min(self.rows - 1))
    }

    /// Takes an area.
    pub fn take(&mut self, area: Rect, weight: u32) {
        let (from, to) = (
            self.cell((area.left, area.top)),
            self.cell((area.right, area.bottom)),
        );
        for row in from.1..=to.1 {
            for cell in &mut self.taken[row * self.columns + from.0..=row * self.columns + to.0] {
                *cell = (*cell).max(weight);
            }
        }
    }

    /// Takes a straight line.
    pub fn take_line(&mut self, from: Point, to: Point) {
        let steps = (distance(from, to) / (CELL / 2.0))
            .ceil()
            .clamp(1.0, 5000.0);
        for step in 0..=steps as usize {
            let (x, y) = between(from, to, step as f64 / steps);
            self.take(Rect::new(x, y, x, y).grown(1.0), LINE);
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

    /// How much of an area is taken: nothing where it is free.
    pub fn covered(&self, area: Rect) -> u32 {
        let (from, to) = (
            self.cell((area.left, area.top)),
            self.cell((area.right, area.bottom)),
        );
        let rows = from.1..=to.1;
        let cells =
            rows.flat_map(|row| (from.0..=to.0).map(move |column| row * self.columns + column));
        cells.map(|cell| self.taken[cell]).sum()
    }

    /// The best place within an area for a label of a size that names one of the anchors, earlier ones being better, and
    /// that anchor. The place is taken from then on. `None` if it would have to cover another label or a marker.
    pub fn seat(&mut self, size: Point, anchors: &[Point], area: Rect) -> Option<(Rect, Point)> {
        let sums = self.sums();
        let wide = self.columns + 1;
        let mut best: Option<(f64, Rect, Point)> = None;
        let mut top = area.top + MARGIN;
        while top + size.1 <= area.bottom - MARGIN {
            let mut left = area.left + MARGIN;
            while left + size.0 <= area.right - MARGIN {
                let place = Rect::new(left, top, left + size.0, top + size.1);
                let near = place.grown(MARGIN - 1.0);
                let (from, to) = (
                    self.cell((near.left, near.top)),
                    self.cell((near.right, near.bottom)),
                );
                let at = |column: usize, row: usize| sums[row * wide + column];
                let covered = at(to.0 + 1, to.1 + 1) + at(from.0, from.1)
                    - at(from.0, to.1 + 1)
                    - at(to.0 + 1, from.1);
                let burden = f64::from(covered) * COVERED;
                for (index, anchor) in anchors.iter().enumerate() {
                    let cost =
                        burden + distance(place.nearest(*anchor), *anchor) + 6.0 * index as f64;
                    if best.is_none_or(|b| cost < b.0) && covered < SOLID {
                        best = Some((cost, place, *anchor));
                    }
                }
                left += CELL;
            }
            top += CELL;
        }
        let (_, place, anchor) = best?;
        self.take(place, SOLID);
        Some((place, anchor))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_avoid_lines_and_each_other() {
        let area = Rect::new(50.0, 50.0, 850.0, 450.0);
        let mut places = Places::new(900.0, 500.0);
        let (from, to) = ((50.0, 250.0), (850.0, 260.0));
        places.take_line(from, to);
        let mut seat = || {
            places
                .seat((120.0, 16.0), &[(400.0, 254.0)], area)
                .unwrap()
                .0
        };
        let seats: Vec<Rect> = (0..4).map(|_| seat()).collect();
        for (index, one) in seats.iter().enumerate() {
            assert!(one.cut(from, to).is_none(), "{one:?}");
            assert!(seats[..index].iter().all(|other| !one.meets(other)));
        }
        assert_eq!(places.seat((900.0, 30.0), &[(0.0, 0.0)], area), None);
    }
}
