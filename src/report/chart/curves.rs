//! One or several quantities against what a study varies: curves with their standard errors,
//! levels to be met, stretches that are forbidden and the stretch that will do.

use super::canvas::paint_tall;
use super::curves_layout::Layout;
use super::row_scale::usable;
use super::{ChartError, Mark, Picture, Span};

/// More panels than this would each be too low to be read.
const MOST_PANELS: usize = 3;

/// One value of a curve.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CurvePoint {
    /// Position along the axis.
    pub x: f64,
    /// The value; one that is not finite leaves a gap.
    pub y: f64,
    /// Its standard error; 0 where there is none.
    pub se: f64,
    /// Whether the scale does not reach for it; an arrow stands for it where it lies beyond.
    pub aside: bool,
}

/// A curve; shown with its own line style and marker, so that it can be told in grey.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Curve {
    /// Name in the key; curves of one name look alike in all panels.
    pub name: String,
    /// The values, in any order.
    pub points: Vec<CurvePoint>,
}

/// One plot of a [`CurvesChart`].
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Panel {
    /// Name of the quantity with its unit, such as "standard uncertainty, kJ/mol".
    pub y_title: String,
    /// The curves.
    pub curves: Vec<Curve>,
    /// Horizontal lines, such as a floor or a target.
    pub levels: Vec<Mark>,
    /// Whether the scale has to reach zero.
    pub from_zero: bool,
}

/// Curves in one to three plots that share their horizontal axis.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CurvesChart {
    /// Headline; a long one is made smaller or wrapped.
    pub title: String,
    /// The line under the headline; may be empty.
    pub subtitle: String,
    /// Name of the horizontal axis with its unit.
    pub x_title: String,
    /// The plots from top to bottom.
    pub panels: Vec<Panel>,
    /// Forbidden stretches, hatched through all plots; an end may be infinite.
    pub zones: Vec<Span>,
    /// The stretch that meets the target; an end may be infinite.
    pub window: Option<Span>,
    /// Whether only whole numbers make sense along the horizontal axis.
    pub whole_x: bool,
    /// Remarks below the plots; may be empty.
    pub note: String,
    /// Origin of the picture; may be empty.
    pub footer: String,
}

impl CurvesChart {
    /// Draws the chart.
    ///
    /// # Errors
    ///
    /// [`ChartError::Mismatch`] when there is no panel or there are more than three, or when a
    /// stretch ends before it begins; [`ChartError::NotFinite`] when a position or a level is
    /// not finite or an end of a stretch is not a number; [`ChartError::NoData`] when no curve
    /// has a finite value.
    pub fn draw(&self) -> Result<Picture, ChartError> {
        self.check()?;
        let layout = Layout::of(self).ok_or(ChartError::NoData)?;
        paint_tall(layout.height, |canvas| layout.draw(canvas))
    }

    /// Refuses what cannot be laid out.
    pub(super) fn check(&self) -> Result<(), ChartError> {
        if self.panels.is_empty() || self.panels.len() > MOST_PANELS {
            return Err(ChartError::Mismatch("a chart has one to three panels"));
        }
        let points = || {
            let curves = self.panels.iter().flat_map(|panel| &panel.curves);
            curves.flat_map(|curve| &curve.points)
        };
        if points().any(|point| !usable(point.x)) {
            return Err(ChartError::NotFinite("a position along the x axis"));
        }
        let mut levels = self.panels.iter().flat_map(|panel| &panel.levels);
        if levels.any(|level| !usable(level.at)) {
            return Err(ChartError::NotFinite("a level"));
        }
        for span in self.zones.iter().chain(&self.window) {
            if span.low.is_nan() || span.high.is_nan() {
                return Err(ChartError::NotFinite("an end of a stretch"));
            }
            if span.low > span.high {
                return Err(ChartError::Mismatch("a stretch ends before it begins"));
            }
        }
        if points().any(|point| usable(point.y)) {
            Ok(())
        } else {
            Err(ChartError::NoData)
        }
    }
}
