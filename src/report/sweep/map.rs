//! The table of a sweep of two numbers.

use super::bounds::letters;
use super::choice::{choice, now};
use super::table::even;
use super::words::{axis, measured, measured_of, sweep_name};
use crate::design::Sweep;
use crate::report::document::{Block, Cell, Column, Kind, NONE, Place, Section, Table};
use crate::report::words::three;

/// Columns that a screen has room for.
const COLUMNS: usize = 8;

/// Rows that a screen has patience for.
const ROWS: usize = 40;

/// What the target is about (spreads without one); the number with fewer values goes across.
pub(super) fn map(s: &Sweep, rows: usize, section: Section) -> Section {
    let [x, y] = s.vary.as_slice() else {
        return section;
    };
    let (xs, ys) = (x.axis().0, y.axis().0);
    let wide = xs.len() > ys.len();
    let (across, down, names) = match wide {
        true => (&ys, &xs, [axis(y), axis(x)]),
        false => (&xs, &ys, [axis(x), axis(y)]),
    };
    let point = |i: usize, j: usize| match wide {
        true => i * xs.len() + j,
        false => j * xs.len() + i,
    };
    let chosen = choice(s).map(|c| match wide {
        true => [c.at / xs.len(), c.at % xs.len()],
        false => [c.at % xs.len(), c.at / xs.len()],
    });
    let of = |n: usize, most: usize, at: usize| {
        let must: Vec<usize> = chosen.iter().map(|c| c[at]).collect();
        even(&(0..n).collect::<Vec<_>>(), most, &must)
    };
    let columns = of(across.len(), COLUMNS, 0);
    let shown: Vec<usize> = (0..down.len()).collect();
    let value = Column::new("", Kind::Number, NONE).at(Place::People);
    let mut t = Table::of(&format!("{}-map", sweep_name(s)), &shown)
        .column(&shown, value, |j| Cell::given(down[*j]));
    for i in &columns {
        let head = across[*i].to_string();
        let column = Column::new(&head, Kind::Number, NONE).at(Place::People);
        t = t.column(&shown, column, |j| Cell::text(cell(s, point(*i, *j))));
    }
    let mut marks = Vec::new();
    if choice(s).is_some() {
        marks.push("<: chosen");
    }
    if now(s).is_some() {
        marks.push("=: now");
    }
    if s.goal.is_some() {
        marks.push("*: reaches the target");
    }
    if s.points.iter().any(|p| !p.zones.is_empty()) {
        marks.push("letters: out of bounds");
    }
    let marks = match marks.is_empty() {
        true => String::new(),
        false => format!(" {}.", marks.join("; ")),
    };
    let rest = match columns.len() < across.len() {
        true => " Further points are in the files.",
        false => "",
    };
    let said = format!(
        "{}; across: {}; down: {}.{marks}{rest}",
        measured(s.goal),
        names[0],
        names[1]
    );
    section
        .with(Block::text(said))
        .with(Block::Table(t.first(rows, ROWS).picked(of(
            down.len(),
            rows,
            1,
        ))))
}

fn cell(s: &Sweep, point: usize) -> String {
    let p = &s.points[point];
    let value = p.outcome.as_ref();
    let value = value.map_or("-".to_owned(), |o| three(100.0 * measured_of(s.goal, o)));
    let met = s.goal.is_some_and(|goal| p.reaches(goal));
    let out = letters(s, p);
    let mark = [
        (met, "*"),
        (now(s) == Some(point), "="),
        (choice(s).is_some_and(|c| c.at == point), "<"),
    ];
    let marks: String = mark.iter().filter(|m| m.0).map(|m| m.1).collect();
    format!("{value}{out}{marks}")
}
