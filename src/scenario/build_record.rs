//! What a leg records.

use super::build::Builder;
use super::document::Raw;
use super::record::{Pace, Record};
use crate::quantity::{Dimension, Second, parse_quantity_as};

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

/// No time of a record is later, s.
const LONGEST: f64 = 86_400.0;

/// Most readings of one record: more would be a mistyped interval.
const MOST_READINGS: f64 = 20_000.0;

/// A time that may be left out.
fn optional(b: &mut Builder, leg: &str, name: &str) -> Option<Second> {
    b.find(leg, "record", name)?;
    b.positive(leg, "record", name, Dimension::Time).map(Second)
}

fn complain(b: &mut Builder, leg: &str, name: &str, message: impl Into<String>, hint: &str) {
    if let Some(found) = b.find(leg, "record", name) {
        b.refuse(found, message.into(), hint);
    }
}

fn trace(b: &mut Builder, leg: &str) -> Option<Record> {
    if b.find(leg, "record", "times").is_some() {
        return listed(b, leg);
    }
    // What is wrong with it is said: nothing else is missing.
    if ["record.times".to_owned(), format!("{leg}.record.times")]
        .iter()
        .any(|p| b.reported(p))
    {
        return None;
    }
    let interval = time(b, leg, "interval", None);
    let fore = time(b, leg, "fore", None);
    let after = time(b, leg, "after", None);
    let settle = time(b, leg, "settle", None);
    let (interval, fore, after, settle) = (interval?, fore?, after?, settle?);
    if fore.0 < 2.0 * interval.0 {
        let message = "the period before mixing holds fewer than two readings";
        let hint = "a line needs two: make it longer, or the interval shorter";
        complain(b, leg, "fore", message, hint);
    }
    if after.0 - settle.0 < interval.0 {
        let message = "the line behind holds fewer than two readings";
        let hint = "`settle` must lie at least one interval before `after`";
        complain(b, leg, "settle", message, hint);
    }
    let shortest = optional(b, leg, "fine_interval").map_or(interval.0, |f| f.0.min(interval.0));
    if (fore.0 + after.0) / shortest > MOST_READINGS {
        let message = format!("more than {MOST_READINGS} readings");
        complain(b, leg, "interval", message, "make the interval longer");
        return None;
    }
    let pace = pace(b, leg, (interval, fore, after, settle))?;
    let read_at = read_at(b, leg, settle, after)?;
    Some(Record::Trace {
        pace,
        fore,
        after,
        settle,
        read_at,
    })
}

/// The late one of two readings.
fn read_at(b: &mut Builder, leg: &str, settle: Second, after: Second) -> Option<Second> {
    let read_at = time(b, leg, "read_at", Some(settle.0))?;
    if read_at.0 > after.0 {
        let hint = "at most the length of the period after";
        complain(b, leg, "read_at", "the record has ended by then", hint);
    }
    Some(read_at)
}

/// When it is read: at one interval, or at two of them, the shorter one around mixing.
fn pace(
    b: &mut Builder,
    leg: &str,
    (interval, fore, after, settle): (Second, Second, Second, Second),
) -> Option<Pace> {
    let Some(fine) = optional(b, leg, "fine_interval") else {
        let hint = "state `fine_interval`, or leave it out";
        for name in ["fine_before", "fine_until"] {
            complain(b, leg, name, "no shorter interval is stated", hint);
        }
        return Some(Pace::Even(interval));
    };
    if fine.0 >= interval.0 {
        let hint = "`fine_interval` is the shorter one, around the change of temperature";
        complain(b, leg, "fine_interval", "no shorter than `interval`", hint);
        return None;
    }
    let before = optional(b, leg, "fine_before").map_or(0.0, |t| t.0.min(fore.0));
    let until = optional(b, leg, "fine_until").map_or(settle.0, |t| t.0.min(after.0));
    // Each period counts from where the one before it ends.
    let steps = |from: f64, to: f64, by: f64| {
        let n = ((to - from) / by + 1e-6).floor() as u32;
        (1..=n).map(move |j| from + by * f64::from(j))
    };
    let fine_before: Vec<f64> = steps(0.0, before, fine.0).collect();
    let coarse_from = fine_before.last().copied().unwrap_or(0.0);
    let mut back: Vec<f64> = fine_before;
    back.extend(steps(coarse_from, fore.0, interval.0));
    let mut on: Vec<f64> = steps(0.0, until, fine.0).collect();
    let coarse_on = on.last().copied().unwrap_or(0.0);
    on.extend(steps(coarse_on, after.0, interval.0));
    let times = back.iter().rev().map(|t| -t).chain(on).map(Second);
    Some(Pace::At(times.collect()))
}

/// A record whose times are all stated.
fn listed(b: &mut Builder, leg: &str) -> Option<Record> {
    let settle = time(b, leg, "settle", None);
    for name in [
        "interval",
        "fore",
        "after",
        "fine_interval",
        "fine_before",
        "fine_until",
    ] {
        let message = "`times` says when the record is read";
        complain(b, leg, name, message, "state one or the other");
    }
    let found = b.find(leg, "record", "times")?;
    let Raw::Texts(all) = &found.entry.raw else {
        return None;
    };
    let read = |t: &String| parse_quantity_as(t, Dimension::Time).ok();
    let times: Vec<f64> = all.iter().map(read).collect::<Option<_>>()?;
    let settle = settle?;
    let wrong = if times.windows(2).any(|w| w[1] <= w[0]) {
        Some("the times do not rise")
    } else if times.contains(&0.0) {
        Some("0 s is the moment of mixing: a reading then is neither before nor after")
    } else if times.iter().filter(|t| **t < 0.0).count() < 2 {
        Some("the period before mixing holds fewer than two readings")
    } else if times.iter().filter(|t| **t >= settle.0).count() < 2 {
        Some("the line behind holds fewer than two readings, from `settle` on")
    } else if times.len() as f64 > MOST_READINGS || times.iter().any(|t| t.abs() > LONGEST) {
        Some("more readings than a record holds, or later than a day")
    } else {
        None
    };
    if let Some(message) = wrong {
        let hint =
            "times from mixing, negative before it: [\"-120 s\", \"-60 s\", \"30 s\", \"60 s\"]";
        b.refuse(found, message.to_owned(), hint);
        return None;
    }
    let [fore, after] = [-times[0], times[times.len() - 1]].map(Second);
    let read_at = read_at(b, leg, settle, after)?;
    Some(Record::Trace {
        pace: Pace::At(times.into_iter().map(Second).collect()),
        fore,
        after,
        settle,
        read_at,
    })
}
