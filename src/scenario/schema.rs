//! Every key of scenario format 1: one entry each.
//!
//! The table drives the reader (unknown keys, dimensions, nearest key), the template that `new`
//! writes, and the documentation. Keys of the error sources join it from their own table.

pub use super::keys::KEYS;
use super::source::{SOURCES, Source, Statement, Written};
use crate::quantity::Dimension as D;
use Place::{Both, Leg, Top};
use Shape::{Error, Measured, Open};
use std::collections::HashSet;
use std::sync::LazyLock;

/// What a key takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shape {
    /// Any text.
    Text,
    /// A list of texts.
    Texts,
    /// A whole number within limits.
    Count(i64, i64),
    /// true or false.
    Flag,
    /// One of these words.
    Choice(&'static [&'static str]),
    /// A key of the library, of this kind.
    Library(&'static str),
    /// A quantity without error.
    Size(D),
    /// A quantity without error, or a list of them.
    Sizes(D),
    /// A list of quantities without error.
    List(D),
    /// A quantity, with an error or without.
    Measured(D),
    /// Two quantities, `low to high`.
    Window(D),
    /// An error about zero.
    Error(D),
    /// A table of further keys that is not checked deeper.
    Open,
}

/// In which tables a site may stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// At the top of the file only.
    Top,
    /// Inside a leg (`[calibration...]`, `[determination...]`) only.
    Leg,
    /// At the top for both legs, or inside a leg for that leg alone.
    Both,
}

/// One key.
#[derive(Debug, Clone, Copy)]
pub struct Key {
    /// Table it stands in; empty for the top of the file or of a leg.
    pub site: &'static str,
    /// Key inside that table.
    pub name: &'static str,
    /// What it takes.
    pub shape: Shape,
    /// Where the table may stand.
    pub place: Place,
    /// What is usual, `low to high`; empty if nothing is to be said about it here.
    pub usual: &'static str,
    /// What is possible at all, likewise.
    pub possible: &'static str,
    /// What it says, for people.
    pub doc: &'static str,
}

impl Key {
    /// The source that it states, if it states one.
    pub fn source(&self) -> Option<&'static Source> {
        super::source::find(&format!("{}.{}", self.site, self.name))
    }
}

/// What the key of a source takes.
pub fn shape_of(source: &Source) -> Shape {
    match source.statement {
        Statement::Error => Error(source.dimension),
        Statement::Value | Statement::Disturbance => Measured(source.dimension),
    }
}

/// Where the key of a source may stand.
pub fn place_of(source: &Source) -> Place {
    match source.site() {
        "room" | "cycle" => Top,
        "reaction" | "electrical" | "water" => Leg,
        _ => Both,
    }
}

/// All keys: the structural ones and those of the sources that people may state. The window is
/// stated by its own key, the molar mass follows from the formula.
pub fn all_keys() -> impl Iterator<Item = Key> {
    let of_sources = SOURCES
        .iter()
        .filter(|s| matches!(s.written, Written::Plainly | Written::TimeOrRate))
        .map(|s| Key {
            site: s.site(),
            name: s.name(),
            shape: shape_of(s),
            place: place_of(s),
            // Their ranges are looked at where they are bound.
            usual: "",
            possible: "",
            doc: s.doc,
        });
    KEYS.iter().copied().chain(of_sources)
}

/// The legs that every scenario has.
pub const LEGS: &[&str] = &["calibration", "determination"];

/// The table of further legs: `[leg.NAME]`.
pub const FURTHER: &str = "leg";

/// The table of further reagents, by name: `[reactant.NAME]`.
pub const REACTANT: &str = "reactant";

/// The table of names for the columns of measured data: its keys are those of the columns and the names of the legs.
pub const COLUMNS: &str = "columns";

/// One of its keys, whichever; which ones there are is known when the legs are.
const COLUMN: Key = Key {
    site: COLUMNS,
    name: "NAME",
    shape: Shape::Text,
    place: Top,
    usual: "",
    possible: "",
    doc: "what files of measured runs call it",
};

/// The table of a scenario's own mistakes: its keys are their names.
pub const SLIPS: &str = "slips";

/// One of them.
const SLIP: Key = Key {
    site: SLIPS,
    doc: "a mistake as changes of this scenario, `PATH = VALUE; PATH = VALUE`",
    ..COLUMN
};

/// A path as the leg it stands in (empty for none) and the rest: `leg.oxide.charge.mass` is
/// `charge.mass` of `leg.oxide`.
pub fn in_leg(path: &str) -> (&str, &str) {
    let (first, rest) = path.split_once('.').unwrap_or((path, ""));
    if LEGS.contains(&first) {
        return (first, rest);
    }
    if first == FURTHER {
        let end = rest.find('.').unwrap_or(rest.len());
        let leg = &path[..(FURTHER.len() + 1 + end).min(path.len())];
        return (leg, rest.get(end + 1..).unwrap_or(""));
    }
    ("", path)
}

/// The key that a path names, such as `calibration.charge.mass` or `balance.use`.
pub fn find(path: &str) -> Option<Key> {
    let (leg, rest) = in_leg(path);
    let (site, name) = match rest.split('.').collect::<Vec<_>>()[..] {
        [name] => ("", name),
        [COLUMNS, _] if leg.is_empty() => return Some(COLUMN),
        [SLIPS, _] if leg.is_empty() => return Some(SLIP),
        [site, name] if site != REACTANT => (site, name),
        [REACTANT, _, name] => (REACTANT, name),
        _ => return None,
    };
    let misplaced = |k: &Key| matches!((leg.is_empty(), k.place), (false, Top) | (true, Leg));
    all_keys().find(|k| k.site == site && k.name == name && !misplaced(k))
}

/// All full paths.
pub fn all_paths() -> &'static [String] {
    static PATHS: LazyLock<Vec<String>> = LazyLock::new(written_out);
    &PATHS
}

/// Whether anything stands in a table of this path.
pub fn is_table(path: &str) -> bool {
    static TABLES: LazyLock<HashSet<&str>> = LazyLock::new(|| {
        let above = |p: &'static String| p.match_indices('.').map(|(end, _)| &p[..end]);
        all_paths().iter().flat_map(above).collect()
    });
    TABLES.contains(path)
}

fn written_out() -> Vec<String> {
    let mut paths = Vec::new();
    for k in all_keys().filter(|k| k.shape != Open) {
        let tail = if k.site.is_empty() {
            k.name.to_owned()
        } else if k.site == REACTANT {
            format!("{}.NAME.{}", k.site, k.name)
        } else {
            format!("{}.{}", k.site, k.name)
        };
        if k.place != Leg {
            paths.push(tail.clone());
        }
        if k.place != Top {
            paths.extend(LEGS.iter().map(|leg| format!("{leg}.{tail}")));
        }
    }
    paths
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_path_finds_its_key_and_no_path_is_there_twice() {
        let mut paths = all_paths().to_vec();
        for p in &paths {
            assert!(find(p).is_some(), "{p}");
        }
        let n = paths.len();
        paths.sort();
        paths.dedup();
        assert_eq!(paths.len(), n);
    }
}
