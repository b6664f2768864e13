//! What `forecast` answers.

pub(in crate::report) mod beside;
pub(in crate::report) mod extras;
pub(in crate::report) mod figures;
mod figures_record;
mod figures_reductions;
pub(in crate::report) mod json;
pub(in crate::report) mod sentences;
pub(in crate::report) mod tables;
pub(in crate::report) mod text;
