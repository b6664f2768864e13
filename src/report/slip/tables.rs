//! The tables of mistakes.

use crate::report::document::{Block, Cell, Column, NONE, PERCENT, Place as Shown, Section, Table};
use crate::slip::{Effect, Place, Slips, Studied};
use crate::stats::Estimate;

/// Shifts below this are not worth a row of a brief answer; a fraction.
const WORTH: f64 = 5e-4;

/// Larger ones are seen by anybody who looks at the number: they are not among the first rows.
const OBVIOUS: f64 = 0.25;

/// Rows of a brief answer.
const BRIEF: usize = 12;

/// Whether a mistake does something worth a row.
fn is_worth(own: &Studied) -> bool {
    own.largest() > WORTH
}

/// The shift in some runs.
fn shift(own: &Studied, place: Place) -> Cell {
    match own.at(place) {
        Some(e) => Cell::estimate(e.shift),
        None => Cell::Missing("it cannot be made there"),
    }
}

/// The same with the figures that a reader needs.
fn short(own: &Studied, place: Place) -> Cell {
    let Some(Effect { shift, .. }) = own.at(place) else {
        return Cell::Missing("it cannot be made there");
    };
    Cell::text(signed(*shift))
}

/// A shift in percent: two decimals, one from 10 %, none from 100 %.
pub(super) fn signed(shift: Estimate) -> String {
    let p = 100.0 * shift.value;
    if !shift.is_seen() || p.abs() < 0.005 {
        return "0".to_owned();
    }
    match p.abs() {
        x if x < 10.0 => format!("{p:+.2}"),
        x if x < 100.0 => format!("{p:+.1}"),
        _ => format!("{p:+.0}"),
    }
}

/// What each mistake does.
pub(super) fn effects(s: &Slips, asked: bool) -> Section {
    let rows: Vec<&Studied> = s.mistakes.iter().collect();
    let people = |head: &str| Column::words(head).at(Shown::People);
    let file = |key: &str| Column::estimate(key, PERCENT).key(key).at(Shown::File);
    let mut table = Table::of("slips", &rows)
        .column(&rows, Column::code("mistake"), |m| {
            Cell::text(m.mistake.key.clone())
        })
        .column(&rows, people("size"), |m| Cell::text(m.range.text(m.size)))
        .column(&rows, Column::words("what happened").at(Shown::Page), |m| {
            Cell::text(m.mistake.words.clone())
        })
        .column(
            &rows,
            Column::number("size", NONE).at(Shown::File),
            |m| match m.range.is_some() {
                true => Cell::given(m.size),
                false => Cell::Missing("made or not"),
            },
        )
        .column(&rows, Column::words("unit").at(Shown::File), |m| {
            Cell::text(m.range.unit.symbol())
        });
    for (place, head) in [
        (Place::Determinations, "determination"),
        (Place::Calibration, "calibration"),
        (Place::Both, "all runs"),
        (Place::OneRun, "one run"),
    ] {
        table.add(&rows, people(head), |m| short(m, place));
        table.add(&rows, file(&head.replace(' ', "_")), |m| shift(m, place));
    }
    let sees = |m: &&Studied| match m.at(Place::OneRun).and_then(|e| e.scatter) {
        Some(share) => Cell::figures(share, 2),
        None => Cell::Missing("one run alone cannot show it"),
    };
    table.add(
        &rows,
        Column::number("scatter shows", PERCENT).key("scatter_shows_one_run"),
        sees,
    );
    if s.inspection.is_some() {
        let noticed = |m: &&Studied| match m.at(Place::Determinations).and_then(|e| e.inspection) {
            Some(share) => Cell::figures(share, 2),
            None => Cell::Missing("it is not made in the determinations"),
        };
        table.add(
            &rows,
            Column::number("inspection", PERCENT)
                .key("inspection_notices")
                .at(Shown::Page),
            noticed,
        );
    }
    let worth = |m: &Studied| is_worth(m) && m.largest() < OBVIOUS;
    let worth = rows.iter().enumerate().filter(|(_, m)| worth(m));
    let picked: Vec<usize> = match asked {
        true => (0..rows.len()).collect(),
        false => worth.map(|(i, _)| i).take(BRIEF).collect(),
    };
    Section::new("change of the magnitude if it is made in the ... | %")
        .with(Block::Table(table.picked(picked)))
}

/// How each is noticed.
pub(super) fn noticed(s: &Slips) -> Section {
    let rows: Vec<&Studied> = s.mistakes.iter().collect();
    let table = Table::of("slips-noticed", &rows)
        .column(&rows, Column::code("mistake"), |m| {
            Cell::text(m.mistake.key.clone())
        })
        .column(&rows, Column::words("what happened"), |m| {
            Cell::text(m.mistake.words.clone())
        })
        .column(&rows, Column::words("plausible"), |m| {
            match m.range.is_some() {
                true => Cell::text(format!(
                    "{} to {}",
                    m.range.text(m.range.low),
                    m.range.text(m.range.high)
                )),
                false => Cell::Missing("made or not"),
            }
        })
        .column(&rows, Column::words("where it enters").key("enters"), |m| {
            Cell::text(m.mistake.enters.clone())
        })
        .column(
            &rows,
            Column::words("how it is noticed: what that costs").key("noticed"),
            |m| Cell::text(m.mistake.check.clone()),
        );
    Section::new("where each enters, and how it is noticed").with(Block::Table(table))
}

/// Those that do next to nothing.
pub(super) fn without_effect(s: &Slips) -> Section {
    let none = s.mistakes.iter().filter(|m| !is_worth(m));
    let all: Vec<&str> = none.map(|m| m.mistake.key.as_ref()).collect();
    let section = Section::new("next to nothing");
    if all.is_empty() {
        return section;
    }
    section.detail(Block::text(format!(
        "Below 0.05 % wherever they are made: {}.",
        all.join(", ")
    )))
}

/// Those that cannot be as they are written.
pub(super) fn impossible(s: &Slips) -> Section {
    let said = |(key, why): &(String, String)| format!("{key}: {why}");
    let all: Vec<String> = s.impossible.iter().map(said).collect();
    let section = Section::new("not possible in this scenario");
    if all.is_empty() {
        return section;
    }
    section.with(Block::List(all))
}
