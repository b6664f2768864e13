//! A quantity over two things that a study varies: cells shaded by value, contour lines,
//! forbidden cells and the best point.

use std::collections::BTreeSet;

use super::canvas::paint_tall;
use super::contours::Grid;
use super::legend::letter;
use super::map_layout::Layout;
use super::row_scale::usable;
use super::{ChartError, Mark, Picture, Spot};

/// Forbidden cells together with the words that name the reason.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MapZone {
    /// What stands for the words where they do not fit; a letter by the order of the zones if empty.
    pub mark: String,
    /// The words.
    pub label: String,
    /// The cells: column and row, counted from the lower left.
    pub cells: Vec<(usize, usize)>,
}

impl MapZone {
    /// What stands for the words of the zone with this number.
    pub(super) fn letter(&self, index: usize) -> String {
        match self.mark.as_str() {
            "" => letter(index),
            mark => mark.to_owned(),
        }
    }
}

/// A map of a quantity over a grid.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MapChart {
    /// Headline; a long one is made smaller or wrapped.
    pub title: String,
    /// The line under the headline; may be empty.
    pub subtitle: String,
    /// Name of the horizontal axis with its unit.
    pub x_title: String,
    /// Name of the vertical axis with its unit.
    pub y_title: String,
    /// What the shade shows, with its unit.
    pub z_title: String,
    /// Positions of the columns, rising; they need not be equally spaced.
    pub xs: Vec<f64>,
    /// Positions of the rows, rising; they need not be equally spaced.
    pub ys: Vec<f64>,
    /// Whether only whole numbers make sense along the horizontal axis.
    pub whole_x: bool,
    /// Whether only whole numbers make sense along the vertical axis.
    pub whole_y: bool,
    /// The values: for each row, from the lowest, its columns; not finite where there is none.
    pub z: Vec<Vec<f64>>,
    /// Forbidden cells.
    pub zones: Vec<MapZone>,
    /// The value of the bold contour line.
    pub target: Option<Mark>,
    /// Values of the thin contour lines; round ones are chosen when there are none.
    pub contours: Vec<f64>,
    /// The point to be recommended.
    pub best: Option<Spot>,
    /// Remarks below the map; may be empty.
    pub note: String,
    /// Origin of the picture; may be empty.
    pub footer: String,
}

impl MapChart {
    /// Draws the chart.
    ///
    /// # Errors
    ///
    /// [`ChartError::NotFinite`] when a position, the target, a contour or the best point is
    /// not finite; [`ChartError::Mismatch`] when positions do not rise, when rows and columns
    /// of values do not match them, or when a forbidden cell or the best point lies outside the
    /// grid; [`ChartError::NoData`] when no value is finite.
    pub fn draw(&self) -> Result<Picture, ChartError> {
        self.check()?;
        let layout = Layout::of(self).ok_or(ChartError::NoData)?;
        paint_tall(layout.height, |canvas| layout.draw(canvas))
    }

    /// Positions and values.
    pub(super) fn grid(&self) -> Grid<'_> {
        Grid {
            xs: &self.xs,
            ys: &self.ys,
            z: &self.z,
        }
    }

    /// All usable values with their column and row.
    pub(super) fn values(&self) -> impl Iterator<Item = ((usize, usize), f64)> {
        self.z.iter().enumerate().flat_map(|(row, values)| {
            let values = values.iter().enumerate();
            values
                .filter(|(_, value)| usable(**value))
                .map(move |(column, value)| ((column, row), *value))
        })
    }

    /// The cells of all zones.
    pub(super) fn forbidden(&self) -> BTreeSet<(usize, usize)> {
        let zones = self.zones.iter();
        zones.flat_map(|zone| zone.cells.iter().copied()).collect()
    }

    /// Refuses what cannot be laid out.
    fn check(&self) -> Result<(), ChartError> {
        for (positions, name) in [
            (&self.xs, "a position along the x axis"),
            (&self.ys, "a position along the y axis"),
        ] {
            if positions.iter().any(|position| !usable(*position)) {
                return Err(ChartError::NotFinite(name));
            }
            if positions.windows(2).any(|pair| pair[1] <= pair[0]) {
                return Err(ChartError::Mismatch("positions along an axis do not rise"));
            }
        }
        let columns = self.xs.len();
        if self.z.len() != self.ys.len() || self.z.iter().any(|row| row.len() != columns) {
            let why = "rows and columns of values do not match the positions";
            return Err(ChartError::Mismatch(why));
        }
        let mut cells = self.zones.iter().flat_map(|zone| &zone.cells);
        if cells.any(|(column, row)| *column >= columns || *row >= self.ys.len()) {
            return Err(ChartError::Mismatch(
                "a forbidden cell lies outside the grid",
            ));
        }
        if self.target.as_ref().is_some_and(|mark| !usable(mark.at)) {
            return Err(ChartError::NotFinite("the target"));
        }
        if self.contours.iter().any(|level| !usable(*level)) {
            return Err(ChartError::NotFinite("a contour"));
        }
        if let Some(spot) = &self.best {
            if !usable(spot.x) || !usable(spot.y) {
                return Err(ChartError::NotFinite("the best point"));
            }
            let within = |positions: &[f64], at: f64| match positions {
                [first, .., last] => at >= *first && at <= *last,
                [only] => at == *only,
                [] => true,
            };
            if !within(&self.xs, spot.x) || !within(&self.ys, spot.y) {
                return Err(ChartError::Mismatch("the best point lies outside the grid"));
            }
        }
        if self.values().next().is_some() {
            Ok(())
        } else {
            Err(ChartError::NoData)
        }
    }
}
