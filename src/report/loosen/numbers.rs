//! The smallest numbers of runs, and the shortest waiting times.

use super::tables::{numbers_of, people};
use crate::design::{ALL_RUNS, Looseness, Smallest};
use crate::report::document::{Block, Cell, Column, PERCENT, Place, Section, Table};
use crate::report::words::{leg_of, share};
use crate::scenario::schema;
use crate::stats::quote;

/// Runs of each leg, as far as they are not alike.
fn runs_now(l: &Looseness) -> String {
    let legs = l.scenario.legs().into_iter().filter(|leg| leg.runs > 0);
    let mut runs: Vec<String> = legs.map(|leg| leg.runs.to_string()).collect();
    if runs.windows(2).all(|pair| pair[0] == pair[1]) {
        runs.truncate(1);
    }
    runs.join(" + ")
}

fn number_name(l: &Looseness, n: &Smallest) -> String {
    let legs = l.scenario.legs();
    match n.path.as_str() {
        ALL_RUNS if legs.iter().filter(|leg| leg.runs > 0).count() < 2 => "runs".to_owned(),
        ALL_RUNS => "runs of each kind, alike".to_owned(),
        path => {
            let what = match schema::in_leg(path).1 {
                "runs" => "runs",
                _ => "waiting time",
            };
            format!("{what}, {}", leg_of(path))
        }
    }
}

fn found(n: &Smallest) -> String {
    let found = match n.least {
        Some(_) if n.se > 0.0 && n.se.is_finite() => {
            format!("{} ± {} s", n.words[1], quote(n.se, n.se, 1).value)
        }
        Some(_) => n.words[1].clone(),
        None => "none reaches it".to_owned(),
    };
    match n.bound {
        Some(bound) => format!("{found} (else {})", bound.label()),
        None if n.close => format!("{found}, too close to tell"),
        None => found,
    }
}

/// The smallest numbers of runs, and the shortest waiting times.
pub(super) fn numbers(l: &Looseness) -> Section {
    let rows = &l.numbers;
    let there = Column::number("there", PERCENT).at(Place::People);
    let t = Table::of("numbers", rows)
        .column(rows, people("number"), |n| Cell::text(number_name(l, n)))
        .column(rows, numbers_of("now"), |n| {
            Cell::text(match n.path.as_str() {
                ALL_RUNS => runs_now(l),
                _ => n.words[0].clone(),
            })
        })
        .column(rows, numbers_of("smallest"), |n| Cell::text(found(n)))
        .column(rows, there, |n| Cell::text(share(n.there)));
    let section = Section::new("the smallest numbers that reach the target");
    match rows.is_empty() {
        true => section,
        false => section.detail(Block::Table(t)),
    }
}
