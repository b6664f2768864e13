//! Tables: rows of cells between commas, semicolons or tabs, and what decimal mark their numbers have.

use super::cell::mark_of;
use super::mark::decimal;
use super::problem::{FileProblem, Problems};
use super::text::decoded;
use super::{MOST_RECORD_BYTES, MOST_ROWS};

pub use super::header::Header;

/// A row of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Its line in the file, from 1.
    pub line: usize,
    /// Its cells without blanks around them; empty ones at its end are left out.
    pub cells: Vec<String>,
}

impl Row {
    /// A cell; empty behind the end of the row.
    pub fn cell(&self, column: usize) -> &str {
        self.cells.get(column).map_or("", String::as_str)
    }
}

/// A table with a row of headers.
#[derive(Debug, Clone)]
pub struct Sheet {
    /// What the file is called.
    pub file: String,
    /// Its headers.
    pub headers: Vec<Header>,
    /// The rows below them, without empty ones and comments.
    pub rows: Vec<Row>,
    /// What separates cells.
    pub separator: char,
    /// Decimal mark, a point or a comma.
    pub decimal: char,
    /// What was assumed.
    pub notes: Vec<String>,
    /// Line of the headers.
    pub(super) line: usize,
}

impl Sheet {
    /// The decimal mark of these columns, as far as one of their numbers has one.
    pub(super) fn mark(&self, columns: &[usize], problems: &mut Problems) -> Option<char> {
        let names: Vec<&str> = self.headers.iter().map(|h| h.text.as_str()).collect();
        decimal(&self.rows, self.separator, columns, &names, problems)
    }
}

/// Reads a table whose first row are headers.
///
/// # Errors
/// All problems that do not depend on what the columns are.
pub fn read_sheet(file: &str, bytes: &[u8]) -> Result<Sheet, Vec<FileProblem>> {
    let mut problems = Problems::new(file);
    let limits = (MOST_RECORD_BYTES, MOST_ROWS);
    let sheet = Table::read(bytes, limits, &mut problems).map(|t| t.headed(file, &mut problems));
    let Some(mut sheet) = sheet else {
        return Err(problems.all());
    };
    let all: Vec<usize> = (0..sheet.headers.len()).collect();
    sheet.decimal = sheet.mark(&all, &mut problems).unwrap_or('.');
    if problems.is_empty() {
        Ok(sheet)
    } else {
        Err(problems.all())
    }
}

/// The rows of a file, whether its first one are headers or not.
pub(super) struct Table {
    pub rows: Vec<Row>,
    /// Cells of each row, empty ones at its end included.
    widths: Vec<usize>,
    pub separator: char,
    pub notes: Vec<String>,
}

/// Most columns; a row of more is no table of data.
const MOST_COLUMNS: usize = 1000;

/// A character that no text has, to see whether a quote is still open at its end.
pub(super) const END: char = '\u{1}';

impl Table {
    /// Reads a file of at most so many bytes and rows; `None` after reporting why not.
    pub fn read(
        bytes: &[u8],
        (most, rows): (usize, usize),
        problems: &mut Problems,
    ) -> Option<Self> {
        let (mut text, note) = decoded(bytes, most, problems)?;
        let separator = stated_separator(&mut text).unwrap_or_else(|| separator(&text));
        let mut table = Self {
            rows: Vec::new(),
            widths: Vec::new(),
            separator,
            notes: note.into_iter().collect(),
        };
        table.notes.extend(comments(&text));
        text.push('\n');
        text.push(END);
        table.split(&text, rows, problems);
        if table.rows.is_empty() && problems.is_empty() {
            problems.add("empty", None, None, "there is nothing in the file", "");
        }
        problems.is_empty().then_some(table)
    }

    fn split(&mut self, text: &str, most: usize, problems: &mut Problems) {
        let mut reader = reader(text, self.separator);
        let mut record = csv::StringRecord::new();
        // Text is in memory and of any width: nothing can fail.
        while reader.read_record(&mut record).unwrap_or(false) {
            let breaks = |cells: usize| -> usize {
                record
                    .iter()
                    .take(cells)
                    .map(|c| c.matches('\n').count())
                    .sum()
            };
            if let Some(last) = record.iter().next_back().filter(|c| c.ends_with(END)) {
                if last.len() > 1 || record.len() > 1 {
                    let end = reader.position().line() as usize;
                    let line = end - breaks(record.len()) + breaks(record.len() - 1);
                    problems.add(
                        "quote",
                        line,
                        None,
                        "a quote is opened and never closed",
                        "close it, or leave it out",
                    );
                }
                return;
            }
            let line = (reader.position().line() as usize).saturating_sub(1 + breaks(record.len()));
            let filled = (0..record.len()).rfind(|i| !record[*i].trim().is_empty());
            let Some(last) = filled else { continue };
            if last >= MOST_COLUMNS {
                let message = format!("{} columns, and at most {MOST_COLUMNS} are read", last + 1);
                problems.add("columns", line, None, message, "");
                return;
            }
            if self.rows.len() > most {
                let message = format!("more than {most} rows");
                problems.add("rows", line, None, message, "split the file");
                return;
            }
            let cells = record.iter().take(last + 1).map(|c| c.trim().to_owned());
            self.rows.push(Row {
                line,
                cells: cells.collect(),
            });
            self.widths.push(record.len());
        }
    }

    /// With its first row as headers; rows that are wider are reported.
    pub fn headed(mut self, file: &str, problems: &mut Problems) -> Sheet {
        let first = self.rows.remove(0);
        let width = self.widths.remove(0);
        // Without a point in the whole file, a comma more at the end of a row may be a decimal one.
        let pointed = || {
            self.rows
                .iter()
                .flat_map(|r| &r.cells)
                .any(|c| mark_of(c) == Some('.'))
        };
        let strict = self.separator == ',' && self.widths.iter().any(|w| *w > width) && !pointed();
        for (row, own) in self.rows.iter().zip(&self.widths) {
            let cells = if strict { *own } else { row.cells.len() };
            if cells > width.max(first.cells.len()) {
                let message = format!("{cells} cells below {width} headers");
                let hint = if self.separator == ',' {
                    "if these are decimal commas, save the file with semicolons between its cells"
                } else {
                    "every column needs a header"
                };
                problems.add("wide", row.line, None, message, hint);
            }
        }
        let text = |c: &String| c.split_whitespace().collect::<Vec<_>>().join(" ");
        let headers = first
            .cells
            .iter()
            .enumerate()
            .map(|(i, c)| Header::new(&text(c), i));
        Sheet {
            file: file.to_owned(),
            headers: headers.collect(),
            rows: self.rows,
            separator: self.separator,
            decimal: '.',
            notes: self.notes,
            line: first.line,
        }
    }
}

fn reader(text: &str, separator: char) -> csv::Reader<&[u8]> {
    csv::ReaderBuilder::new()
        .delimiter(separator as u8)
        .comment(Some(b'#'))
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes())
}

/// The separator that a first line `sep=;` states; the line is emptied.
fn stated_separator(text: &mut String) -> Option<char> {
    let end = text.find('\n').unwrap_or(text.len());
    let stated = text[..end].trim().trim_matches('"').strip_prefix("sep=");
    let stated = stated.or(text[..end].strip_prefix("sep="))?;
    let separator = [',', ';', '\t']
        .into_iter()
        .find(|c| stated.starts_with(*c))?;
    text.replace_range(..end, "");
    Some(separator)
}

/// The separator that divides most of the first rows into as many cells as their first one has.
fn separator(text: &str) -> char {
    const ROWS: usize = 100;
    const BYTES: usize = 100_000;
    let head = match text.char_indices().nth(BYTES) {
        Some((end, _)) => &text[..end],
        None => text,
    };
    let regular = |separator: char| {
        let mut widths = reader(head, separator)
            .into_records()
            .take(ROWS)
            .filter_map(|r| Some(r.ok()?.len()));
        match widths.next() {
            Some(first) if first > 1 => 1 + widths.filter(|w| *w == first).count(),
            _ => 0,
        }
    };
    // Of equals the last one counts; a single column has none.
    let all = [',', ';', '\t'].map(|s| (regular(s), s));
    let best = all.into_iter().max_by_key(|(rows, _)| *rows);
    best.filter(|(rows, _)| *rows > 0).map_or(',', |(_, s)| s)
}

/// Which lines are comments: a run that is taken for one would be missing without a word.
fn comments(text: &str) -> Option<String> {
    const NAMED: usize = 5;
    let lines = text.lines().enumerate().filter(|(_, l)| l.starts_with('#'));
    let all: Vec<usize> = lines.map(|(i, _)| i + 1).collect();
    let named: Vec<String> = all.iter().take(NAMED).map(usize::to_string).collect();
    let more = if all.len() > NAMED { ", ..." } else { "" };
    let what = match all.len() {
        0 => return None,
        1 => "1 line that begins".to_owned(),
        n => format!("{n} lines that begin"),
    };
    Some(format!(
        "{what} with # left out as comments: line {}{more}",
        named.join(", ")
    ))
}

/// Separator and decimal mark in words.
pub(super) fn form(separator: char, decimal: Option<char>) -> String {
    let cells = match separator {
        ';' => "semicolons",
        '\t' => "tabs",
        _ => "commas",
    };
    let mark = match decimal {
        Some(',') => "decimal mark is the comma",
        Some(_) => "decimal mark is the point",
        None => "no number has decimals",
    };
    format!("cells are separated by {cells}, {mark}")
}
