//! What `sweep` answers.

pub(in crate::report) mod bounds;
pub(in crate::report) mod figures;
mod figures_map;
mod figures_marks;
pub(in crate::report) mod json;
pub(in crate::report) mod map;
pub(in crate::report) mod split;
pub(in crate::report) mod text;
pub(in crate::report) mod window;
pub(in crate::report) mod words;
