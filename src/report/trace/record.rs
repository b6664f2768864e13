//! A record as the file that `evaluate` reads.

use crate::evaluate::Traced;
use std::fmt::Write;

/// The record as a file: times from mixing, which a row of its own marks.
pub fn record_csv(t: &Traced) -> String {
    let mut out = String::from("time [s],temperature [C],mixed\n");
    let mut marked = false;
    for (time, temperature) in t.measured.times.iter().zip(&t.measured.temperatures) {
        if !marked && *time > t.mixed_at.0 {
            let _ = writeln!(out, "{},,x", t.mixed_at.0);
            marked = true;
        }
        let _ = writeln!(out, "{time},{temperature},");
    }
    out
}
