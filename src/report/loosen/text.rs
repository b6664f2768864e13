//! How loose tolerances may be, for people.

use super::tables::{instruments, keys, numbers, tolerances};
use super::words::factor;
use crate::design::{ALL_RUNS, Answer, Looseness, Loosest, Made};
use crate::report::words::{cautions, entry, heading, in_a_row, paragraph, share};
use crate::stats::Estimate;

/// The whole text, for 80 columns.
pub fn loosen_text(l: &Looseness) -> String {
    let mut out = paragraph(&l.scenario.title, 0);
    out.push_str(&cautions(&l.scenario.cautions));
    out.push_str(&heading("in short"));
    let where_made = l.made.as_ref().map(Made::words);
    let sentences = [standing(l), together(l), room(l)].into_iter();
    for (i, sentence) in sentences.chain(where_made).enumerate() {
        out.push_str(&entry(&format!("{}.", i + 1), &sentence));
    }
    out.push_str(&tolerances(l));
    out.push_str(&keys(l));
    out.push_str(&numbers(l));
    out.push_str(&instruments(l));
    out.push('\n');
    out.push_str(&paragraph(
        &format!(
            "All numbers in % are the {}, which the target is about. Each answer alone: with the others as they are.",
            l.goal.name()
        ),
        2,
    ));
    out
}

fn standing(l: &Looseness) -> String {
    let met = l.goal.met(l.now.value);
    let close = l.goal.is_open(l.now);
    let verdict = match (met, close) {
        (_, true) => "that is the target itself, as far as these trials can tell",
        (true, _) => "the target is met",
        (false, _) => "the target is missed",
    };
    let beyond: Vec<&str> = l.beyond.iter().map(|z| z.words.as_str()).collect();
    let beyond = match beyond.as_slice() {
        [] => String::new(),
        some => format!(
            " As it is it lies beyond a bound, which is not held against anything below: {}.",
            some.join("; ")
        ),
    };
    format!(
        "The target is {}; now the {} is {} %: {verdict}.{beyond}",
        l.goal.words(),
        l.goal.name(),
        share(l.now)
    )
}

fn together(l: &Looseness) -> String {
    match l.together.answer {
        Answer::Factor(f) if f.value >= 1.0 => format!(
            "All tolerances together may grow to {} times what they are{}.",
            factor(f),
            match l.together.bound {
                Some(bound) => format!("; then a bound is reached ({})", bound.words(&l.scenario)),
                None => String::new(),
            }
        ),
        Answer::Factor(f) => format!(
            "All tolerances together would have to shrink to {} times what they are.",
            factor(f)
        ),
        Answer::Any(f) => format!(
            "All tolerances together may be {f} times what they are, and more: something else makes the spread."
        ),
        Answer::Never(e) => format!(
            "The target cannot be met even if everything here were perfect: {} % would be left, from tabulated values, what is \
             in the bottle and the vessel. {}",
            share(e),
            runs(l)
        ),
    }
}

/// What more runs would do about a target that no tolerance reaches.
fn runs(l: &Looseness) -> String {
    let Some(n) = l.numbers.iter().find(|n| n.path == ALL_RUNS) else {
        return String::new();
    };
    let (kind, needed) = if l.scenario.calibration.runs > 0 {
        (
            " of each kind",
            "Another reaction, reference or instrument is needed.",
        )
    } else {
        (
            "",
            "Nothing calibrates here: to calibrate the vessel, or to know it better, comes first.",
        )
    };
    match n.least {
        Some(_) => format!(
            "With tolerances as they are {} runs{kind} would do.",
            n.words[1]
        ),
        None => format!(
            "Nor do more runs do it: with tolerances as they are {:.0}{kind} leave {} %. {needed}",
            n.most,
            share(n.there)
        ),
    }
}

fn room(l: &Looseness) -> String {
    let name = |x: &&Loosest| x.source.map_or("", |s| s.key);
    if l.goal.met(l.now.value) {
        let free: Vec<String> = l
            .tolerances
            .iter()
            .filter(|x| matches!(x.answer, Answer::Any(_)))
            .map(|x| format!("`{}`", name(&x)))
            .collect();
        let first = tightest(l);
        let second = match free.as_slice() {
            [] => String::new(),
            some => format!(
                " As loose as makes sense: {}{}.",
                some[..some.len().min(4)].join(", "),
                if some.len() > 4 { " and others" } else { "" }
            ),
        };
        return first + &second;
    }
    let help: Vec<String> = l
        .tolerances
        .iter()
        .filter_map(|x| match x.answer {
            Answer::Factor(f) => Some(format!("`{}` ({} times)", name(&x), factor(f))),
            _ => None,
        })
        .collect();
    if help.is_empty() {
        "No single tolerance can repair that, not even if it were perfect.".to_owned()
    } else {
        format!(
            "One of these alone, made tighter, would do: {}.",
            help.join(", ")
        )
    }
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
    let named: Vec<String> = tight
        .iter()
        .take(4)
        .map(|(x, _)| format!("`{}`", x.source.map_or("", |s| s.key)))
        .collect();
    let are = if named.len() > 1 { "are" } else { "is" };
    let each = if named.len() > 1 {
        ", one of them alone,"
    } else {
        ""
    };
    let end = match tight[0].0.bound {
        Some(bound) => format!("a bound is reached ({})", bound.words(&l.scenario)),
        None => "the target is just met".to_owned(),
    };
    format!(
        "The tightest {are} {}: {} times as large{each} and {end}.",
        in_a_row(&named),
        factor(least)
    )
}
