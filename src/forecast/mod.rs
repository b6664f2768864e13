//! Floor 5: what a competent group will get, and why.

mod beside;
mod causes;
mod claims;
mod class;
mod repeats;
mod run;
mod sample;
mod sound;
mod ways;

pub use beside::{Beside, Excess, LegOfCycle, Medium};
pub use causes::{Cause, FamilyShare, family_shares};
pub use claims::ClaimCoverage;
pub use class::{ClassSeen, class};
/// What a forecast shows beside its own numbers, where it was asked for.
#[derive(Debug, Clone, Default)]
pub struct Extras {
    /// Reductions side by side.
    pub ways: Vec<WaySeen>,
    /// A class of groups.
    pub class: Option<ClassSeen>,
}

pub use repeats::{RepeatCost, RepeatsSeen};
pub use run::{Ended, Forecast, Options, Trials, USUAL_RULE, forecast};
pub use sample::{OnRecord, Sample, SimulatedRecord};
pub use sound::{Sound, sound};
pub use ways::{WaySeen, ways};
