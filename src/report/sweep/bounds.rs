//! Where a sweep is out of bounds, in sentences.

use super::words::at;
use crate::design::{Bound, Sweep, SweepPoint};

/// Bounds that some point lies beyond, in the order of their letters.
fn crossed(s: &Sweep) -> Vec<Bound> {
    let mut found: Vec<Bound> = s
        .points
        .iter()
        .flat_map(|p| p.zones.iter().map(|z| z.bound))
        .collect();
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

/// Letters of the bounds that a point lies beyond, as the sentences name them.
pub(in crate::report) fn letters(s: &Sweep, p: &SweepPoint) -> String {
    let all = crossed(s);
    let own = (0..all.len()).filter(|i| is_beyond(p, all[*i]));
    own.map(letter).collect()
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

/// Bounds that points lie beyond, each with where, and with what the point next to those in bounds says of it.
pub(in crate::report) fn bounds(s: &Sweep) -> Vec<String> {
    let mut out = Vec::new();
    for (i, bound) in crossed(s).into_iter().enumerate() {
        let found = stretches(s, bound);
        let Some(&(first, _)) = found.first() else {
            continue;
        };
        let nearest = &s.points[nearest(s, &found)];
        let place = match s.vary.as_slice() {
            [vary] => {
                let value = |i: usize| vary.words(s.points[i].at[0]);
                let each = found.iter().map(|(a, b)| {
                    if a == b {
                        format!("at {}", value(*a))
                    } else {
                        format!("from {} to {}", value(*a), value(*b))
                    }
                });
                each.collect::<Vec<_>>().join(" and ")
            }
            _ => {
                let n: usize = found.iter().map(|(a, b)| b - a + 1).sum();
                format!("at {n} of {} points", s.points.len())
            }
        };
        let said = words(nearest, bound);
        let alone = s.vary.len() == 1 && found == [(first, first)];
        let said = if alone {
            format!(": {said}.")
        } else {
            format!(". With {}: {said}.", at(s, nearest))
        };
        out.push(format!(
            "Out of bounds ({}) {place}, {}{said}",
            letter(i),
            bound.label()
        ));
    }
    for z in &s.throughout {
        out.push(format!(
            "Wherever this is set ({}): {}.",
            z.bound.label(),
            z.words
        ));
    }
    out
}
