//! What `evaluate` answers.

pub(in crate::report) mod figures;
mod heats;
pub(in crate::report) mod json;
mod sentences;
mod steps;
mod tables;
mod walk;

pub use json::{EVALUATE_SCHEMA, evaluate_json};

use super::document::{Block, Document, Section};
use super::words::provenance;
use crate::evaluate::Evaluated;

/// Measured runs and their result as their reader meets them.
pub fn evaluate_document(e: &Evaluated, with_steps: bool) -> Document {
    let s = &e.scenario;
    let mut d = Document::of(s, provenance(e.seed, e.trials, &s.digest));
    let mut short = Section::new("in short")
        .with(Block::Sentences(sentences::sentences(e)))
        .with(Block::Code(sentences::to_paste(e)));
    if let Some(note) = sentences::without(e) {
        short = short.with(Block::note(note));
    }
    d.add(short);
    if with_steps {
        d.sections.extend(steps::steps(e));
    }
    d.sections.extend(tables::runs(e));
    d.add(tables::assumed(e));
    d.add(tables::dominant(e));
    d.add(tables::agreement(e));
    d.add(tables::changes(e));
    d.add(tables::budget(e));
    if !with_steps {
        d.sections
            .extend(steps::steps(e).into_iter().map(Section::in_full));
    }
    d.figures = figures::evaluate_figures(e);
    d
}
