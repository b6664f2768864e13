//! A forecast for people: cautions first, three plain sentences, then numbers.

use super::beside::beside;
use super::extras::{class, reductions, repeats};
use super::sentences::sentences;
use super::tables::{along_the_way, causes, claims, result, spread};
use crate::forecast::{Ended, Extras, Forecast};
use crate::report::words::{cautions, count, entry, heading, paragraph, percent};
use crate::stats::{StopRule, quote};

/// The whole text, for 80 columns. `digits` is the number of digits of an uncertainty; `extras` what
/// was asked for beside.
pub fn forecast_text(f: &Forecast, extras: &Extras, digits: u32) -> String {
    let mut out = String::new();
    out.push_str(&paragraph(&f.scenario.title, 0));
    if !f.scenario.summary.is_empty() {
        out.push_str(&paragraph(&f.scenario.summary, 2));
    }
    out.push_str(&hazards(f));
    out.push_str(&heading("in short"));
    for (i, sentence) in sentences(f, digits).iter().enumerate() {
        out.push_str(&entry(&format!("{}.", i + 1), sentence));
    }
    out.push_str(&result(f, digits));
    out.push_str(&remarks(f));
    out.push_str(&beside(f));
    if f.has_spread() {
        out.push_str(&spread(f));
        out.push_str(&causes(f));
    }
    out.push_str(&claims(f, digits));
    if let Some(c) = &extras.class {
        out.push_str(&class(f, c));
    }
    if !extras.ways.is_empty() {
        out.push_str(&reductions(f, &extras.ways));
    }
    if let Some(r) = &f.repeats {
        out.push_str(&repeats(f, r));
    }
    out.push_str(&along_the_way(f));
    out
}

fn hazards(f: &Forecast) -> String {
    let mut out = cautions(&f.scenario.cautions);
    for w in &f.scenario.warnings {
        out.push_str(&entry("!", &format!("warning: {w}")));
    }
    out
}

/// What makes the numbers above less than they look; trials that went wrong, or stopped short.
fn remarks(f: &Forecast) -> String {
    let mut out = String::new();
    if let Some(l) = f.lattice {
        let step = quote(l.step / 1e3, l.step / 1e3, 2).value;
        out.push_str(&paragraph(
            &format!(
                "Results fall on {} values only, mostly {step} kJ/mol apart: the steps of the display make them. Numbers \
                 without an error are such values.",
                l.values
            ),
            2,
        ));
    }
    if let (true, Some(far)) = (f.has_spread(), f.value.summary.far) {
        out.push_str(&paragraph(
            &format!(
                "{} of {} results lie so far out that they make {} of the variance: bias and spread go by how often chance \
                 brought them. Trust the interval, or run more trials.",
                far.count,
                count(f.value.summary.n),
                percent(far.share)
            ),
            2,
        ));
    }
    if f.nonphysical > 0 {
        out.push_str(&paragraph(
            &format!(
                "{} trials gave no finite result and are left out of the numbers above.",
                count(f.nonphysical)
            ),
            2,
        ));
    }
    if f.wrong_sign > 0 {
        out.push_str(&paragraph(
            &format!(
                "In {} of {} trials a change of temperature vanished or went the wrong way; they \
                 are included.",
                count(f.wrong_sign),
                count(f.trials)
            ),
            2,
        ));
    }
    if f.beside.negative_constants > 0 {
        out.push_str(&paragraph(
            &format!(
                "{} of {} groups find a heat capacity of the vessel below zero: the difference of \
                 large numbers. They are included.",
                count(f.beside.negative_constants),
                count(f.trials)
            ),
            2,
        ));
    }
    if let Some(words) = ended(f) {
        out.push_str(&paragraph(&words, 2));
    }
    out
}

/// Why the trials ended, if a rule ended them.
fn ended(f: &Forecast) -> Option<String> {
    let n = count(f.trials);
    let known = |rule: StopRule| match rule {
        StopRule::Digits(digits) => format!(
            "mean, spread and ends are good to {digits} digit{} of the spread (JCGM 101, 7.9.4)",
            if digits == 1 { "" } else { "s" }
        ),
        StopRule::Relative(part) => format!(
            "the errors of mean, spread and ends are at most {} % of the spread",
            100.0 * part
        ),
    };
    match f.ended {
        Ended::Asked => None,
        Ended::Settled(rule) => Some(format!("{n} trials: {}.", known(rule))),
        Ended::Most(rule) => Some(format!(
            "The trials ended at {n}, before {}; --trials runs more.",
            known(rule)
        )),
    }
}
