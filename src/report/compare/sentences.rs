//! A comparison in three sentences, each with the decision that follows from it.

use super::cells::letter;
use crate::design::{Bound, Comparison, Delivered, Verdict};
use crate::report::document::{by_uncertainty, figures};
use crate::report::words::{in_a_row, percent, share};
use crate::scenario::Source;
use crate::stats::Estimate;

/// Letters of a name that a sentence can carry.
const SHORT: usize = 48;

/// Amounts that differ by less than this share of them are one.
const ALIKE: f64 = 0.98;

/// Which to use, what to improve whichever is used, what it takes.
pub(super) fn sentences(c: &Comparison) -> Vec<String> {
    vec![best(c), causes(c), price(c)]
}

/// Letter and name, unless that is too long for a sentence.
fn named(c: &Comparison, i: usize) -> String {
    match c.contenders[i].name.as_str() {
        name if name.chars().count() > SHORT => letter(i),
        name => format!("{} ({name})", letter(i)),
    }
}

/// Letters in a row: `A, B and C`.
fn listed(all: &[usize]) -> String {
    in_a_row(&all.iter().map(|i| letter(*i)).collect::<Vec<_>>())
}

/// The magnitude of a difference in percent, with its error.
fn apart(d: Estimate) -> String {
    let [value, se] = [d.value.abs(), d.se].map(|x| 100.0 * x);
    format!("{} ± {} %", by_uncertainty(value, se, 1), figures(se, 1))
}

/// A range of numbers that may be one: `38 to 43`.
fn range(low: String, high: String) -> String {
    match low == high {
        true => low,
        false => format!("{low} to {high}"),
    }
}

fn best(c: &Comparison) -> String {
    let order = c.by_place();
    let (sound, barred): (Vec<_>, Vec<_>) = order.iter().partition(|(_, d)| c.barred(d).is_empty());
    let Some((i, d)) = sound.first() else {
        return "None of them can be recommended: each goes beyond a bound.".to_owned();
    };
    let tied: Vec<(usize, &Delivered)> = sound
        .iter()
        .filter(|(_, other)| other.place == d.place && !other.behind.contains(i))
        .copied()
        .collect();
    let letters: Vec<usize> = tied.iter().map(|(i, _)| *i).collect();
    let within = |d: &Delivered| figures(100.0 * d.within().value, 3);
    // In the order of their distances: the last is the farthest.
    let farthest = tied.last().map_or(d, |(_, d)| d);
    let u = format!(
        "95 % of groups stay within {} %",
        range(within(d), within(farthest))
    );
    let same = |d: &Delivered| {
        let a = &d.against;
        [a.off, a.spread, a.within, a.rms]
            .iter()
            .all(|x| x.verdict() == Verdict::Same)
    };
    let mut out = if tied.len() > 1 && *i == 0 && tied.iter().all(|(_, d)| same(d)) {
        format!(
            "{} are the same to the last digit: {u} of the true value",
            listed(&letters)
        )
    } else if tied.len() > 1 {
        let who: Vec<String> = letters.iter().map(|i| letter(*i)).collect();
        format!(
            "Use {}, a tie within these trials: {u} of the true value",
            who.join(" or ")
        )
    } else {
        format!("Use {}: {u} of the true value", named(c, *i))
    };
    let first = order.iter().find(|(i, _)| *i == 0 && !letters.contains(&0));
    let next = sound.iter().find(|(i, _)| !letters.contains(i));
    if let Some((_, first)) = first {
        let difference = apart(d.against.within.0);
        out += &format!(
            " instead of {} % with A (difference {difference})",
            within(first)
        );
    } else if let Some((i, d)) = next {
        out += &format!("; next is {} with {} %", named(c, *i), within(d));
    }
    out.push('.');
    // The tail of a distribution is known less well than its mean square.
    let by_rms: Vec<String> = tied
        .iter()
        .filter(|(i, _)| letters.contains(&0) && *i > 0)
        .filter(|(_, d)| matches!(d.against.rms.verdict(), Verdict::Better | Verdict::Worse))
        .map(|(i, d)| {
            let verdict = d.against.rms.verdict().words();
            format!("{} is {verdict} by {}", letter(*i), apart(d.against.rms.0))
        })
        .collect();
    if !by_rms.is_empty() {
        out += &format!(
            " In RMS error, which is known better than A's: {}.",
            by_rms.join(", ")
        );
    }
    if !barred.is_empty() {
        let each = barred.iter().map(|(i, d)| {
            let why: Vec<&str> = c.barred(d).into_iter().map(Bound::label).collect();
            format!("{} ({})", letter(*i), why.join(", "))
        });
        let each: Vec<String> = each.collect();
        out += &format!(
            " Not considered, since beyond a bound: {}.",
            each.join(", ")
        );
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
            Some((_, all, [low, high])) => {
                all.push(i);
                (*low, *high) = (low.min(share.value), high.max(share.value));
            }
            None => by.push((source, vec![i], [share.value; 2])),
        }
    }
    let part = |[low, high]: [f64; 2]| {
        let [low, high] = [low, high].map(|x| format!("{:.0}", 100.0 * x));
        range(low, high)
    };
    let mut out = match &by[..] {
        [] => "Nothing errs in any of them.".to_owned(),
        [(source, all, share)] if all.len() > 1 => format!(
            "Whichever is used, improve `{}` first: it makes {} % of the variance.",
            source.key,
            part(*share)
        ),
        several => {
            let each = several.iter().map(|(source, all, share)| {
                format!(
                    "`{}` with {} ({} % of the variance)",
                    source.key,
                    listed(all),
                    part(*share)
                )
            });
            format!("Improve first {}.", each.collect::<Vec<_>>().join(", "))
        }
    };
    let floors = c
        .delivered()
        .map(|(i, d)| (i, d, d.relative(d.causes.floor)));
    let least = floors
        .filter(|(.., f)| f.value.is_finite())
        .min_by(|a, b| a.2.value.total_cmp(&b.2.value));
    if let Some((i, d, floor)) = least {
        out += &format!(
            " With any number of runs no spread falls below {} %, that of {} (now {}).",
            share(floor),
            letter(i),
            percent(d.relative(d.outcome.errors.spread).value)
        );
    }
    out
}

fn price(c: &Comparison) -> String {
    let groups = f64::from(c.groups);
    let size = |x: f64| figures(x, 3);
    let amounts = |of: &dyn Fn(&Delivered) -> f64, unit: &str| {
        let all: Vec<(usize, f64)> = c.delivered().map(|(i, d)| (i, groups * of(d))).collect();
        let least = all.iter().min_by(|a, b| a.1.total_cmp(&b.1))?;
        let most = all.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
        Some(if least.1 > ALIKE * most.1 {
            format!("{} {unit}", size(most.1))
        } else {
            let [(i, low), (j, high)] = [least, most].map(|x| (letter(x.0), size(x.1)));
            format!("{low} ({i}) to {high} {unit} ({j})")
        })
    };
    let solids = amounts(&|d| d.outcome.cost.solid.iter().sum(), "g").filter(|text| text != "0 g");
    let solids = solids.map_or(String::new(), |text| format!("{text} of solids and "));
    let liquids = amounts(&|d| d.outcome.cost.liquid.iter().sum::<f64>() / 1e3, "L");
    let whose = match c.groups {
        1 => "A group".to_owned(),
        n => format!("A section of {n} groups"),
    };
    let mut out = format!(
        "{whose} uses up {solids}{} of liquids.",
        liquids.unwrap_or_default()
    );
    let poor = c
        .delivered()
        .filter(|(_, d)| d.literature() > d.relative(d.outcome.errors.spread).value);
    let poor: Vec<usize> = poor.map(|(i, _)| i).collect();
    if !poor.is_empty() {
        out += &format!(
            " With {} a group knows the value better than the literature does: its bias cannot be told from that of the \
             table.",
            listed(&poor)
        );
    }
    out
}
