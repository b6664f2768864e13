//! A scenario's own entries of the library: its `[library...]` tables, and the file that its key
//! `library_file` names.

use super::build::in_file_order;
use super::document::Document;
use super::letters::unprintable;
use super::problem::{Problem, Problems};
use super::syntax::mend;
use crate::library::{Library, LibraryError, Overlay, Problem as Wrong, Refused};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// What messages call the scenario itself when one of its entries is wrong.
const HERE: &str = "the scenario";

/// The key that names a library file.
pub(super) const FILE_KEY: &str = "library_file";

/// The library file that a scenario names, if it names one: its name as written, and the bytes of
/// that name for messages. Whoever reads the scenario reads the file too, and gives its entries to
/// [`super::read_in`] by way of [`with_file`].
pub fn library_file(text: &str) -> Option<(String, Range<usize>)> {
    let (readable, _) = mend(text);
    let (root, _) = DeTable::parse_recoverable(&readable);
    let (_, value) = entry_of(root.get_ref(), FILE_KEY)?;
    Some((value.get_ref().as_str()?.to_owned(), value.span()))
}

/// A library with the entries of a library file.
///
/// # Errors
/// All entries that are refused, each at its place in that file.
pub fn with_file(library: &Library, name: &str, content: &str) -> Result<Library, Problems> {
    let mut library = library.clone();
    let overlay = library.overlay(name, content);
    let (root, _) = DeTable::parse_recoverable(content);
    let mut problems = unprintable(root.get_ref(), "");
    problems.extend(overlay.refused.into_iter().map(|r| problem(r, "")));
    if problems.is_empty() {
        return Ok(library);
    }
    Err(Problems(in_file_order(problems)))
}

/// Whether a text is meant for a library file: it says nothing, or has a section of one. Of any other file that a scenario
/// names nothing should be quoted: it may be a private one.
pub fn is_library(content: &str) -> bool {
    let (root, errors) = DeTable::parse_recoverable(content);
    let mut sections = root.get_ref().keys();
    let says_nothing = errors.is_empty() && root.get_ref().is_empty();
    says_nothing || sections.any(|s| Library::has_section(s.get_ref()))
}

/// A library with a scenario's own entries, whatever else the scenario says.
///
/// # Errors
/// All entries that are refused.
pub fn library_of(text: &str, library: &Library) -> Result<Library, Problems> {
    let doc = Document::read(text);
    let mut library = library.clone();
    let problems = lay_over(&doc, text, &mut library);
    let wrong = |p: &&Problem| p.severity == super::Severity::Error;
    if problems.iter().find(wrong).is_some() {
        return Err(Problems(in_file_order(problems)));
    }
    Ok(library)
}

/// Lays the scenario's own entries over a library; what is to be said of them.
pub(super) fn lay_over(doc: &Document, text: &str, library: &mut Library) -> Vec<Problem> {
    if !doc.tables.contains_key("library") {
        return Vec::new();
    }
    let (readable, _) = mend(text);
    let (root, _) = DeTable::parse_recoverable(&readable);
    let Some((_, own)) = entry_of(root.get_ref(), "library") else {
        return Vec::new();
    };
    let DeValue::Table(sections) = own.get_ref() else {
        return Vec::new();
    };
    let Overlay { refused, replaced } = library.overlay_table(HERE, sections);
    // Where lines could not be read, nobody knows what an entry lacks.
    let refused = refused.into_iter().filter(|_| !doc.broken);
    let refused = refused.map(|r| problem(r, "library."));
    let replaced = replaced.into_iter().map(|(entry, span)| {
        let message = "stands in place of an entry of the library";
        Problem::warning(&format!("library.{entry}"), message)
            .hint("for this scenario only; give it a key of its own if that is not meant")
            .at(Some(span))
    });
    refused.chain(replaced).collect()
}

/// A refused entry, told at its place; `table` is what its section stands in.
fn problem(refused: Refused, table: &str) -> Problem {
    let entry_hint = |entry: &str| {
        let kind = entry.split('.').next().unwrap_or_default();
        if kind == "citations" {
            return "a text in quotes that says where values come from".to_owned();
        }
        let kind = kind.trim_end_matches('s');
        format!("`joulecast show {kind}` lists entries to go by")
    };
    let (path, message, hint) = match refused.error {
        LibraryError::Field {
            entry,
            field,
            problem,
            ..
        } => {
            let hint = match &*problem {
                Wrong::Source { key, .. } => {
                    format!("write it under [{table}citations]: `{key} = \"where it is from\"`")
                }
                Wrong::Reference { kind, .. } => format!("`joulecast show {kind}` lists them"),
                _ => entry_hint(&entry),
            };
            let path = format!("{table}{entry}.{}", field.replace(' ', "."));
            (path, problem.to_string(), hint)
        }
        LibraryError::Layout { entry, message, .. } => {
            let hint = entry_hint(&entry);
            (format!("{table}{entry}"), message, hint)
        }
        LibraryError::Section {
            section, nearest, ..
        } => {
            let hint = nearest.map_or_else(
                || "the sections are those of the kinds: `joulecast show` lists them".to_owned(),
                |n| format!("did you mean `{table}{n}`?"),
            );
            let message = "no section of the library is called so".to_owned();
            (format!("{table}{section}"), message, hint)
        }
        LibraryError::Toml { message, .. } => (
            String::new(),
            format!("not valid TOML: {}", toml_says(&message)),
            "the lines of a library file are those of the tables in a scenario".to_owned(),
        ),
        other => (
            table.trim_end_matches('.').to_owned(),
            other.to_string(),
            "an entry of the library is due".to_owned(),
        ),
    };
    Problem::error(&path, message)
        .hint(hint)
        .at(Some(refused.span))
}

/// What the TOML reader says, without the lines that it quotes.
fn toml_says(message: &str) -> String {
    let last = message.lines().rfind(|l| !l.trim().is_empty());
    last.unwrap_or(message).trim().to_owned()
}

/// A key of a table and its value.
fn entry_of<'t, 'i>(
    table: &'t DeTable<'i>,
    name: &str,
) -> Option<(
    &'t Spanned<toml::de::DeString<'i>>,
    &'t Spanned<DeValue<'i>>,
)> {
    table.iter().find(|(k, _)| k.get_ref() == name)
}
