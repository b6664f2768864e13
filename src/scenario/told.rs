//! Of which keys something has been said already, so that nothing is said twice.

use super::problem::{Problem, Severity};
use std::collections::HashSet;
use std::ops::Range;

/// An index of a list of problems, as far as it has been read: to go through the list for each key would take the square of
/// its length.
#[derive(Debug, Default)]
pub(super) struct Told {
    read: usize,
    /// Paths of errors.
    errors: HashSet<String>,
    /// Paths of warnings.
    warned: HashSet<String>,
    /// Warnings by path, message and place.
    warnings: HashSet<(String, String, Option<Range<usize>>)>,
}

impl Told {
    /// Takes up what has been added to the list.
    pub(super) fn read(&mut self, problems: &[Problem]) {
        for p in problems.get(self.read..).unwrap_or_default() {
            if p.severity == Severity::Error {
                self.errors.insert(p.path.clone());
            } else {
                self.warned.insert(p.path.clone());
                self.warnings.insert(key(p));
            }
        }
        self.read = problems.len();
    }

    /// Whether this very warning was given.
    pub(super) fn has_warned(&self, p: &Problem) -> bool {
        self.warnings.contains(&key(p))
    }

    /// Whether there was an error at this path, or at a table above it.
    pub(super) fn has_error(&self, path: &str) -> bool {
        let above = path.match_indices('.').map(|(end, _)| &path[..end]);
        above
            .chain([path])
            .any(|p| !p.is_empty() && self.errors.contains(p))
    }

    /// Whether there was an error in this table.
    pub(super) fn has_error_under(&self, table: &str) -> bool {
        let dotted = format!("{table}.");
        self.errors
            .iter()
            .any(|p| p == table || p.starts_with(&dotted))
    }

    /// Takes the warnings of a path out of the list.
    pub(super) fn unwarn(&mut self, path: &str, problems: &mut Vec<Problem>) {
        self.read(problems);
        if !self.warned.remove(path) {
            return;
        }
        problems.retain(|p| p.path != path || p.severity != Severity::Warning);
        self.warnings.retain(|(p, ..)| p != path);
        self.read = problems.len();
    }
}

fn key(p: &Problem) -> (String, String, Option<Range<usize>>) {
    (p.path.clone(), p.message.clone(), p.span.clone())
}
