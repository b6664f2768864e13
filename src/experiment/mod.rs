//! Floor 3: one trial is one group doing the whole experiment once.
//!
//! The only place where nature and lab meet: nature's readings go to the lab's reduction, the
//! balance's indications go into its notebook, and nothing else crosses.

mod advice;
mod kept;
mod late;
mod notebook;
pub mod repeat;
mod trial;

pub use advice::{advice, advise, reduction_error};
pub use late::unfelt;
pub use notebook::{
    LIQUID, NOT_WORTH_SEEING, Notebook, Readings, buoyancy_correction, notebook, reagent_density,
};
pub use trial::{COLUMNS, Experiment, ResultColumn, typical_plan};
