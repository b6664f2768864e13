//! Lines of equal value on a grid, by marching squares: straight between neighbouring values.

use std::collections::BTreeMap;

use super::geometry::Point;
use super::row_scale::usable;

/// Positions and values of a grid; `z` holds a row for each position in `ys`.
#[derive(Clone, Copy)]
pub(super) struct Grid<'a> {
    /// Positions of the columns, rising.
    pub xs: &'a [f64],
    /// Positions of the rows, rising.
    pub ys: &'a [f64],
    /// The values, row by row.
    pub z: &'a [Vec<f64>],
}

/// A side between two neighbouring grid points: whether it runs along the row, and the column
/// and row of its first point. A line enters a square where it left the one before, so that
/// sides, unlike computed points, tell which pieces belong together.
type Side = (bool, usize, usize);

impl Grid<'_> {
    /// The value at a column and a row, if there is one.
    pub fn value(&self, column: usize, row: usize) -> Option<f64> {
        let value = *self.z.get(row)?.get(column)?;
        usable(value).then_some(value)
    }

    /// The lines along which a field that is linear between neighbours has this value. No line
    /// enters a square that lacks a value at one of its corners.
    pub fn contour(&self, level: f64) -> Vec<Vec<Point>> {
        let mut joined: BTreeMap<Side, Vec<Side>> = BTreeMap::new();
        for row in 1..self.ys.len() {
            for column in 1..self.xs.len() {
                for (one, other) in self.square(column - 1, row - 1, level) {
                    joined.entry(one).or_default().push(other);
                    joined.entry(other).or_default().push(one);
                }
            }
        }
        let mut lines = Vec::new();
        // Lines with ends first, and from an end; what is left after that runs in circles.
        for ends_only in [true, false] {
            let starts: Vec<Side> = joined.keys().copied().collect();
            for start in starts {
                let degree = joined.get(&start).map_or(0, Vec::len);
                if degree == 1 || (degree > 1 && !ends_only) {
                    let sides = follow(&mut joined, start);
                    lines.push(sides.iter().map(|side| self.cross(*side, level)).collect());
                }
            }
        }
        lines
    }

    /// The pieces of the line within a square, from side to side.
    fn square(&self, column: usize, row: usize, level: f64) -> Vec<(Side, Side)> {
        let corners = [(0, 0), (1, 0), (1, 1), (0, 1)];
        let mut above = [false; 4];
        let mut sum = 0.0;
        for (index, (right, up)) in corners.into_iter().enumerate() {
            let Some(value) = self.value(column + right, row + up) else {
                return Vec::new();
            };
            above[index] = value >= level;
            sum += value / 4.0;
        }
        // Sides in the order of the corners at which they begin: side n joins corner n to n + 1.
        let sides = [
            (true, column, row),
            (false, column + 1, row),
            (true, column, row + 1),
            (false, column, row),
        ];
        let crossed: Vec<usize> = (0..4)
            .filter(|side| above[*side] != above[(side + 1) % 4])
            .collect();
        match crossed[..] {
            [one, other] => vec![(sides[one], sides[other])],
            [_, _, _, _] => {
                // A saddle: its middle tells which pair of corners is joined, and the line cuts
                // off the other two. Corner n lies between sides n - 1 and n.
                let middle = sum >= level;
                let lone = (0..4).filter(|corner| above[*corner] != middle);
                lone.map(|corner| (sides[(corner + 3) % 4], sides[corner]))
                    .collect()
            }
            _ => Vec::new(),
        }
    }

    /// Where the line crosses a side.
    fn cross(&self, (along, column, row): Side, level: f64) -> Point {
        let (right, up) = if along { (1, 0) } else { (0, 1) };
        let from = self.value(column, row).unwrap_or(level);
        let to = self.value(column + right, row + up).unwrap_or(level);
        let share = if to == from {
            0.5
        } else {
            ((level - from) / (to - from)).clamp(0.0, 1.0)
        };
        let between = |places: &[f64], index: usize, step: usize| {
            places[index] + share * (places[index + step] - places[index])
        };
        (between(self.xs, column, right), between(self.ys, row, up))
    }
}

/// Takes one line out of the joined sides.
fn follow(joined: &mut BTreeMap<Side, Vec<Side>>, start: Side) -> Vec<Side> {
    let mut line = vec![start];
    let mut at = start;
    while let Some(next) = joined.get_mut(&at).and_then(Vec::pop) {
        if let Some(back) = joined.get_mut(&next)
            && let Some(place) = back.iter().position(|side| *side == at)
        {
            back.remove(place);
        }
        line.push(next);
        at = next;
    }
    line
}

#[cfg(test)]
mod tests {
    use super::*;

    fn places(count: u32) -> Vec<f64> {
        (0..count).map(f64::from).collect()
    }

    fn field(count: u32, value: impl Fn(f64, f64) -> f64) -> Vec<Vec<f64>> {
        let places = places(count);
        let row = |y: f64| places.iter().map(|x| value(*x, y)).collect();
        places.iter().map(|y| row(*y)).collect()
    }

    #[test]
    fn a_plane_has_straight_lines() {
        // Positions need not be equally spaced.
        let (xs, ys) = ([0.0, 1.0, 4.0, 5.0], [0.0, 0.5, 3.0]);
        let z: Vec<Vec<f64>> = ys
            .iter()
            .map(|y| xs.iter().map(|x| x + 2.0 * y).collect())
            .collect();
        let (xs, ys, z) = (&xs[..], &ys[..], &z[..]);
        let lines = Grid { xs, ys, z }.contour(4.3);
        assert_eq!(lines.len(), 1);
        assert!(lines[0].len() > 3);
        for (x, y) in &lines[0] {
            assert!((x + 2.0 * y - 4.3).abs() < 1e-12);
        }
        let ends = [lines[0][0], lines[0][lines[0].len() - 1]];
        assert!(ends.iter().any(|end| end.1 == 0.0) && ends.iter().any(|end| end.0 == 0.0));
        assert!(Grid { xs, ys, z }.contour(90.0).is_empty());
    }

    #[test]
    fn a_hill_has_a_closed_line_near_the_circle() {
        let (xs, z) = (
            places(41),
            field(41, |x, y| (x - 20.0) * (x - 20.0) + (y - 20.0) * (y - 20.0)),
        );
        let lines = Grid {
            xs: &xs,
            ys: &xs,
            z: &z,
        }
        .contour(144.0);
        assert_eq!(lines.len(), 1);
        assert_eq!(lines[0].first(), lines[0].last());
        for (x, y) in &lines[0] {
            let radius = ((x - 20.0) * (x - 20.0) + (y - 20.0) * (y - 20.0)).sqrt();
            assert!((radius - 12.0).abs() < 0.02, "{radius}");
        }
    }

    #[test]
    fn no_line_enters_a_square_without_a_value() {
        let xs = places(9);
        let mut z = field(9, |x, _| x);
        let grid = |z: &[Vec<f64>]| {
            Grid {
                xs: &xs,
                ys: &xs,
                z,
            }
            .contour(3.5)
        };
        assert_eq!(grid(&z).len(), 1);
        z[4][4] = f64::NAN;
        let lines = grid(&z);
        assert_eq!(lines.len(), 2);
        for (_, y) in lines.iter().flatten() {
            assert!(*y <= 3.0 || *y >= 5.0);
        }
    }

    #[test]
    fn saddles_are_parted_by_their_middle() {
        let xs = places(2);
        for (high, pieces) in [
            (3.0, [(0.0, 1.0), (1.0, 0.0)]),
            (1.5, [(0.0, 0.0), (1.0, 1.0)]),
        ] {
            let z = vec![vec![high, 0.0], vec![0.0, high]];
            let lines = Grid {
                xs: &xs,
                ys: &xs,
                z: &z,
            }
            .contour(1.0);
            assert_eq!(lines.len(), 2);
            for (line, corner) in lines.iter().zip(pieces) {
                // Each line stays on its side of the middle, around the corner it cuts off.
                for (x, y) in line {
                    let near = (x - corner.0).abs() + (y - corner.1).abs();
                    assert!(near < 1.0, "{high}: {line:?} {corner:?}");
                }
            }
        }
    }

    #[test]
    fn values_on_the_level_do_not_break_the_line() {
        let (xs, z) = (places(5), field(5, |x, _| x));
        let lines = Grid {
            xs: &xs,
            ys: &xs,
            z: &z,
        }
        .contour(2.0);
        assert_eq!(lines.len(), 1);
        assert!(lines[0].iter().all(|(x, _)| *x == 2.0));
    }
}
