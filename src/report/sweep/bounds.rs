//! Where a sweep is out of bounds, by letters that tables and pictures share.

use super::words::{at, value};
use crate::design::{Bound, Sweep, SweepPoint};
use crate::report::document::{Block, Section};

/// Bounds that some point lies beyond, in the order of their letters.
fn crossed(s: &Sweep) -> Vec<Bound> {
    let all = s.points.iter().flat_map(|p| &p.zones).map(|z| z.bound);
    let mut found: Vec<Bound> = all.collect();
    found.sort();
    found.dedup();
    found
}

fn letter(at: usize) -> char {
    char::from(b'a' + at as u8)
}

fn is_beyond(p: &SweepPoint, bound: Bound) -> bool {
    p.zones.iter().any(|z| z.bound == bound)
}

/// Letters of the bounds that a point lies beyond.
pub(in crate::report) fn letters(s: &Sweep, p: &SweepPoint) -> String {
    let all = crossed(s);
    let own = (0..all.len()).filter(|i| is_beyond(p, all[*i]));
    own.map(letter).collect()
}

/// Names of the bounds that a point lies beyond.
pub(super) fn labels(p: &SweepPoint) -> String {
    let mut all: Vec<Bound> = p.zones.iter().map(|z| z.bound).collect();
    all.sort();
    all.dedup();
    let all: Vec<&str> = all.into_iter().map(Bound::label).collect();
    all.join(", ")
}

/// Stretches of neighbouring points beyond a bound: first and last of each.
fn stretches(s: &Sweep, bound: Bound) -> Vec<(usize, usize)> {
    let mut found: Vec<(usize, usize)> = Vec::new();
    for i in (0..s.points.len()).filter(|i| is_beyond(&s.points[*i], bound)) {
        match found.last_mut() {
            Some((_, last)) if *last + 1 == i => *last = i,
            _ => found.push((i, i)),
        }
    }
    found
}

/// A point beyond a bound that lies next to one in bounds; the first one if none does.
fn nearest(s: &Sweep, found: &[(usize, usize)]) -> usize {
    let across = s.vary[0].values.len();
    let sound = |i: usize| s.points.get(i).is_some_and(|p| p.zones.is_empty());
    let beside = |i: &usize| {
        let column = i % across;
        let left = column > 0 && sound(i - 1);
        let right = column + 1 < across && sound(i + 1);
        left || right || sound(i + across) || i.checked_sub(across).is_some_and(sound)
    };
    let mut all = found.iter().flat_map(|(first, last)| *first..=*last);
    all.clone().find(beside).or_else(|| all.next()).unwrap_or(0)
}

/// What a point says of a bound, of each leg once.
fn words(p: &SweepPoint, bound: Bound) -> String {
    let own = p.zones.iter().filter(|z| z.bound == bound);
    let mut all: Vec<&str> = own.map(|z| z.words.as_str()).collect();
    all.dedup();
    all.join("; ")
}

/// Where a bound is crossed.
fn place(s: &Sweep, found: &[(usize, usize)]) -> String {
    let [vary] = s.vary.as_slice() else {
        let n: usize = found.iter().map(|(a, b)| b - a + 1).sum();
        return format!("{n} of {} points", s.points.len());
    };
    let of = |i: usize| match vary.parameter.is_count() {
        true => s.points[i].at[0].to_string(),
        false => value(vary, s.points[i].at[0]),
    };
    let each = found.iter().map(|(a, b)| match a == b {
        true => of(*a),
        false => format!("{} to {}", of(*a), of(*b)),
    });
    each.collect::<Vec<_>>().join(", ")
}

/// One note about all points that are out of bounds; in full also what the nearest one says.
pub(super) fn noted(mut section: Section, s: &Sweep) -> Section {
    let (mut short, mut long) = (Vec::new(), Vec::new());
    for (i, bound) in crossed(s).into_iter().enumerate() {
        let found = stretches(s, bound);
        let (letter, label) = (letter(i), bound.label());
        short.push(format!("{letter}, {label}: {}", place(s, &found)));
        let nearest = &s.points[nearest(s, &found)];
        long.push(format!(
            "{letter}, at {}: {}.",
            at(s, nearest),
            words(nearest, bound)
        ));
    }
    if !short.is_empty() {
        section = section
            .with(Block::note(format!("Out of bounds {}.", short.join("; "))))
            .detail(Block::List(long));
    }
    for z in &s.throughout {
        section = section.with(Block::note(format!(
            "At all points ({}): {}.",
            z.bound.label(),
            z.words
        )));
    }
    section
}
