//! Files as people have them, and everything that can be wrong with one.

mod class;
mod exports;
mod forms;
mod mutated;
mod names;
mod problems;
mod records;
mod templates;

use super::{FileProblem, Names, RunSheet, read_runs};
use crate::scenario::{Scenario, read, shipped};

/// The shipped scenario of this name.
fn scenario(name: &str) -> Scenario {
    read(shipped(name).expect("shipped")).expect("a scenario")
}

/// Calibrates with tris, determines ammonium chloride.
fn dewar() -> Scenario {
    scenario("ammonium-chloride-dewar")
}

/// Reads runs of that scenario by our own names.
fn runs(bytes: impl AsRef<[u8]>) -> Result<RunSheet, Vec<FileProblem>> {
    read_runs("runs.csv", bytes.as_ref(), &dewar(), &Names::of(&dewar()))
}
