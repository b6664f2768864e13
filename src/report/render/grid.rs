//! A table on a screen: columns side by side, no rules, numbers aligned to the right.

use crate::report::document::{Cell, Column, Kind, Place, Table};
use comfy_table::{CellAlignment, ColumnConstraint, ContentArrangement, Width, presets};

/// Space between columns, and before the first.
const GAP: usize = 2;

/// Words may be wrapped, but not into less than this.
const NARROWEST: usize = 12;

/// Titles and rows, a line each.
pub(super) fn grid(table: &Table, rows: &[&Vec<Cell>], width: usize) -> String {
    let columns: Vec<(usize, &Column)> = table.columns_at(Place::Screen).collect();
    let cells: Vec<Vec<String>> = rows
        .iter()
        .map(|row| {
            columns
                .iter()
                .map(|(i, c)| row[*i].shown(c.kind, &c.unit))
                .collect()
        })
        .collect();
    let mut titles = titles(&columns);
    if natural(&titles, &cells) > width {
        // Units below their names.
        for (title, (_, c)) in titles.iter_mut().zip(&columns) {
            if let Some(name) = title.strip_suffix(&format!(", {}", c.unit.shown)) {
                *title = format!("{name}\n{}", c.unit.shown);
            }
        }
    }
    let widest = |at: usize| {
        cells
            .iter()
            .map(|row| row[at].chars().count())
            .max()
            .unwrap_or(0)
    };
    if natural(&titles, &cells) > width {
        for (at, title) in titles.iter_mut().enumerate() {
            *title = stacked(title, widest(at));
        }
    }
    // The longest word is never cut: it may be a key.
    let least = |at: usize| {
        let words = cells.iter().flat_map(|row| row[at].split(' '));
        let longest = words.map(|word| word.chars().count()).max().unwrap_or(0);
        longest.max(widest(at).min(NARROWEST))
    };
    // Words may be wrapped, but where there are several columns the first one names the row.
    let wraps = |at: usize, c: &Column| c.kind == Kind::Words && (at > 0 || columns.len() < 3);
    let needed = columns.iter().enumerate().map(|(at, (_, c))| {
        let whole = || widest(at).max(longest_line(&titles[at]));
        GAP + if wraps(at, c) { least(at) } else { whole() }
    });
    // Without room for that, what stands beside a key goes below it.
    let tight = needed.sum::<usize>() > width;
    let longest = columns.iter().enumerate().map(|(at, (_, c))| {
        let whole = || widest(at).max(longest_line(&titles[at]));
        GAP + if c.is_number() { whole() } else { least(at) }
    });
    // Without room for that either, long words that are no keys are cut.
    let cramped = longest.sum::<usize>() > width;
    let least = |at: usize, c: &Column| match cramped && wraps(at, c) {
        true => widest(at).min(NARROWEST),
        false => least(at),
    };
    let mut t = comfy_table::Table::new();
    t.load_style(presets::NOTHING)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(u16::try_from(width).unwrap_or(u16::MAX));
    if titles.iter().any(|title| !title.is_empty()) {
        t.set_header(titles);
    }
    // A table has columns only when it has rows.
    for row in &cells {
        t.add_row(row);
    }
    for (at, (_, c)) in columns.iter().enumerate() {
        let Some(column) = t.column_mut(at) else {
            continue;
        };
        if c.is_number() {
            column.set_cell_alignment(CellAlignment::Right);
        }
        if at == 0 {
            column.set_padding((2, 1));
        }
        column.set_constraint(match wraps(at, c) || tight && !c.is_number() {
            true => {
                let least = u16::try_from(least(at, c) + GAP).unwrap_or(u16::MAX);
                ColumnConstraint::LowerBoundary(Width::Fixed(least))
            }
            false => ColumnConstraint::ContentWidth,
        });
    }
    let lines = t
        .lines()
        .map(|line| line.replace('\u{a0}', " ").trim_end().to_owned() + "\n");
    lines.collect()
}

/// A title in lines no longer than its cells, words whole.
fn stacked(title: &str, room: usize) -> String {
    let words = title.split_whitespace().map(|word| word.chars().count());
    let room = room.max(words.max().unwrap_or(0));
    let lines = title.lines().flat_map(|line| textwrap::wrap(line, room));
    lines.collect::<Vec<_>>().join("\n")
}

/// Characters of the longest line.
fn longest_line(text: &str) -> usize {
    text.lines()
        .map(|line| line.chars().count())
        .max()
        .unwrap_or(0)
}

/// Width that nothing is wrapped in.
fn natural(titles: &[String], cells: &[Vec<String>]) -> usize {
    let of = |at: usize| {
        let own = cells.iter().map(|row| &row[at]).chain([&titles[at]]);
        own.map(|x| longest_line(x)).max().unwrap_or(0) + GAP
    };
    (0..titles.len()).map(of).sum()
}

/// Titles of columns; a unit that all numbers share is said once, with the first column.
fn titles(columns: &[(usize, &Column)]) -> Vec<String> {
    let numbers = columns.iter().filter(|(_, c)| c.is_number());
    let mut units = numbers.map(|(_, c)| &c.unit.shown);
    let shared = match (units.next(), units.next()) {
        (Some(first), Some(second)) if first == second && units.all(|u| u == first) => Some(first),
        _ => None,
    };
    let shared = shared.filter(|unit| !unit.is_empty() && !columns[0].1.is_number());
    let title = |(at, (_, c)): (usize, &(usize, &Column))| match shared {
        Some(unit) if at == 0 => format!("{} ({unit})", c.head).trim().to_owned(),
        Some(_) => c.head.clone(),
        None => c.title(),
    };
    columns.iter().enumerate().map(title).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_is_never_cut() {
        let [flask, pipette] = ["flask-iso1042-200mL-A", "gradpipette-iso835-25mL-B"];
        let items = [(flask, pipette), (pipette, flask)];
        let table = Table::of("t", &items)
            .column(&items, Column::code("instrument"), |x| {
                Cell::text(format!("{} (portion)", x.0))
            })
            .column(&items, Column::words("exchange"), |x| {
                Cell::text(format!("better: {}", x.1))
            });
        let rows: Vec<&Vec<Cell>> = table.rows.iter().collect();
        for width in [60, 80] {
            let seen = grid(&table, &rows, width);
            for key in [flask, pipette] {
                assert_eq!(seen.matches(key).count(), 2, "{seen}");
            }
            assert!(
                seen.lines().all(|line| line.chars().count() <= width),
                "{seen}"
            );
        }
    }

    #[test]
    fn a_title_is_no_wider_than_its_numbers_if_its_words_allow() {
        assert_eq!(stacked("95 % within", 9), "95 %\nwithin");
        assert_eq!(
            stacked("solid, calibration\ng", 4),
            "solid,\ncalibration\ng"
        );
    }
}
