//! A forecast for people: cautions first, three plain sentences, then numbers.

use super::words::{FIRST_CAUTION, count, entry, heading, heading_of, paragraph, percent, table};
use crate::forecast::{ClaimCoverage, Forecast};
use crate::lab::BudgetLine;
use crate::scenario::{Family, RunEffects};
use crate::stats::{Estimate, IntervalKind, quote};

/// J/mol in one kJ/mol.
const KILO: f64 = 1e3;

/// The whole text, for 80 columns. `digits` is the number of digits of an uncertainty.
pub fn forecast_text(f: &Forecast, digits: u32) -> String {
    let mut out = String::new();
    out.push_str(&paragraph(&f.scenario.title, 0));
    if !f.scenario.summary.is_empty() {
        out.push_str(&paragraph(&f.scenario.summary, 2));
    }
    out.push_str(&cautions(f));
    out.push_str(&heading("in short"));
    for (i, sentence) in sentences(f, digits).iter().enumerate() {
        out.push_str(&entry(&format!("{}.", i + 1), sentence));
    }
    out.push_str(&result(f, digits));
    out.push_str(&spread(f));
    out.push_str(&causes(f, digits));
    out.push_str(&claims(f, digits));
    out.push_str(&along_the_way(f));
    out
}

fn cautions(f: &Forecast) -> String {
    let mut out = heading("cautions");
    out.push_str(&paragraph(FIRST_CAUTION, 2));
    for c in &f.scenario.cautions {
        out.push_str(&entry("-", c));
    }
    for w in &f.scenario.warnings {
        out.push_str(&entry("!", &format!("warning: {w}")));
    }
    out
}

/// Three sentences that answer before any table does.
fn sentences(f: &Forecast, digits: u32) -> [String; 3] {
    let q = |v: f64, u: f64| quote(v / KILO, u / KILO, digits);
    let value = q(f.value.summary.mean.value, f.spread.value);
    let accepted = q(f.target, f.spread.value);
    let low = q(f.value.interval.low.value, f.spread.value).value;
    let high = q(f.value.interval.high.value, f.spread.value).value;
    let relative = percent(f.spread.value / f.target.abs());
    let first = format!(
        "A competent group will report about {} kJ/mol, and 95 % of such groups will land between \
         {low} and {high} kJ/mol; the value used as true is {} kJ/mol.",
        value.value, accepted.value
    );
    [
        first,
        bias_sentence(f),
        spread_sentence(f, &value.u, &relative),
    ]
}

fn bias_sentence(f: &Forecast) -> String {
    let bias = percent(f.bias.value.abs() / f.target.abs());
    let direction = if f.bias.value * f.target.signum() > 0.0 {
        "too large"
    } else {
        "too small"
    };
    if f.bias.value.abs() < 3.0 * f.bias.se {
        let most = percent(3.0 * f.bias.se / f.target.abs());
        return format!("The method has no bias that these trials can see (below {most}).");
    }
    let small = f.bias.value.abs() < 0.2 * f.spread.value;
    let worth = if small {
        ", little against the spread"
    } else {
        ""
    };
    let main = f
        .causes
        .iter()
        .find(|c| c.bias.value * f.bias.value > 0.0 && c.bias.value.abs() > 3.0 * c.bias.se)
        .map_or(String::new(), |c| {
            format!("; most of it comes from this: {}", c.source.doc)
        });
    format!("On average the result comes out {bias} {direction} in size{worth}{main}.")
}

fn spread_sentence(f: &Forecast, u: &str, relative: &str) -> String {
    let seen = f.budget.u * f.budget.u / (f.spread.value * f.spread.value);
    if seen < 0.7 {
        let unseen = f
            .causes
            .iter()
            .filter(|c| !c.source.budget)
            .min_by(|a, b| a.spread_without.total_cmp(&b.spread_without));
        let what = unseen.map_or(String::new(), |c| {
            format!(" Most of what it misses comes from this: {}.", c.source.doc)
        });
        return format!(
            "Groups scatter by {u} kJ/mol ({relative}, one standard deviation), more than a budget \
             of the instruments explains ({} kJ/mol).{what}",
            quote(f.budget.u / KILO, f.budget.u / KILO, 2).value
        );
    }
    let Some(top) = f.families.first() else {
        return "No source of spread is stated.".to_owned();
    };
    let family = top.family.map_or("observed scatter", Family::name);
    let averaged = averaged_share(f);
    let remedy = if averaged > 0.5 {
        "more runs would average most of it away"
    } else {
        "more runs would not average most of it away"
    };
    format!(
        "Groups scatter by {u} kJ/mol ({relative}, one standard deviation); {} of that variance \
         comes from the family \"{family}\", and {remedy}.",
        percent(top.share)
    )
}

/// Share of the budget's variance that belongs to runs and readings.
fn averaged_share(f: &Forecast) -> f64 {
    use crate::scenario::Scope;
    let total = f.budget.u * f.budget.u;
    let averaged = |l: &&BudgetLine| {
        l.source
            .is_none_or(|s| matches!(s.source().scope, Scope::Run | Scope::Reading))
    };
    f.budget
        .lines
        .iter()
        .filter(averaged)
        .map(|l| l.variance)
        .sum::<f64>()
        / total
}

fn result(f: &Forecast, digits: u32) -> String {
    let at = f.scenario.target.quote_at.0;
    let reaction = &f.scenario.determination.reaction;
    let state = format!("molar enthalpy at {at} °C, {}, kJ/mol", reaction.state);
    let mut out = heading_of("result:", &state);
    let s = &f.value.summary;
    let spread = f.spread.value / KILO;
    let plain = |e: Estimate| with_se(e, KILO);
    let share = |x: f64| percent(x / f.target.abs());
    let kind = match f.value.interval.kind {
        IntervalKind::Symmetric => "95 % interval, symmetric",
        IntervalKind::Shortest => "95 % interval, shortest",
    };
    let accepted_u = reaction.enthalpy_u.0;
    let mut rows = vec![
        row(
            "accepted value",
            &quote(f.target / KILO, spread, digits).value,
            &format!(
                "u = {} (not drawn here)",
                quote(accepted_u / KILO, accepted_u / KILO, digits).value
            ),
        ),
        row("mean", &plain(s.mean).0, &plain(s.mean).1),
        row("median", &plain(s.median).0, &plain(s.median).1),
        row(
            "bias",
            &plain(f.bias).0,
            &format!("{}  {}", plain(f.bias).1, share(f.bias.value)),
        ),
        row(
            "spread (standard deviation)",
            &plain(f.spread).0,
            &format!("{}  {}", plain(f.spread).1, share(f.spread.value)),
        ),
        row(
            "rms error",
            &plain(f.rms).0,
            &format!("{}  {}", plain(f.rms).1, share(f.rms.value)),
        ),
        row(
            &format!("{kind}, from"),
            &plain(f.value.interval.low).0,
            &plain(f.value.interval.low).1,
        ),
        row(
            "to",
            &plain(f.value.interval.high).0,
            &plain(f.value.interval.high).1,
        ),
    ];
    if let (Some(p), Some(band)) = (f.in_band, f.scenario.target.band) {
        let (v, se) = with_se(p, 0.01);
        rows.push(row(
            &format!("within {} of nature's value, %", percent(band)),
            &v,
            &se,
        ));
    }
    let (v, se) = with_se(s.skewness, 1.0);
    rows.push(row("skewness", &v, &se));
    let (v, se) = with_se(s.excess_kurtosis, 1.0);
    rows.push(row("kurtosis above normal", &v, &se));
    out.push_str(&table(&["", "value", "Monte Carlo error"], rows, &[1]));
    if f.nonphysical > 0 {
        out.push_str(&paragraph(
            &format!(
                "{} trials gave no finite result and are left out of the numbers above.",
                count(f.nonphysical)
            ),
            2,
        ));
    }
    if f.wrong_sign > 0 {
        out.push_str(&paragraph(
            &format!(
                "In {} of {} trials a change of temperature vanished or went the wrong way; they \
                 are included.",
                count(f.wrong_sign),
                count(f.trials)
            ),
            2,
        ));
    }
    out
}

fn row(name: &str, value: &str, rest: &str) -> Vec<String> {
    vec![name.to_owned(), value.to_owned(), rest.to_owned()]
}

/// A number rounded by its Monte Carlo error, and that error.
fn with_se(e: Estimate, unit: f64) -> (String, String) {
    if e.se.is_nan() {
        return (quote(e.value / unit, 0.0, 2).value, String::new());
    }
    let q = quote(e.value / unit, e.se / unit, 2);
    (q.value, format!("± {}", q.u))
}

fn spread(f: &Forecast) -> String {
    let mut out = heading("what makes the spread");
    let how = match f.scenario.lab.run_effects {
        RunEffects::Stated => "run effects by the instruments' statements",
        RunEffects::Scatter => "run effects by observed scatter",
    };
    out.push_str(&paragraph(
        &format!(
            "Linear budget of a group whose errors are all zero ({how}): u = {} kJ/mol, against {} \
             kJ/mol over all trials. Repeating runs averages the scopes reading and run; group and \
             course stay.",
            quote(f.budget.u / KILO, f.budget.u / KILO, 2).value,
            quote(f.spread.value / KILO, f.spread.value / KILO, 2).value,
        ),
        2,
    ));
    let mut lines: Vec<&BudgetLine> = f.budget.lines.iter().collect();
    lines.sort_by(|a, b| b.variance.total_cmp(&a.variance));
    let total = f.budget.u * f.budget.u;
    let shown = 8.min(lines.len());
    let mut rows: Vec<Vec<String>> = lines[..shown]
        .iter()
        .map(|l| {
            let source = l.source.map(|s| s.source());
            vec![
                source.map_or("observed scatter", |s| s.key).to_owned(),
                l.of.clone(),
                source.map_or("run", |s| s.scope.name()).to_owned(),
                quote(l.variance.sqrt() / KILO, l.variance.sqrt() / KILO, 2).value,
                percent(l.variance / total),
            ]
        })
        .collect();
    let rest: f64 = lines[shown..].iter().map(|l| l.variance).sum();
    if shown < lines.len() {
        rows.push(vec![
            format!("{} smaller ones", lines.len() - shown),
            String::new(),
            String::new(),
            quote(rest.sqrt() / KILO, rest.sqrt() / KILO, 2).value,
            percent(rest / total),
        ]);
    }
    let header = ["source", "enters", "scope", "kJ/mol", "share of variance"];
    out.push_str(&table(&header, rows, &[3, 4]));
    out
}

fn causes(f: &Forecast, digits: u32) -> String {
    let mut out = heading("what moves the mean");
    let seen: Vec<_> = f
        .causes
        .iter()
        .filter(|c| c.bias.value.abs() > 2.0 * c.bias.se || c.spread_without < 0.98)
        .take(8)
        .collect();
    if seen.is_empty() {
        out.push_str(&paragraph("Nothing that these trials can see.", 2));
        return out;
    }
    out.push_str(&paragraph(
        "One-sided errors, and those that no budget of the lab has a term for, made perfect one at \
         a time on the same random numbers.",
        2,
    ));
    let rows = seen
        .iter()
        .map(|c| {
            let q = quote(c.bias.value / KILO, c.bias.se / KILO, digits);
            vec![
                c.source.key.to_owned(),
                c.source.scope.name().to_owned(),
                format!("{} ± {}", q.value, q.u),
                percent(c.bias.value / f.target.abs()),
                percent(c.spread_without - 1.0),
            ]
        })
        .collect();
    let header = [
        "source",
        "scope",
        "bias, kJ/mol",
        "relative",
        "spread without it",
    ];
    out.push_str(&table(&header, rows, &[2, 3, 4]));
    out
}

fn claims(f: &Forecast, digits: u32) -> String {
    let mut out = heading("what groups may claim");
    out.push_str(&paragraph(
        "Share of groups whose stated 95 % interval holds nature's value.",
        2,
    ));
    let line = |name: &str, c: &ClaimCoverage| {
        let (value, se) = with_se(c.coverage, 0.01);
        let half = quote(c.half_width.value / KILO, c.half_width.value / KILO, digits).value;
        vec![name.to_owned(), value, se, format!("± {half}")]
    };
    let n = f.scenario.determination.runs;
    let mut rows = Vec::new();
    match &f.scatter_claim {
        Some(c) => rows.push(line(&format!("scatter of {n} determinations, t s/√n"), c)),
        None => rows.push(vec![
            "scatter: not to be had from one determination".to_owned(),
            String::new(),
            String::new(),
            String::new(),
        ]),
    }
    if let Some(c) = &f.linear_claim {
        rows.push(line("linear budget, k u", c));
    }
    out.push_str(&table(
        &["claim", "holds, %", "", "mean interval, kJ/mol"],
        rows,
        &[1, 3],
    ));
    out
}

fn along_the_way(f: &Forecast) -> String {
    let mut out = heading("along the way");
    let value = |s: &crate::stats::Summary| {
        let q = quote(s.mean.value, s.sd.value, 2);
        (q.value, q.u)
    };
    let mut rows = Vec::new();
    for (i, leg) in f.scenario.legs().into_iter().enumerate() {
        let (v, u) = value(&f.rises[i]);
        rows.push(vec![
            format!("change of temperature, {}", leg.name),
            format!("{v} K"),
            format!("sd {u}"),
            format!("{} runs, {} g", leg.runs, leg.mass.0),
        ]);
    }
    let (v, u) = value(&f.constant);
    let what = match f.scenario.lab.contents {
        crate::scenario::Contents::Same => "vessel with contents",
        crate::scenario::Contents::Swapped => "vessel alone",
    };
    rows.push(vec![
        format!("calibration constant ({what})"),
        format!("{v} J/K"),
        format!("sd {u}"),
        String::new(),
    ]);
    if let Some(s) = f.run_scatter {
        rows.push(vec![
            "scatter within a group, median".to_owned(),
            format!("{} kJ/mol", quote(s / KILO, s / KILO, 2).value),
            percent(s / f.target.abs()),
            "over its determinations".to_owned(),
        ]);
    }
    out.push_str(&table(&[], rows, &[1, 2]));
    out
}
