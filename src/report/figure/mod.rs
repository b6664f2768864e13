//! What a picture shows: panels, axes and marks, in the units of the data and without a pixel.
//!
//! A command's answer becomes figures here; [`super::draw`] makes pictures of them. A new kind of
//! picture is a new combination of marks, not new drawing code.

mod bins;
mod look;
mod marks;
mod round;

pub use bins::bins;
pub use look::{Fill, Look, Shape, Stroke, Tone};
pub use marks::{
    Arrow, Band, Bar, Bars, Cells, Direction, Hatched, Level, Mark, Note, Point, Rule, Series,
    Span, Whisker,
};
pub use round::round_step;

/// One picture: a headline and one or more panels below each other.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Figure {
    /// Stem of the file's name.
    pub name: String,
    /// Headline.
    pub title: String,
    /// The line under the headline; may be empty.
    pub subtitle: String,
    /// Panels, from the top down; panels of one `x` title share its ends.
    pub panels: Vec<Panel>,
    /// Remarks below the panels.
    pub notes: Vec<String>,
    /// What the picture shows, in one or two sentences with its main numbers, for who cannot see it.
    pub alt: String,
    /// Where the numbers come from.
    pub footer: String,
}

/// One pair of axes with what is drawn between them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Panel {
    /// The horizontal axis.
    pub x: Axis,
    /// The vertical axis.
    pub y: Axis,
    /// What is drawn, the lowest layer first.
    pub marks: Vec<Mark>,
    /// How tall it is drawn; rows take what they need.
    pub height: Height,
}

/// How tall a panel is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Height {
    /// For the only panel.
    #[default]
    Usual,
    /// For one of several.
    Low,
    /// For a map.
    Tall,
}

/// One axis.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Axis {
    /// Name of the quantity with its unit.
    pub title: String,
    /// What stands along it.
    pub scale: Scale,
    /// Whether zero belongs to it.
    pub from_zero: bool,
    /// Its ends, where the data are not to choose them.
    pub ends: Option<[f64; 2]>,
    /// Values that it reaches, however far they lie from the rest.
    pub reach: Vec<f64>,
    /// Values that get a number, if they all find room; else round ones are chosen.
    pub at: Vec<f64>,
}

impl Axis {
    /// A linear axis whose ends follow from the data.
    pub fn titled(title: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            ..Self::default()
        }
    }

    /// An axis of rows, the first at the top: row `i` stands at the value `i`.
    pub fn rows(rows: Vec<Row>) -> Self {
        Self {
            scale: Scale::Rows(rows),
            ..Self::default()
        }
    }
}

/// What stands along an axis.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Scale {
    /// Numbers.
    #[default]
    Linear,
    /// Whole numbers: nothing lies between two of them.
    Whole,
    /// Names, of a vertical axis.
    Rows(Vec<Row>),
}

/// One row of an axis of names.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Row {
    /// Its name.
    pub name: String,
    /// Small words under the name; may be empty.
    pub note: String,
    /// Its rank; ties share one.
    pub rank: Option<u32>,
}
