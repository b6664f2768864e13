//! Floor 2: the true physics of a run, step by step as in the laboratory.
//!
//! Nothing here knows what the lab makes of a run. Each step is one file, with its equation and
//! source at the head; the numbers come from the scenario, the errors from named draws.

pub mod deliver;
pub mod dissolve;
pub mod inspect;
pub mod lag;
pub mod phi;
mod run;
pub mod sensor;
pub mod vessel;
pub mod weigh;

pub use run::{Group, Run};
