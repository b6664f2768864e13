//! What `forecast` answers.

pub(in crate::report) mod beside;
pub(in crate::report) mod extras;
pub(in crate::report) mod figures;
pub(in crate::report) mod json;
pub(in crate::report) mod sentences;
pub(in crate::report) mod tables;
pub(in crate::report) mod text;
