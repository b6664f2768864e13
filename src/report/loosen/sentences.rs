//! How loose tolerances may be in three sentences: whether the target is met, what may be loosened or must be tightened, and
//! what runs and instruments would do.

use super::words::{factor, instrument};
use crate::design::{ALL_RUNS, Answer, Looseness, Loosest, Made, Smallest, Step, Upgrade};
use crate::report::words::{in_a_row, share};
use crate::stats::Estimate;

/// Standing, tolerances, numbers and instruments.
pub(super) fn sentences(l: &Looseness) -> Vec<String> {
    let met = l.goal.met(l.now.value);
    let (tolerances, rest) = match met {
        true => (room(l), cheaper(l)),
        false => (tighter(l), better(l)),
    };
    let rest = match (&l.made, met) {
        (Some(made), false) => format!("{rest} {}", Made::words(made)),
        _ => rest,
    };
    vec![standing(l), tolerances, rest]
        .into_iter()
        .filter(|s| !s.is_empty())
        .collect()
}

fn standing(l: &Looseness) -> String {
    let verdict = match (l.goal.is_open(l.now), l.goal.met(l.now.value)) {
        (true, _) => "too close for these trials to tell",
        (_, true) => "met",
        (_, false) => "missed",
    };
    let beyond: Vec<&str> = l.beyond.iter().map(|z| z.words.as_str()).collect();
    let beyond = match beyond.as_slice() {
        [] => String::new(),
        some => format!(
            " The procedure is beyond a bound already, which is not counted below: {}.",
            some.join("; ")
        ),
    };
    format!(
        "The target, {}, is {verdict}: the {} is {} % now.{beyond}",
        l.goal.words(),
        l.goal.name(),
        share(l.now)
    )
}

fn key(x: &Loosest) -> String {
    format!("`{}`", x.source.map_or("all together", |s| s.key))
}

/// From this factor on a tolerance is no reason to buy or to do anything better.
const ROOMY: f64 = 5.0;

/// Most keys that a sentence names.
const NAMED: usize = 4;

/// Keys in a row; of many the first ones.
fn named(all: &[String]) -> String {
    match all.len() {
        n if n > NAMED => format!("{} and {} others", all[..NAMED].join(", "), n - NAMED),
        _ => in_a_row(all),
    }
}

/// The same where one of them does.
fn either(all: &[String]) -> String {
    named(all).replacen(" and ", " or ", 1)
}

/// Which tolerances to keep, and which may be loosened.
fn room(l: &Looseness) -> String {
    let size = |x: &Loosest| match x.answer {
        Answer::Factor(f) => f.value,
        Answer::Any(_) => f64::INFINITY,
        Answer::Never(_) => f64::NAN,
    };
    let free: Vec<String> = l
        .tolerances
        .iter()
        .filter(|x| size(x) >= ROOMY)
        .map(key)
        .collect();
    let free = match free.as_slice() {
        [] => String::new(),
        some if some.len() > NAMED => format!(
            " Any one of {} others may be {ROOMY} times as large, for example {}.",
            some.len(),
            in_a_row(&some[..NAMED - 1])
        ),
        some => format!(" {ROOMY} times as large may be, alone, {}.", either(some)),
    };
    format!("{}{free}", tightest(l))
}

/// Relative standard error from which on a factor is no longer said to be as small as another.
const UNCLEAR: f64 = 0.1;

/// The tolerances with the least room; those that these trials cannot tell apart together.
fn tightest(l: &Looseness) -> String {
    let mut tight: Vec<(&Loosest, Estimate)> = l
        .tolerances
        .iter()
        .filter_map(|x| match x.answer {
            Answer::Factor(f) => Some((x, f)),
            _ => None,
        })
        .collect();
    tight.sort_by(|a, b| a.1.value.total_cmp(&b.1.value));
    let Some((first, least)) = tight.first().copied() else {
        return "No single tolerance can spoil it.".to_owned();
    };
    // What is hardly known is no tie of what is known, and what something else ends is none either.
    let se = |f: Estimate| f.se.max(0.0).min(UNCLEAR * f.value);
    tight.retain(|(x, f)| {
        x.bound == first.bound && f.value - least.value <= 2.0 * se(*f).hypot(se(least))
    });
    let keys: Vec<String> = tight.iter().map(|(x, _)| key(x)).collect();
    let [are, each] = match keys.len() {
        1 => ["is", ""],
        _ => ["are", " each"],
    };
    let end = match first.bound {
        Some(bound) => format!(" (then {})", bound.label()),
        None => String::new(),
    };
    format!(
        "Keep what {are} tightest, {}: it may be {} times as large at most{each}{end}.",
        named(&keys),
        factor(least)
    )
}

/// What one tolerance alone, made tighter, would do.
fn tighter(l: &Looseness) -> String {
    let help: Vec<String> = l
        .tolerances
        .iter()
        .filter_map(|x| match x.answer {
            Answer::Factor(f) => Some(format!("{} ({} times)", key(x), factor(f))),
            _ => None,
        })
        .collect();
    match (help.is_empty(), l.together.answer) {
        (false, _) => format!(
            "One of these alone, made tighter, would do: {}.",
            either(&help)
        ),
        (true, Answer::Factor(f)) => format!(
            "No single tolerance can repair that, not even without error; all together would have to shrink to {} times.",
            factor(f)
        ),
        (true, Answer::Never(e)) => format!(
            "It cannot be met even if all tolerances were zero: {} % would be left, from tabulated values, what is in the \
             bottle and the vessel.",
            share(e)
        ),
        (true, Answer::Any(_)) => String::new(),
    }
}

/// The runs of all kinds alike.
fn all_runs(l: &Looseness) -> Option<&Smallest> {
    l.numbers.iter().find(|n| n.path == ALL_RUNS)
}

/// Kinds of runs in words.
fn of_each(l: &Looseness) -> &'static str {
    match l.scenario.calibration.runs > 0 {
        true => " of each kind",
        false => "",
    }
}

/// Exchanges that reach the target within all bounds, each with what it brings.
fn exchanges(l: &Looseness, fits: impl Fn(&Step) -> bool) -> Vec<String> {
    let reaches = |u: &&Upgrade| {
        fits(&u.step)
            && u.crossed.is_none()
            && l.goal.met(u.there.value)
            && !l.goal.is_open(u.there)
    };
    let words = |of: &str, u: &Upgrade| match &u.step {
        Step::Better(key) | Step::Worse(key) => {
            Some(format!("`{key}` for `{of}` ({} %)", share(u.there)))
        }
        Step::Perfect => None,
    };
    let all = l.instruments.iter().flat_map(|i| {
        let of = instrument(i);
        let own: Vec<String> = i
            .upgrades
            .iter()
            .filter(reaches)
            .filter_map(|u| words(&of, u))
            .collect();
        own
    });
    all.collect()
}

/// Fewer runs and simpler instruments that still do.
fn cheaper(l: &Looseness) -> String {
    let worse = exchanges(l, |step| matches!(step, Step::Worse(_)));
    let simpler = match worse.as_slice() {
        [] => "No instrument may be one class worse.".to_owned(),
        some => format!("One instrument may be a class worse: {}.", either(some)),
    };
    let runs = all_runs(l).filter(|n| n.least.is_some());
    let runs = runs.map_or(String::new(), |n| {
        let close = match n.close {
            true => ", too close to the target to tell",
            false => "",
        };
        format!(
            " The fewest runs that do are {}{} ({} %{close}).",
            n.words[1],
            of_each(l),
            share(n.there)
        )
    });
    format!("{simpler}{runs}")
}

/// What better instruments and more runs would do.
fn better(l: &Looseness) -> String {
    let better = exchanges(l, |step| matches!(step, Step::Better(_)));
    let instruments = match better.as_slice() {
        [] => String::new(),
        some => format!("An exchange would do: {}. ", either(some)),
    };
    let Some(n) = all_runs(l) else {
        return instruments;
    };
    let kind = of_each(l);
    let runs = match n.least {
        Some(_) => format!(
            "With tolerances as they are {} runs{kind} would do.",
            n.words[1]
        ),
        None => format!(
            "More runs do not reach it: with tolerances as they are {:.0}{kind} leave {} %.",
            n.most,
            share(n.there)
        ),
    };
    let needed = match (l.together.answer, n.least, better.as_slice()) {
        (Answer::Never(_), None, []) if kind.is_empty() => {
            " Nothing calibrates here: calibrate the vessel first, or find its heat capacity."
        }
        (Answer::Never(_), None, []) => " Another reaction, reference or instrument is needed.",
        _ => "",
    };
    format!("{instruments}{runs}{needed}")
}
