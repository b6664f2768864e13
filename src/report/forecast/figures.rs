//! The figures of a forecast: the distribution of results, and one simulated record with its evaluation.

use super::figures_record::record;
use super::figures_reductions::reductions;
use crate::forecast::{Forecast, Sample};
use crate::report::figure::{
    Axis, Bars, Figure, Fill, Look, Mark, Panel, Rule, Span, Stroke, Tone, Whisker, bins,
};
use crate::report::words::{accepted, digits, minus, percent, provenance};
use crate::scenario::Record;
use crate::stats::{IntervalKind, quote};

const KILO: f64 = 1e3;

/// Numbers are told to about this part of their interval; finer digits could not be told apart in the picture.
const FINEST: f64 = 100.0;

/// The figures.
pub(in crate::report) fn forecast_figures(f: &Forecast, all_reductions: bool) -> Vec<Figure> {
    let sample = Sample::of(f);
    let mut all = vec![histogram(f), record(f, &sample)];
    let traced = matches!(f.scenario.determination.record, Record::Trace { .. });
    if all_reductions && traced {
        all.extend(reductions(f, &sample));
    }
    all
}

/// Where the numbers of a forecast come from.
pub(super) fn footer(f: &Forecast) -> String {
    provenance(f.seed, f.trials, &f.scenario.digest)
}

/// A title without what stands behind its comma or bracket.
fn short(title: &str) -> &str {
    title.split([',', '(']).next().unwrap_or(title).trim()
}

fn histogram(f: &Forecast) -> Figure {
    let values: Vec<f64> = f.kept.iter().map(|v| v / KILO).collect();
    let lattice = f.lattice.map(|l| crate::stats::Lattice {
        step: l.step / KILO,
        ..l
    });
    let found = bins(&values, lattice);
    let ends = [f.value.interval.low, f.value.interval.high].map(|e| e.value / KILO);
    let fine = ((ends[1] - ends[0]) / FINEST).abs();
    let told = |x: f64| digits(x, fine);
    let at = f.target / KILO;
    let (what, mark) = if f.beside.medium.is_some() {
        (
            "what groups report, about the value in their medium",
            "true",
        )
    } else {
        ("what groups report", "accepted")
    };
    let right = minus(&accepted(f.target, f.scenario.tabulated_u().0));
    let interval = format!(
        "{}: {} to {}",
        match f.value.interval.kind {
            IntervalKind::Symmetric => "95 % of groups",
            IntervalKind::Shortest => "95 % of groups, shortest",
        },
        told(ends[0]),
        told(ends[1])
    );
    let mut marks: Vec<Mark> = Vec::new();
    marks.extend(f.scenario.target.band.map(|band| {
        let ends = [1.0 - band, 1.0 + band].map(|part| part * at);
        Mark::from(Span {
            ends,
            label: format!(
                "fair band ±{}: {} to {}",
                percent(band),
                told(ends[0].min(ends[1])),
                told(ends[0].max(ends[1]))
            ),
            fill: Some(Fill::Tinted),
            in_key: true,
            ..Span::default()
        })
    }));
    let each = found.as_ref().is_some_and(|b| b.each);
    let mut notes = Vec::new();
    if let Some(found) = found {
        if found.outside > 0.0 {
            notes.push(
                match quote(100.0 * found.outside, 100.0 * found.outside, 1).value {
                    share if found.outside >= 1e-4 => {
                        format!("{share} % of the trials lie outside the bars")
                    }
                    _ => "less than 0.01 % of the trials lie outside the bars".to_owned(),
                },
            );
        }
        if found.unusable > 0 {
            notes.push(format!(
                "{} trials without a finite result are left out",
                found.unusable
            ));
        }
        if each {
            notes
                .push("results fall on few values, one bar each: the display has steps".to_owned());
        }
        let bars = Bars {
            bars: found.bars,
            ..Bars::default()
        };
        marks.push(bars.into());
    }
    marks.push(
        Whisker {
            name: interval.clone(),
            ends,
        }
        .into(),
    );
    // The accepted value first: it gets the lowest place above the panel.
    marks.push(Rule::upright(
        at,
        format!("{mark} {right}"),
        Look::line(Tone::Accent, Stroke::Broad),
    ));
    let median = f.value.median.value / KILO;
    let mean = f.has_spread().then_some(f.value.mean.value / KILO);
    marks.extend(mean.map(|mean| {
        Rule::upright(
            mean,
            format!("mean {}", told(mean)),
            Look::line(Tone::Ink, Stroke::Dashed),
        )
    }));
    marks.push(Rule::upright(
        median,
        format!("median {}", told(median)),
        Look::line(Tone::Ink, Stroke::Dotted),
    ));
    let legs = f.scenario.legs();
    let of = if f.scenario.is_cycle() {
        "the cycle"
    } else {
        short(&f.scenario.determination.reaction.title)
    };
    let quantity = format!(
        "molar enthalpy of {of} at {} °C, kJ/mol",
        f.scenario.target.quote_at.0
    );
    Figure {
        name: "histogram".to_owned(),
        title: f.scenario.title.clone(),
        subtitle: format!(
            "{what}: {} calibrations, {} determinations each",
            legs[0].runs, legs[1].runs
        ),
        alt: format!(
            "Histogram of the {quantity}, as groups report it. The median is {}, {mark} is {right}; {interval}.",
            told(median)
        ),
        panels: vec![Panel {
            x: Axis::titled(quantity),
            y: Axis {
                title: if each {
                    "share of trials, %".to_owned()
                } else {
                    "share of trials per bar, %".to_owned()
                },
                from_zero: true,
                ..Axis::default()
            },
            marks,
            ..Panel::default()
        }],
        notes,
        footer: footer(f),
    }
}
