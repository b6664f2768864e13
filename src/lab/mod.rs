//! Floor 2: what the lab sees and how it evaluates it.
//!
//! Nothing of nature may leak in here: the lab has readings, labels and tabulated values only.
//! `reduce` makes one temperature difference of a record, [`evaluate`] makes the molar enthalpy of it
//! and of `tables`, `gradient` differentiates it, `effect` and `link` say how each error source
//! reaches what the lab sees, [`claim`] states an interval, and `knowledge` samples what a notebook says of its result. `budget` holds what a budget is, with
//! [`FirstOrder`] for any function of any quantities.

mod budget;
pub mod claim;
mod drawn;
mod effect;
mod evaluate;
mod gradient;
mod knowledge;
mod link;
mod page;
mod reduce;
mod table_entry;
mod tables;

pub use budget::{
    BudgetError, BudgetLine, Coverage, Evaluated, FirstOrder, Function, InputQuantity, Label,
    LinearBudget, dof_of_reliability,
};
pub use claim::{Claims, CoverageFactor, Stated};
pub use evaluate::{Evaluation, LegSeen, Method, RunSeen, Seen, Values, evaluate};
pub use knowledge::{CONVENTIONAL_AIR, Knowledge, OneSided, Sampled};
pub use link::Links;
pub use page::{Entry, LegPages, Page, Pages};
pub use reduce::{Line, Reduced, Reduction, Sums, all_readings};
pub use table_entry::TableEntry;
pub use tables::{AmountBy, HeatKind, LegTables, Reckoning};
