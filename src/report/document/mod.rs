//! An answer as its reader meets it, before it has a form: what every command makes of its result, once.
//!
//! Nothing here knows of columns of characters, of HTML or of pixels; [`render`](super::render) does, one file for
//! each form.

mod cautions;
mod cell;
mod number;
mod table;

pub use cautions::{Cautions, DEFERENCE};
pub use cell::{Cell, Digits};
pub use number::{by_uncertainty, figures};
pub use table::{
    CELSIUS, Column, GRAM, HOUR, IN_PERCENT, J_PER_K, J_PER_MOL, KELVIN, KJ_PER_MOL, Kind,
    MILLILITRE, NONE, PERCENT, Place, SECOND, Table, Unit,
};

use super::figure::Figure;
use crate::scenario::Scenario;

/// How much of a document is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Extent {
    /// The answer: one screen.
    #[default]
    Brief,
    /// Everything.
    Full,
}

/// An answer.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Document {
    /// What it is about.
    pub title: String,
    /// More about that, in a sentence or two; shown in full only.
    pub summary: String,
    /// What must be read before the work.
    pub cautions: Option<Cautions>,
    /// Its parts.
    pub sections: Vec<Section>,
    /// Its pictures, each with words for those who cannot see it.
    pub figures: Vec<Figure>,
    /// Where it comes from: enough to get it again.
    pub provenance: String,
}

/// A part of a document under its own heading.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Section {
    /// What the part is; what stands behind ` | `, such as a unit, keeps its letters where the rest is set in capitals.
    pub heading: String,
    /// Its blocks, each with the least extent that shows it.
    pub blocks: Vec<(Extent, Block)>,
}

/// A piece of a section.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// Sentences.
    Paragraph(String),
    /// The answer in short: numbered sentences.
    Sentences(Vec<String>),
    /// Entries of a list.
    List(Vec<String>),
    /// What must not be overlooked.
    Note(String),
    /// A table.
    Table(Table),
    /// Text to be copied as it is.
    Code(String),
}

impl Document {
    /// An empty document.
    pub fn new(title: &str, provenance: String) -> Self {
        Self {
            title: title.to_owned(),
            provenance,
            ..Self::default()
        }
    }

    /// One about a scenario, with its cautions.
    pub fn of(s: &Scenario, provenance: String) -> Self {
        Self {
            summary: s.summary.clone(),
            cautions: Some(Cautions(s.cautions.clone())),
            ..Self::new(&s.title, provenance)
        }
    }

    /// Adds a part, unless there is nothing in it.
    pub fn add(&mut self, section: Section) {
        if !section.blocks.is_empty() {
            self.sections.push(section);
        }
    }

    /// All tables that have a file, in order.
    pub fn tables(&self) -> impl Iterator<Item = &Table> {
        let blocks = self.sections.iter().flat_map(|s| &s.blocks);
        blocks.filter_map(|(_, block)| match block {
            Block::Table(table) if !table.name.is_empty() && table.is_at(Place::File) => {
                Some(table)
            }
            _ => None,
        })
    }
}

impl Section {
    /// A part without anything in it yet.
    pub fn new(heading: &str) -> Self {
        Self {
            heading: heading.to_owned(),
            blocks: Vec::new(),
        }
    }

    /// The heading where nothing is set in capitals.
    pub fn title(&self) -> String {
        self.heading.replace(" | ", " ")
    }

    /// Adds a block that belongs to the answer itself.
    #[must_use]
    pub fn with(mut self, block: Block) -> Self {
        self.blocks.push((Extent::Brief, block));
        self
    }

    /// Adds a block for those who ask for everything.
    #[must_use]
    pub fn detail(mut self, block: Block) -> Self {
        self.blocks.push((Extent::Full, block));
        self
    }

    /// All of it for those who ask for everything only.
    #[must_use]
    pub fn in_full(mut self) -> Self {
        for (extent, _) in &mut self.blocks {
            *extent = Extent::Full;
        }
        self
    }

    /// What an extent shows of it; nothing if all of it is beyond.
    pub fn shown(&self, extent: Extent) -> impl Iterator<Item = &Block> {
        self.blocks
            .iter()
            .filter(move |(least, _)| *least <= extent)
            .map(|(_, block)| block)
    }
}

impl Block {
    /// A paragraph.
    pub fn text(words: impl Into<String>) -> Self {
        Self::Paragraph(words.into())
    }

    /// A note.
    pub fn note(words: impl Into<String>) -> Self {
        Self::Note(words.into())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_brief_answer_leaves_out_the_details_and_sections_of_nothing_else() {
        let all = Section::new("x")
            .with(Block::text("answer"))
            .detail(Block::text("how"));
        assert_eq!(all.shown(Extent::Brief).count(), 1);
        assert_eq!(all.shown(Extent::Full).count(), 2);
        assert_eq!(all.in_full().shown(Extent::Brief).count(), 0);
        let mut document = Document::new("t", String::new());
        document.add(Section::new("empty"));
        assert!(document.sections.is_empty());
    }
}
