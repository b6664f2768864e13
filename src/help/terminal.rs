//! Markdown for a terminal: headings, paragraphs, lists, tables and code.

use crate::quantity::UNITS;
use comfy_table::{CellAlignment, ColumnConstraint, ContentArrangement, Table, Width, presets};
use pulldown_cmark::{Alignment, CodeBlockKind, Event, Options, Parser, Tag, TagEnd};
use textwrap::core::display_width;

/// Columns that code is set in by, and cells are parted by.
const INDENT: usize = 4;
const GAP: usize = 2;

/// Fewer columns are treated as so many.
const NARROWEST: usize = 40;

/// Stands for a blank at which no line may end.
const GLUE: char = '\u{a0}';

/// A code span of so many characters stays on one line.
const SHORT: usize = 30;

/// What a page is made of.
#[derive(Debug)]
enum Block {
    Heading(String),
    Paragraph(String),
    /// An entry of a list, with its mark.
    Entry(String, String),
    Table(Vec<Vec<String>>, Vec<Alignment>),
    Code(String),
}

/// A page of Markdown as text of at most so many columns; only code may be wider.
pub fn render(markdown: &str, width: usize) -> String {
    let width = width.max(NARROWEST);
    let mut out = String::new();
    let mut in_list = false;
    for block in blocks(markdown) {
        let entry = matches!(block, Block::Entry(..));
        // Entries of a list stand close together.
        if !out.is_empty() && !(entry && in_list) {
            out.push('\n');
        }
        in_list = entry;
        out.push_str(&match block {
            Block::Heading(text) => wrapped(&text, ["", ""], width),
            Block::Paragraph(text) => wrapped(&text, ["", ""], width),
            Block::Entry(mark, text) => {
                let first = format!("  {mark} ");
                let rest = " ".repeat(first.len());
                wrapped(&text, [&first, &rest], width)
            }
            Block::Table(rows, sides) => table(&rows, &sides, width),
            Block::Code(text) => text
                .lines()
                .map(|l| format!("{}{l}", " ".repeat(INDENT)).trim_end().to_owned() + "\n")
                .collect(),
        });
    }
    out
}

fn blocks(markdown: &str) -> Vec<Block> {
    let mut out = Vec::new();
    let mut text = String::new();
    // Number of the next entry of each list that is open; none for a list without numbers.
    let mut lists: Vec<Option<u64>> = Vec::new();
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut sides = Vec::new();
    let mut heading = false;
    for event in Parser::new_ext(markdown, Options::ENABLE_TABLES) {
        match event {
            Event::Text(t) if heading => text.push_str(&t.to_uppercase()),
            Event::Text(t) => text.push_str(&t),
            Event::Code(t) if heading => text.push_str(&t),
            Event::Code(t) => text.push_str(&code_span(&t)),
            Event::SoftBreak | Event::HardBreak => text.push(' '),
            Event::Start(Tag::Heading { .. }) => heading = true,
            Event::End(TagEnd::Heading(_)) => {
                heading = false;
                out.push(Block::Heading(std::mem::take(&mut text)));
            }
            Event::End(TagEnd::Paragraph) if lists.is_empty() => {
                out.push(Block::Paragraph(std::mem::take(&mut text)));
            }
            Event::Start(Tag::List(first)) => lists.push(first),
            Event::End(TagEnd::List(_)) => drop(lists.pop()),
            Event::End(TagEnd::Item) => {
                let mark = match lists.last_mut() {
                    Some(Some(number)) => {
                        *number += 1;
                        format!("{}.", *number - 1)
                    }
                    _ => "-".to_owned(),
                };
                out.push(Block::Entry(mark, std::mem::take(&mut text)));
            }
            Event::Start(Tag::Table(alignments)) => sides = alignments,
            Event::Start(Tag::TableHead | Tag::TableRow) => rows.push(Vec::new()),
            Event::End(TagEnd::TableCell) => {
                if let Some(row) = rows.last_mut() {
                    row.push(std::mem::take(&mut text));
                }
            }
            Event::End(TagEnd::Table) => {
                let whole = (std::mem::take(&mut rows), std::mem::take(&mut sides));
                out.push(Block::Table(whole.0, whole.1));
            }
            Event::Start(Tag::CodeBlock(CodeBlockKind::Fenced(_) | CodeBlockKind::Indented)) => {
                text.clear();
            }
            Event::End(TagEnd::CodeBlock) => out.push(Block::Code(std::mem::take(&mut text))),
            _ => {}
        }
    }
    out
}

/// A short code span keeps together: it is copied whole.
fn code_span(text: &str) -> String {
    let all = format!("`{text}`");
    if display_width(&all) > SHORT {
        return all;
    }
    all.replace(' ', &GLUE.to_string())
}

/// Wraps text at its blanks; no word is broken, and no number parted from its unit.
fn wrapped(text: &str, [first, rest]: [&str; 2], width: usize) -> String {
    let options = textwrap::Options::new(width)
        .break_words(false)
        .word_splitter(textwrap::WordSplitter::NoHyphenation)
        .initial_indent(first)
        .subsequent_indent(rest);
    textwrap::fill(&glued(text), options).replace(GLUE, " ") + "\n"
}

/// The text with numbers tied to their units.
fn glued(text: &str) -> String {
    let words: Vec<&str> = text.split(' ').collect();
    let mut out = String::new();
    for (i, word) in words.iter().enumerate() {
        if i > 0 {
            out.push(if tied(&words, i) { GLUE } else { ' ' });
        }
        out.push_str(word);
    }
    out
}

/// Whether a word belongs to the one before it.
fn tied(words: &[&str], i: usize) -> bool {
    let (before, word) = (words[i - 1], bare(words[i]));
    let number = |w: &str| w.ends_with(|c: char| c.is_ascii_digit());
    let next = words.get(i + 1).copied().map_or("", bare);
    // Units such as `J/(g K)` have a blank of their own.
    let in_two = |a: &str, b: &str| is_unit(&format!("{a} {b}"));
    [before, word].contains(&"=")
        || before == "±"
        || number(before) && (word == "±" || is_unit(word) || in_two(words[i], next))
        || i > 1 && number(words[i - 2]) && in_two(before, word)
}

fn bare(word: &str) -> &str {
    let inner = word.trim_end_matches(['.', ',', ';', ':', '`', '"', '*']);
    // The closing bracket of `J/(g K)` is its own.
    if inner.ends_with("K)") {
        inner
    } else {
        inner.trim_end_matches(')')
    }
}

fn is_unit(text: &str) -> bool {
    text != "1" && UNITS.iter().any(|u| u.symbol == text) || ["°C", "kg", "µs"].contains(&text)
}

/// A table whose columns are as wide as their longest word at least; where that is too much, each row as a paragraph.
fn table(rows: &[Vec<String>], sides: &[Alignment], width: usize) -> String {
    let cells: Vec<Vec<String>> = rows
        .iter()
        .map(|row| row.iter().map(|c| glued(c)).collect())
        .collect();
    let around = GAP * (1 + sides.len());
    let Some(widths) = widths(&cells, width.saturating_sub(around)) else {
        return as_paragraphs(rows, width);
    };
    let mut t = Table::new();
    t.load_style(presets::NOTHING)
        .set_content_arrangement(ContentArrangement::Dynamic);
    for (at, row) in cells.into_iter().enumerate() {
        match at {
            0 if row.iter().all(String::is_empty) => {}
            0 => drop(t.set_header(row)),
            _ => drop(t.add_row(row)),
        }
    }
    for (i, (side, own)) in sides.iter().zip(widths).enumerate() {
        if let Some(column) = t.column_mut(i) {
            let left = if i == 0 { GAP } else { 0 };
            let fixed = Width::Fixed((left + own + GAP) as u16);
            column
                .set_padding((left as u16, GAP as u16))
                .set_constraint(ColumnConstraint::Absolute(fixed));
            if *side == Alignment::Right {
                column.set_cell_alignment(CellAlignment::Right);
            }
        }
    }
    t.lines()
        .map(|l| l.trim_end().replace(GLUE, " ") + "\n")
        .collect()
}

/// Widths of columns that take so many characters at most and make the table short: from those of the longest cells on, the
/// column is narrowed again and again whose narrowing adds the fewest lines. None if the longest words alone take more.
fn widths(cells: &[Vec<String>], most: usize) -> Option<Vec<usize>> {
    let columns = cells.first().map_or(0, Vec::len);
    let largest = |i: usize, of: &dyn Fn(&str) -> usize| {
        cells.iter().map(|row| of(&row[i])).max().unwrap_or(0)
    };
    let longest = |cell: &str| cell.split(' ').map(display_width).max().unwrap_or(0);
    let least: Vec<usize> = (0..columns).map(|i| largest(i, &longest)).collect();
    let mut own: Vec<usize> = (0..columns).map(|i| largest(i, &display_width)).collect();
    if least.iter().sum::<usize>() > most {
        return None;
    }
    let lines = |widths: &[usize]| -> usize {
        let height = |(cell, width): (&String, &usize)| textwrap::wrap(cell, *width).len();
        let of_row = |row: &Vec<String>| row.iter().zip(widths).map(height).max().unwrap_or(0);
        cells.iter().map(of_row).sum()
    };
    while own.iter().sum::<usize>() > most {
        let narrower = |i: usize| {
            let mut widths = own.clone();
            widths[i] -= 1;
            widths
        };
        let next = (0..columns)
            .filter(|i| own[*i] > least[*i])
            .min_by_key(|i| (lines(&narrower(*i)), usize::MAX - own[*i]))?;
        own[next] -= 1;
    }
    Some(own)
}

fn as_paragraphs(rows: &[Vec<String>], width: usize) -> String {
    let one = |row: &Vec<String>| {
        let cells: Vec<&str> = row
            .iter()
            .map(String::as_str)
            .filter(|c| !c.is_empty())
            .collect();
        wrapped(&cells.join(" | "), ["  ", "    "], width)
    };
    rows.iter().map(one).collect()
}
