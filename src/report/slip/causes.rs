//! What a difference could come from.

use super::tables::signed;
use crate::report::document::{Block, Cell, Column, NONE, PERCENT, Place as Shown, Section, Table};
use crate::report::words::{in_a_row, minus, percent, share};
use crate::slip::{Cause, Explained, Judgement, Slips};
use crate::stats::Estimate;

/// A difference that more competent groups reach is nothing to explain.
const NEEDS_NONE: f64 = 0.3;

/// Rows of a brief answer.
const BRIEF: usize = 16;

/// The answer in short.
pub(super) fn sentences(s: &Slips, e: &Explained) -> Vec<String> {
    let d = e.observed.difference;
    let times = (d / e.observed.u).abs();
    let way = if d < 0.0 { "small" } else { "large" };
    let n = s.errors.len() as f64;
    let p = e.probability;
    let often = share(Estimate::new(p, (p * (1.0 - p) / n).sqrt()));
    let wanted = match p {
        p if p > 0.05 => format!(
            "a competent group is off as far in {} % of cases, so no mistake is needed to explain it",
            often
        ),
        p if p > 0.0 => format!("a competent group is off as far in {often} % of cases"),
        _ => format!("none of {} competent groups is off as far", s.errors.len()),
    };
    let mut all = vec![format!(
        "The magnitude is {} too {way}, {times:.1} standard uncertainties ({}): {wanted}.",
        minus(&percent(d.abs())),
        percent(e.observed.u)
    )];
    let count = |j: Judgement| e.causes.iter().filter(|c| c.judgement == j).count();
    let first: Vec<String> = e
        .causes
        .iter()
        .filter(|c| c.rank == 1 && c.judgement == Judgement::Plausible)
        .take(4)
        .map(named)
        .collect();
    if first.is_empty() {
        all.push("No single mistake of a plausible size explains it: look for two, or for something that is not in this list.".to_owned());
    } else {
        all.push(format!(
            "{} of {} single causes would need a plausible size, {} a borderline one; the most likely by their size: {}.",
            count(Judgement::Plausible),
            e.causes.len(),
            count(Judgement::Borderline),
            in_a_row(&first)
        ));
    }
    all.push("Many causes fit, and a fit is no proof: look for the cause in the notebook. Pairs of mistakes are not searched.".to_owned());
    all
}

/// A cause with its size and runs.
pub(in crate::report) fn named(c: &Cause) -> String {
    let size = c
        .size
        .map_or(String::new(), |x| format!(" {}", minus(&c.range.text(x))));
    format!("{}{size} {}", c.mistake.key, c.place.phrase())
}

/// All causes, the most plausible first.
pub(super) fn causes(e: &Explained) -> Section {
    let rows: Vec<&Cause> = e.causes.iter().collect();
    let likely = |c: &&&Cause| c.judgement <= Judgement::Borderline;
    let likely = rows.iter().filter(likely).count();
    let with_unit = |c: &&Cause, x: f64| Cell::text(c.range.text(x));
    let table = Table::of("causes", &rows)
        .column(&rows, Column::number("rank", NONE).at(Shown::Page), |c| {
            Cell::given(c.rank as f64)
        })
        .column(&rows, Column::code("mistake"), |c| {
            Cell::text(c.mistake.key.clone())
        })
        .column(&rows, Column::code("made in").key("made_in"), |c| {
            Cell::text(c.place.words())
        })
        .column(
            &rows,
            Column::words("needed size").at(Shown::People),
            |c| match (c.size, c.range.is_some()) {
                (Some(x), _) => with_unit(c, x),
                (None, false) => {
                    Cell::text(format!("makes {} %", signed(Estimate::new(c.shift, 0.0))))
                }
                _ => Cell::Missing("it goes the other way, or not so far"),
            },
        )
        .column(
            &rows,
            Column::number("needed size", NONE).at(Shown::File),
            |c| c.size.map_or(Cell::Missing("none"), Cell::given),
        )
        .column(&rows, Column::words("unit").at(Shown::File), |c| {
            Cell::text(c.range.unit.symbol())
        })
        .column(
            &rows,
            Column::words("plausible").at(Shown::Page),
            |c| match c.range.is_some() {
                true => Cell::text(format!(
                    "{} to {}",
                    bare(&c.range.text(c.range.low)),
                    bare(&c.range.text(c.range.high))
                )),
                false => Cell::Missing("made or not"),
            },
        )
        .column(
            &rows,
            Column::number("relative likelihood", NONE).at(Shown::Page),
            |c| Cell::figures(c.likelihood, 2),
        )
        .column(&rows, Column::words("judged"), |c| {
            Cell::text(c.judgement.words())
        })
        .column(
            &rows,
            Column::number("scatter shows", PERCENT).key("scatter_shows"),
            |c| match c.scatter {
                Some(share) => Cell::figures(share, 2),
                None => Cell::Missing("not looked at"),
            },
        )
        .first(BRIEF.min(likely.max(1)), likely.max(1));
    let section = Section::new("size that each single mistake would need");
    // Where no mistake is needed the list invites to look for one.
    match e.probability > NEEDS_NONE {
        true => section.detail(Block::Table(table)),
        false => section.with(Block::Table(table)),
    }
}

/// A size without its unit, which stands beside it.
fn bare(size: &str) -> &str {
    size.split(' ').next().unwrap_or_default()
}
