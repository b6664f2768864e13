//! Floor 5: what a competent group will get, and why.

mod causes;
mod claims;
mod run;
mod ways;

pub use causes::{Agent, Cause, Choice, FamilyShare, family_shares};
pub use claims::ClaimCoverage;
pub use run::{Answer, Forecast, Options, Trials, forecast};
pub use ways::{WaySeen, ways};
