//! What stands in single cells of a comparison's tables.

use crate::design::{Bound, Delivered};
use crate::report::words::percent;

/// Grams or millilitres of both kinds of run.
pub(in crate::report) fn both(parts: [f64; 2]) -> f64 {
    parts[0] + parts[1]
}

/// A key, broken behind its dot where columns are narrow.
fn key(text: &str, room: usize) -> String {
    if text.len() > room {
        text.replace('.', ".\n")
    } else {
        text.to_owned()
    }
}

/// The largest source of the spread with its share of the variance.
pub(in crate::report) fn spread(d: &Delivered, room: usize) -> String {
    let Some((source, share)) = d.causes.spread.first() else {
        return "nothing".to_owned();
    };
    let tied = match d.causes.spread.len() {
        0 | 1 => String::new(),
        n => format!(", tied with {} more", n - 1),
    };
    format!(
        "{}\n{:.0}\u{a0}%{tied}",
        key(source.key, room),
        100.0 * share.value
    )
}

/// The largest source of bias with its size.
pub(in crate::report) fn bias(d: &Delivered, room: usize) -> String {
    // No source errs where an excess runs out: that is a matter of amounts.
    let runs_out = d.zones.iter().any(|z| z.bound == Bound::Excess);
    let and = if runs_out { "excess runs out; " } else { "" };
    let Some((source, e)) = d.causes.bias else {
        return match runs_out {
            true => "excess runs out".to_owned(),
            false => "none seen".to_owned(),
        };
    };
    let size = percent(d.in_size(e).value).replace(' ', "\u{a0}");
    format!("{and}{}\n{size}", key(source.key, room))
}

/// Bounds in a few words.
pub(in crate::report) fn zones(d: &Delivered) -> String {
    let mut labels: Vec<&str> = d.zones.iter().map(|z| z.bound.label()).collect();
    labels.sort_unstable();
    labels.dedup();
    if labels.is_empty() {
        "none".to_owned()
    } else {
        labels.join(", ")
    }
}
