//! What `loosen` answers.

pub(in crate::report) mod figures;
pub(in crate::report) mod json;
mod keys;
mod numbers;
mod sentences;
mod statements;
mod tables;
pub(in crate::report) mod words;

use super::document::{Block, Document, Section};
use super::words::provenance_of_points;
use crate::design::Looseness;

/// How loose tolerances may be, as its reader meets it.
pub fn loosen_document(l: &Looseness) -> Document {
    let s = &l.scenario;
    let mut d = Document::of(s, provenance_of_points(l.seed, l.trials, &s.digest));
    let short = Section::new("in short").with(Block::Sentences(sentences::sentences(l)));
    d.add(match l.goal.met(l.now.value) {
        // Of a target that is met it is no part of the decision.
        true => match &l.made {
            Some(made) => short.detail(Block::text(made.words())),
            None => short,
        },
        false => short,
    });
    d.add(tables::tolerances(l));
    d.add(tables::instruments(l));
    d.add(numbers::numbers(l));
    d.add(statements::statements(l));
    d.figures = figures::loosen_figures(l);
    d
}
