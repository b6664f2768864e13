//! A scenario file as key paths with values and places, checked against the table of keys.

use super::letters::unprintable;
use super::limits;
use super::problem::{Problem, Severity};
use super::said;
use super::schema::{self, Key, LEGS, Shape};
use super::syntax::mend;
use super::wording::{
    expected, expected_of, is_loss, nearest, quantity_error, spread_error, suggest_key,
    suggest_table,
};
use crate::quantity::{
    MOST_GUESSES, parse_error_statement, parse_measured, parse_quantity_as, parse_window,
};
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
    /// Nothing: set from outside, a key is as if the file did not state it.
    Unsaid,
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
    /// Whether lines could not be read: then it is unknown what is missing.
    pub broken: bool,
    /// Keys and tables that are absent because something else is wrong, which is reported.
    pub excused: Vec<String>,
    /// Where the text ends.
    pub end: usize,
}

impl Document {
    /// Reads a file; problems are collected, not returned.
    pub fn read(text: &str) -> Self {
        let (readable, problems) = mend(text);
        let mut doc = Self {
            broken: !problems.is_empty(),
            problems,
            end: text.trim_end().len(),
            ..Self::default()
        };
        let (root, _) = DeTable::parse_recoverable(&readable);
        doc.problems.extend(unprintable(root.get_ref(), ""));
        doc.walk(root.get_ref(), "");
        doc
    }

    /// Sets a key from outside (a patch or a sweep), as if the file had said so.
    pub fn set(&mut self, path: &str, raw: Raw) {
        match schema::find(path) {
            Some(_) if raw == Raw::Unsaid => drop(self.entries.remove(path)),
            Some(key) => {
                if self.accept(path, key, &raw, None) {
                    self.entries
                        .insert(path.to_owned(), Entry { raw, span: None });
                }
            }
            None => self.unknown("unknown key", path, suggest_key, None),
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
        // Entries of the library have a grammar of their own, which the library reads.
        if path == "library" {
            return;
        }
        let (leg, site) = schema::in_leg(path);
        if let Some(name) = named(path)
            && !is_plain(name)
        {
            let message = format!("`{name}` cannot be a name");
            let hint = "letters, digits, `-` and `_`";
            let problem = Problem::error(path, message).hint(hint);
            self.problems.push(problem.at(Some(span)));
        } else if path == schema::FURTHER
            || (site.is_empty() && !leg.is_empty())
            || site_is_known(path)
        {
            self.walk(inner, path);
        } else if let Some(key) = schema::find(path) {
            let problem = Problem::error(path, "a table where a single value is due");
            self.problems.push(problem.hint(takes(key)).at(Some(span)));
        } else {
            self.unknown("unknown table", path, suggest_table, Some(span));
        }
    }

    fn leaf(&mut self, path: &str, value: &Spanned<DeValue<'_>>, key_span: Range<usize>) {
        let Some(key) = schema::find(path) else {
            let (leg, site) = schema::in_leg(path);
            let whole_leg = site.is_empty() && !leg.is_empty();
            if whole_leg || path == schema::FURTHER || site_is_known(path) {
                let problem = Problem::error(path, "a value where a table is due");
                let hint = format!("write [{path}], in single brackets, and its keys below it");
                self.problems.push(problem.hint(hint).at(Some(key_span)));
                return;
            }
            self.unknown("unknown key", path, suggest_key, Some(key_span));
            return;
        };
        let span = value.span();
        let raw = match value.get_ref() {
            DeValue::String(s) => Some(Raw::Text(s.to_string())),
            DeValue::Boolean(b) => Some(Raw::Flag(*b)),
            DeValue::Integer(i) => i64::from_str_radix(i.as_str(), i.radix())
                .ok()
                .map(Raw::Whole),
            DeValue::Array(items) if is_list(key.shape) => items
                .iter()
                .map(|v| v.get_ref().as_str().map(str::to_owned))
                .collect::<Option<Vec<_>>>()
                .map(Raw::Texts),
            _ => None,
        };
        match raw {
            Some(raw) if kind_fits(key.shape, &raw) => {
                if self.accept(path, key, &raw, Some(span.clone())) {
                    let span = Some(span);
                    self.entries.insert(path.to_owned(), Entry { raw, span });
                }
            }
            _ => {
                let message = misfit(value.get_ref(), key.shape);
                self.problems.push(
                    Problem::error(path, message)
                        .hint(takes(key))
                        .at(Some(span)),
                );
            }
        }
    }

    /// Checks a value against its key; reports and returns false if it does not fit.
    fn accept(&mut self, path: &str, key: Key, raw: &Raw, span: Option<Range<usize>>) -> bool {
        // A percentage is relative where there is something that it can be relative to.
        let whole = matches!(key.site, "charge" | "liquid").then_some(1.0);
        let wrong = match (key.shape, raw) {
            (Shape::Count(low, high), Raw::Whole(n)) if !(low..=high).contains(n) => {
                Some(match path {
                    "format" => format!("this version reads format {high} only"),
                    _ => format!("{n} lies outside {low} to {high}"),
                })
            }
            (Shape::Choice(words), Raw::Text(t)) if !words.contains(&t.as_str()) => {
                let meant = nearest(t, words.iter().copied())
                    .map_or(String::new(), |n| format!("; did you mean `{n}`?"));
                Some(format!("`{t}` is not one of the choices{meant}"))
            }
            (Shape::Sizes(d) | Shape::List(d), Raw::Texts(all)) if all.is_empty() => {
                Some(format!("an empty list where {} is due", d.name()))
            }
            (Shape::Sizes(d) | Shape::List(d), Raw::Texts(all)) => all.iter().find_map(|t| {
                let wrong = parse_quantity_as(t, d).err();
                wrong.map(|e| quantity_error(t, &e))
            }),
            (Shape::Size(d) | Shape::Sizes(d), Raw::Text(t)) => {
                parse_quantity_as(t, d).err().map(|e| quantity_error(t, &e))
            }
            (Shape::Measured(d), Raw::Text(t)) => {
                let wrong = match key.source() {
                    Some(source) => said::read(source, t, whole).err(),
                    None => parse_measured(t, d).err(),
                };
                wrong.map(|e| spread_error(t, &e, false))
            }
            (Shape::Window(d), Raw::Text(t)) => {
                parse_window(t, d).err().map(|e| quantity_error(t, &e))
            }
            (Shape::Error(d), Raw::Text(t)) => {
                let (wrong, loss) = match key.source() {
                    Some(s) => (said::read(s, t, whole).err(), is_loss(s)),
                    None => (parse_error_statement(t, d, whole).err(), false),
                };
                wrong.map(|e| spread_error(t, &e, loss))
            }
            // Keys of the library are looked up when the scenario is built.
            (shape, raw) if kind_fits(shape, raw) => None,
            _ => Some("a value of another kind is due here".to_owned()),
        };
        match wrong {
            None => self.within(path, key, raw, span),
            Some(message) => {
                self.problems
                    .push(Problem::error(path, message).hint(takes(key)).at(span));
                false
            }
        }
    }

    /// Warns of a value that is not usual; reports and returns false if it is not possible.
    fn within(&mut self, path: &str, key: Key, raw: &Raw, span: Option<Range<usize>>) -> bool {
        let found = limits::of_key(key, raw);
        let possible = found.as_ref().is_none_or(|p| p.severity < Severity::Error);
        if let Some(problem) = found {
            let path = path.to_owned();
            self.problems.push(Problem { path, ..problem }.at(span));
        }
        possible
    }

    fn unknown(
        &mut self,
        what: &str,
        path: &str,
        meant: impl Fn(&str) -> Option<String>,
        span: Option<Range<usize>>,
    ) {
        let mut problem = Problem::error(path, what).at(span);
        if self.problems.len() < MOST_GUESSES
            && let Some(meant) = meant(path)
        {
            problem = problem.hint(format!("did you mean `{meant}`?"));
            self.excused.push(meant);
        }
        self.problems.push(problem);
    }

    /// Whether anything is wrong so far.
    pub fn failed(&self) -> bool {
        !self.problems.is_empty()
    }

    /// Whether the file says anything under a table.
    pub fn has_table(&self, path: &str) -> bool {
        let dotted = format!("{path}.");
        self.entries.keys().any(|k| k.starts_with(&dotted))
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
    if ["library", schema::COLUMNS, schema::SLIPS].contains(&path) {
        return true;
    }
    let (leg, site) = schema::in_leg(path);
    // A reagent's table has its own name in it.
    let site = match site.split_once('.') {
        Some((schema::REACTANT, name)) if !name.contains('.') => {
            format!("{}.NAME", schema::REACTANT)
        }
        _ => site.to_owned(),
    };
    match leg {
        "" => schema::is_table(&site),
        _ => schema::is_table(&format!("{}.{site}", LEGS[0])),
    }
}

/// The name that a table of its own kind bears: `oxide` of `[leg.oxide]`.
fn named(path: &str) -> Option<&str> {
    let (leg, site) = schema::in_leg(path);
    if site.is_empty() {
        return leg.strip_prefix("leg.");
    }
    site.strip_prefix("reactant.").filter(|n| !n.contains('.'))
}

/// Whether a name can stand in a path and in a sum.
fn is_plain(name: &str) -> bool {
    let plain = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    let taken = ["calibration", "determination", "known"];
    name.starts_with(|c: char| c.is_ascii_alphabetic())
        && name.chars().all(plain)
        && !taken.contains(&name)
}

/// Whether a shape takes a list.
fn is_list(shape: Shape) -> bool {
    matches!(shape, Shape::Texts | Shape::List(_) | Shape::Sizes(_))
}

/// Whether a value is of the kind that a shape takes, whatever it says.
fn kind_fits(shape: Shape, raw: &Raw) -> bool {
    match shape {
        Shape::Count(..) => matches!(raw, Raw::Whole(_)),
        Shape::Flag => matches!(raw, Raw::Flag(_)),
        Shape::Texts | Shape::List(_) => matches!(raw, Raw::Texts(_)),
        Shape::Sizes(_) => matches!(raw, Raw::Text(_) | Raw::Texts(_)),
        Shape::Open => false,
        _ => matches!(raw, Raw::Text(_)),
    }
}

/// What is said of a value of the wrong kind.
fn misfit(value: &DeValue<'_>, shape: Shape) -> String {
    let quantity = matches!(
        shape,
        Shape::Size(_) | Shape::Sizes(_) | Shape::Measured(_) | Shape::Window(_) | Shape::Error(_)
    );
    let found = match value {
        DeValue::Integer(_) | DeValue::Float(_) if quantity => {
            return "a bare number where a quantity with its unit is due, in quotes".to_owned();
        }
        DeValue::String(_) => "a text in quotes",
        DeValue::Integer(_) => "a whole number",
        DeValue::Float(_) => "a number with a fraction",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) if is_list(shape) => "a list of something else than texts",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    };
    match shape {
        Shape::Count(..) => format!("{found} where a whole number is due"),
        _ => format!("{found} cannot stand here"),
    }
}

/// What a key takes.
fn takes(key: Key) -> String {
    match key.source() {
        Some(source) if schema::shape_of(source) == key.shape => expected_of(source),
        _ => expected(key.shape),
    }
}

/// Where a text states a key: in the leg's own table, or at the top for both legs.
pub fn locate(text: &str, path: &str) -> Option<Range<usize>> {
    let doc = Document::read(text);
    let entry = doc
        .entries
        .get(path)
        .or_else(|| doc.entries.get(schema::in_leg(path).1))?;
    entry.span.clone()
}
