//! Looking keys up, and reporting what is wrong with them.

use super::build::{Builder, Found};
use super::document::Raw;
use super::problem::{Concern, Problem, Severity};
use super::schema;
use super::told::Told;
use super::wording::{expected, nearest, short};
use crate::quantity::{Dimension, parse_quantity_as};
use std::cell::RefMut;
use std::collections::BTreeMap;
use std::ops::RangeInclusive;

impl<'l> Builder<'l> {
    /// Warns at a key; of a limit of the procedure, if it is about one that studies tell apart.
    pub(super) fn warn(
        &mut self,
        at: Found,
        concern: impl Into<Option<Concern>>,
        message: String,
        hint: &str,
    ) {
        let problem = Problem::warning(&at.path, message)
            .hint(hint)
            .about(concern);
        self.problem(problem.at(at.entry.span));
    }

    /// Refuses what a key says.
    pub(super) fn refuse(&mut self, at: Found, message: String, hint: &str) {
        let problem = Problem::error(&at.path, message).hint(hint);
        self.problem(problem.at(at.entry.span));
    }

    /// Adds a problem, unless an error is already known at the same key, or the same has been said.
    pub(super) fn problem(&mut self, problem: Problem) {
        let known = match problem.severity {
            Severity::Warning => self.told().has_warned(&problem),
            Severity::Error => self.reported(&problem.path),
        };
        if known {
            return;
        }
        // What is refused need not be called unusual besides.
        if problem.severity == Severity::Error {
            let told = self.told.get_mut();
            told.unwarn(&problem.path, &mut self.doc.problems);
        }
        self.doc.problems.push(problem);
    }

    /// Whether an error at this key, or at a table above it, has been reported.
    pub(super) fn reported(&self, path: &str) -> bool {
        self.told().has_error(path)
    }

    /// What has been said so far.
    fn told(&self) -> RefMut<'_, Told> {
        let mut told = self.told.borrow_mut();
        told.read(&self.doc.problems);
        told
    }

    /// Reports something that must be there and is not, at `span` or at the end of the file;
    /// unless it is absent for a reason that is reported itself.
    pub(super) fn absent(
        &mut self,
        path: &str,
        hint: impl Into<String>,
        span: Option<std::ops::Range<usize>>,
    ) {
        let excused = self.doc.excused.iter().any(|e| is_under(path, e));
        if self.doc.broken || excused {
            return;
        }
        let end = self.doc.end..self.doc.end;
        let (message, span) = match span {
            Some(span) => ("missing", span),
            None => ("missing: the file ends without it", end),
        };
        self.problem(Problem::error(path, message).hint(hint).at(Some(span)));
    }

    /// Looks a key up: in the leg's own table first, then at the top of the file.
    pub(super) fn find(&self, leg: &str, site: &str, name: &str) -> Option<Found> {
        let tail = if site.is_empty() {
            name.to_owned()
        } else {
            format!("{site}.{name}")
        };
        let own = format!("{leg}.{tail}");
        for path in [own, tail].into_iter().skip(usize::from(leg.is_empty())) {
            if let Some(entry) = self.doc.entries.get(&path) {
                return Some(Found {
                    path,
                    entry: entry.clone(),
                });
            }
        }
        None
    }

    /// A quantity without error, if stated.
    pub(super) fn size(&self, leg: &str, site: &str, name: &str, d: Dimension) -> Option<f64> {
        match &self.find(leg, site, name)?.entry.raw {
            Raw::Text(t) => parse_quantity_as(t, d).ok(),
            _ => None,
        }
    }

    /// A quantity that must be positive, if stated; anything else is reported. So is a number so
    /// large or so small that a power of ten must have slipped.
    pub(super) fn positive(
        &mut self,
        leg: &str,
        site: &str,
        name: &str,
        d: Dimension,
    ) -> Option<f64> {
        let value = self.size(leg, site, name, d)?;
        if value > 0.0 {
            return self.bounded((leg, site, name), d, 1e-9..=1e6);
        }
        let found = self.find(leg, site, name)?;
        self.problem(
            Problem::error(&found.path, format!("{} must be positive", d.name()))
                .hint(format!("for example \"{}\"", d.example()))
                .at(found.entry.span),
        );
        None
    }

    /// A quantity within limits, if stated; anything else is reported.
    pub(super) fn bounded(
        &mut self,
        (leg, site, name): (&str, &str, &str),
        d: Dimension,
        limits: RangeInclusive<f64>,
    ) -> Option<f64> {
        let value = self.size(leg, site, name, d)?;
        if limits.contains(&value) {
            return Some(value);
        }
        let found = self.find(leg, site, name)?;
        let [x, low, high] = [value, *limits.start(), *limits.end()].map(short);
        let unit = d.base_unit();
        self.problem(
            Problem::error(
                &found.path,
                format!("{x} {unit} lies outside {low} to {high} {unit}"),
            )
            .hint(format!("{}, for example \"{}\"", d.name(), d.example()))
            .at(found.entry.span),
        );
        None
    }

    /// A word of a choice, if stated.
    pub(super) fn choice(&self, leg: &str, site: &str, name: &str) -> Option<String> {
        match self.find(leg, site, name)?.entry.raw {
            Raw::Text(t) => Some(t),
            _ => None,
        }
    }

    pub(super) fn text(&self, name: &str) -> Option<String> {
        match &self.doc.entries.get(name)?.raw {
            Raw::Text(t) => Some(t.trim().to_owned()),
            _ => None,
        }
    }

    /// Reports a key that must be there and is not, in its table or the nearest one above.
    pub(super) fn missing(&mut self, path: &str) {
        let mut span = None;
        let mut table = path;
        while let (None, Some((above, _))) = (&span, table.rsplit_once('.')) {
            span = self.doc.tables.get(above).cloned();
            table = above;
        }
        let hint = schema::find(path).map_or(String::new(), |k| expected(k.shape));
        self.absent(path, hint, span);
    }

    /// An entry of the library named by a key of the scenario, if it is stated.
    pub(super) fn library_entry<T>(
        &mut self,
        (leg, site, name): (&str, &str, &str),
        kind: &str,
        entries: &'l BTreeMap<String, T>,
    ) -> Option<&'l T> {
        let found = self.find(leg, site, name)?;
        let Raw::Text(key) = &found.entry.raw else {
            return None;
        };
        let entry = entries.get(key);
        // While own entries are refused, it is unknown what the library lacks.
        if entry.is_none() && !self.told().has_error_under("library") {
            let near = nearest(key, entries.keys().map(String::as_str));
            let hint = match near {
                Some(near) => format!("did you mean `{near}`? `joulecast show {kind}` lists all"),
                None => format!("`joulecast show {kind}` lists them"),
            };
            self.problem(
                Problem::error(&found.path, format!("no {kind} `{key}` in the library"))
                    .hint(hint)
                    .at(found.entry.span),
            );
        }
        entry
    }
}

/// Whether a path is this one, or stands in this table.
fn is_under(path: &str, table: &str) -> bool {
    path.strip_prefix(table)
        .is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
}
