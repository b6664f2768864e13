//! What `loosen` answers.

pub(in crate::report) mod figures;
pub(in crate::report) mod json;
pub(in crate::report) mod tables;
pub(in crate::report) mod text;
pub(in crate::report) mod words;
