//! What changes how the numbers of a forecast are read.

use crate::forecast::{Ended, Forecast};
use crate::report::document::{Block, Section};
use crate::report::words::{count, in_a_row, kj, percent, share};
use crate::stats::StopRule;

/// Constants below zero are told of if there are more of them than one in so many groups.
const WORTH_SAYING: u64 = 200;

/// What must be known before any number.
pub(super) fn before(f: &Forecast) -> Option<String> {
    let odd = f.sound().oddity()?;
    let todo = odd.hint.map_or(String::new(), |hint| format!(": {hint}"));
    Some(format!("Beware: {}{todo}.", odd.message))
}

/// What the numbers below are to be read with.
pub(super) fn after(f: &Forecast) -> Vec<String> {
    let n = count(f.trials);
    let mut all: Vec<String> = warned(f).into_iter().collect();
    if let Some(l) = f.lattice {
        all.push(format!(
            "Results fall on {} values only, mostly {} kJ/mol apart: the steps of the display.",
            l.values,
            kj(l.step)
        ));
    }
    if let (true, Some(far)) = (f.has_spread(), f.value.far) {
        all.push(format!(
            "{} of {} results lie so far out that they make {} of the variance, so that chance decides mean and spread: \
             trust the interval, or run more trials.",
            far.count,
            count(f.value.n),
            percent(far.share)
        ));
    }
    if let Some(e) = f.beside.excess.as_ref().filter(|e| !e.linear_budget_valid) {
        all.push(format!(
            "What should be in excess runs out in {} % of determinations, whose results fall short. A first-order \
             budget is not valid here (JCGM 101, clause 8); the simulated numbers are.",
            share(e.ran_out)
        ));
    }
    let wrong = if before(f).is_some() { 0 } else { f.wrong_sign };
    let below = f.beside.negative_constants;
    let below = if below > f.trials / WORTH_SAYING {
        below
    } else {
        0
    };
    let odd = [
        (f.nonphysical, "the result is not finite; they are left out"),
        (
            wrong,
            "a change of temperature vanished or went the wrong way; they are included",
        ),
        (
            below,
            "the vessel gets a heat capacity below zero, a small difference of large numbers; they are included",
        ),
    ];
    for (number, words) in odd.iter().filter(|(number, _)| *number > 0) {
        all.push(format!("In {} of {n} groups {words}.", count(*number)));
    }
    all.extend(ended(f));
    all
}

/// That a rule could not be met with the trials that are run.
fn ended(f: &Forecast) -> Option<String> {
    let Ended::Most(rule) = f.ended else {
        return None;
    };
    let known = match rule {
        StopRule::Digits(1) => "one digit".to_owned(),
        StopRule::Digits(n) => format!("{n} digits"),
        StopRule::Relative(part) => format!("{} % of the spread", 100.0 * part),
    };
    Some(format!(
        "Some numbers are not yet known to {known}; --trials runs more."
    ))
}

/// What the scenario warns of, in one note; several in full in [`warnings`].
fn warned(f: &Forecast) -> Option<String> {
    match &f.scenario.warnings[..] {
        [] => None,
        [one] => Some(format!("Warning: {one}.")),
        all => {
            let mut keys: Vec<String> = all.iter().map(|w| format!("`{}`", w.path)).collect();
            keys.dedup();
            Some(format!(
                "{} warnings, about {}.",
                all.len(),
                in_a_row(&keys)
            ))
        }
    }
}

/// All warnings of a scenario that has several.
pub(super) fn warnings(f: &Forecast) -> Section {
    let all = &f.scenario.warnings;
    let section = Section::new("warnings");
    match all.len() {
        0 | 1 => section,
        _ => section.detail(Block::List(all.iter().map(ToString::to_string).collect())),
    }
}
