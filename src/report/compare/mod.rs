//! What `compare` answers.

pub(in crate::report) mod against;
pub(in crate::report) mod cells;
pub(in crate::report) mod figures;
pub(in crate::report) mod json;
pub(in crate::report) mod tables;
pub(in crate::report) mod text;
pub(in crate::report) mod words;
