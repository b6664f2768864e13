//! Problems of a scenario as people and programs read them.

use super::document::{Block, Cell, Column, Document, Section, Table};
use super::json::{document, part};
use super::plain::{line, plain_but_colours};
use super::words::{WIDTH, count};
use crate::measured::FileProblem;
use crate::scenario::{Leg, Problem, Scenario, Severity, positions};
use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use serde_json::Value;
use std::collections::HashMap;
use std::ops::Range;

/// Name and version of the document's form.
pub(super) const PROBLEMS: &str = "joulecast.problems/1";

/// Each problem with the line it stands in, marked.
pub fn problems_text(name: &str, text: &str, problems: &[Problem], colour: bool) -> String {
    let renderer = if colour {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    // Long lines of the file are cut about the mark, so that they fit.
    let renderer = renderer.term_width(WIDTH);
    let mut out = String::new();
    let name = line(name);
    for (p, more) in folded(problems) {
        let level = match p.severity {
            Severity::Error => Level::ERROR,
            Severity::Warning => Level::WARNING,
        };
        let title = if p.path.is_empty() {
            line(&shortened(&p.message)).into_owned()
        } else {
            let path = p.path.replace('`', "'");
            let title = shortened(&format!("`{path}`: {}", p.message));
            line(&title).replacen('`', "", 2)
        };
        let title = wrapped(&title, "warning: ".len());
        let mut group = Group::with_title(level.primary_title(title.as_str()));
        if let Some((line, number, span)) = p.span.as_ref().and_then(|s| around(text, s)) {
            let mark = AnnotationKind::Primary.span(span);
            let source = Snippet::source(line).line_start(number).path(&*name);
            group = group.element(source.annotation(mark));
        }
        let hint = p.hint.as_deref().map(shortened);
        let hint = hint.map(|h| wrapped(&line(&h), "1234 = help: ".len()));
        if let Some(hint) = &hint {
            group = group.element(Level::HELP.message(hint.as_str()));
        }
        out.push_str(&renderer.render(&[group]));
        out.push_str("\n\n");
        if more > 0 {
            out.push_str(&format!("and {} more like it\n\n", count(more as u64)));
        }
    }
    plain_but_colours(&out).into_owned()
}

/// Problems of one kind that are shown; of all others their number is told.
const MOST_ALIKE: usize = 10;

/// The problems that are shown, each with the number of others of its kind that it is the last one before.
fn folded(problems: &[Problem]) -> Vec<(&Problem, usize)> {
    let mut shown: Vec<(&Problem, usize)> = Vec::new();
    // Of each kind: how many there are, and which one was shown last.
    let mut kinds: HashMap<(Severity, String), (usize, usize)> = HashMap::new();
    for p in problems {
        let (n, last) = kinds.entry((p.severity, kind(&p.message))).or_default();
        *n += 1;
        if *n <= MOST_ALIKE {
            *last = shown.len();
            shown.push((p, 0));
        } else {
            shown[*last].1 += 1;
        }
    }
    shown
}

/// What a message says, whatever it says it of: without what it quotes, and without numbers.
fn kind(message: &str) -> String {
    let words = message.split('`').step_by(2);
    let words = words.flat_map(|w| w.chars().filter(|c| !c.is_ascii_digit()));
    words.collect()
}

/// Characters of a quoted text that are shown.
const MOST_QUOTED: usize = 80;

/// A message in which nothing is quoted at length.
fn shortened(message: &str) -> String {
    let short = |(i, part): (usize, &str)| {
        let cut = part.char_indices().nth(MOST_QUOTED);
        match cut {
            Some((end, _)) if i % 2 == 1 => format!("{} ...", part[..end].trim_end()),
            _ => part.to_owned(),
        }
    };
    let parts: Vec<String> = message.split('`').enumerate().map(short).collect();
    parts.join("`")
}

/// The line of a text in which a mark begins, its number, and the mark in it. One line only: more may be none of the
/// reader's business, and the whole text would be gone through for each problem.
fn around<'t>(text: &'t str, span: &Range<usize>) -> Option<(&'t str, usize, Range<usize>)> {
    let before = text.get(..span.start)?;
    let start = before.rfind('\n').map_or(0, |i| i + 1);
    let behind = text.get(span.start..)?;
    let end = span.start + behind.find('\n').unwrap_or(behind.len());
    let number = before.bytes().filter(|b| *b == b'\n').count() + 1;
    let mark = span.start - start..span.end.clamp(span.start, end) - start;
    Some((&text[start..end], number, mark))
}

/// How many problems there are: `2 errors, 1 warning`.
pub fn count_text(problems: &[Problem]) -> String {
    let count = |severity: Severity| {
        let n = problems.iter().filter(|p| p.severity == severity).count();
        let s = if n == 1 { "" } else { "s" };
        (n > 0).then(|| format!("{n} {}{s}", severity.text()))
    };
    let worst_first = [Severity::Error, Severity::Warning].into_iter();
    worst_first.filter_map(count).collect::<Vec<_>>().join(", ")
}

/// Wraps a message behind a beginning of this length; keys and examples stay whole.
fn wrapped(text: &str, beginning: usize) -> String {
    let options = textwrap::Options::new(WIDTH - beginning)
        .word_splitter(textwrap::WordSplitter::NoHyphenation)
        .break_words(false);
    textwrap::fill(text, options)
}

/// What a good scenario asks for: its runs, and the change of temperature to expect in each.
pub fn runs_document(scenario: &Scenario) -> Document {
    let legs: Vec<&Leg> = scenario
        .legs()
        .into_iter()
        .filter(|leg| leg.runs > 0)
        .collect();
    let runs = |leg: &&Leg| format!("{} run{}", leg.runs, if leg.runs == 1 { "" } else { "s" });
    let change = |leg: &&Leg| format!("about {:+.3} K each", leg.nominal_change(&scenario.room).0);
    let table = Table::of("runs", &legs)
        .column(&legs, Column::code(""), |leg| Cell::text(leg.title()))
        .column(&legs, Column::code(""), |leg| Cell::text(runs(leg)))
        .column(&legs, Column::code(""), |leg| Cell::text(change(leg)))
        .column(&legs, Column::words(""), |leg| Cell::text(leg.what()));
    let mut d = Document::default();
    d.add(Section::new("").with(Block::Table(table)));
    d
}

part! {
    /// A problem with the place that it points at.
    Located<'a>(place: Option<(usize, usize)>, problem: &'a Problem):
    #[serde(flatten)]
    problem: &'a Problem = problem,
    /// Line of the scenario file, from 1; null if it points at none.
    line: Option<usize> = place.map(|x| x.0),
    /// Character of that line, from 1.
    column: Option<usize> = place.map(|x| x.1),
}

/// Problems with their places in a text.
pub(super) fn located<'a>(text: &str, problems: &'a [Problem]) -> Vec<Located<'a>> {
    let places = positions(text, problems);
    let all = places.into_iter().zip(problems);
    all.map(|(place, p)| Located::of(place, p)).collect()
}

part! {
    /// Everything that is wrong with a scenario.
    Found<'a>(file: Option<&'a str>, text: &str, problems: &'a [Problem]):
    /// The scenario file; null where it is only what it gives that is wrong.
    file: Option<&'a str> = file,
    problems: Vec<Located<'a>> = located(text, problems),
}

/// Name and version of the document about files of measured data.
pub const DATA_PROBLEMS: &str = "joulecast.data-problems/1";

part! {
    /// Everything that is wrong with files of measured data.
    FoundInFiles<'a>(all: &'a [FileProblem]):
    problems: Vec<InFile<'a>> = all.iter().map(InFile::of).collect(),
}

part! {
    /// A problem with its place.
    InFile<'a>(p: &'a FileProblem):
    file: &'a str = &p.file,
    line: Option<usize> = p.line,
    /// Header of the column.
    column: Option<&'a str> = p.column.as_deref(),
    message: &'a str = &p.message,
    hint: Option<&'a str> = p.hint.as_deref(),
}

/// The problems of files of measured data, for programs.
pub fn data_problems_json(problems: &[FileProblem]) -> Value {
    document(DATA_PROBLEMS, FoundInFiles::of(problems))
}

/// The problems of a scenario, for programs.
pub fn problems_json(file: Option<&str>, text: &str, problems: &[Problem]) -> Value {
    document(PROBLEMS, Found::of(file, text, problems))
}
