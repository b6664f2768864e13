//! A budget of uncertainty.

pub(in crate::report) mod data;
pub(in crate::report) mod text;
