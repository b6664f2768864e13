//! Floor 3: runs any model over blocks of trials, in parallel, merged in order.
//!
//! A model is a function from named draws to columns of results. The engine knows neither
//! calorimetry nor statistics: published examples of other fields run through the same code.

mod blocks;
mod list;
mod model;
mod run;
mod together;

pub use blocks::in_order;
pub use list::{ListInput, ListModel};
pub use model::{Model, Output, under_plans};
pub use run::{BATCH, EngineError, Study, Table};
pub use together::Together;
