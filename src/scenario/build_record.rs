//! What a leg records.

use super::build::Builder;
use super::problem::Problem;
use super::record::Record;
use crate::quantity::{Dimension, Second};

/// A time of the record; `None` after reporting that it is missing or wrong.
fn time(b: &mut Builder, leg: &str, name: &str, default: Option<f64>) -> Option<Second> {
    if b.find(leg, "record", name).is_none() && !b.reported(&format!("record.{name}")) {
        if default.is_none() {
            let own = b.doc.tables.contains_key(&format!("{leg}.record"));
            let leg = if own {
                format!("{leg}.")
            } else {
                String::new()
            };
            b.missing(&format!("{leg}record.{name}"));
        }
        return default.map(Second);
    }
    b.positive(leg, "record", name, Dimension::Time).map(Second)
}

/// What a leg records; `None` after reporting what is missing or wrong.
pub(super) fn record(b: &mut Builder, leg: &str) -> Option<Record> {
    match b.choice(leg, "record", "kind").as_deref() {
        Some("two readings") => {
            let before = time(b, leg, "before", Some(10.0));
            let read_at = time(b, leg, "read_at", None);
            Some(Record::TwoReadings {
                before: before?,
                read_at: read_at?,
            })
        }
        Some("trace") => trace(b, leg),
        _ => {
            b.missing("record.kind");
            None
        }
    }
}

/// Most readings of one record: more would be a mistyped interval.
const MOST_READINGS: f64 = 20_000.0;

fn trace(b: &mut Builder, leg: &str) -> Option<Record> {
    let interval = time(b, leg, "interval", None);
    let fore = time(b, leg, "fore", None);
    let after = time(b, leg, "after", None);
    let settle = time(b, leg, "settle", None);
    let (interval, fore, after, settle) = (interval?, fore?, after?, settle?);
    let mut complain = |name: &str, message: String, hint: &str| {
        let Some(found) = b.find(leg, "record", name) else {
            return;
        };
        b.problem(
            Problem::error(&found.path, message)
                .hint(hint)
                .at(found.entry.span),
        );
    };
    if fore.0 < 2.0 * interval.0 {
        complain(
            "fore",
            "the period before mixing holds fewer than two readings".to_owned(),
            "a line needs two: make it longer, or the interval shorter",
        );
    }
    if after.0 - settle.0 < interval.0 {
        complain(
            "settle",
            "the line behind holds fewer than two readings".to_owned(),
            "`settle` must lie at least one interval before `after`",
        );
    }
    if (fore.0 + after.0) / interval.0 > MOST_READINGS {
        complain(
            "interval",
            format!("more than {MOST_READINGS} readings"),
            "make the interval longer",
        );
    }
    let read_at = time(b, leg, "read_at", Some(settle.0))?;
    if read_at.0 > after.0
        && let Some(found) = b.find(leg, "record", "read_at")
    {
        b.problem(
            Problem::error(&found.path, "the record has ended by then")
                .hint("at most the length of the period after")
                .at(found.entry.span),
        );
    }
    Some(Record::Trace {
        interval,
        fore,
        after,
        settle,
        read_at,
    })
}
