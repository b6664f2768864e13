//! The tables of a comparison: one with everything for programs, whose first columns are on the screen too, and small
//! ones for people.

use super::cells::letter;
use super::rows::{Rows, in_percent};
use crate::design::{Compared, Comparison, Delivered, Difference, OutOfBounds};
use crate::report::document::{
    Block, Cell, Column, IN_PERCENT, KJ_PER_MOL, NONE, Place, Section, Table,
};

/// Rows of the first table in brief.
const BRIEF: usize = 6;

/// What they deliver; for programs with everything else.
pub(super) fn delivered(c: &Comparison) -> Section {
    let reason = |x: &Compared, of: fn(&OutOfBounds) -> &str| {
        x.result
            .as_ref()
            .err()
            .map_or(String::new(), |z| of(z).to_owned())
    };
    let t = Rows::all("compare", c)
        .words("", |(i, _)| letter(*i))
        .keyed("letter")
        .at(Place::Page)
        .words("name", |(_, x)| x.name.clone())
        .at(Place::File)
        .words("what", |(_, x)| x.what.clone())
        .words("possible", |(_, x)| x.result.is_ok().to_string())
        .words("reason", |(_, x)| reason(x, |z| &z.words))
        .seen(Column::code("digest"), |d| Cell::text(&*d.scenario.digest))
        .temperatures()
        .number(Column::number("true value", KJ_PER_MOL), 6, |d| {
            d.outcome.target
        })
        .at(Place::Screen)
        .estimate("bias", "bias_in_size", |d| d.in_size(d.outcome.errors.bias))
        .estimate("spread", "spread", |d| d.relative(d.outcome.errors.spread))
        .estimate("least spread", "spread_floor", |d| {
            d.relative(d.causes.floor)
        })
        .estimate("95 % within", "within_95", Delivered::within)
        .estimate("RMS error", "rms_error", |d| {
            d.relative(d.outcome.errors.rms)
        })
        .at(Place::File)
        .limits()
        .estimate("bias less A", "bias_less_first", |d| d.against.bias.0)
        .estimate("bias less A", "size_of_bias_less_first", |d| {
            d.against.off.0
        })
        .estimate("spread less A", "spread_less_first", |d| d.against.spread.0)
        .estimate("95 % less A", "within_95_less_first", |d| {
            d.against.within.0
        })
        .estimate("RMS less A", "rms_error_less_first", |d| d.against.rms.0)
        .number(Column::number("place", NONE), 2, |d| d.place as f64)
        .time("group", 1)
        .amounts("group", 1)
        .time("section", c.groups)
        .amounts("section", c.groups)
        .causes();
    let named = c.contenders.iter().enumerate();
    let named = named.map(|(i, x)| format!("{}: {}", letter(i), x.name));
    Section::new("what they deliver | in % of each one's true value")
        .with(Block::text(format!("{}.", named.collect::<Vec<_>>().join("; "))))
        .with(Block::Table(t.table.first(BRIEF, usize::MAX)))
        .detail(Block::text(
            "Minus: the magnitude is too small. Least spread: with any number of runs. 95 % within: 95 % of groups stay \
             within this of the true value.",
        ))
}

/// Largest sources of spread and bias.
pub(super) fn causes(c: &Comparison) -> Section {
    let section = Rows::of("compare-causes", c)
        .causes()
        .section("largest causes");
    let tied: Vec<String> = c
        .delivered()
        .filter(|(_, d)| d.causes.spread.len() > 1)
        .map(|(i, d)| {
            let keys = d
                .causes
                .spread
                .iter()
                .skip(1)
                .map(|(s, _)| format!("`{}`", s.key));
            format!("{} with {}", letter(i), keys.collect::<Vec<_>>().join(", "))
        })
        .collect();
    match tied.is_empty() {
        true => section,
        false => section.detail(Block::text(format!(
            "Ties within these trials: {}.",
            tied.join("; ")
        ))),
    }
}

/// The literature, what runs out, and bounds.
pub(super) fn limits(c: &Comparison) -> Section {
    Rows::of("compare-limits", c).limits().section("limits")
}

/// Changes of temperature.
pub(super) fn temperatures(c: &Comparison) -> Section {
    Rows::of("compare-temperatures", c)
        .temperatures()
        .section("changes of temperature")
}

/// What they use up.
pub(super) fn amounts(c: &Comparison) -> Section {
    let heading = match c.groups {
        1 => "what a group takes, repeats counted".to_owned(),
        n => format!("what {n} groups take, repeats counted"),
    };
    Rows::of("compare-amounts", c)
        .time("group", 1)
        .amounts("section", c.groups)
        .section(&heading)
}

/// Every contender less the first.
pub(super) fn differences(c: &Comparison) -> Section {
    let mut all: Vec<(String, &str, Difference, &str)> = Vec::new();
    for (i, d) in c.delivered().filter(|(i, _)| *i > 0) {
        let own = d.against;
        all.push((letter(i), "bias, with its sign", own.bias, ""));
        for (name, d) in [
            ("magnitude of the bias", own.off),
            ("spread", own.spread),
            ("95 % within", own.within),
            ("RMS error", own.rms),
        ] {
            all.push((letter(i), name, d, d.verdict().words()));
        }
    }
    let t = Table::of("compare-differences", &all)
        .column(&all, Column::code("").key("letter"), |x| Cell::text(&*x.0))
        .column(&all, Column::code("").key("what"), |x| Cell::text(x.1))
        .column(&all, Column::estimate("less A", IN_PERCENT), |x| {
            in_percent(x.2.0)
        })
        .column(&all, Column::code("").key("verdict"), |x| Cell::text(x.3));
    Section::new("compared with A | in % of the true value")
        .detail(Block::text(
            "On common random numbers, trial for trial; minus: less than A. Differences within three standard errors are not \
             told apart. If the sign of a bias is undetermined, the difference of magnitudes has a larger error.",
        ))
        .detail(Block::Table(t))
}
