//! What `rank` answers.

mod budget;
mod effort;
mod explain;
pub(in crate::report) mod figures;
pub(in crate::report) mod json;
mod sentences;
mod tables;

pub use explain::rank_explain;

use super::document::{Block, Document, Section};
use super::words::provenance;
use crate::rank::{Effort, Ranking};

/// The ranking as its reader meets it.
pub fn rank_document(r: &Ranking, effort: &Effort) -> Document {
    let s = &r.scenario;
    let mut d = Document::of(s, provenance(r.seed, r.trials, &s.digest));
    let mut short = Section::new("in short").with(Block::Sentences(sentences::sentences(r)));
    if let Some(words) = effort::effort_words(r, effort) {
        short = short.with(Block::text(words));
    }
    d.add(short);
    d.add(tables::variance(r));
    d.add(tables::bias(r));
    d.add(tables::better(r));
    d.add(tables::sides(r));
    d.add(tables::scopes(r));
    d.add(budget::budget(r));
    d.figures = figures::rank_figures(r);
    d
}
