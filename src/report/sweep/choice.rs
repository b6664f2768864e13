//! Which point of a sweep to choose.

use super::words::source_of;
use crate::design::{Sweep, Vary};
use crate::quantity::Dimension;
use crate::scenario::Source;
use crate::stats::Estimate;

/// An error that is larger by less than this share of itself, or than its standard error, is no reason to do anything.
const FLAT: f64 = 0.01;

/// Of runs, a step that lowers the error by less than this share of itself is not worth its effort unless a target asks for it.
pub(super) const WORTH: f64 = 0.1;

/// A point that is recommended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Choice {
    /// Which.
    pub at: usize,
    /// The point of the smallest RMS error.
    pub best: usize,
    /// First and last of the points about the best at which that error is hardly larger.
    pub flat: [usize; 2],
    /// How many points these are, on a map wherever they lie.
    pub about: usize,
    /// How much that is, relative.
    pub within: f64,
}

/// Relative RMS error of a point that may be proposed.
pub(super) fn rms(s: &Sweep, point: usize) -> Option<Estimate> {
    let p = &s.points[point];
    let o = p.outcome.as_ref().filter(|_| p.zones.is_empty())?;
    let rms = o.relative(o.errors.rms);
    rms.value.is_finite().then_some(rms)
}

/// Whether only numbers of runs are varied.
pub(super) fn counts(s: &Sweep) -> bool {
    s.vary.iter().all(|v| v.parameter.is_count())
}

/// The point to choose: of numbers of runs, that of the least effort that reaches the target, or, along one number without
/// a target, the last one that is worth its effort; of other numbers the cheapest of those about the smallest RMS error.
pub(super) fn choice(s: &Sweep) -> Option<Choice> {
    let only = |at: usize| Choice {
        at,
        best: at,
        flat: [at; 2],
        about: 1,
        within: 0.0,
    };
    if counts(s) {
        return match s.goal {
            Some(_) => s.least().map(only),
            None if s.vary.len() == 1 => useful(s).map(only),
            None => None,
        };
    }
    let goal = s
        .goal
        .filter(|_| s.least().is_some() && s.untold().is_none());
    let may = |i: usize| {
        let reached = goal.is_none_or(|goal| s.points[i].reaches(goal));
        rms(s, i).filter(|_| reached)
    };
    let by_rms = |i: &usize| may(*i).map_or(f64::INFINITY, |e| e.value);
    let all = (0..s.points.len()).filter(|i| may(*i).is_some());
    let best = all.min_by(|a, b| by_rms(a).total_cmp(&by_rms(b)))?;
    let least = may(best)?;
    let within = FLAT.max(least.se / least.value);
    let good = |i: &usize| may(*i).is_some_and(|e| e.value <= least.value * (1.0 + within));
    let [vary] = s.vary.as_slice() else {
        let about = (0..s.points.len()).filter(good);
        let smaller = s.vary.iter().all(|v| cheaper(v) == Cheaper::Smaller);
        // In parts of the largest values, so that both count alike.
        let price = |i: &usize| -> f64 {
            let each = s.points[*i].at.iter().zip(&s.vary);
            each.map(|(x, v)| x / v.values.iter().copied().fold(f64::MIN_POSITIVE, f64::max))
                .sum()
        };
        let cheapest = about.clone().min_by(|a, b| price(a).total_cmp(&price(b)));
        return Some(Choice {
            best,
            about: about.count(),
            within,
            ..only(cheapest.filter(|_| smaller).unwrap_or(best))
        });
    };
    let low = (0..=best).rev().take_while(good).last().unwrap_or(best);
    let high = (best..s.points.len())
        .take_while(good)
        .last()
        .unwrap_or(best);
    let at = match cheaper(vary) {
        Cheaper::Smaller => low,
        Cheaper::Larger => high,
        Cheaper::AsItIs => now(s).map_or(best, |now| now.clamp(low, high)),
    };
    Some(Choice {
        at,
        best,
        flat: [low, high],
        about: high - low + 1,
        within,
    })
}

/// The first number of runs from which on the next one in bounds is not worth its effort.
fn useful(s: &Sweep) -> Option<usize> {
    let all: Vec<(usize, f64)> = (0..s.points.len())
        .filter_map(|i| Some((i, rms(s, i)?.value)))
        .collect();
    let little = |pair: &&[(usize, f64)]| pair[1].1 > (1.0 - WORTH) * pair[0].1;
    let found = all.windows(2).find(little).map(|pair| pair[0].0);
    found.or(all.last().map(|last| last.0))
}

/// The point of the procedure as it is.
pub(super) fn now(s: &Sweep) -> Option<usize> {
    let as_now = |v: &Vary, x: f64| (x - v.parameter.now).abs() <= 1e-6 * v.parameter.now.abs();
    let same = |i: &usize| {
        let pairs = s.vary.iter().zip(&s.points[*i].at);
        pairs.into_iter().all(|(v, x)| as_now(v, *x))
    };
    (0..s.points.len()).find(same)
}

/// Which values of a number cost less.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Cheaper {
    /// Less of something.
    Smaller,
    /// A larger error.
    Larger,
    /// Neither: no change costs least.
    AsItIs,
}

/// A smaller error asks for a better instrument or more care; of everything else that has an amount less is cheaper.
pub(super) fn cheaper(vary: &Vary) -> Cheaper {
    let given = |s: &Source| s.key.starts_with("room.") || s.key.starts_with("dissolving.");
    match source_of(vary) {
        Some(s) if given(s) && !vary.parameter.path.starts_with("u(") => Cheaper::AsItIs,
        Some(_) => Cheaper::Larger,
        None if vary.parameter.dimension() == Some(Dimension::Temperature) => Cheaper::AsItIs,
        None => Cheaper::Smaller,
    }
}
