//! What refers to other entries of the same section, settled once a whole text is read.

use super::Library;
use super::error::{LibraryError, Problem, closest};
use super::formula::Formula;
use super::kind::Kind;
use super::load::{Overlay, Refused, place};
use super::reaction::Reaction;
use super::reaction_raw::FORMATION;
use super::species::from_formation;
use crate::quantity::MOST_GUESSES;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use toml::Spanned;
use toml::de::DeValue;

/// A reaction that was read: key, what is written, where its key stands.
type Entry<'v, 't> = (String, &'v Spanned<DeValue<'t>>, Range<usize>);

impl Library {
    /// Refuses those of the reactions read that refer to one that is not there, or to one that does
    /// not fit; what stood in their place `before` comes back. Reactions of earlier texts follow new
    /// enthalpies of formation, and let go of a reference that fits no longer.
    pub(super) fn settle(
        &mut self,
        file: &str,
        before: &BTreeMap<String, Reaction>,
        mut read: Vec<Entry<'_, '_>>,
        overlay: &mut Overlay,
    ) {
        // One that is refused may be what another one refers to: again until none is.
        loop {
            let wrong = self.wrong_ones(&read, overlay.refused.len());
            if wrong.is_empty() {
                break;
            }
            let mut gone = BTreeSet::new();
            for (at, field, problem) in wrong {
                let (key, value, span) = &read[at];
                match before.get(key) {
                    Some(old) => self.reactions.insert(key.clone(), old.clone()),
                    None => self.reactions.remove(key),
                };
                let entry = format!("reactions.{key}");
                gone.insert(entry.clone());
                let error = LibraryError::Field {
                    file: file.to_owned(),
                    entry,
                    field: field.to_owned(),
                    problem: Box::new(problem),
                };
                let span = place(&error, value).unwrap_or_else(|| span.clone());
                overlay.refused.push(Refused { error, span });
            }
            overlay.replaced.retain(|(entry, _)| !gone.contains(entry));
            read.retain(|(key, ..)| !gone.contains(&format!("reactions.{key}")));
        }
        let keys: BTreeSet<&String> = read.iter().map(|r| &r.0).collect();
        let source = self.citations.get(FORMATION).cloned().unwrap_or_default();
        let earlier = before.keys().filter(|k| !keys.contains(k));
        for key in earlier {
            let Some(old) = self.reactions.get(key) else {
                continue;
            };
            let mut reaction = old.clone();
            if reaction.from_formation
                && let Ok(fact) = from_formation(&reaction.equation, &self.species, &source)
            {
                reaction.enthalpy = fact;
            }
            while let Some((field, _)) = self.wrong_link(&reaction, false) {
                match field {
                    "dissolving" => reaction.dissolving = None,
                    "anhydrous" => reaction.anhydrous = None,
                    _ => reaction.hydrate = None,
                }
            }
            self.reactions.insert(key.clone(), reaction);
        }
    }

    /// Those of the reactions read that refer to something wrong: place, field, what; `refused` others are known.
    fn wrong_ones(
        &self,
        read: &[Entry<'_, '_>],
        refused: usize,
    ) -> Vec<(usize, &'static str, Problem)> {
        let mut all = Vec::new();
        for (at, (key, _, _)) in read.iter().enumerate() {
            let guess = refused + all.len() < MOST_GUESSES;
            let reaction = self.reactions.get(key);
            if let Some((field, problem)) = reaction.and_then(|r| self.wrong_link(r, guess)) {
                all.push((at, field, problem));
            }
        }
        all
    }

    /// The first field of a reaction that refers to a reaction it should not, and why; with a `guess` at what was meant.
    fn wrong_link(&self, r: &Reaction, guess: bool) -> Option<(&'static str, Problem)> {
        let own = &self.substances.get(&r.substance)?.formula;
        if let Some(key) = &r.dissolving {
            let fits = |other: &Reaction| other.substance == r.substance && !other.in_solution;
            let start = format!("{} as a solid", r.substance);
            if let Some(problem) = self.unfit((key, guess), fits, start) {
                return Some(("dissolving", problem));
            }
        }
        let made_of = |other: &Reaction| Some(&self.substances.get(&other.substance)?.formula);
        if let Some((key, waters)) = &r.anhydrous {
            let fits = |other: &Reaction| {
                made_of(other)
                    .and_then(|dry| waters_between(dry, own))
                    .is_some_and(|n| (n - waters).abs() < 1e-6)
            };
            let start = format!("{} less {waters} H2O", own.text);
            if let Some(problem) = self.unfit((key, guess), fits, start) {
                return Some(("anhydrous", problem));
            }
        }
        if let Some(key) = &r.hydrate {
            let fits = |other: &Reaction| {
                made_of(other)
                    .and_then(|wet| waters_between(own, wet))
                    .is_some_and(|n| n > 0.0)
            };
            let start = format!("a hydrate of {}", own.text);
            if let Some(problem) = self.unfit((key, guess), fits, start) {
                return Some(("hydrate", problem));
            }
        }
        None
    }

    fn unfit(
        &self,
        (key, guess): (&str, bool),
        fits: impl Fn(&Reaction) -> bool,
        start: String,
    ) -> Option<Problem> {
        match self.reactions.get(key) {
            None => Some(Problem::Reference {
                kind: Kind::Reaction,
                key: key.to_owned(),
                nearest: guess.then(|| closest(key, self.reactions.keys())).flatten(),
            }),
            Some(other) if fits(other) => None,
            Some(_) => Some(Problem::Unfit(key.to_owned(), start)),
        }
    }
}

/// How many molecules of water `wet` holds more than `dry`, if that is all they differ by.
fn waters_between(dry: &Formula, wet: &Formula) -> Option<f64> {
    let count = |f: &Formula, e: &str| f.counts.get(e).copied().unwrap_or(0.0);
    let more = |e: &str| count(wet, e) - count(dry, e);
    let waters = more("O");
    let rest = |e: &String| match e.as_str() {
        "O" => 0.0,
        "H" => more(e) - 2.0 * waters,
        _ => more(e),
    };
    let mut elements = wet.counts.keys().chain(dry.counts.keys());
    elements.all(|e| rest(e).abs() < 1e-6).then_some(waters)
}
