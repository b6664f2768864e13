//! The figures of a ranking: shares of variance, biases, and what a better source brings.

use crate::rank::{Better, Ranked, Ranking, Share};
use crate::report::figure::{
    Axis, Bar, Bars, Figure, Fill, Look, Panel, Row, Rule, Series, Shape, Stroke, Tone,
};
use crate::report::words::{digits, minus, provenance};
use crate::stats::{Estimate, quote};

const KILO: f64 = 1e3;

/// Rows of a figure.
const ROWS: usize = 12;

/// Sides of the upper and the lower of two bars, from the middle of their row.
pub(in crate::report) const LANES: [[f64; 2]; 2] = [[-0.36, -0.06], [0.14, 0.36]];

/// The figures.
pub(in crate::report) fn rank_figures(r: &Ranking) -> Vec<Figure> {
    vec![variance(r), bias(r), better(r)]
}

/// A figure with one panel of rows.
fn rows(r: &Ranking, name: &str, sources: &[&Ranked], ranked: bool) -> (Figure, Panel) {
    let row = |s: &&Ranked| Row {
        name: s.source.key.to_owned(),
        note: format!(
            "{}{}",
            s.source.scope.name(),
            if s.one_sided { ", one-sided" } else { "" }
        ),
        rank: u32::try_from(s.rank).ok().filter(|_| ranked),
    };
    let figure = Figure {
        name: name.to_owned(),
        title: r.scenario.title.clone(),
        footer: provenance(r.seed, r.trials, &r.scenario.digest),
        ..Figure::default()
    };
    let panel = Panel {
        y: Axis::rows(sources.iter().map(row).collect()),
        ..Panel::default()
    };
    (figure, panel)
}

/// The bar of a row with its number.
pub(in crate::report) fn bar(
    row: usize,
    lane: [f64; 2],
    value: f64,
    error: [f64; 2],
    label: String,
) -> Bar {
    Bar {
        sides: lane.map(|side| row as f64 + side),
        value,
        error: Some(error),
        label,
    }
}

fn variance(r: &Ranking) -> Figure {
    let shown: Vec<&Ranked> = r.sources.iter().take(ROWS).collect();
    let (mut figure, mut panel) = rows(r, "variance", &shown, true);
    let bars = |of: fn(&Ranked) -> &Share, lane: usize| {
        let one = |(i, s): (usize, &&Ranked)| {
            let [value, low, high] = [of(s).value, of(s).low, of(s).high].map(|x| 100.0 * x);
            bar(
                i,
                LANES[lane],
                value,
                [low.max(value.min(0.0)), high],
                minus(&format!("{value:.1}")),
            )
        };
        shown.iter().enumerate().map(one).collect()
    };
    panel.x = Axis::titled("share of variance, %");
    panel.x.from_zero = true;
    panel.marks = vec![
        Bars {
            name: "including interactions".to_owned(),
            fill: Fill::Strong,
            bars: bars(|s| &s.share.total, 0),
            ..Bars::default()
        }
        .into(),
        Bars {
            name: "alone".to_owned(),
            fill: Fill::Hatched,
            bars: bars(|s| &s.share.first, 1),
            ..Bars::default()
        }
        .into(),
    ];
    let named = |s: &&Ranked| format!("{} {:.1} %", s.source.key, 100.0 * s.share.total.value);
    let first: Vec<String> = shown.iter().take(3).map(named).collect();
    figure.alt = format!(
        "Bars of the share of variance that each source makes. The largest, including interactions: {}.",
        first.join(", ")
    );
    figure.subtitle = "which sources make the spread; ties share a rank".to_owned();
    figure.notes = vec!["whiskers: 95 % intervals".to_owned()];
    figure.panels = vec![panel];
    figure
}

fn bias(r: &Ranking) -> Figure {
    let own = |s: &Ranked| -> Estimate { s.better.gain_if_perfect.mean };
    let mut seen: Vec<&Ranked> = r.sources.iter().collect();
    seen.retain(|s| own(s).is_seen());
    seen.sort_by(|a, b| own(b).value.abs().total_cmp(&own(a).value.abs()));
    seen.truncate(ROWS);
    let (mut figure, mut panel) = rows(r, "bias", &seen, false);
    // Positive: the magnitude comes out too large, whatever the sign of the enthalpy.
    let percent = 100.0 * r.target.signum() / r.target.abs();
    let largest = seen.first().map_or(1.0, |s| (own(s).value * percent).abs());
    let one = |(i, s): (usize, &&Ranked)| {
        let [value, se] = [own(s).value * percent, (own(s).se * percent).abs()];
        let error = [value - 1.96 * se, value + 1.96 * se];
        bar(i, [-0.2, 0.2], value, error, digits(value, largest / 100.0))
    };
    let bars: Vec<Bar> = seen.iter().enumerate().map(one).collect();
    figure.alt = match (seen.first(), bars.first()) {
        (Some(s), Some(b)) => format!(
            "Bars of the bias of the result that each source makes. The largest: {} {} % of the true value.",
            s.source.key, b.label
        ),
        _ => String::new(),
    };
    panel.x = Axis::titled("bias of the magnitude, % of the true value (minus: too small)");
    panel.x.from_zero = true;
    panel.marks = vec![
        Bars {
            fill: Fill::Strong,
            bars,
            ..Bars::default()
        }
        .into(),
        Rule {
            look: Look::line(Tone::Ink, Stroke::Thin),
            ..Rule::default()
        }
        .into(),
    ];
    figure.subtitle = "which sources shift the result; those that these trials can see".to_owned();
    figure.notes = vec!["whiskers: 95 % intervals".to_owned()];
    figure.panels = vec![panel];
    figure
}

fn better(r: &Ranking) -> Figure {
    let gain = |s: &Ranked| s.better.gain_if_perfect.rms.value;
    let mut sorted: Vec<&Ranked> = r.sources.iter().collect();
    sorted.sort_by(|a, b| gain(b).total_cmp(&gain(a)));
    sorted.truncate(ROWS);
    let (mut figure, mut panel) = rows(r, "better", &sorted, false);
    let now = r.now.rms.value / KILO;
    let decimals = quote(now, now / 1000.0, 1)
        .value
        .split_once('.')
        .map_or(0, |d| d.1.len());
    let written = |x: f64| format!("{x:.decimals$}");
    panel.x = Axis::titled("RMS error of the result, kJ/mol");
    type Of = fn(&Better) -> (Estimate, Estimate);
    let halved: Of = |b| (b.halved.rms, b.gain_if_halved.rms);
    let perfect: Of = |b| (b.perfect.rms, b.gain_if_perfect.rms);
    for (of, lane, name, shape) in [
        (halved, -0.22, "source halved", Shape::Ring),
        (perfect, 0.22, "source without error", Shape::Disc),
    ] {
        let rms = |s: &Ranked| of(&s.better).0.value / KILO;
        let one = |(i, s): (usize, &&Ranked)| {
            // The error of the difference is what tells a point from the line of now.
            let half = 1.96 * of(&s.better).1.se / KILO;
            let (lane, value) = ([lane - 0.04, lane + 0.04], rms(s));
            bar(i, lane, value, [value - half, value + half], written(value))
        };
        let bars: Vec<Bar> = sorted.iter().enumerate().map(one).collect();
        let points = bars
            .iter()
            .enumerate()
            .map(|(i, b)| (b.value, i as f64 + lane));
        let points = Series::of(
            name,
            Look::marker(Tone::Ink, shape),
            points.collect::<Vec<_>>(),
        );
        panel.marks.push(
            Bars {
                fill: Fill::Strong,
                base: now,
                bars,
                ..Bars::default()
            }
            .into(),
        );
        panel.marks.push(points.into());
    }
    panel.marks.push(Rule::upright(
        now,
        format!("now {}", written(now)),
        Look::line(Tone::Accent, Stroke::Solid),
    ));
    figure.alt = match sorted.first() {
        Some(s) => format!(
            "RMS error of the result with each source halved and without error, compared with {} kJ/mol now. {} without error \
             would leave {} kJ/mol.",
            written(now),
            s.source.key,
            written(s.better.perfect.rms.value / KILO)
        ),
        None => String::new(),
    };
    figure.subtitle = "what a better source would bring".to_owned();
    figure.notes = vec![
        "whiskers: 95 % intervals of the difference".to_owned(),
        "the scale does not begin at zero".to_owned(),
    ];
    figure.panels = vec![panel];
    figure
}
