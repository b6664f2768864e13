//! What a forecast shows if it is asked for, or if the procedure has such a thing.

use super::tables::{line, lines};
use crate::forecast::{ClassSeen, Forecast, Medium, RepeatCost, RepeatsSeen, WaySeen};
use crate::report::document::{
    Block, Cell, Column, Digits, KJ_PER_MOL, PERCENT, Section, Table, by_uncertainty, figures,
};
use crate::report::words::{count, in_a_row, percent};
use crate::stats::Estimate;

/// All reductions of the same records.
pub(super) fn reductions(f: &Forecast, ways: &[WaySeen]) -> Section {
    let size = f.target.abs();
    let relative =
        |e: Estimate, sign: f64| Cell::estimate(Estimate::new(sign * e.value / size, e.se / size));
    let column = |head: &str| Column::estimate(head, PERCENT);
    let t = Table::of("reductions", ways)
        .column(ways, Column::words("reduction"), |w| {
            Cell::text(w.way.title())
        })
        .column(ways, column("bias"), |w| {
            relative(w.bias, f.target.signum())
        })
        .column(ways, column("spread"), |w| relative(w.spread, 1.0))
        .column(ways, column("RMS error"), |w| relative(w.rms, 1.0));
    Section::new("reductions of the same records")
        .with(Block::text(advice(f, ways)))
        .with(Block::Table(t))
}

/// Reductions whose RMS error is not larger by this factor are as good.
const FLAT: f64 = 1.01;

/// Which reduction to use.
fn advice(f: &Forecast, ways: &[WaySeen]) -> String {
    let own = f.scenario.determination.way;
    let best = ways
        .iter()
        .min_by(|a, b| a.rms.value.total_cmp(&b.rms.value));
    let now = ways.iter().find(|w| w.way == own);
    let (Some(best), Some(now), true) = (best, now, ways.len() > 1) else {
        return "Two readings can be reduced in one way only.".to_owned();
    };
    let near = |w: &&WaySeen| w.rms.value < FLAT * best.rms.value;
    if near(&now) {
        return format!(
            "Keep {}: no other reduction gains more than 1 % of the RMS error.",
            own.title()
        );
    }
    let named: Vec<&str> = ways.iter().filter(near).map(|w| w.way.title()).collect();
    let rms = |w: &WaySeen| figures(100.0 * w.rms.value / f.target.abs(), 2);
    format!(
        "Reduce by {}: the RMS error falls from {} % to {} %.",
        named.join(" or "),
        rms(now),
        rms(best)
    )
}

/// A class of groups.
pub(super) fn class(f: &Forecast, c: &ClassSeen) -> Section {
    let all = vec![
        line(f, "spread of class means", c.mean_spread),
        line(f, "scatter between groups of a class", c.scatter),
        line(f, "bias of class means", c.bias),
        line(f, "95 % of class means err, from", c.mean_interval.low),
        line(f, "to", c.mean_interval.high),
    ];
    let section = Section::new(&format!("a class of {} groups", c.groups))
        .detail(Block::text(
            "Its groups share reagents, reference value and tables (scope course): their scatter does not show those \
             errors, and their mean keeps them.",
        ))
        .with(Block::Table(lines("class", all).first(3, usize::MAX)));
    let Some((low, high)) = c.coverage else {
        return section;
    };
    section.detail(Block::text(format!(
        "{} classes. In nine classes of ten, between {} and {} of the groups state a first-order interval that holds the \
         true value: groups of a class share errors.",
        count(c.classes),
        percent(low),
        percent(high)
    )))
}

/// What is not known of the medium beside the errors of groups.
pub(super) fn medium(m: &Medium) -> Section {
    let all = [
        ("true value in the medium", &m.shift),
        ("what groups report", &m.away),
    ];
    let t = Table::of("medium", &all)
        .column(
            &all,
            Column::words("less the tabulated value").key("what"),
            |x| Cell::text(x.0),
        )
        .column(&all, Column::number("mean", KJ_PER_MOL), |x| {
            Cell::by(x.1.mean.value, x.1.sd.value)
        })
        .column(&all, Column::number("sd", KJ_PER_MOL), |x| {
            Cell::figures(x.1.sd.value, 2)
        })
        .column(
            &all,
            Column::interval("95 %", KJ_PER_MOL).key("interval"),
            |x| Cell::Interval {
                low: x.1.interval.low.value,
                high: x.1.interval.high.value,
                digits: Digits::By(x.1.sd.value, 2),
            },
        );
    Section::new("compared with the tabulated value")
        .in_full()
        .detail(Block::text(
            "The medium shifts the heat of this reaction by an unknown amount, alike for all groups of a course. All other \
             numbers are about the value that is true in the medium.",
        ))
        .detail(Block::Table(t))
}

/// Inspection and repeats.
pub(super) fn repeats(f: &Forecast, r: &RepeatsSeen) -> Section {
    let rule = f.scenario.repeat;
    let then = if rule.drop { "dropped" } else { "accepted" };
    let times = if rule.most == 1 { "once" } else { "times" };
    let most = if rule.most == 1 {
        times.to_owned()
    } else {
        format!("{} {times}", rule.most)
    };
    let all = [
        ("repeats of planned calibrations", r.calibration, None),
        ("repeats of planned determinations", r.determination, None),
        (
            "solid left over in runs that count",
            r.residue,
            Some(r.residue_without),
        ),
        (
            "runs that count with more than 0.1 % left over",
            r.incomplete,
            Some(r.incomplete_without),
        ),
    ];
    let t = Table::of("repeats", &all)
        .column(&all, Column::words("").key("what"), |x| Cell::text(x.0))
        .column(&all, Column::estimate("with the rule", PERCENT), |x| {
            Cell::estimate(x.1)
        })
        .column(&all, Column::estimate("without", PERCENT), |x| {
            x.2.map_or(Cell::Missing("there are no repeats"), Cell::estimate)
        });
    let [shift, se] = [r.shift.value, r.shift.se].map(|x| x / 1e3);
    Section::new("inspection and repeats")
        .detail(Block::text(format!(
            "A run whose left-over solid is noticed is repeated, at most {most}; the last one is {then} as it is. This \
             changes the mean result by {} ± {} kJ/mol. {}",
            by_uncertainty(shift, se, 1),
            figures(se, 1),
            cost(&r.cost, &f.scenario.times.money())
        )))
        .detail(Block::Table(t))
}

/// What repeats cost, in a sentence.
fn cost(c: &RepeatCost, unit: &str) -> String {
    let two = |x: f64| figures(x, 2);
    let time = c.time.map(|t| {
        let planned = c
            .planned_time
            .map(|p| format!(" on top of {} min", two(p / 60.0)));
        format!("{} min{}", two(t / 60.0), planned.unwrap_or_default())
    });
    let matter = [
        format!("{} g of solid", two(c.solid)),
        format!("{} mL of liquid", two(c.liquid)),
    ];
    let money = c.money.map(|m| format!("{} {unit}", two(m)));
    let all: Vec<String> = time.into_iter().chain(matter).chain(money).collect();
    format!("Repeats cost a group on average {}.", in_a_row(&all))
}
