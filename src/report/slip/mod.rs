//! What `slip` answers.

mod causes;
mod figures;
pub(in crate::report) mod json;
mod sentences;
mod tables;

pub(in crate::report) use causes::named;
pub use json::{SLIP_SCHEMA, slip_json};

use super::document::{Block, Document, Section};
use super::words::provenance;
use crate::slip::{Explained, Slips};

/// What is asked about mistakes.
pub struct SlipQuestion<'a> {
    /// The mistakes.
    pub slips: &'a Slips,
    /// Causes of a difference, if one is asked about.
    pub explained: Option<&'a Explained>,
    /// Whether some mistakes are looked for by a word.
    pub word: bool,
}

/// Mistakes as their reader meets them.
pub fn slip_document(q: &SlipQuestion) -> Document {
    let s = q.slips;
    let origin = provenance(s.seed, s.trials, &s.scenario.digest);
    let mut d = Document::of(&s.scenario, origin);
    match (q.explained, q.word) {
        (Some(e), _) => {
            d.add(Section::new("in short").with(Block::Sentences(causes::sentences(s, e))));
            d.add(causes::causes(e));
            d.add(tables::effects(s, false).in_full());
        }
        (None, true) => {
            d.add(tables::effects(s, true));
            for own in &s.mistakes {
                d.add(sentences::about(s, own));
            }
        }
        (None, false) => {
            d.add(Section::new("in short").with(Block::Sentences(sentences::sentences(s))));
            d.add(tables::effects(s, false));
        }
    }
    if !q.word {
        d.add(tables::without_effect(s));
    }
    d.add(tables::noticed(s).in_full());
    d.add(tables::impossible(s));
    d.figures = figures::slip_figures(s);
    d
}
