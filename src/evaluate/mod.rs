//! Floor 6: results from measured runs.
//!
//! `record` reduces a measured record, `trace` looks at one in every way, `notebook` makes of a table of runs what the lab evaluates, `study` says the result
//! with its uncertainty and what dominates it, and `agree` whether runs agree with each other and with the accepted value.

mod agree;
mod notebook;
mod record;
mod row;
mod study;
mod trace;
mod what_if;

pub use agree::{Agreement, Consistency, Outlier};
pub use notebook::{LeftOut, Measured, NotedRun, of_leg};
pub use record::{MixedAt, ReducedRecord, moment_of_mixing, reduce, reduced};
pub use study::{
    EvaluateOptions, Evaluated, OneSidedErrors, Sampler, Stated, TRIALS, Without, by_scatter,
    evaluate,
};
pub use trace::{Fitted, Settle, TraceOptions, Traced, WayFound, trace, trace_simulated};
pub use what_if::Change;
