//! A scenario file as key paths with values and places, checked against the table of keys.

use super::problem::{Problem, Severity};
use super::schema::{self, Key, LEGS, Shape, Support};
use crate::quantity::{parse_measured, parse_quantity_as, parse_spread, parse_window};
use std::collections::BTreeMap;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A value as written.
#[derive(Debug, Clone, PartialEq)]
pub enum Raw {
    /// A text; quantities are texts.
    Text(String),
    /// A whole number.
    Whole(i64),
    /// true or false.
    Flag(bool),
    /// A list of texts.
    Texts(Vec<String>),
}

/// One key of the file.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Its value.
    pub raw: Raw,
    /// Bytes of the value.
    pub span: Option<Range<usize>>,
}

/// The keys of a file by full path.
#[derive(Debug, Clone, Default)]
pub struct Document {
    /// Keys with values of the right form.
    pub entries: BTreeMap<String, Entry>,
    /// Where each table begins.
    pub tables: BTreeMap<String, Range<usize>>,
    /// What is wrong so far.
    pub problems: Vec<Problem>,
}

impl Document {
    /// Reads a file; problems are collected, not returned.
    pub fn read(text: &str) -> Self {
        let mut doc = Self::default();
        let (root, errors) = DeTable::parse_recoverable(text);
        for e in errors {
            doc.problems
                .push(Problem::error("", format!("not valid TOML: {}", e.message())).at(e.span()));
        }
        doc.walk(root.get_ref(), "");
        doc
    }

    /// Sets a key from outside (a patch or a sweep), as if the file had said so.
    pub fn set(&mut self, path: &str, raw: Raw) {
        match schema::find(path) {
            Some(key) => {
                if self.accept(path, key, &raw, None) {
                    self.entries
                        .insert(path.to_owned(), Entry { raw, span: None });
                }
            }
            None => self.unknown(path, None),
        }
    }

    fn walk(&mut self, table: &DeTable<'_>, prefix: &str) {
        for (key, value) in table.iter() {
            let path = join(prefix, key.get_ref());
            match value.get_ref() {
                DeValue::Table(inner) => self.enter(&path, inner, key.span()),
                _ => self.leaf(&path, value, key.span()),
            }
        }
    }

    fn enter(&mut self, path: &str, inner: &DeTable<'_>, span: Range<usize>) {
        self.tables.insert(path.to_owned(), span.clone());
        let site = match path.split_once('.') {
            Some((leg, rest)) if LEGS.contains(&leg) => rest,
            _ => path,
        };
        if let Some(open) = schema::KEYS
            .iter()
            .find(|k| k.site == site && k.shape == Shape::Open)
        {
            self.not_yet(path, open.doc, Some(span));
        } else if LEGS.contains(&path) || site_is_known(path) {
            self.walk(inner, path);
        } else {
            self.unknown(path, Some(span));
        }
    }

    fn leaf(&mut self, path: &str, value: &Spanned<DeValue<'_>>, key_span: Range<usize>) {
        let Some(key) = schema::find(path) else {
            self.unknown(path, Some(key_span));
            return;
        };
        let span = value.span();
        let raw = match value.get_ref() {
            DeValue::String(s) => Raw::Text(s.to_string()),
            DeValue::Boolean(b) => Raw::Flag(*b),
            DeValue::Integer(i) => match i64::from_str_radix(i.as_str(), i.radix()) {
                Ok(n) => Raw::Whole(n),
                Err(_) => Raw::Text(i.as_str().to_owned()),
            },
            DeValue::Float(f) => Raw::Text(f.as_str().to_owned()),
            DeValue::Array(items) => {
                let texts: Vec<String> = items
                    .iter()
                    .filter_map(|v| v.get_ref().as_str().map(str::to_owned))
                    .collect();
                if texts.len() < items.len() {
                    self.problems.push(
                        Problem::error(path, "only a list of texts can stand here").at(Some(span)),
                    );
                    return;
                }
                Raw::Texts(texts)
            }
            _ => {
                self.problems.push(
                    Problem::error(path, "a date cannot stand here")
                        .hint(expected(key.shape))
                        .at(Some(span)),
                );
                return;
            }
        };
        // A bare number looks like a text here; say plainly that the unit is missing.
        let bare = !matches!(value.get_ref(), DeValue::String(_))
            && matches!(
                key.shape,
                Shape::Size(_) | Shape::Measured(_) | Shape::Window(_) | Shape::Error(_)
            );
        if bare {
            self.problems.push(
                Problem::error(path, "a bare value where a quantity with its unit is due")
                    .hint(expected(key.shape))
                    .at(Some(span)),
            );
        } else if self.accept(path, key, &raw, Some(span.clone())) {
            self.entries.insert(
                path.to_owned(),
                Entry {
                    raw,
                    span: Some(span),
                },
            );
        }
    }

    /// Checks a value against its key; reports and returns false if it does not fit.
    fn accept(&mut self, path: &str, key: Key, raw: &Raw, span: Option<Range<usize>>) -> bool {
        if key.support == Support::Later {
            self.not_yet(path, key.doc, span);
            return false;
        }
        let wrong = match (key.shape, raw) {
            (Shape::Text, Raw::Text(_))
            | (Shape::Texts, Raw::Texts(_))
            | (Shape::Flag, Raw::Flag(_)) => None,
            (Shape::Count(low, high), Raw::Whole(n)) => {
                (!(low..=high).contains(n)).then(|| format!("{n} lies outside {low} to {high}"))
            }
            (Shape::Choice(words), Raw::Text(t)) => (!words.contains(&t.as_str())).then(|| {
                let nearest = nearest(t, words.iter().copied());
                format!(
                    "`{t}` is not one of the choices{}",
                    nearest.map_or(String::new(), |n| format!("; did you mean `{n}`?"))
                )
            }),
            // Keys of the library are looked up when the scenario is built.
            (Shape::Library(_), Raw::Text(_)) => None,
            (Shape::Size(d), Raw::Text(t)) => parse_quantity_as(t, d).err().map(|e| e.to_string()),
            (Shape::Measured(d), Raw::Text(t)) => parse_measured(t, d).err().map(|e| e.to_string()),
            (Shape::Window(d), Raw::Text(t)) => parse_window(t, d).err().map(|e| e.to_string()),
            (Shape::Error(d), Raw::Text(t)) => {
                parse_spread(t, d, Some(1.0)).err().map(|e| e.to_string())
            }
            _ => Some("a value of another kind is due here".to_owned()),
        };
        match wrong {
            None => true,
            Some(message) => {
                self.problems.push(
                    Problem::error(path, message)
                        .hint(expected(key.shape))
                        .at(span),
                );
                false
            }
        }
    }

    fn not_yet(&mut self, path: &str, doc: &str, span: Option<Range<usize>>) {
        self.problems.push(
            Problem::error(
                path,
                format!("this version does not simulate it yet ({doc})"),
            )
            .hint("leave it out; it is part of the format, and a later version will read it")
            .at(span),
        );
    }

    fn unknown(&mut self, path: &str, span: Option<Range<usize>>) {
        let paths = schema::all_paths();
        let tables = paths
            .iter()
            .filter_map(|p| p.rsplit_once('.').map(|(table, _)| table));
        let near = nearest(path, paths.iter().map(String::as_str).chain(tables));
        let mut problem = Problem::error(path, "unknown key").at(span);
        if let Some(near) = near {
            problem = problem.hint(format!("did you mean `{near}`?"));
        }
        self.problems.push(problem);
    }

    /// Whether the file says anything under a table.
    pub fn has_table(&self, path: &str) -> bool {
        let dotted = format!("{path}.");
        self.entries.keys().any(|k| k.starts_with(&dotted))
    }

    /// Whether any error was found.
    pub fn failed(&self) -> bool {
        self.problems.iter().any(|p| p.severity == Severity::Error)
    }
}

fn join(prefix: &str, key: &str) -> String {
    if prefix.is_empty() {
        key.to_owned()
    } else {
        format!("{prefix}.{key}")
    }
}

fn site_is_known(path: &str) -> bool {
    let dotted = format!("{path}.");
    schema::all_paths().iter().any(|p| p.starts_with(&dotted))
}

/// The nearest of the candidates, if one is near enough to be meant.
pub(super) fn nearest<'c>(
    word: &str,
    candidates: impl Iterator<Item = &'c str>,
) -> Option<&'c str> {
    candidates
        .map(|c| (strsim::damerau_levenshtein(word, c), c))
        .filter(|(d, c)| *d <= 3.max(c.len() / 3))
        .min()
        .map(|(_, c)| c)
}

/// What a shape takes, in words.
pub(super) fn expected(shape: Shape) -> String {
    match shape {
        Shape::Text => "a text".to_owned(),
        Shape::Texts => "a list of texts".to_owned(),
        Shape::Flag => "true or false".to_owned(),
        Shape::Count(low, high) => format!("a whole number from {low} to {high}"),
        Shape::Choice(words) => format!("one of: {}", words.join(", ")),
        Shape::Library(kind) => format!("the key of a {kind}; `joulecast show {kind}` lists them"),
        Shape::Size(d) => format!("{}, for example \"{}\"", d.name(), d.example()),
        Shape::Measured(d) => format!(
            "{}, for example \"{}\", with or without an error such as \"u = ...\"",
            d.name(),
            d.example()
        ),
        Shape::Window(d) => format!("two values of {}, \"low to high\"", d.name()),
        Shape::Error(d) => format!(
            "an error, for example \"{} rectangular\" or \"u = {}\"",
            d.example(),
            d.example()
        ),
        Shape::Open => "a table".to_owned(),
    }
}
