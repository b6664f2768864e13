//! Floor 6: what band is fair, and what a class's results say.
//!
//! `bands` has pass rates of competent and of erring groups, `expected` what classes of competent groups come to, `class` judges the
//! results of a class against that, and `conformity` has the probabilities of JCGM 106.

mod bands;
mod class;
pub mod conformity;
mod expected;

pub use bands::{At, GROUPS, Grade, GradeOptions, Noticed, SHARES, grade};
pub use class::{ClassJudged, JudgedGroup, Points, Verdict, judge};
pub use expected::{Expected, Seen};
