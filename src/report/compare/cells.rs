//! Words that several parts of a comparison share.

use crate::design::{Comparison, Delivered};

/// The letter of a contender.
pub(super) fn letter(i: usize) -> String {
    Comparison::letter(i).to_string()
}

/// Bounds in a few words.
pub(super) fn zones(d: &Delivered) -> String {
    let mut labels: Vec<&str> = d.zones.iter().map(|z| z.bound.label()).collect();
    labels.sort_unstable();
    labels.dedup();
    if labels.is_empty() {
        "none".to_owned()
    } else {
        labels.join(", ")
    }
}
