//! What `compare` answers.

mod cells;
pub(in crate::report) mod figures;
pub(in crate::report) mod json;
mod rows;
mod sentences;
mod tables;
mod text;

pub use text::compare_provenance;

use super::document::{Block, Document, Section};
use crate::design::Comparison;

/// The comparison as its reader meets it.
pub fn compare_document(c: &Comparison) -> Document {
    let title = "Procedures side by side, on common random numbers";
    let mut d = Document::new(title, compare_provenance(c));
    d.cautions = Some(text::cautions(c));
    let mut short = Section::new("in short").with(Block::Sentences(sentences::sentences(c)));
    for note in text::notes(c) {
        short = short.with(Block::note(note));
    }
    d.add(short);
    d.add(tables::delivered(c));
    d.add(text::contenders(c));
    d.add(text::warnings(c));
    d.add(tables::differences(c));
    d.add(tables::causes(c));
    d.add(tables::limits(c));
    d.add(tables::temperatures(c));
    d.add(tables::amounts(c));
    d.figures = figures::compare_figures(c);
    d
}
