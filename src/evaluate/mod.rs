//! Floor 6: results from measured runs.
//!
//! `record` reduces a measured record, `trace` looks at one in every way, `findings` at what may be wrong with it, `notebook`
//! makes of a table of runs what the lab evaluates, `propagate` says the result with its interval, `study` what dominates it, and
//! `agree` whether runs agree with each other and with the accepted value.

mod agree;
mod findings;
mod notebook;
mod propagate;
mod record;
mod row;
mod study;
mod trace;
mod what_if;

pub use agree::{Agreement, Consistency, Outlier};
pub use findings::Fitted;
pub use notebook::{LeftOut, Measured, NotedRun, of_leg};
pub use propagate::{
    EvaluateOptions, OneSidedErrors, Propagated, Sampler, Stated, TRIALS, propagate,
};
pub use record::{MixedAt, ReducedRecord, moment_of_mixing, reduce, reduced};
pub use study::{Evaluated, Without, by_scatter, evaluate};
pub use trace::{Settle, TraceOptions, Traced, WayFound, trace, trace_simulated};
pub use what_if::Change;
