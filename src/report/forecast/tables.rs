//! The tables of a forecast.

use super::sentences::total_variance;
use crate::forecast::{ClaimCoverage, Forecast};
use crate::lab::BudgetLine;
use crate::report::words::{accepted, entry, heading, heading_of, paragraph, percent, table};
use crate::scenario::{Charge, Contents, Heat, Leg, RunEffects};
use crate::stats::{Estimate, IntervalKind, Summary, quote};

const KILO: f64 = 1e3;

/// Result, bias, spread and interval.
pub(in crate::report) fn result(f: &Forecast, digits: u32) -> String {
    let at = f.scenario.target.quote_at.0;
    let reaction = &f.scenario.determination.reaction;
    let state = format!("molar enthalpy at {at} °C, {}, kJ/mol", reaction.state);
    let mut out = heading_of("result:", &state);
    let s = &f.value.summary;
    let share = |x: f64| percent(x / f.target.abs());
    let kind = match f.value.interval.kind {
        IntervalKind::Symmetric => "95 % interval, symmetric",
        IntervalKind::Shortest => "95 % interval, shortest",
    };
    let u = f.scenario.tabulated_u().0;
    let (name, about) = match &f.beside.medium {
        Some(_) => ("true value in the medium, on average", "the true value"),
        None => ("accepted value, taken as true", "the accepted value"),
    };
    let (taken, se) = match &f.beside.medium {
        Some(m) => with_se(Estimate::new(f.target, m.shift.mean.se), KILO),
        None => (accepted(f.target, u), String::new()),
    };
    let line = |name: &str, e: Estimate, rest: String| {
        let (value, se) = with_se(e, KILO);
        vec![name.to_owned(), value, se, rest]
    };
    let mut rows = vec![
        vec![
            name.to_owned(),
            taken,
            se,
            format!("u = {}, not drawn", quote(u / KILO, u / KILO, digits).value),
        ],
        line("mean", s.mean, String::new()),
        line("median", s.median, String::new()),
        line("bias", f.bias, share(f.bias.value * f.target.signum())),
        line(
            "spread (standard deviation)",
            f.spread,
            share(f.spread.value),
        ),
        line("rms error", f.rms, share(f.rms.value)),
        line(
            &format!("{kind}, from"),
            f.value.interval.low,
            String::new(),
        ),
        line("to", f.value.interval.high, String::new()),
        line(
            "95 % lie from the true value within",
            f.within,
            share(f.within.value),
        ),
    ];
    if f.has_spread() && f.beside.medium.is_none() {
        let e = f.compared();
        rows.push(line(
            "u of comparing with the accepted value",
            e,
            share(e.value),
        ));
    }
    if let (Some(p), Some(band)) = (f.in_band, f.scenario.target.band) {
        let (v, se) = with_se(p, 0.01);
        rows.push(vec![
            format!("within {} of {about}, %", percent(band)),
            v,
            se,
            String::new(),
        ]);
    }
    for (name, e) in [
        ("skewness", s.skewness),
        ("excess kurtosis", s.excess_kurtosis),
    ] {
        let (v, se) = with_se(e, 1.0);
        rows.push(vec![name.to_owned(), v, se, String::new()]);
    }
    // What does not exist is left out.
    rows.retain(|row| row[1] != UNDEFINED);
    out.push_str(&table(&["", "value", "Monte Carlo", "in size"], rows, &[1]));
    out
}

/// How a number that does not exist is quoted.
const UNDEFINED: &str = "NaN";

/// A number rounded by its Monte Carlo error, and that error.
pub(in crate::report) fn with_se(e: Estimate, unit: f64) -> (String, String) {
    // No error is known, or there is none: a value of a lattice.
    if e.se.is_nan() || e.se == 0.0 {
        return (quote(e.value / unit, 0.0, 2).value, String::new());
    }
    let q = quote(e.value / unit, e.se / unit, 2);
    (q.value, format!("±\u{a0}{}", q.u))
}

/// The linear budget's largest lines, as shares of the whole variance.
pub(in crate::report) fn spread(f: &Forecast) -> String {
    let mut out = heading("what makes the spread");
    let how = match f.scenario.lab.run_effects {
        RunEffects::Stated => "run effects as the instruments state them",
        RunEffects::Scatter => "run effects by observed scatter",
    };
    out.push_str(&paragraph(
        &format!(
            "A linear budget as a group would make it ({how}) gives u = {} kJ/mol; over all trials \
             the spread is {} kJ/mol. Repeating runs averages the scopes reading and run; group \
             and course stay.",
            quote(f.budget.u / KILO, f.budget.u / KILO, 2).value,
            quote(f.spread.value / KILO, f.spread.value / KILO, 2).value,
        ),
        2,
    ));
    let total = total_variance(f);
    // What is nothing but the rounding of the arithmetic is no line.
    let real = |l: &&BudgetLine| l.variance > 1e-15 * total;
    let mut lines: Vec<&BudgetLine> = f.budget.lines.iter().filter(real).collect();
    lines.sort_by(|a, b| b.variance.total_cmp(&a.variance));
    let size = |variance: f64| quote(variance.sqrt() / KILO, variance.sqrt() / KILO, 2).value;
    let row = |name: String, of: &str, scope: &str, variance: f64| {
        vec![
            name,
            of.to_owned(),
            scope.to_owned(),
            size(variance),
            percent(variance / total),
        ]
    };
    let shown = 8.min(lines.len());
    let mut rows: Vec<Vec<String>> = lines[..shown]
        .iter()
        .map(|l| {
            let q = &l.quantity;
            let scope = q.scope.map_or("", |s| s.name());
            row(q.name.clone().into_owned(), &l.of, scope, l.variance)
        })
        .collect();
    let rest: f64 = lines[shown..].iter().map(|l| l.variance).sum();
    if shown < lines.len() {
        rows.push(row(
            format!("{} smaller ones", lines.len() - shown),
            "",
            "",
            rest,
        ));
    }
    let unseen = total - f.budget.u * f.budget.u;
    if unseen > 0.02 * total {
        rows.push(row("not in such a budget".to_owned(), "", "", unseen));
    }
    let header = ["source", "enters", "scope", "kJ/mol", "of variance"];
    out.push_str(&table(&header, rows, &[3, 4]));
    out
}

/// One-sided errors, errors without a term in the budget, and choices of the lab.
pub(in crate::report) fn causes(f: &Forecast) -> String {
    let mut out = heading("what moves the mean, and what no budget sees");
    let seen: Vec<_> = f
        .causes
        .iter()
        .filter(|c| c.bias.value.abs() > 2.0 * c.bias.se || c.spread_without < 0.98)
        .take(9)
        .collect();
    if seen.is_empty() {
        out.push_str(&paragraph("Nothing that these trials can see.", 2));
        return out;
    }
    out.push_str(&paragraph(
        "One-sided errors, errors that the budget has no term for, and choices of the lab, mended one \
         at a time on the same random numbers: the bias that each makes (minus in size: too small), and \
         how the spread changes without it.",
        2,
    ));
    let rows = seen
        .iter()
        .map(|c| {
            let q = quote(c.bias.value / KILO, c.bias.se / KILO, 1);
            vec![
                c.agent.key().to_owned(),
                c.agent.scope().to_owned(),
                format!("{}\u{a0}±\u{a0}{}", q.value, q.u),
                percent(c.bias.value / f.target),
                signed(c.spread_without - 1.0),
            ]
        })
        .collect();
    let header = [
        "source or choice",
        "scope",
        "bias, kJ/mol",
        "in size",
        "spread",
    ];
    out.push_str(&table(&header, rows, &[2, 3, 4]));
    out
}

fn signed(fraction: f64) -> String {
    format!("{:+.1}\u{a0}%", 100.0 * fraction)
}

/// Coverage of the lab's claims.
pub(in crate::report) fn claims(f: &Forecast, digits: u32) -> String {
    let mut out = heading("what groups may claim");
    out.push_str(&paragraph(
        "Share of groups whose stated 95 % interval holds the true value.",
        2,
    ));
    let n = f.scenario.determination.runs;
    let mut rows = Vec::new();
    let mut add = |name: String, c: &ClaimCoverage| {
        let (value, se) = with_se(c.coverage, 0.01);
        let half = quote(c.half_width.value / KILO, c.half_width.value / KILO, digits).value;
        rows.push(vec![name, format!("±\u{a0}{half}"), value, se]);
    };
    if let Some(c) = &f.scatter_claim {
        let name = if f.scenario.is_cycle() {
            "scatter of the runs of each leg, combined".to_owned()
        } else {
            format!("scatter of {n} determinations")
        };
        add(name, c);
    }
    if let Some(c) = &f.linear_claim {
        add("linear budget".to_owned(), c);
    }
    out.push_str(&table(
        &["claim", "mean, kJ/mol", "holds, %", ""],
        rows,
        &[1, 2],
    ));
    if f.scatter_claim.is_none() {
        out.push_str(&entry(
            "-",
            "One determination shows no scatter, so it allows no such claim.",
        ));
    } else if f.scatter_claim.is_some_and(|c| c.coverage.value < 0.9) {
        out.push_str(&entry(
            "-",
            "The scatter knows nothing of what all determinations of a group share, such as its \
             calibration.",
        ));
    }
    out
}

/// How much of what a leg's procedure asks for.
fn charged(leg: &Leg) -> Option<String> {
    match (leg.heat, leg.charge) {
        (Heat::Electrical(h), _) => Some(format!("{}\u{a0}s", h.time.0)),
        (Heat::Reaction, Charge::Dropped | Charge::Beforehand { .. } | Charge::Metal) => {
            Some(format!("{}\u{a0}g", leg.mass.0))
        }
        (_, Charge::Liquid { .. }) | (Heat::HotWater { .. }, _) => {
            Some(format!("{}\u{a0}mL", leg.portion_volume().0))
        }
    }
}

/// Changes of temperature, constant, scatter.
pub(in crate::report) fn along_the_way(f: &Forecast) -> String {
    let mut out = heading("along the way");
    let value = |s: &Summary, unit: &str| {
        let q = quote(s.mean.value, s.sd.value, 2);
        (
            format!("{}\u{a0}{unit}", q.value),
            format!("sd\u{a0}{}", q.u),
        )
    };
    let mut rows = Vec::new();
    let legs = f.scenario.legs();
    for (leg, rise) in legs.iter().zip(&f.rises).filter(|(leg, _)| leg.runs > 0) {
        let (v, u) = value(rise, "K");
        let runs = format!(
            "{}\u{a0}run{}",
            leg.runs,
            if leg.runs == 1 { "" } else { "s" }
        );
        rows.push(vec![
            format!("change in the {}", leg.title()),
            v,
            u,
            match charged(leg) {
                Some(what) => format!("{runs} of {what}"),
                None => runs,
            },
        ]);
    }
    let what = match f.scenario.lab.contents {
        Contents::Same => "vessel with contents",
        Contents::Swapped => "vessel alone",
    };
    rows.push(match f.scenario.lab.assumed_vessel {
        Some(vessel) => vec![
            "assumed of the vessel".to_owned(),
            format!("{}\u{a0}J/K", vessel.0),
            String::new(),
            "not calibrated".to_owned(),
        ],
        None => {
            let (v, u) = value(&f.constant, "J/K");
            vec!["calibration constant".to_owned(), v, u, what.to_owned()]
        }
    });
    if let Some(s) = f.run_scatter {
        // Of a cycle it is that of its first leg, whose value is not the result.
        let (name, share) = if f.scenario.is_cycle() {
            let leg = f.scenario.determination.title();
            (format!("scatter of the runs of {leg}"), String::new())
        } else {
            let share = percent(s / f.target.abs());
            ("scatter within a group".to_owned(), share)
        };
        rows.push(vec![
            name,
            format!("{}\u{a0}kJ/mol", quote(s / KILO, s / KILO, 2).value),
            share,
            "median".to_owned(),
        ]);
    }
    out.push_str(&table(&[], rows, &[1, 2]));
    out
}
