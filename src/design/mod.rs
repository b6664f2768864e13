//! Floor 6: design studies: numbers of the procedure against what it delivers, the best split of runs, the loosest
//! tolerances, and procedures side by side.
//!
//! All points of a study use the same random numbers, so that curves are smooth and differences are known much
//! better than the values themselves.

mod along;
mod bounds;
mod compare;
mod compare_causes;
mod compare_difference;
mod compare_exchange;
mod compare_mass;
mod compare_paired;
mod compare_set;
mod compare_written;
mod fit;
mod goal;
mod loosen;
mod loosen_held;
mod loosen_stated;
mod looseness;
mod made;
mod number;
mod outcome;
mod parameter;
mod parameter_error;
mod parameter_places;
mod parameter_text;
mod root;
mod split;
mod statistic;
mod sweep;
mod sweep_read;
mod upgrades;
mod vary;
mod window;

pub use along::along;
pub use bounds::{Bound, CAP, MOST_SHORT, OutOfBounds, cap, refused, zones};
pub use compare::{
    CompareOptions, Compared, Comparison, Contender, Delivered, GROUPS, MOST_CONTENDERS, compare,
    trials_in_all,
};
pub use compare_causes::Causes;
pub use compare_difference::{Difference, Differences, Verdict};
pub use compare_exchange::{Side, exchange, other_references};
pub use compare_paired::Paired;
pub use compare_set::set;
pub use fit::{VarianceFit, fit};
pub use goal::Goal;
pub use loosen::{Found, Loosest, Search, Seen, loosen, steps, tolerances};
pub use loosen_stated::{LIMIT, statements};
pub use looseness::{Looseness, all_steps, looseness};
pub use made::{Made, made};
pub use number::{Smallest, numbers, smallest};
pub use outcome::{Cost, DesignOptions, Errors, Outcome, TRIALS};
pub use parameter::{ALL_RUNS, Parameter, changes};
pub use parameter_error::ParameterError;
pub use parameter_places::set_apart;
pub use root::{Answer, largest};
pub use split::{
    Limit, NoSplit, Split, SplitPoint, allocation, best_split, limit_of, pairs, split,
};
pub use sweep::{MOST_POINTS, Sweep, SweepPoint, grid, sweep};
pub use upgrades::{Instrument, Step, Upgrade, exchanges, upgrades};
pub use vary::{Vary, VaryError};
pub use window::{Beyond, Window};
