//! What a reader may not expect of a sweep.

use super::words::{axis, bare};
use crate::design::{Sweep, Vary, set_apart};
use crate::report::words::leg_of;
use crate::scenario::{SourceId, schema};

/// Each in a sentence or two.
pub(super) fn notes(s: &Sweep) -> Vec<String> {
    let each = |v: &Vary| [missed(v), of_mean(v), apart(s, v)];
    let mut all: Vec<String> = s.vary.iter().flat_map(each).flatten().collect();
    all.extend(kept_leak(s));
    all
}

fn missed(v: &Vary) -> Option<String> {
    let end = v.words(v.missed?);
    let last = v.words(*v.values.last()?);
    Some(format!(
        "{}: the steps end at {last}, before {end}.",
        axis(v)
    ))
}

/// Says what is varied of an error that can only go one way.
fn of_mean(vary: &Vary) -> Option<String> {
    vary.parameter.is_loss().then(|| {
        format!(
            "`{0}` goes one way only: its mean over runs is varied. A single known incident is set by its size: `compare \
             --set \"{0} = exactly ...\"`.",
            vary.parameter.path
        )
    })
}

/// Says that a leg gets an instrument of its own, which nobody would think of who varies one of its numbers.
fn apart(s: &Sweep, vary: &Vary) -> Option<String> {
    let key = bare(vary);
    let (leg, site) = set_apart(&s.scenario, key)?;
    let leg = leg_of(leg);
    Some(format!(
        "Stated for `{leg}` alone, this gives it a {site} of its own: errors of the {site} that all legs share now no longer \
         cancel. `{}` varies it for all legs.",
        key.split_once(&format!("{leg}."))
            .map_or(key, |(_, tail)| tail)
    ))
}

/// A leak is stated as a rate, which belongs to a filling.
fn kept_leak(s: &Sweep) -> Option<String> {
    let of_filling = |v: &Vary| {
        let (_, tail) = schema::in_leg(&v.parameter.path);
        matches!(tail, "liquid.volume" | "liquid.mass")
    };
    let leaks = s.scenario.legs().into_iter().any(|leg| {
        let leak = &leg.binding(SourceId::Leak).input.dist;
        leg.runs > 0 && leak.mean() > 0.0
    });
    (leaks && s.vary.iter().any(of_filling)).then(|| {
        "The heat leak is kept as the rate that is stated; in truth it falls as the heat capacity of the contents increases. \
         Vary `vessel.leak` as well to see whether that matters."
            .to_owned()
    })
}
