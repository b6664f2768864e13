//! The readings of a trace.

use crate::quantity::Second;
use crate::scenario::Record;

/// Times of a trace, and where in it what matters is.
pub(super) struct Grid {
    pub(super) before: Vec<Second>,
    pub(super) after: Vec<Second>,
    /// First reading after mixing of the line behind: two at least belong to it.
    pub(super) settled: usize,
    /// The late one of two readings.
    pub(super) read_at: usize,
}

impl Grid {
    pub(super) fn of(record: &Record) -> Self {
        let Record::Trace {
            settle, read_at, ..
        } = record
        else {
            unreachable!("only a trace has a grid");
        };
        let [before, after] = record.times();
        // What is due a rounding before a reading is taken with it.
        let slack = 1e-6 * (after[after.len() - 1].0 / after.len() as f64);
        let from = |t: Second| after.partition_point(|x| x.0 < t.0 - slack);
        Self {
            settled: from(*settle).min(after.len().saturating_sub(2)),
            read_at: from(*read_at).min(after.len() - 1),
            before,
            after,
        }
    }
}
