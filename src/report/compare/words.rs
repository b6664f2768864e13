//! What a comparison says in words: who is who, and three plain sentences.

use super::cells::both;
use crate::design::{Bound, Compared, Comparison, Delivered, Verdict};
use crate::report::words::{entry, in_a_row, percent, share, three};
use crate::scenario::Source;
use crate::stats::quote;

/// Letters of a name that a sentence can carry.
const SHORT: usize = 48;

/// Letter and name, unless that is too long for a sentence.
pub(in crate::report) fn named(c: &Comparison, i: usize) -> String {
    let name = c.contenders[i].name.as_str();
    if name.chars().count() > SHORT {
        return Comparison::letter(i).to_string();
    }
    format!("{} ({name})", Comparison::letter(i))
}

/// Letters in a row: `A, B and C`.
fn listed(all: &[usize]) -> String {
    let letters: Vec<String> = all
        .iter()
        .map(|i| Comparison::letter(*i).to_string())
        .collect();
    in_a_row(&letters)
}

/// Who is who, and who cannot be.
pub(in crate::report) fn contenders(c: &Comparison) -> String {
    let line = |(i, x): (usize, &Compared)| {
        let mark = format!("{} ", Comparison::letter(i));
        let mut out = entry(&mark, &format!("{}: {}", x.name, x.what));
        if let Err(zone) = &x.result {
            out.push_str(&entry("  ", &format!("Not possible: {}.", zone.words)));
        }
        out
    };
    c.contenders.iter().enumerate().map(line).collect()
}

pub(in crate::report) fn sentences(c: &Comparison) -> [String; 3] {
    [best(c), causes(c), price(c)]
}

/// An estimate of a difference in percent, with its error.
fn apart(d: crate::stats::Estimate) -> String {
    let q = quote(100.0 * d.value.abs(), 100.0 * d.se, 2);
    format!("{}\u{a0}±\u{a0}{}\u{a0}%", q.value, q.u)
}

fn best(c: &Comparison) -> String {
    let order = c.by_place();
    let (sound, barred): (Vec<_>, Vec<_>) = order.iter().partition(|(_, d)| c.barred(d).is_empty());
    let Some((i, d)) = sound.first() else {
        return "None of them may be suggested: each goes beyond a bound.".to_owned();
    };
    let tied: Vec<(usize, &Delivered)> = sound
        .iter()
        .filter(|(_, other)| other.place == d.place && !other.behind.contains(i))
        .copied()
        .collect();
    let letters: Vec<usize> = tied.iter().map(|(i, _)| *i).collect();
    let within = |d: &Delivered| percent(d.within().value);
    // In the order of their distances: the last is the farthest.
    let (u, farthest) = (within(d), within(tied.last().map_or(d, |(_, d)| d)));
    let range = if farthest == u {
        u.clone()
    } else {
        format!("{} to {farthest}", u.trim_end_matches(" %"))
    };
    let alike = tied.len() > 1
        && *i == 0
        && tied[1..].iter().all(|(_, d)| {
            let a = &d.against;
            [a.off, a.spread, a.within, a.rms]
                .iter()
                .all(|x| x.verdict() == Verdict::Same)
        });
    let mut out = if alike {
        format!(
            "{} are the same to the last digit: 95 % of groups stay within {range} of the true value",
            listed(&letters)
        )
    } else if tied.len() > 1 {
        format!(
            "{} come closest to the true value, and these trials do not tell them apart: 95 % of groups stay within \
             {range} of it",
            listed(&letters)
        )
    } else {
        format!(
            "{} comes closest to the true value: 95 % of groups stay within {u} of it",
            named(c, *i)
        )
    };
    if !letters.contains(&0)
        && let Some((_, first)) = order.iter().find(|(i, _)| *i == 0)
    {
        out.push_str(&format!(
            ", {} nearer than with A, where it is {}",
            apart(d.against.within.0),
            percent(first.within().value)
        ));
    } else if let Some((i, d)) = sound.iter().find(|(i, _)| !letters.contains(i)) {
        out.push_str(&format!(
            "; next is {} with {}",
            named(c, *i),
            percent(d.within().value)
        ));
    }
    // The tail of a distribution is known less well than its mean square.
    let by_rms: Vec<String> = tied
        .iter()
        .filter(|(i, d)| letters.contains(&0) && *i > 0 && d.against.rms.verdict() != Verdict::Same)
        .filter(|(_, d)| d.against.rms.verdict() != Verdict::NotToldApart)
        .map(|(i, d)| {
            format!(
                "{} {} by {}",
                Comparison::letter(*i),
                d.against.rms.verdict().words(),
                apart(d.against.rms.0)
            )
        })
        .collect();
    out.push('.');
    if !by_rms.is_empty() {
        out.push_str(&format!(
            " In RMS error, which is known better, they differ from A: {}.",
            by_rms.join(", ")
        ));
    }
    if !barred.is_empty() {
        let each = barred.iter().map(|(i, d)| {
            let why: Vec<&str> = c.barred(d).into_iter().map(Bound::label).collect();
            format!("{} ({})", Comparison::letter(*i), why.join(", "))
        });
        out.push_str(&format!(
            " Not considered, since beyond a bound: {}.",
            each.collect::<Vec<_>>().join(", ")
        ));
    }
    let missing: Vec<usize> = (0..c.contenders.len())
        .filter(|i| c.contenders[*i].result.is_err())
        .collect();
    if !missing.is_empty() {
        let is = if missing.len() > 1 { "are" } else { "is" };
        out.push_str(&format!(" {} {is} not possible (above).", listed(&missing)));
    }
    out
}

fn causes(c: &Comparison) -> String {
    let mut by: Vec<(&'static Source, Vec<usize>, [f64; 2])> = Vec::new();
    for (i, d) in c.delivered() {
        let Some((source, share)) = d.causes.spread.first() else {
            continue;
        };
        match by.iter_mut().find(|(s, ..)| s.id == source.id) {
            Some((_, all, range)) => {
                all.push(i);
                *range = [range[0].min(share.value), range[1].max(share.value)];
            }
            None => by.push((source, vec![i], [share.value; 2])),
        }
    }
    let whole = |x: f64| format!("{:.0}", 100.0 * x);
    let told: Vec<String> = by
        .iter()
        .map(|(source, all, [low, high])| {
            let share = if whole(*low) == whole(*high) {
                whole(*low)
            } else {
                format!("{} to {}", whole(*low), whole(*high))
            };
            let who = if all.len() > 1 && all.len() == c.delivered().count() {
                "all of them".to_owned()
            } else {
                listed(all)
            };
            format!("`{}` ({share}\u{a0}%) with {who}", source.key)
        })
        .collect();
    let floors = c
        .delivered()
        .map(|(i, d)| (i, d, d.relative(d.causes.floor)));
    let least = floors
        .filter(|(.., f)| f.value.is_finite())
        .min_by(|a, b| a.2.value.total_cmp(&b.2.value));
    let mut out = if told.is_empty() {
        "Nothing errs in any of them.".to_owned()
    } else {
        format!(
            "Most of the spread, by share of its variance, comes from {}.",
            told.join("; from ")
        )
    };
    if let Some((i, d, floor)) = least {
        out.push_str(&format!(
            " However many runs there were, no spread would fall below {} %, that of {} (now {}).",
            share(floor),
            Comparison::letter(i),
            percent(d.relative(d.outcome.errors.spread).value)
        ));
    }
    out
}

/// Amounts that differ by less than this share of them are one.
const ALIKE: f64 = 0.98;

fn price(c: &Comparison) -> String {
    let groups = f64::from(c.groups);
    let range = |of: &dyn Fn(&Delivered) -> f64, unit: &str| {
        let all: Vec<(usize, f64)> = c.delivered().map(|(i, d)| (i, groups * of(d))).collect();
        let least = all.iter().min_by(|a, b| a.1.total_cmp(&b.1))?;
        let most = all.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
        let size = three;
        Some(if least.1 > ALIKE * most.1 {
            format!("{} {unit}", size(most.1))
        } else {
            format!(
                "{} ({}) to {} {unit} ({})",
                size(least.1),
                Comparison::letter(least.0),
                size(most.1),
                Comparison::letter(most.0)
            )
        })
    };
    let weighs = c.delivered().any(|(_, d)| both(d.outcome.cost.solid) > 0.0);
    let solids = range(&|d| both(d.outcome.cost.solid), "g").filter(|_| weighs);
    let solids = solids.map_or(String::new(), |text| format!("{text} of solids and "));
    let liquids = range(&|d| both(d.outcome.cost.liquid) / 1e3, "L").unwrap_or_default();
    let mut out = format!(
        "{} uses up {solids}{liquids} of liquids.",
        match c.groups {
            1 => "A group".to_owned(),
            n => format!("A section of {n} groups"),
        }
    );
    let poor: Vec<(usize, f64)> = c
        .delivered()
        .map(|(i, d)| {
            (
                i,
                d.literature() / d.relative(d.outcome.errors.spread).value,
            )
        })
        .filter(|(_, ratio)| *ratio > 1.0)
        .collect();
    if !poor.is_empty() {
        let who: Vec<usize> = poor.iter().map(|(i, _)| *i).collect();
        out.push_str(&format!(
            " With {} the literature knows the value less well than a group finds it: a group's bias cannot be told \
             from that of the table.",
            listed(&who)
        ));
    }
    out
}
