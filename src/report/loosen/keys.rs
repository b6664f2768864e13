//! What is found of tolerances, for programs.

use super::tables::{estimates, file, name};
use crate::design::{Answer, Bound, Loosest};
use crate::report::document::{Cell, Column, NONE, Place, Table};

/// A row for each key of a tolerance.
pub(super) fn of_keys(all: &[&Loosest]) -> Table {
    let rows: Vec<(&Loosest, usize)> = all
        .iter()
        .flat_map(|x| {
            let keys = x.now.len().max(x.set.len()).max(1);
            (0..keys).map(move |i| (*x, i))
        })
        .collect();
    let rows = rows.as_slice();
    type Row<'a> = (&'a Loosest, usize);
    let exact = |x: f64| Cell::given(x);
    let bound = |b: Option<Bound>| Cell::text(b.map_or("", Bound::label));
    let text = |pairs: &[(String, String)], i: usize| {
        Cell::text(pairs.get(i).map_or("", |(_, text)| text.as_str()))
    };
    Table::of("tolerances", rows)
        .column(rows, file("source"), |(x, _): &Row| Cell::text(name(x)))
        .column(rows, file("answer"), |(x, _)| {
            Cell::text(match x.answer {
                Answer::Factor(_) => "factor",
                Answer::Any(_) => "any",
                Answer::Never(_) => "never",
            })
        })
        .column(rows, estimates("factor"), |(x, _)| match x.answer {
            Answer::Factor(f) => Cell::all_of(f),
            Answer::Any(f) => Cell::given(f),
            Answer::Never(_) => Cell::Missing("none"),
        })
        .column(rows, file("ended_by_bound"), |(x, _)| bound(x.bound))
        .column(
            rows,
            Column::number("", NONE)
                .key("measure_if_perfect")
                .at(Place::File),
            |(x, _)| match x.answer {
                Answer::Never(e) => exact(e.value),
                _ => Cell::Missing("not needed"),
            },
        )
        .column(rows, estimates("measure_if_doubled"), |(x, _)| {
            Cell::all_of(x.doubled)
        })
        .column(rows, file("doubled_beyond_bound"), |(x, _)| {
            bound(x.doubled_beyond)
        })
        .column(rows, estimates("bias_at_answer"), |(x, _)| {
            Cell::all_of(x.bias)
        })
        .column(rows, file("key"), |(x, i)| {
            let pair = x.now.get(*i).or(x.set.get(*i));
            Cell::text(pair.map_or("", |(key, _)| key.as_str()))
        })
        .column(rows, file("now"), |(x, i)| text(&x.now, *i))
        .column(rows, file("loosest"), |(x, i)| text(&x.set, *i))
}
