//! Pictures, which live with the drawing of figures.

pub use crate::report::draw::{ChartError, Picture};
