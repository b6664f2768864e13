//! What the reader gets to see: pictures, and whatever else presents a result.

pub mod chart;
