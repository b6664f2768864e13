//! Pictures for handouts: an SVG text for the browser and a PNG for everything else.
//!
//! Every chart lives in a file of its own and fills the same frame, so a new one (bars with
//! intervals, uncertainty against number of runs, a contour map) needs only its own drawing
//! code: it describes its axes, asks the frame for room above the plot, and paints between.
//! Text is measured with the very font that goes into the PNG, since labels that are placed by
//! guesswork end up on top of each other.

mod bars;
mod bins;
mod canvas;
mod contours;
mod curves;
mod curves_draw;
mod curves_labels;
mod curves_layout;
mod curves_range;
mod curves_tabs;
mod curves_zones;
mod frame;
mod geometry;
mod histogram;
mod histogram_parts;
mod legend;
mod map;
mod map_cells;
mod map_labels;
mod map_layout;
mod map_lines;
mod map_numbers;
mod map_scale;
mod metrics;
mod pens;
mod picture;
mod place;
mod ramp;
mod record;
mod record_content;
mod record_labels;
mod reductions;
mod reductions_content;
mod reductions_draw;
mod reductions_table;
mod reductions_words;
mod row_marks;
mod row_names;
mod row_plot;
mod row_scale;
mod rows;
mod steps;
mod style;
mod text;
mod ticks;

#[cfg(test)]
mod bars_tests;
#[cfg(test)]
mod curves_samples;
#[cfg(test)]
mod curves_tests;
#[cfg(test)]
mod look;
#[cfg(test)]
mod map_samples;
#[cfg(test)]
mod map_tests;
#[cfg(test)]
mod pixels;
#[cfg(test)]
mod reductions_tests;
#[cfg(test)]
mod tests;

pub use bars::{BarRow, BarsChart};
pub use curves::{Curve, CurvePoint, CurvesChart, Panel};
pub use histogram::HistogramChart;
pub use map::{MapChart, MapZone};
pub use picture::{ChartError, Picture};
pub use record::{FittedLine, RecordChart, Rise};
pub use reductions::{EqualAreas, ReductionChart, ReductionWay};
pub use steps::{StepRow, StepsChart};

/// A place on one axis together with the words that name it.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Where the mark stands, in the unit of its axis.
    pub at: f64,
    /// The words beside it.
    pub label: String,
}

/// A stretch of one axis together with the words that name it.
#[derive(Debug, Clone, PartialEq)]
pub struct Span {
    /// The lower end, in the unit of its axis.
    pub low: f64,
    /// The upper end, in the unit of its axis.
    pub high: f64,
    /// The words beside it.
    pub label: String,
}

/// A point in the plane of the picture together with the words that name it.
#[derive(Debug, Clone, PartialEq)]
pub struct Spot {
    /// Position along the horizontal axis.
    pub x: f64,
    /// Position along the vertical axis.
    pub y: f64,
    /// The words beside it.
    pub label: String,
}
