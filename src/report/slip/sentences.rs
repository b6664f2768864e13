//! Mistakes in sentences.

use super::tables::signed;
use crate::report::document::{Block, Section};
use crate::report::words::{capital, few, kj, minus, percent};
use crate::slip::{Effect, Place, Says, Slips, Studied};

fn keys(s: &Slips, which: impl Fn(&Studied) -> bool) -> Vec<&str> {
    let all = s.mistakes.iter().filter(|m| which(m));
    all.map(|m| m.mistake.key.as_ref()).collect()
}

/// The answer in short.
pub(super) fn sentences(s: &Slips) -> Vec<String> {
    let spread = s.spread.value;
    let mut all = vec![format!(
        "Competent groups have a bias of {} and a spread of {}: a mistake that moves one result by less than about {} cannot be seen in it.",
        minus(&percent(s.bias.value)),
        percent(spread),
        percent(2.0 * spread)
    )];
    let hidden = |m: &Studied, place| m.at(place).is_some_and(|e| e.shift.value.abs() > spread);
    let small = keys(s, |m| {
        m.says(Place::Determinations) == Some(Says::TooSmall) && hidden(m, Place::Determinations)
    });
    let large = keys(s, |m| {
        m.says(Place::Determinations) == Some(Says::TooLarge) && hidden(m, Place::Determinations)
    });
    let side = |names: &[&str], what: &str| match names.is_empty() {
        true => None,
        false => Some(format!("too {what}: {}", few(names))),
    };
    let sides: Vec<String> = [side(&small, "small"), side(&large, "large")]
        .into_iter()
        .flatten()
        .collect();
    if !sides.is_empty() {
        all.push(format!(
            "Made in the determinations, these shift the magnitude by more than the spread - {}.",
            sides.join("; ")
        ));
    }
    let cancel = keys(s, |m| m.says(Place::Both) == Some(Says::Cancels));
    if !cancel.is_empty() {
        all.push(format!(
            "Made in the calibration the sign turns round, and made in all runs these cancel: {}.",
            few(&cancel)
        ));
    }
    let shows = |e: &Effect| e.scatter.is_some_and(|share| share > 0.5);
    let shown = keys(s, |m| m.at(Place::OneRun).is_some_and(shows));
    let one = match shown.is_empty() {
        true => "made in one run none shows more often than not".to_owned(),
        false => format!(
            "made in one run these show more often than not: {}",
            few(&shown)
        ),
    };
    if s.mistakes.iter().any(|m| m.at(Place::OneRun).is_some()) {
        all.push(format!(
            "Scatter shows only what differs between runs: {one}."
        ));
    }
    all
}

/// One mistake: what it does where, and how it is noticed.
pub(super) fn about(s: &Slips, own: &Studied) -> Section {
    let m = &own.mistake;
    let size = match own.range.is_some() {
        true => format!(": {}", own.range.text(own.size)),
        false => String::new(),
    };
    let mut lines = Vec::new();
    for e in &own.effects {
        let says = own.says(e.place).map_or("", Says::words);
        let joule = e.shift.value * s.target.abs();
        let mut line = format!(
            "{}: {says}; the magnitude changes by {} % ({} kJ/mol).",
            e.place.phrase(),
            minus(&signed(e.shift)),
            minus(&kj(joule))
        );
        if let Some(share) = e.scatter {
            line += &format!(
                " The scatter of the runs shows it in {:.0} % of groups (5 % without it).",
                100.0 * share
            );
        }
        if let Some(share) = e.inspection.filter(|share| *share >= 0.005) {
            line += &format!(" The inspection notices it in {:.0} %.", 100.0 * share);
        }
        lines.push(capital(&line));
    }
    let mut section = Section::new(&format!("{}{size}", m.words)).with(Block::List(lines));
    if !m.enters.is_empty() {
        section = section.with(Block::text(format!("Where it enters: {}.", m.enters)));
    }
    if !m.check.is_empty() {
        section = section.with(Block::text(format!("How to notice it: {}.", m.check)));
    }
    if own.range.is_some() {
        section = section.with(Block::text(format!(
            "Plausible: {} to {}{}. It replaces what the scenario says of that error.",
            own.range.text(own.range.low),
            own.range.text(own.range.high),
            if own.range.signed {
                ", in either direction"
            } else {
                ""
            }
        )));
    }
    section
}
