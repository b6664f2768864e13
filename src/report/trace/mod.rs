//! What `trace` answers.

pub(in crate::report) mod figures;
pub(in crate::report) mod json;
mod record;

pub use json::{TRACE_SCHEMA, trace_json};
pub use record::record_csv;

use super::document::{
    Block, CELSIUS, Cell, Column, Document, KELVIN, NONE, SECOND, Section, Table, Unit, figures,
};
use super::words::{minus, origin};
use crate::evaluate::{MixedAt, Traced, WayFound};
use crate::scenario::ReductionMethod;
use crate::stats::quote;

/// Where a record comes from: enough to get it again.
fn from(t: &Traced, seed: u64) -> String {
    let made = match t.simulated {
        Some(_) => format!("simulated, seed {seed}"),
        None => t.measured.file.clone(),
    };
    origin(&made, &t.scenario.digest)
}

/// A record and every way to reduce it, as its reader meets it.
pub fn trace_document(t: &Traced, seed: u64) -> Document {
    let mut d = Document::of(&t.scenario, from(t, seed));
    d.add(Section::new("in short").with(Block::Sentences(sentences(t))));
    d.add(ways(t));
    d.add(lines(t));
    if !t.findings.is_empty() {
        d.add(Section::new("seen in the record").with(Block::List(t.findings.clone())));
    }
    d.figures = figures::trace_figures(t, from(t, seed));
    d
}

/// The lab's own way, or the first that has a result.
fn own(t: &Traced) -> Option<&WayFound> {
    let way = t.scenario.legs()[t.leg].way;
    let good = |w: &&WayFound| w.found.is_ok();
    let mut all = t.ways.iter().filter(good);
    all.clone().find(|w| w.way == way).or_else(|| all.next())
}

fn sentences(t: &Traced) -> Vec<String> {
    let mut all = Vec::new();
    if let Some(w) = own(t)
        && let Ok(r) = &w.found
    {
        let q = quote(r.change, w.u, 2);
        let truth = t.simulated.as_ref().map_or(String::new(), |s| {
            format!("; true is {} K", minus(&quote(s.true_change, w.u, 2).value))
        });
        all.push(format!(
            "ΔT = {} K by {}, standard uncertainty u = {} K (noise and last digit only){truth}.",
            minus(&q.value),
            w.way.title(),
            q.u
        ));
    }
    all.extend(agree(t));
    let how = match t.mixed_at.1 {
        MixedAt::Told => "as told",
        MixedAt::Marked => "as the record marks it",
        MixedAt::Found => "found where the temperature changes fastest: check it in the picture",
    };
    all.push(format!(
        "Mixing at {} s, {how}; the line behind begins {} s later.",
        t.mixed_at.0, t.settle
    ));
    if let Some([k, u]) = t.leak {
        let q = quote(k * 1e4, u * 1e4, 2);
        all.push(format!(
            "The slopes of both lines make a leak of {} · 10⁻⁴ /s, standard uncertainty {} · 10⁻⁴ /s.",
            minus(&q.value),
            q.u
        ));
    }
    all
}

/// Whether the reductions agree: the two that differ most against the uncertainty of their difference.
fn agree(t: &Traced) -> Option<String> {
    let [a, b] = t.farthest()?;
    let (Ok(of_a), Ok(of_b)) = (&a.found, &b.found) else {
        return None;
    };
    let u = a.u.hypot(b.u);
    let apart = (of_a.change - of_b.change).abs();
    let (much, judged) = match apart > 2.0 * u {
        true => (
            "more than twice",
            "they do not agree, and the choice of the reduction matters (a leak, late heat, or the moment of mixing)",
        ),
        false => ("no more than twice", "the reductions agree"),
    };
    Some(format!(
        "The reductions that differ most, {} and {}, are {} K apart, {much} the standard uncertainty of that difference (at \
         most about {} K): {judged}.",
        a.way.title(),
        b.way.title(),
        figures(apart, 2),
        figures(u, 2)
    ))
}

/// Every reduction.
fn ways(t: &Traced) -> Section {
    let rows = &t.ways;
    let of = |w: &WayFound, f: &dyn Fn(&crate::evaluate::ReducedRecord) -> f64| match &w.found {
        Ok(r) if f(r).is_finite() => Cell::by(f(r), w.u),
        _ => Cell::Missing("this record does not allow it"),
    };
    let mut table = Table::of("trace-reductions", rows)
        .column(rows, Column::words("reduction"), |w| {
            Cell::text(w.way.title())
        })
        .column(
            rows,
            Column::number("ΔT", KELVIN).key("change_of_temperature"),
            |w| of(w, &|r| r.change),
        )
        .column(
            rows,
            Column::number("standard u", KELVIN).key("u"),
            |w| match w.u.is_finite() {
                true => Cell::figures(w.u, 2),
                false => Cell::Missing("this record does not allow it"),
            },
        )
        .column(
            rows,
            Column::number("at mixing", CELSIUS).key("mixing"),
            |w| of(w, &|r| r.mixing),
        )
        .column(
            rows,
            Column::number("taken at", SECOND).key("taken_at"),
            |w| match (&w.found, w.way) {
                (Ok(r), ReductionMethod::SixtyThree | ReductionMethod::EqualAreas) => {
                    Cell::figures(r.moment, 3)
                }
                _ => Cell::Missing("at mixing, or at readings"),
            },
        );
    if let Some(s) = &t.simulated {
        let column = Column::number("less true", KELVIN).key("less_true");
        table.add(rows, column, |w| of(w, &|r| r.change - s.true_change));
    }
    Section::new("every reduction of this record").with(Block::Table(table))
}

/// Both lines.
fn lines(t: &Traced) -> Section {
    let rows: Vec<_> = t
        .lines
        .iter()
        .flatten()
        .zip(["before mixing", "behind"])
        .collect();
    let mk = Unit::new("mK/min", 1e-3 / 60.0, "K_per_s");
    let table = Table::of("trace-lines", &rows)
        .column(&rows, Column::words("line"), |(_, name)| Cell::text(*name))
        .column(&rows, Column::number("readings", NONE), |(l, _)| {
            Cell::given(l.n as f64)
        })
        .column(&rows, Column::number("from", SECOND), |(l, _)| {
            Cell::given(l.ends[0])
        })
        .column(&rows, Column::number("to", SECOND), |(l, _)| {
            Cell::given(l.ends[1])
        })
        .column(&rows, Column::number("slope", mk), |(l, _)| {
            Cell::by(l.slope[0], l.slope[1])
        })
        .column(&rows, Column::number("scatter", KELVIN), |(l, _)| {
            Cell::figures(l.scatter, 2)
        });
    let mut section = Section::new("both lines");
    if !rows.is_empty() {
        section = section.with(Block::Table(table));
    }
    section
}
