//! What `forecast` answers.

mod extras;
pub(in crate::report) mod figures;
mod figures_record;
mod figures_reductions;
pub(in crate::report) mod json;
mod notes;
mod procedure;
mod sentences;
mod tables;

use super::document::{Block, Document, Section};
use super::words::provenance;
use crate::forecast::{Extras, Forecast};

/// The forecast as its reader meets it; `digits` of an uncertainty count in its sentences, `extras` is what was asked for
/// beside.
pub fn forecast_document(f: &Forecast, extras: &Extras, digits: u32) -> Document {
    let s = &f.scenario;
    let mut d = Document::of(s, provenance(f.seed, f.trials, &s.digest));
    let mut short = Section::new("in short");
    if let Some(note) = notes::before(f) {
        short = short.with(Block::note(note));
    }
    short = short.with(Block::Sentences(sentences::sentences(f, digits)));
    let notes = notes::after(f);
    // What was asked for, or must be noted, takes the place of what is usual in a brief answer.
    let asked = usize::from(extras.class.is_some()) + usize::from(!extras.ways.is_empty());
    let unless = |full: bool, section: Section| match full {
        true => section.in_full(),
        false => section,
    };
    let noted = notes.len() > 1 || f.beside.medium.is_some();
    for note in notes {
        short = short.with(Block::note(note));
    }
    d.add(short);
    d.add(notes::warnings(f));
    d.add(unless(asked > 1, tables::result(f)));
    if !extras.ways.is_empty() {
        d.add(extras::reductions(f, &extras.ways));
    }
    if let Some(c) = &extras.class {
        d.add(extras::class(f, c));
    }
    if f.has_spread() {
        d.add(unless(asked > 0 || noted, tables::spread(f)));
        d.add(tables::causes(f));
    }
    d.add(unless(asked > 0, tables::claims(f)));
    if let Some(m) = &f.beside.medium {
        d.add(extras::medium(m));
    }
    if let Some(r) = &f.repeats {
        d.add(extras::repeats(f, r));
    }
    d.add(procedure::procedure(f));
    d.add(procedure::terms());
    d.figures = figures::forecast_figures(f, !extras.ways.is_empty());
    d
}
