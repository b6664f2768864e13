//! What is linear in the readings of a record.

use crate::quantity::Celsius;
use crate::random::{BLOCK, Column};
use multiversion::multiversion;

/// Sums over the readings of a record, as differences from its first one.
#[derive(Debug, Clone)]
pub struct Sums {
    /// The first reading.
    pub(super) first: Column<Celsius>,
    /// Of the line before and of the line behind: sum of d, and of (t - t_mean) d.
    pub(super) lines: [[Column<f64>; 2]; 2],
    /// Readings that a way looks at one by one.
    pub(super) kept: Vec<Column<f64>>,
}

impl Sums {
    /// Nothing yet, with room for so many readings that are kept.
    pub(super) fn with_room(kept: usize) -> Self {
        let zero = || Column::splat(0.0);
        Self {
            first: Column::splat(Celsius(0.0)),
            lines: [[zero(), zero()], [zero(), zero()]],
            kept: Vec::with_capacity(kept),
        }
    }

    /// Keeps a reading.
    pub(super) fn keep(&mut self, shown: &Column<Celsius>) {
        let d = Column::from_fn(|i| (shown[i] - self.first[i]).0);
        self.kept.push(d);
    }

    /// Adds a multiple of a column to each sum of a line.
    pub(super) fn add(&mut self, line: usize, column: &Column<f64>, by: [f64; 2]) {
        for (sum, factor) in self.lines[line].iter_mut().zip(by) {
            for i in 0..BLOCK {
                sum.0[i] += factor * column.0[i];
            }
        }
    }

    /// Adds those of another record with the same readings.
    pub fn plus(&mut self, other: &Self) {
        for i in 0..BLOCK {
            self.first[i].0 += other.first[i].0;
        }
        let own = self.lines.iter_mut().flatten().chain(&mut self.kept);
        let others = other.lines.iter().flatten().chain(&other.kept);
        for (sum, more) in own.zip(others) {
            for i in 0..BLOCK {
                sum.0[i] += more.0[i];
            }
        }
    }
}

/// Adds one reading to the sums of its line.
#[multiversion(targets("x86_64+avx2"))]
pub(super) fn add(
    shown: &Column<Celsius>,
    first: &Column<Celsius>,
    from_mean: f64,
    (sum, moment): (&mut Column<f64>, &mut Column<f64>),
) {
    for i in 0..BLOCK {
        let d = shown.0[i].0 - first.0[i].0;
        sum.0[i] += d;
        moment.0[i] += from_mean * d;
    }
}
