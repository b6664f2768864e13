//! One file for each kind of mark, or a few that are alike.

mod areas;
mod bars;
mod cells;
mod contour;
mod lines;
mod series;
