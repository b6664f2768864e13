//! What `grade` answers.

mod figures;
pub(in crate::report) mod json;
mod sentences;
mod tables;

pub use json::{GRADE_SCHEMA, grade_json};

use super::document::{Block, Document, Section};
use super::words::provenance;
use crate::grade::{ClassJudged, Grade};

/// Fair bands, and the class, as their reader meets them.
pub fn grade_document(g: &Grade, class: Option<&ClassJudged>) -> Document {
    let s = &g.slips;
    let origin = provenance(s.seed, s.trials, &s.scenario.digest);
    let mut d = Document::of(&s.scenario, origin);
    d.add(Section::new("in short").with(Block::Sentences(sentences::sentences(g, class))));
    match class {
        Some(c) => {
            d.add(tables::class(g, c));
            d.add(tables::groups(c));
            d.add(tables::causes(c));
            d.add(sentences::file(c));
            d.add(tables::bands(g).in_full());
            d.add(tables::mistakes(g).in_full());
        }
        None => {
            d.add(tables::bands(g));
            d.add(tables::mistakes(g));
        }
    }
    d.figures = figures::grade_figures(g, class);
    d
}
