//! What drawing has to know of each kind of mark.

use super::canvas::Canvas;
use super::flags::Flag;
use super::geometry::Point;
use super::key::Sample;
use super::reach::Reach;
use super::style::Type;
use super::view::View;
use crate::report::figure::Mark;

/// A mark that can be drawn.
pub(super) trait Draw {
    /// What it wants to be seen on the axes; `rows` tells whether the vertical one has names.
    fn reach(&self, reach: &mut Reach, rows: bool);

    /// Its entries in the key.
    fn key(&self) -> Vec<(Sample, String)> {
        Vec::new()
    }

    /// Words above the panel; `ends` are those of the horizontal axis.
    fn flag(&self, _ends: (f64, f64)) -> Option<Flag> {
        None
    }

    /// Whether it takes a strip above the panel.
    fn above(&self) -> bool {
        false
    }

    /// Draws all but its words.
    fn paint(&self, canvas: &mut Canvas<'_>, view: &View);

    /// Words within the panel.
    fn words(&self, _view: &View) -> Vec<Wish> {
        Vec::new()
    }
}

/// Words that want a place within a panel.
#[derive(Debug, Clone)]
pub(super) struct Wish {
    /// The words.
    pub words: String,
    /// Their face.
    pub face: Type,
    /// Where.
    pub place: Place,
}

/// Where words want to stand.
#[derive(Debug, Clone)]
pub(super) enum Place {
    /// In free room near one of these points, earlier ones being better.
    Near(Vec<Point>),
    /// On one of these points of a line, which gives way.
    On(Vec<Point>),
    /// Behind a point (1) or before it (-1), on its height.
    Beside(Point, f64),
}

/// The drawing code of a mark.
pub(super) fn of(mark: &Mark) -> &dyn Draw {
    match mark {
        Mark::Series(mark) => mark,
        Mark::Bars(mark) => mark,
        Mark::Band(mark) => mark,
        Mark::Rule(mark) => mark,
        Mark::Span(mark) => mark,
        Mark::Arrow(mark) => mark,
        Mark::Whisker(mark) => mark,
        Mark::Cells(mark) => mark,
        Mark::Note(mark) => mark,
    }
}
