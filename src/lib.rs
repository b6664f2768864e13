//! Joulecast forecasts what a solution-calorimetry procedure will deliver: the bias and spread of a
//! molar enthalpy, and where they come from, when every error of balance, delivery, thermometer,
//! vessel, dissolving, reagent and reference value is carried from weighing to the result.
//!
//! The crate is built in floors; each imports only from those below it:
//!
//! ```text
//! 0 quantity random          units and error statements; named random streams
//! 1 library scenario         handbook values; what the user wrote, validated; the error sources
//! 2 nature lab               true physics of a run; what the lab sees and makes of it
//! 3 engine experiment        blocks of trials in parallel; nature and lab put together
//! 4 stats                    numbers about a column, each with its standard error
//! 5 forecast rank            what a procedure will deliver; which sources matter
//! 6 design evaluate slip grade   studies of a procedure; measured runs; mistakes and fair bands
//! 7 report help                text, JSON, CSV, charts; the reference, topic by topic
//! 8 cli                      arguments, progress, exit codes
//! ```

pub mod cli;
pub mod design;
pub mod engine;
pub mod evaluate;
pub mod experiment;
pub mod forecast;
pub mod grade;
pub mod help;
pub mod lab;
pub mod library;
pub mod measured;
pub mod nature;
pub mod quantity;
pub mod random;
pub mod rank;
pub mod report;
pub mod scenario;
pub mod slip;
pub mod stats;
