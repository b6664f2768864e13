//! The pictures of a forecast.

use super::chart::{
    ChartError, FittedLine, HistogramChart, Mark, Picture, RecordChart, Rise, Span, Spot,
};
use super::reductions_picture::reductions_picture;
use super::words::{percent, provenance};
use crate::experiment::Experiment;
use crate::forecast::Forecast;
use crate::lab::all_readings;
use crate::nature::{Group, Run};
use crate::quantity::Second;
use crate::random::{Draws, Layout, Plan};
use crate::scenario::Record;
use crate::stats::{IntervalKind, quote};

const KILO: f64 = 1e3;

/// File stems and pictures: the distribution of results, and one simulated record of a
/// determination with both lines and the moment taken.
///
/// # Errors
/// If a picture cannot be drawn.
pub fn forecast_pictures(
    f: &Forecast,
    reductions: bool,
) -> Result<Vec<(&'static str, Picture)>, ChartError> {
    let mut all = vec![("histogram", histogram(f)?), ("record", record(f)?)];
    let traced = matches!(f.scenario.determination.record, Record::Trace { .. });
    if reductions && traced {
        all.push(("reductions", reductions_picture(f, &footer(f))?));
    }
    Ok(all)
}

fn footer(f: &Forecast) -> String {
    provenance(f.seed, f.trials, &f.scenario.digest)
}

fn histogram(f: &Forecast) -> Result<Picture, ChartError> {
    let values: Vec<f64> = f.kept.iter().map(|v| v / KILO).collect();
    let spread = f.spread.value / KILO;
    let accepted = f.target / KILO;
    let kind = match f.value.interval.kind {
        IntervalKind::Symmetric => "95 % of groups",
        IntervalKind::Shortest => "95 % of groups, shortest",
    };
    let legs = f.scenario.legs();
    HistogramChart {
        title: f.scenario.title.clone(),
        subtitle: format!(
            "what groups report: {} calibrations, {} determinations each",
            legs[0].runs, legs[1].runs
        ),
        x_title: format!(
            "molar enthalpy of {} at {} °C, kJ/mol",
            short(&f.scenario.determination.reaction.title),
            f.scenario.target.quote_at.0
        ),
        values: &values,
        mean: f.value.summary.mean.value / KILO,
        median: f.value.summary.median.value / KILO,
        interval: Span {
            low: f.value.interval.low.value / KILO,
            high: f.value.interval.high.value / KILO,
            label: kind.to_owned(),
        },
        accepted: Some(Mark {
            at: accepted,
            label: format!(
                "accepted {}",
                quote(accepted, spread, 2).value.replace('-', "−")
            ),
        }),
        band: f.scenario.target.band.map(|band| {
            let half = band * accepted.abs();
            Span {
                low: accepted - half,
                high: accepted + half,
                label: format!("fair band ±{}", percent(band)),
            }
        }),
        footer: footer(f),
    }
    .draw()
}

/// A title without what stands behind its comma or bracket.
fn short(title: &str) -> &str {
    title.split([',', '(']).next().unwrap_or(title).trim()
}

/// The first determination of the first group.
fn record(f: &Forecast) -> Result<Picture, ChartError> {
    let model = Experiment::without_claims(f.scenario.clone());
    let leg = &model.scenario().determination;
    let plan = Plan::new();
    let draws = Draws::new(f.seed, 0, Layout::MARGINAL, &plan);
    let group = Group::new(leg, model.scenario().room, &draws);
    let run = Run::new(&group, draws, 0, 0);
    let reduction = &model.reductions()[1];
    let shown = |number: u32, t: Second| run.reading(number, t)[0];
    let reduced = reduction.reduce(|n, t| run.reading(n, t));
    let low = reduced.mixing[0].0;
    let high = low + reduced.rise[0].0;
    let resolution = leg
        .binding(crate::scenario::SourceId::Noise)
        .input
        .dist
        .clone();
    let digits = crate::random::dist::Distribution::sd(&resolution).max(1e-4);
    let rise = quote(reduced.rise[0].0, digits, 1).value.replace('-', "−");
    let (start, end) = match leg.record {
        Record::TwoReadings { before, read_at } => (-before.0, read_at.0),
        Record::Trace { fore, after, .. } => (-fore.0, after.0),
    };
    let curve = (0..=600)
        .map(|i| start + (end - start) * f64::from(i) / 600.0)
        .map(|t| (t, run.truth(0, Second(t)).0))
        .collect();
    let lines = reduction.lines(shown);
    let names = ["line before", "line after"];
    let mut chart = RecordChart {
        title: format!("One simulated run: {}", leg.reaction.title),
        subtitle: "first determination of the first group; the thermometer's own offset parts dots and curve"
            .to_owned(),
        true_curve: Some(curve),
        moment: Some(Mark {
            at: 0.0,
            label: "moment of mixing".to_owned(),
        }),
        rise: Some(Rise {
            low,
            high,
            label: format!("ΔT = {rise} K"),
        }),
        footer: footer(f),
        ..RecordChart::default()
    };
    if let Record::Trace { .. } = leg.record {
        chart.readings = all_readings(leg.record)
            .into_iter()
            .map(|(number, t)| (t.0, shown(number, t).0))
            .collect();
        chart.lines = lines
            .iter()
            .zip(names)
            .map(|(l, name)| FittedLine {
                from: l.from.0,
                to: l.to.0,
                intercept_at: 0.0,
                value: l.at_mixing.0,
                slope: l.slope,
                label: name.to_owned(),
            })
            .collect();
    } else {
        chart.moment = None;
        chart.break_at = Some(0.0);
        chart.points_only = reduction
            .readings()
            .zip(["first reading", "second reading"])
            .map(|((n, t), name)| Spot {
                x: t.0,
                y: shown(n, t).0,
                label: name.to_owned(),
            })
            .collect();
    }
    chart.draw()
}
