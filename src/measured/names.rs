//! What a group calls the columns and the kinds of run.

use super::header::{plain, split};
use super::problem::{FileProblem, Problems};
use crate::scenario::{RUN_COLUMNS, RunColumn, Scenario, nearest};

/// What is named.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Named {
    /// A column.
    Column(RunColumn),
    /// A leg, by its place: what the cells of `kind` say for it.
    Leg(usize),
}

/// One name.
#[derive(Debug, Clone)]
pub(super) struct Name {
    pub named: Named,
    /// As it stands in files, with or without a unit.
    pub word: String,
    /// Whether a file must have it: it was given for this very file.
    pub must: bool,
}

/// How headers and kinds are called. Our own keys and the names of the legs count by themselves.
#[derive(Debug, Clone, Default)]
pub struct Names {
    /// The legs by name, calibration first.
    legs: Vec<String>,
    pub(super) all: Vec<Name>,
}

impl Names {
    /// What the table `[columns]` of a scenario says.
    pub fn of(scenario: &Scenario) -> Self {
        let legs = scenario.legs();
        let mut names = Self {
            legs: legs.iter().map(|leg| leg.title().to_owned()).collect(),
            all: Vec::new(),
        };
        for (key, word) in &scenario.columns {
            // The reader of scenarios has refused unknown keys.
            names.all.extend(names.name(key, word, false));
        }
        names
    }

    /// The same with further names, which go before: `solid_gross=m boat+salt, kind=what, determination=KNO3`.
    ///
    /// # Errors
    /// Keys that are not known, names that are empty or given twice; their file is called `--columns`.
    pub fn with(mut self, text: &str) -> Result<Self, Vec<FileProblem>> {
        let mut problems = Problems::new("--columns");
        let example = "solid_gross=m boat+salt, kind=what";
        let given = pairs(text, example, &mut problems);
        let mut own: Vec<Name> = Vec::new();
        for (key, word) in given {
            let word = word.trim();
            let name = self.name(&key, word, true);
            let known = self.legs.iter().map(String::as_str);
            let near = nearest(&key, RUN_COLUMNS.iter().map(|c| c.key).chain(known));
            let twice = own.iter().any(|n| plain(&n.word) == plain(word));
            match name {
                None => {
                    let hint = near.map_or(String::new(), |n| format!("did you mean `{n}`?"));
                    problems.add(
                        "unknown",
                        None,
                        Some(&key),
                        "no such column and no such leg",
                        &hint,
                    );
                }
                Some(_) if word.is_empty() => {
                    problems.add("empty", None, Some(&key), "the name is empty", "");
                }
                Some(_) if twice => {
                    let message = format!("`{word}` is the name of something else already");
                    problems.add("twice", None, Some(&key), message, "");
                }
                Some(name) => own.push(name),
            }
        }
        if !problems.is_empty() {
            return Err(problems.all());
        }
        self.all.retain(|old| {
            own.iter()
                .all(|new| new.named != old.named && plain(&new.word) != plain(&old.word))
        });
        self.all.extend(own);
        Ok(self)
    }

    fn name(&self, key: &str, word: &str, must: bool) -> Option<Name> {
        let column = RUN_COLUMNS.iter().find(|c| c.key == key);
        let leg = self.legs.iter().position(|leg| leg == key);
        let named = match (column, leg) {
            (Some(c), _) => Named::Column(c.id),
            (None, leg) => Named::Leg(leg?),
        };
        let word = word.trim().to_owned();
        Some(Name { named, word, must })
    }

    /// How well a header fits a column: as it was named (3: as a whole, 2: without its unit), or by our own key (1).
    pub(super) fn fit(&self, text: &str, name: &str, column: RunColumn) -> u8 {
        let (text, name) = (plain(text), plain(name));
        let words = self.all.iter().filter(|n| n.named == Named::Column(column));
        let named = words.map(|n| {
            if plain(&n.word) == text {
                3
            } else if plain(split(&n.word).0) == name {
                2
            } else {
                0
            }
        });
        let key = plain(column.entry().key);
        let own = u8::from(key == text || key == name);
        named.max().unwrap_or(0).max(own)
    }
}

/// What `--columns` says: `key=name, key=name`; a comma may belong to a name.
pub(super) fn pairs(text: &str, example: &str, problems: &mut Problems) -> Vec<(String, String)> {
    let mut given: Vec<(String, String)> = Vec::new();
    for piece in text.split(',') {
        match (piece.split_once('='), given.last_mut()) {
            (Some((key, word)), _) => given.push((key.trim().to_owned(), word.to_owned())),
            // A comma that belongs to a name.
            (None, Some((_, word))) => *word += &format!(",{piece}"),
            (None, None) if piece.trim().is_empty() => {}
            (None, None) => {
                let message = format!("`{}` names nothing", piece.trim());
                let hint = format!("write for example `{example}`");
                problems.add("form", None, None, message, &hint);
            }
        }
    }
    given
}
