//! Columns about the contenders of a comparison, each described once for the table with everything and for small ones.

use super::cells::{letter, zones};
use crate::design::{Compared, Comparison, Cost, Delivered};
use crate::report::document::{
    Block, Cell, Column, GRAM, HOUR, IN_PERCENT, KELVIN, MILLILITRE, NONE, PERCENT, Place, Section,
    Table, Unit,
};
use crate::stats::Estimate;
use std::borrow::Cow;

pub(super) type Row<'a> = (usize, &'a Compared);

/// Rows of contenders with the columns that they have so far.
pub(super) struct Rows<'a> {
    rows: Vec<Row<'a>>,
    pub table: Table,
    /// Where further columns appear.
    place: Place,
}

impl<'a> Rows<'a> {
    /// Those that were simulated.
    pub(super) fn of(name: &str, c: &'a Comparison) -> Self {
        let mut all = Self::all(name, c);
        let possible = |(_, x): &Row<'_>| x.result.is_ok();
        all.rows.retain(possible);
        all.table = Table::of(name, &all.rows);
        all.words("", |(i, _)| letter(*i)).keyed("letter")
    }

    /// All of them.
    pub(super) fn all(name: &str, c: &'a Comparison) -> Self {
        let rows: Vec<Row<'a>> = c.contenders.iter().enumerate().collect();
        let table = Table::of(name, &rows);
        Self {
            rows,
            table,
            place: Place::Screen,
        }
    }

    pub(super) fn at(mut self, place: Place) -> Self {
        self.place = place;
        self
    }

    pub(super) fn column(mut self, column: Column, cell: impl Fn(&Row<'a>) -> Cell) -> Self {
        let column = column.at(self.place);
        self.table = self.table.column(&self.rows, column, cell);
        self
    }

    /// Another name for programs for the last column.
    pub(super) fn keyed(mut self, key: &str) -> Self {
        if let Some(last) = self.table.columns.last_mut() {
            last.key = key.to_owned();
        }
        self
    }

    pub(super) fn words(self, head: &str, of: impl Fn(&Row<'a>) -> String) -> Self {
        self.column(Column::code(head), |x| Cell::text(of(x)))
    }

    /// A cell of those that were simulated.
    pub(super) fn seen(self, column: Column, of: impl Fn(&Delivered) -> Cell) -> Self {
        self.column(column, |(_, x)| match &x.result {
            Ok(d) => of(d),
            Err(_) => Cell::Missing("not possible"),
        })
    }

    /// A fraction with its error, in percent.
    pub(super) fn estimate(
        self,
        head: &str,
        key: &str,
        of: impl Fn(&Delivered) -> Estimate,
    ) -> Self {
        let column = Column::estimate(head, IN_PERCENT).key(key);
        self.seen(column, |d| in_percent(of(d)))
    }

    pub(super) fn number(
        self,
        column: Column,
        figures: u32,
        of: impl Fn(&Delivered) -> f64,
    ) -> Self {
        self.seen(column, |d| match of(d) {
            x if x.is_finite() => Cell::figures(x, figures),
            _ => Cell::Missing("not stated"),
        })
    }

    pub(super) fn temperatures(self) -> Self {
        let kelvin = |i: usize| move |d: &Delivered| ran(d, i, d.outcome.changes[i]);
        let steps = |i: usize| move |d: &Delivered| ran(d, i, d.outcome.steps[i]);
        let change = |head: &str, key: &str| Column::number(head, KELVIN).key(key);
        let in_steps = |key: &str| Column::number("in steps of display", NONE).key(key);
        self.number(change("ΔT calibration", "change_calibration"), 4, kelvin(0))
            .number(in_steps("steps_calibration"), 3, steps(0))
            .number(
                change("ΔT determination", "change_determination"),
                4,
                kelvin(1),
            )
            .number(in_steps("steps_determination"), 3, steps(1))
    }

    pub(super) fn causes(self) -> Self {
        let spread = |d: &Delivered| {
            d.causes
                .spread
                .first()
                .map(|(s, share)| (s.key, share.value))
        };
        let bias = |d: &Delivered| d.causes.bias.map(|(s, e)| (s.key, d.in_size(e)));
        let key = |head: &str, key: &str| Column::code(head).key(key);
        self.seen(
            key("largest source of the spread", "most_of_the_spread"),
            |d| spread(d).map_or(Cell::text(""), |x| Cell::text(x.0)),
        )
        .seen(
            Column::number("of the variance", PERCENT).key("share_of_the_variance"),
            |d| spread(d).map_or(Cell::Missing("nothing errs"), |x| Cell::figures(x.1, 2)),
        )
        .seen(key("largest bias by", "largest_bias_of"), |d| {
            bias(d).map_or(Cell::text(""), |x| Cell::text(x.0))
        })
        .seen(
            Column::estimate("bias", IN_PERCENT).key("largest_bias"),
            |d| bias(d).map_or(Cell::Missing("none is detected"), |x| in_percent(x.1)),
        )
    }

    /// Columns that few comparisons need: on the screen only if some contender has a number for them.
    fn if_any(mut self, of: impl Fn(&Delivered) -> bool, add: impl Fn(Self) -> Self) -> Self {
        let place = self.place;
        let mut seen = self.rows.iter().filter_map(|(_, x)| x.result.as_ref().ok());
        if !seen.any(|d| of(d)) {
            self.place = Place::File;
        }
        add(self).at(place)
    }

    pub(super) fn limits(self) -> Self {
        let literature = Column::number("u of the literature", IN_PERCENT).key("tabulated_u");
        let ran_out = |d: &Delivered| d.outcome.ran_out;
        let repeats = |d: &Delivered| d.outcome.repeats;
        self.number(literature, 3, |d| 100.0 * d.literature())
            .if_any(
                |d| ran_out(d).value > 0.0,
                |t| t.estimate("excess runs out", "ran_out", ran_out),
            )
            .if_any(
                |d| repeats(d).value > 0.0,
                |t| t.estimate("repeats", "repeats_per_run", repeats),
            )
            .seen(Column::words("beyond bounds").key("beyond"), |d| {
                match d.zones.is_empty() {
                    true => Cell::Missing("within all bounds"),
                    false => Cell::text(zones(d)),
                }
            })
    }

    /// The time that one group needs, or a section of them.
    pub(super) fn time(self, whose: &str, groups: u32) -> Self {
        let column =
            || Column::number(&format!("time of a {whose}"), HOUR).key(&format!("{whose}_time"));
        let time = |d: &Delivered| d.outcome.cost.time;
        self.if_any(
            |d| time(d).is_some(),
            |t| {
                t.number(column(), 2, |d| {
                    f64::from(groups) * time(d).unwrap_or(f64::NAN)
                })
            },
        )
    }

    /// What so many groups use up.
    pub(super) fn amounts(self, whose: &str, groups: u32) -> Self {
        let n = f64::from(groups);
        let named =
            |head: &str, unit, key: &str| Column::number(head, unit).key(&format!("{whose}_{key}"));
        let of = |of: fn(&Cost) -> f64| move |d: &Delivered| n * of(&d.outcome.cost);
        let mut seen = self.rows.iter().filter_map(|(_, x)| x.result.as_ref().ok());
        let currency = seen.find_map(|d| d.outcome.cost.currency);
        let money = || Unit {
            shown: Cow::Owned(currency.map_or_else(String::new, |c| c.to_string())),
            per: 1.0,
            suffix: Cow::Borrowed(""),
        };
        let [cal, det] = ["calibration", "determination"];
        let grams = |of: &str| named(&format!("solid, {of}"), GRAM, &format!("solid_{of}"));
        let volume = |of: &str| {
            named(
                &format!("liquid, {of}"),
                MILLILITRE,
                &format!("liquid_{of}"),
            )
        };
        self.if_any(
            |d| d.outcome.cost.money.is_some(),
            |t| {
                t.number(
                    named("price", money(), "money"),
                    3,
                    of(|c| c.money.unwrap_or(f64::NAN)),
                )
            },
        )
        .number(grams(cal), 3, of(|c| c.solid[0]))
        .number(grams(det), 3, of(|c| c.solid[1]))
        .number(volume(cal), 3, of(|c| c.liquid[0]))
        .number(volume(det), 3, of(|c| c.liquid[1]))
    }

    pub(super) fn section(self, heading: &str) -> Section {
        Section::new(heading)
            .with(Block::Table(self.table))
            .in_full()
    }
}

pub(super) fn in_percent(e: Estimate) -> Cell {
    Cell::estimate(Estimate::new(100.0 * e.value, 100.0 * e.se))
}

/// A number of the runs of one kind, if there are any.
fn ran(d: &Delivered, kind: usize, x: f64) -> f64 {
    let runs = [d.scenario.calibration.runs, d.scenario.determination.runs];
    if runs[kind] == 0 { f64::NAN } else { x }
}
