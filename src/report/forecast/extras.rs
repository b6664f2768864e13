//! Tables of a forecast that stand there only if asked for, or if the procedure has such a thing.

use super::tables::with_se;
use crate::forecast::{ClassSeen, Forecast, RepeatCost, RepeatsSeen, WaySeen};
use crate::report::words::{count, heading, paragraph, percent, table};
use crate::stats::{Estimate, quote};

const KILO: f64 = 1e3;

/// All reductions on the same records.
pub(in crate::report) fn reductions(f: &Forecast, ways: &[WaySeen]) -> String {
    let mut out = heading("reductions side by side");
    out.push_str(&paragraph(
        "The same simulated records, reduced in each way in both kinds of run; relative to the true \
         value.",
        2,
    ));
    let share = |e: Estimate| {
        let q = quote(
            100.0 * e.value / f.target.abs(),
            100.0 * e.se / f.target.abs(),
            1,
        );
        format!("{}\u{a0}±\u{a0}{}", q.value, q.u)
    };
    // The sign is that of the magnitude: a negative bias is a result too small in size.
    let sign = f.target.signum();
    let rows = ways
        .iter()
        .map(|w| {
            let bias = Estimate::new(w.bias.value * sign, w.bias.se);
            let mut row = vec![w.way.title().to_owned()];
            row.extend([bias, w.spread, w.rms].map(share));
            row
        })
        .collect();
    let header = ["reduction", "bias, %", "spread, %", "rms, %"];
    out.push_str(&table(&header, rows, &[1, 2, 3]));
    out
}

/// A class of groups.
pub(in crate::report) fn class(f: &Forecast, c: &ClassSeen) -> String {
    let mut out = heading(&format!("a class of {} groups", c.groups));
    out.push_str(&paragraph(
        &format!(
            "{} classes; the groups of one share reagents, reference value and tables (scope course), \
             so their scatter does not show those errors, and their mean keeps them.",
            count(c.classes)
        ),
        2,
    ));
    let line = |name: &str, e: Estimate| {
        let (value, se) = with_se(e, KILO);
        vec![
            name.to_owned(),
            value,
            se,
            percent(e.value / f.target.abs()),
        ]
    };
    let rows = vec![
        line("scatter between groups of a class", c.scatter),
        line("spread of class means", c.mean_spread),
        line("bias of class means", c.bias),
        line("95 % of class means err, from", c.mean_interval.low),
        line("to", c.mean_interval.high),
    ];
    out.push_str(&table(
        &["kJ/mol", "value", "Monte Carlo", "relative"],
        rows,
        &[1, 3],
    ));
    if let Some((low, high)) = c.coverage {
        out.push_str(&paragraph(
            &format!(
                "Of the groups of one class between {} and {} state a linear interval that holds the \
                 true value (nine classes in ten): all share the fortune of their course.",
                percent(low),
                percent(high)
            ),
            2,
        ));
    }
    out
}

/// Inspection and repeats.
pub(in crate::report) fn repeats(f: &Forecast, r: &RepeatsSeen) -> String {
    let mut out = heading("inspection and repeats");
    let rule = f.scenario.repeat;
    let then = if rule.drop { "dropped" } else { "accepted" };
    out.push_str(&paragraph(
        &format!(
            "A run whose left-over solid is noticed is carried out again, at most {} time{}; the last \
             one is {then} as it is.",
            rule.most,
            if rule.most == 1 { "" } else { "s" }
        ),
        2,
    ));
    let line = |name: &str, e: Estimate, unit: f64, what: &str| {
        let (value, se) = with_se(e, unit);
        vec![name.to_owned(), value, se, what.to_owned()]
    };
    let rows = vec![
        line(
            "repeats for 100 planned calibrations",
            r.calibration,
            0.01,
            "runs",
        ),
        line(
            "repeats for 100 planned determinations",
            r.determination,
            0.01,
            "runs",
        ),
        line("solid left over in runs that count", r.residue, 0.01, "%"),
        line("the same without the rule", r.residue_without, 0.01, "%"),
        line(
            "runs that count and are incomplete",
            r.incomplete,
            0.01,
            "%",
        ),
        line("the same without the rule", r.incomplete_without, 0.01, "%"),
        line(
            "what the rule changes in the result",
            r.shift,
            KILO,
            "kJ/mol",
        ),
    ];
    out.push_str(&table(&["", "value", "Monte Carlo", ""], rows, &[1]));
    out.push_str(&paragraph(
        "Incomplete: more than 0.1 % of the solid is left over when the record ends.",
        2,
    ));
    out.push_str(&paragraph(&cost(&r.cost, &f.scenario.times.money()), 2));
    out
}

/// What repeats cost, in a sentence.
fn cost(c: &RepeatCost, unit: &str) -> String {
    let q = |x: f64| quote(x, x, 2).value;
    let mut parts = vec![
        format!("{}\u{a0}g of solid", q(c.solid)),
        format!("{}\u{a0}mL of liquid", q(c.liquid)),
    ];
    if let Some(time) = c.time {
        let planned = c.planned_time.map_or(String::new(), |p| {
            format!(" on top of {}\u{a0}min", q(p / 60.0))
        });
        parts.insert(0, format!("{}\u{a0}min{planned}", q(time / 60.0)));
    }
    if let Some(money) = c.money {
        parts.push(format!("{}\u{a0}{unit}", q(money)));
    }
    format!("Repeats cost a group on average {}.", parts.join(", "))
}
