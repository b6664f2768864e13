//! Lines of equal values: by marching squares between the middles of cells, or along the borders of cells where nothing lies
//! between them.

use crate::report::draw::reach::usable;
use crate::report::figure::Cells;

/// A straight piece, in the units of the axes.
pub(super) type Piece = [(f64, f64); 2];

impl Cells {
    /// The value of a cell, if it has one.
    pub(super) fn value(&self, column: usize, row: usize) -> Option<f64> {
        let value = *self.z.get(row)?.get(column)?;
        usable(value).then_some(value)
    }

    /// The pieces of the line along which a field that is linear between neighbours has a value. No line enters a square that
    /// lacks a value at one of its corners.
    pub(super) fn contour(&self, level: f64) -> Vec<Piece> {
        let mut pieces = Vec::new();
        for row in 1..self.ys.len() {
            for column in 1..self.xs.len() {
                pieces.extend(self.square(column - 1, row - 1, level));
            }
        }
        pieces
    }

    /// The pieces within one square.
    fn square(&self, column: usize, row: usize, level: f64) -> Vec<Piece> {
        let corners = [(0, 0), (1, 0), (1, 1), (0, 1)].map(|(right, up)| {
            let (column, row) = (column + right, row + up);
            Some((self.xs[column], self.ys[row], self.value(column, row)?))
        });
        let [Some(a), Some(b), Some(c), Some(d)] = corners else {
            return Vec::new();
        };
        let corners = [a, b, c, d];
        // Where the line crosses the side from one corner to the next.
        let cross = |i: usize| {
            let ((x0, y0, z0), (x1, y1, z1)) = (corners[i], corners[(i + 1) % 4]);
            let share = (level - z0) / (z1 - z0);
            (x0 + share * (x1 - x0), y0 + share * (y1 - y0))
        };
        let above = corners.map(|corner| corner.2 >= level);
        let crossed: Vec<usize> = (0..4).filter(|i| above[*i] != above[(i + 1) % 4]).collect();
        match crossed[..] {
            [one, other] => vec![[cross(one), cross(other)]],
            [_, _, _, _] => {
                // A saddle: its middle tells which corners are cut off. Corner n lies between sides n - 1 and n.
                let middle = corners.iter().map(|corner| corner.2).sum::<f64>() / 4.0 >= level;
                let lone = (0..4).filter(|corner| above[*corner] != middle);
                lone.map(|corner| [cross((corner + 3) % 4), cross(corner)])
                    .collect()
            }
            _ => Vec::new(),
        }
    }

    /// The borders between cells of values up to a level and others, in numbers of cell edges.
    pub(super) fn steps(&self, inside: &dyn Fn(usize, usize) -> bool) -> Vec<[(usize, usize); 2]> {
        let (columns, rows) = (self.xs.len(), self.ys.len());
        let mut pieces = Vec::new();
        for row in 0..rows {
            for column in 0..columns {
                let own = inside(column, row);
                if column + 1 < columns && inside(column + 1, row) != own {
                    pieces.push([(column + 1, row), (column + 1, row + 1)]);
                }
                if row + 1 < rows && inside(column, row + 1) != own {
                    pieces.push([(column, row + 1), (column + 1, row + 1)]);
                }
            }
        }
        pieces
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn field(value: impl Fn(f64, f64) -> f64) -> Cells {
        let (xs, ys) = (vec![0.0, 1.0, 4.0, 5.0], vec![0.0, 0.5, 3.0]);
        let z = ys
            .iter()
            .map(|y| xs.iter().map(|x| value(*x, *y)).collect());
        Cells {
            z: z.collect(),
            xs,
            ys,
            ..Cells::default()
        }
    }

    #[test]
    fn a_plane_has_straight_lines_without_gaps() {
        let pieces = field(|x, y| x + 2.0 * y).contour(4.3);
        assert!(
            pieces
                .iter()
                .flatten()
                .all(|(x, y)| (x + 2.0 * y - 4.3).abs() < 1e-12)
        );
        // Each end is an end of another piece, or lies on the rim.
        let rim = |(x, y): (f64, f64)| x == 0.0 || x == 5.0 || y == 0.0 || y == 3.0;
        for end in pieces.iter().flatten() {
            let same = pieces.iter().flatten().filter(|e| *e == end).count();
            assert!(same == 2 || rim(*end), "{end:?}");
        }
        assert!(field(|_, _| f64::NAN).contour(1.0).is_empty());
        assert!(field(|_, _| 1.0).contour(1.0).is_empty());
        // A saddle is cut twice.
        assert!(field(|x, y| (x - 2.0) * (y - 1.0)).contour(0.3).len() >= 2);
    }

    #[test]
    fn borders_run_between_cells_that_differ() {
        let cells = field(|x, _| x);
        let pieces = cells.steps(&|column, row| cells.value(column, row).is_some_and(|v| v <= 1.5));
        assert_eq!(
            pieces,
            [[(2, 0), (2, 1)], [(2, 1), (2, 2)], [(2, 2), (2, 3)]]
        );
    }
}
