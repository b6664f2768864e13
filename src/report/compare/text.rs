//! Who is who in a comparison, and what is to be known of each.

use super::cells::letter;
use crate::design::{Bound, Compared, Comparison, Delivered};
use crate::report::document::{Block, Cautions, Section};
use crate::report::words::{in_a_row, provenance};
use crate::scenario::Caution;

/// Where a comparison comes from: every contender has a digest of its own.
pub fn compare_provenance(c: &Comparison) -> String {
    let mut digests: Vec<&str> = Vec::new();
    for (_, d) in c.delivered() {
        if !digests.contains(&d.scenario.digest.as_str()) {
            digests.push(&d.scenario.digest);
        }
    }
    let said = match digests.as_slice() {
        [one] => (*one).to_owned(),
        [first, others @ ..] => format!("{first} and {} more", others.len()),
        [] => String::new(),
    };
    provenance(c.seed, c.trials, &said)
}

/// What several contenders say, each once, with those that say it.
fn collected<T: PartialEq>(
    c: &Comparison,
    of: &dyn Fn(&Delivered) -> Vec<T>,
) -> Vec<(T, Vec<usize>)> {
    let mut all: Vec<(T, Vec<usize>)> = Vec::new();
    for (i, d) in c.delivered() {
        for said in of(d) {
            match all.iter_mut().find(|(told, _)| *told == said) {
                Some((_, who)) => who.push(i),
                None => all.push((said, vec![i])),
            }
        }
    }
    all
}

/// Letters, unless all are meant.
fn whose(c: &Comparison, who: &[usize]) -> String {
    let letters: Vec<String> = who.iter().map(|i| letter(*i)).collect();
    match who.len() == c.delivered().count() {
        true => String::new(),
        false => format!(" [{}]", letters.join(", ")),
    }
}

/// Cautions of all contenders, each once.
pub(super) fn all_cautions(c: &Comparison) -> Vec<(Caution, Vec<usize>)> {
    collected(c, &|d| d.scenario.cautions.clone())
}

/// The same, each with those that it concerns.
pub(super) fn cautions(c: &Comparison) -> Cautions {
    let all = all_cautions(c).into_iter().map(|(caution, who)| Caution {
        text: format!("{}{}", caution.text, whose(c, &who)),
        ..caution
    });
    let exchange = Caution {
        of: "Exchanges".to_owned(),
        text: format!(
            "None changes the temperature by more than {} K; other substances or amounts need a new look at their \
             hazards",
            c.cap
        ),
    };
    Cautions(all.chain([exchange]).collect())
}

/// What the reader and the study have to say of a contender.
fn of_one(d: &Delivered) -> Vec<String> {
    let of_reader = d.scenario.warnings.iter().map(ToString::to_string);
    let hot = d.zones.iter().filter(|z| z.bound == Bound::LargeChange);
    of_reader.chain(hot.map(|z| z.words.clone())).collect()
}

/// Why a contender cannot be.
fn impossible(x: &Compared) -> Option<&str> {
    Some(&x.result.as_ref().err()?.words)
}

/// Who cannot be, and how many warnings there are.
pub(super) fn notes(c: &Comparison) -> Vec<String> {
    let why = |(i, x): (usize, &Compared)| {
        let words = impossible(x)?.split(';').next()?;
        Some(format!("{} ({words})", letter(i)))
    };
    let why: Vec<String> = c.contenders.iter().enumerate().filter_map(why).collect();
    let mut all = Vec::new();
    if !why.is_empty() {
        all.push(format!("Not possible: {}.", why.join("; ")));
    }
    let warnings = collected(c, &of_one);
    match &warnings[..] {
        [] => {}
        [(one, who)] => all.push(format!("Warning{}: {one}.", whose(c, who))),
        several => {
            let mut who: Vec<usize> = several.iter().flat_map(|(_, who)| who.clone()).collect();
            who.sort_unstable();
            who.dedup();
            let who: Vec<String> = who.into_iter().map(letter).collect();
            all.push(format!(
                "{} warnings, about {}.",
                several.len(),
                in_a_row(&who)
            ));
        }
    }
    all
}

/// All warnings, where there are several.
pub(super) fn warnings(c: &Comparison) -> Section {
    let all = collected(c, &of_one);
    let section = Section::new("warnings");
    if all.len() < 2 {
        return section;
    }
    let list = all
        .iter()
        .map(|(said, who)| format!("{said}{}", whose(c, who)));
    section.detail(Block::List(list.collect()))
}

/// Who is who.
pub(super) fn contenders(c: &Comparison) -> Section {
    let all = c.contenders.iter().enumerate();
    let list = all.map(|(i, x)| {
        let not = impossible(x).map(|why| format!(". Not possible: {why}"));
        format!(
            "{}, {}: {}{}",
            letter(i),
            x.name,
            x.what,
            not.unwrap_or_default()
        )
    });
    Section::new("contenders").detail(Block::List(list.collect()))
}
