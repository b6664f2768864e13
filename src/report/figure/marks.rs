//! Everything that can be drawn between two axes.

use super::look::{Fill, Look};

/// Something that is drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// Points, joined or not.
    Series(Series),
    /// Bars along one axis.
    Bars(Bars),
    /// The area between two curves.
    Band(Band),
    /// A line across the whole panel.
    Rule(Rule),
    /// A stretch of an axis.
    Span(Span),
    /// A difference along the vertical axis.
    Arrow(Arrow),
    /// An interval above the panel.
    Whisker(Whisker),
    /// A map.
    Cells(Cells),
    /// A place with words.
    Note(Note),
}

macro_rules! into_mark {
    ($($kind:ident),*) => {$(
        impl From<$kind> for Mark {
            fn from(mark: $kind) -> Self {
                Self::$kind(mark)
            }
        }
    )*};
}

into_mark!(Series, Bars, Band, Rule, Span, Arrow, Whisker, Cells, Note);

/// Points of one kind, with a line through them or without, as their look says.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Series {
    /// Its name in the key; empty for none.
    pub name: String,
    /// Words beside it; may be empty.
    pub label: String,
    /// Its look.
    pub look: Look,
    /// Its points; a line is interrupted where one is not finite.
    pub points: Vec<Point>,
}

impl Series {
    /// Points without errors or words.
    pub fn of(
        name: impl Into<String>,
        look: Look,
        points: impl IntoIterator<Item = (f64, f64)>,
    ) -> Self {
        let point = |(x, y)| Point {
            x,
            y,
            ..Point::default()
        };
        Self {
            name: name.into(),
            label: String::new(),
            look,
            points: points.into_iter().map(point).collect(),
        }
    }
}

/// One point.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Point {
    /// Place along the horizontal axis.
    pub x: f64,
    /// Place along the vertical axis.
    pub y: f64,
    /// Ends of its error along the axis of the values, which is the horizontal one where the vertical one has rows.
    pub error: Option<[f64; 2]>,
    /// Words beside it; may be empty.
    pub label: String,
    /// Whether the scale need not reach it: an arrow at the edge tells of it then.
    pub aside: bool,
}

/// Bars of one kind; they lie where the vertical axis has rows, else they stand.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Bars {
    /// Its name in the key; empty for none.
    pub name: String,
    /// How they are filled.
    pub fill: Fill,
    /// Where they begin.
    pub base: f64,
    /// The bars.
    pub bars: Vec<Bar>,
}

/// One bar.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Bar {
    /// Its sides on the axis that it stands on.
    pub sides: [f64; 2],
    /// Where it ends.
    pub value: f64,
    /// Ends of the error of that.
    pub error: Option<[f64; 2]>,
    /// Words beyond its end; may be empty.
    pub label: String,
}

/// The area between two curves.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Band {
    /// Its name in the key; empty for none.
    pub name: String,
    /// How it is filled.
    pub fill: Fill,
    /// Place along the horizontal axis, and the two ends there.
    pub points: Vec<(f64, [f64; 2])>,
}

/// Which way something runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Direction {
    /// Upwards, at a place of the horizontal axis.
    #[default]
    Upright,
    /// Across, at a place of the vertical axis.
    Across,
}

/// A line across the whole panel.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Rule {
    /// Where it stands.
    pub at: f64,
    /// Which way it runs.
    pub direction: Direction,
    /// Words beside it; may be empty.
    pub label: String,
    /// Its look.
    pub look: Look,
}

impl Rule {
    /// An upright line with words beside it.
    pub fn upright(at: f64, label: impl Into<String>, look: Look) -> Mark {
        let direction = Direction::Upright;
        Mark::Rule(Self {
            at,
            label: label.into(),
            look,
            direction,
        })
    }
}

/// A stretch of an axis, shaded over the whole panel.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Span {
    /// Its ends.
    pub ends: [f64; 2],
    /// Upright: a stretch of the horizontal axis.
    pub direction: Direction,
    /// Its name.
    pub label: String,
    /// How it is filled; without, a line along its edge tells of it.
    pub fill: Option<Fill>,
    /// Whether its name stands in the key instead of at the stretch.
    pub in_key: bool,
}

/// A difference: an arrow with two heads along the vertical axis.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Arrow {
    /// Where it stands.
    pub x: f64,
    /// Its ends.
    pub ends: [f64; 2],
    /// Words beside it; may be empty.
    pub label: String,
}

/// An interval of the horizontal axis, above the panel.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Whisker {
    /// Its name in the key, with its numbers.
    pub name: String,
    /// Its ends.
    pub ends: [f64; 2],
}

/// A place with words.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Note {
    /// Place along the horizontal axis.
    pub x: f64,
    /// Place along the vertical axis.
    pub y: f64,
    /// The words.
    pub label: String,
}

/// A map: one value for each pair of places.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Cells {
    /// What the shades show, with its unit.
    pub name: String,
    /// Places of the columns, rising.
    pub xs: Vec<f64>,
    /// Places of the rows, rising.
    pub ys: Vec<f64>,
    /// Values, one row for each place of `ys`; NaN where there is none.
    pub z: Vec<Vec<f64>>,
    /// Whether nothing lies between the cells, as between whole numbers: a bold line runs along the borders of cells then, and
    /// other lines are left out for the numbers of the cells.
    pub stepped: bool,
    /// Values along which lines are drawn.
    pub levels: Vec<Level>,
    /// Cells that are out of bounds.
    pub zones: Vec<Hatched>,
    /// A cell to be framed (column, row), and why.
    pub best: Option<((usize, usize), String)>,
}

/// A line of equal values.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Level {
    /// The value.
    pub at: f64,
    /// What is written on it.
    pub label: String,
    /// Whether it is the one to look at; its label stands in the key.
    pub bold: bool,
    /// Whether a target asks for more than this instead of less.
    pub above: bool,
}

/// Cells that are out of bounds for one reason.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Hatched {
    /// A letter or two.
    pub mark: String,
    /// The reason.
    pub label: String,
    /// Columns and rows.
    pub cells: Vec<(usize, usize)>,
}
