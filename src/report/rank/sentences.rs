//! A ranking in three sentences, each with the decision that follows from it.

use crate::rank::{Ranked, RankedFamily, Ranking};
use crate::report::words::{in_a_row, kj, percent, plus_minus};
use crate::scenario::Scope;
use crate::stats::Estimate;

/// Gains below this part of the RMS error are not worth an effort.
const LITTLE: f64 = 0.01;

/// What makes the spread, what makes the bias, what to improve.
pub(super) fn sentences(r: &Ranking) -> Vec<String> {
    vec![spread(r), bias(r), improve(r)]
}

fn spread(r: &Ranking) -> String {
    let first: Vec<&Ranked> = r.sources.iter().filter(|s| s.rank == 1).collect();
    let Some(top) = first.first() else {
        return "No source errs in this scenario.".to_owned();
    };
    let share = percent(top.share.total.value);
    let named = if first.len() == 1 {
        let part = if top.share.total.value > 0.5 {
            "Most"
        } else {
            "The largest part"
        };
        format!(
            "{part} of the spread comes from `{}` ({}): {share} of the variance.",
            top.source.key, top.source.doc
        )
    } else {
        let names: Vec<String> = first
            .iter()
            .take(3)
            .map(|s| format!("`{}`", s.source.key))
            .collect();
        format!(
            "The largest parts of the spread come from {}, a tie within these trials: {share} of the variance each.",
            in_a_row(&names)
        )
    };
    let averaged = first.iter().all(|s| s.source.scope <= Scope::Run);
    let runs = if averaged {
        "More runs average it"
    } else {
        "More runs do not average it, for all runs of a group share it"
    };
    format!(
        "{named} {runs}: with any number of runs the spread falls from {} to no less than {} kJ/mol.",
        kj(r.now.sd.value),
        kj(r.floor.value)
    )
}

fn bias(r: &Ranking) -> String {
    let own = |s: &Ranked| s.better.gain_if_perfect.mean;
    let seen = r.sources.iter().filter(|s| own(s).is_seen());
    let most = seen.max_by(|a, b| own(a).value.abs().total_cmp(&own(b).value.abs()));
    let Some(most) = most else {
        return "No single source makes a bias that these trials can detect.".to_owned();
    };
    let way = match own(most).value * r.target.signum() < 0.0 {
        true => "too small",
        false => "too large",
    };
    let all = if r.now.mean.is_seen() {
        format!("all sources together: {}", shift(r.now.mean, r.target))
    } else {
        "all sources together make none that these trials can detect".to_owned()
    };
    format!(
        "The largest bias comes from `{}` ({}): {} of the result, which makes it {way}; {all}.",
        most.source.key,
        most.source.doc,
        shift(own(most), r.target)
    )
}

/// A shift relative to the magnitude of the result, with its standard error.
fn shift(e: Estimate, target: f64) -> String {
    let [value, se] = [e.value / target, e.se / target.abs()].map(|x| 100.0 * x);
    format!("{} %", plus_minus(Estimate::new(value, se)))
}

fn improve(r: &Ranking) -> String {
    let gain = |f: &RankedFamily| f.better.gain_if_perfect.rms.value;
    let Some(best) = r.families.iter().max_by(|a, b| gain(a).total_cmp(&gain(b))) else {
        return String::new();
    };
    let own = r.sources.iter().filter(|s| s.source.family == best.family);
    let source = own.max_by(|a, b| {
        a.better
            .gain_if_perfect
            .rms
            .value
            .total_cmp(&b.better.gain_if_perfect.rms.value)
    });
    let through = source.map_or(String::new(), |s| format!(", above all `{}`", s.source.key));
    let idle: Vec<String> = r
        .families
        .iter()
        .filter(|f| gain(f).abs() < LITTLE * r.now.rms.value)
        .map(|f| f.family.name().to_owned())
        .collect();
    let rest = if idle.is_empty() {
        String::new()
    } else {
        format!(" Less than 1 % would be gained by: {}.", idle.join(", "))
    };
    format!(
        "Improve the {} first{through}: without its errors the RMS error falls from {} to {} kJ/mol.{rest}",
        best.family.name(),
        kj(r.now.rms.value),
        kj(best.better.perfect.rms.value)
    )
}
