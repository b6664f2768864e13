//! Floor 2: the true physics of a run, step by step as in the laboratory.
//!
//! Nothing here knows what the lab makes of a run. Each step is one file, with its equation and
//! source at the head; the numbers come from the scenario, the errors from named draws.

mod course;
pub mod deliver;
pub mod dissolve;
mod group;
pub mod heat;
pub mod inspect;
pub mod lag;
mod mix;
pub mod phi;
mod pulse;
pub mod reagent;
mod recorder;
mod release;
mod run;
pub mod sensor;
mod share;
mod step;
mod stretch;
pub mod vessel;
pub mod weigh;

pub use group::Group;
pub use recorder::Recorder;
pub use release::RELEASE_DRAW;
pub use run::Run;
pub use weigh::Rounding;
