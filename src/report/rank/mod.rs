//! What `rank` answers.

pub(in crate::report) mod budget;
pub(in crate::report) mod effort;
pub(in crate::report) mod explain;
pub(in crate::report) mod figures;
pub(in crate::report) mod json;
pub(in crate::report) mod text;
