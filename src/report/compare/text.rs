//! A comparison for people: cautions first, three plain sentences, then tables.

use super::against::differences;
use super::tables::tables;
use super::words::{contenders, sentences};
use crate::design::{Bound, Comparison, Delivered};
use crate::report::words::{FIRST_CAUTION, entry, heading, paragraph, provenance};

/// The whole text, for 80 columns.
pub fn compare_text(c: &Comparison) -> String {
    let mut out = paragraph("Procedures side by side, on common random numbers", 0);
    out.push_str(&cautions(c));
    out.push_str(&heading("contenders"));
    out.push_str(&contenders(c));
    out.push_str(&heading("in short"));
    for (i, sentence) in sentences(c).iter().enumerate() {
        out.push_str(&entry(&format!("{}.", i + 1), sentence));
    }
    out.push_str(&tables(c));
    out.push_str(&differences(c));
    out
}

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
fn collected(c: &Comparison, of: &dyn Fn(&Delivered) -> Vec<String>) -> Vec<(String, Vec<usize>)> {
    let mut all: Vec<(String, Vec<usize>)> = Vec::new();
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

/// Cautions of all contenders, with those that they concern.
pub(in crate::report) fn all_cautions(c: &Comparison) -> Vec<(String, Vec<usize>)> {
    collected(c, &|d| {
        d.scenario
            .cautions
            .iter()
            .map(ToString::to_string)
            .collect()
    })
}

fn cautions(c: &Comparison) -> String {
    let mut out = heading("cautions");
    out.push_str(&paragraph(FIRST_CAUTION, 2));
    let n = c.delivered().count();
    let whose = |who: &[usize]| {
        let all: Vec<String> = who
            .iter()
            .map(|i| Comparison::letter(*i).to_string())
            .collect();
        if who.len() == n {
            String::new()
        } else {
            format!(" [{}]", all.join(", "))
        }
    };
    for (caution, who) in all_cautions(c) {
        out.push_str(&entry("-", &format!("{caution}{}", whose(&who))));
    }
    for (warning, who) in collected(c, &warnings) {
        out.push_str(&entry("!", &format!("warning{}: {warning}", whose(&who))));
    }
    out.push_str(&entry(
        "!",
        &format!(
            "No exchange changes the temperature by more than {} K; more substance or a stronger solution needs a new \
             look at its hazards.",
            c.cap
        ),
    ));
    out
}

/// What the reader and the study have to say of a contender.
fn warnings(d: &Delivered) -> Vec<String> {
    let of_reader = d.scenario.warnings.iter().map(ToString::to_string);
    let hot = d.zones.iter().filter(|z| z.bound == Bound::LargeRise);
    of_reader.chain(hot.map(|z| z.words.clone())).collect()
}
