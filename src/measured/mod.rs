//! Floor 6: files of measured data, as spreadsheets and loggers write them.
//!
//! A file of runs ([`read_runs`]) has one row for each run: what was weighed and measured out, the readings or the name of
//! a record. A record ([`read_record`]) has two columns, time and temperature. Both are read from bytes; nothing here
//! opens files. What is assumed is said in notes, and all problems of a file are reported at once, each with its line and
//! column: what could be read in two ways is refused, never guessed in silence.

mod cell;
mod class;
mod clock;
mod header;
mod kind;
mod mark;
mod names;
mod problem;
mod record;
mod record_columns;
mod record_notes;
mod row;
mod runs;
mod sheet;
mod template;
mod text;
mod unit;
mod value;

#[cfg(test)]
mod tests;

pub use crate::scenario::{Holds, RUN_COLUMNS, RunColumn, RunColumnEntry};
pub use class::{ClassSheet, GroupRow, Stated, read_class};
pub use names::Names;
pub use problem::FileProblem;
pub use record::{MeasuredRecord, read_record};
pub use row::{Counts, RunRow};
pub use runs::{RunSheet, read_runs};
pub use sheet::{Header, Row, Sheet, read_sheet};
pub use template::{TemplateForm, template};

/// Largest file of runs that is read.
pub const MOST_RUNS_BYTES: usize = 20_000_000;

/// Largest record that is read.
pub const MOST_RECORD_BYTES: usize = 50_000_000;

/// Most rows of a file of runs.
pub const MOST_RUNS: usize = 10_000;

/// Most groups of a class.
pub const MOST_GROUPS: usize = 500;

/// Most rows of a record.
pub const MOST_ROWS: usize = 1_000_000;
