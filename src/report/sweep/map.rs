//! The table of a sweep of two numbers.

use super::words::{axis, measured, measured_of};
use crate::design::{Sweep, SweepPoint};
use crate::report::words::{WIDTH, paragraph, table, three};

/// Rows of a table before the rest is left to the files.
const ROWS: usize = 40;

/// Blocks of columns before the rest is left to the files.
const BLOCKS: usize = 3;

/// Columns are apart by as much.
const GAP: usize = 2;

/// What the target is about (spreads without one), a row for each value of the second number.
pub(in crate::report) fn map(s: &Sweep) -> String {
    let [x, y] = s.vary.as_slice() else {
        return String::new();
    };
    let (across, down) = (x.axis().0, y.axis().0);
    let met = s.goal.map_or("", |_| " *: reaches the target.");
    let mut out = paragraph(
        &format!(
            "Cells: {}; across: {}; down: {}. In brackets: out of bounds.{met}",
            measured(s.goal),
            axis(x),
            axis(y)
        ),
        2,
    );
    let skip = down.len().div_ceil(ROWS);
    let rows: Vec<usize> = (0..down.len()).step_by(skip).collect();
    let cell = |j: usize, i: usize| cell(s, &s.points[j * across.len() + i]);
    let width = |i: usize| {
        let cells = rows.iter().map(|j| cell(*j, i).chars().count());
        let head = across[i].to_string().len();
        GAP + cells.chain([head]).max().unwrap_or(0)
    };
    let name = |j: &usize| down[*j].to_string();
    let names = rows.iter().map(|j| name(j).len()).max().unwrap_or(0) + 3;
    let mut blocks: Vec<Vec<usize>> = Vec::new();
    let mut room = 0;
    for i in 0..across.len() {
        match blocks.last_mut() {
            Some(block) if room >= width(i) => block.push(i),
            _ => {
                blocks.push(vec![i]);
                room = WIDTH - names;
            }
        }
        room = room.saturating_sub(width(i));
    }
    let left = blocks.len() > BLOCKS || skip > 1;
    blocks.truncate(BLOCKS);
    for (n, block) in blocks.iter().enumerate() {
        if n > 0 {
            out.push('\n');
        }
        let heads = block.iter().map(|i| across[*i].to_string());
        let header: Vec<String> = std::iter::once(String::new()).chain(heads).collect();
        let row = |j: &usize| {
            let cells = block.iter().map(|i| cell(*j, *i));
            std::iter::once(name(j)).chain(cells).collect()
        };
        let columns: Vec<&str> = header.iter().map(String::as_str).collect();
        let right: Vec<usize> = (0..columns.len()).collect();
        out.push_str(&table(&columns, rows.iter().map(row).collect(), &right));
    }
    if left {
        out.push_str(&paragraph("Further points are in the files.", 2));
    }
    out
}

fn cell(s: &Sweep, p: &SweepPoint) -> String {
    let Some(o) = &p.outcome else {
        return "(-)".to_owned();
    };
    let value = three(100.0 * measured_of(s.goal, o));
    if !p.zones.is_empty() {
        return format!("({value})");
    }
    let met = s.goal.is_some_and(|goal| p.reaches(goal));
    format!("{value}{}", if met { "*" } else { "" })
}
