//! Floor 2: what the lab sees and how it evaluates it.
//!
//! Nothing of nature may leak in here: the lab has readings, labels and tabulated values only.
//! `reduce` makes one temperature difference of a record, [`evaluate`] makes the molar enthalpy,
//! [`gradient`] differentiates it, `link` says how each error source reaches what the lab sees,
//! and [`claim`] states an interval.

pub mod claim;
mod evaluate;
mod gradient;
mod link;
mod reduce;

pub use claim::{Claims, CoverageFactor};
pub use evaluate::{Evaluation, LegTables, Method, RunSeen, Seen, evaluate};
pub use gradient::{Gradient, LegGradient, RunGradient, gradient};
pub use link::{BudgetLine, LinearBudget, Links};
pub use reduce::{Line, Reduced, Reduction, all_readings};
