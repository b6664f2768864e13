//! The pictures of a forecast.

use crate::forecast::Forecast;
use crate::report::chart::{
    ChartError, HistogramChart, Mark, Picture, RecordChart, Rise, Span, Spot,
};
use crate::report::reductions_picture::reductions_picture;
use crate::report::sample_run::{SampleRun, drawn};
use crate::report::words::{accepted, percent, provenance};
use crate::scenario::{Record, Way};
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
    let at = f.target / KILO;
    let (what, mark) = if f.beside.medium.is_some() {
        (
            "what groups report, about the value in their medium",
            "true",
        )
    } else {
        ("what groups report", "accepted")
    };
    let kind = match f.value.interval.kind {
        IntervalKind::Symmetric => "95 % of groups",
        IntervalKind::Shortest => "95 % of groups, shortest",
    };
    let legs = f.scenario.legs();
    HistogramChart {
        title: f.scenario.title.clone(),
        subtitle: format!(
            "{what}: {} calibrations, {} determinations each",
            legs[0].runs, legs[1].runs
        ),
        x_title: format!(
            "molar enthalpy of {} at {} °C, kJ/mol",
            if f.scenario.is_cycle() {
                "the cycle"
            } else {
                short(&f.scenario.determination.reaction.title)
            },
            f.scenario.target.quote_at.0
        ),
        values: &values,
        mean: f.has_spread().then_some(f.value.summary.mean.value / KILO),
        median: f.value.summary.median.value / KILO,
        interval: Span {
            low: f.value.interval.low.value / KILO,
            high: f.value.interval.high.value / KILO,
            label: kind.to_owned(),
        },
        accepted: Some(Mark {
            at,
            label: format!(
                "{mark} {}",
                accepted(f.target, f.scenario.tabulated_u().0).replace('-', "−")
            ),
        }),
        band: f.scenario.target.band.map(|band| {
            let half = band * at.abs();
            Span {
                low: at - half,
                high: at + half,
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
    let run = SampleRun::of(f);
    let mut chart = RecordChart {
        title: format!(
            "One simulated run: {}",
            f.scenario.determination.reaction.title
        ),
        subtitle:
            "first determination of the first group; the thermometer's own offset parts dots \
                   and curve"
                .to_owned(),
        footer: footer(f),
        ..RecordChart::default()
    };
    if let Some(own) = run.own_way() {
        let rise = quote(own.rise, run.noise.max(1e-4), 1)
            .value
            .replace('-', "−");
        chart.rise = Some(Rise {
            low: own.low,
            high: own.high,
            label: format!("ΔT = {rise} K"),
        });
        let label = match run.way {
            Way::BackToMixing => "moment of mixing",
            Way::SixtyThree => "63 % of the rise",
            Way::EqualAreas => "equal areas",
            Way::TwoReadings | Way::Extreme => "reading taken",
            Way::RegnaultPfaundler => "mixing",
        };
        chart.moment = Some(Mark {
            at: own.at.unwrap_or(0.0),
            label: label.to_owned(),
        });
    }
    match (run.record, run.lines) {
        (Record::Trace { .. }, Some([fore, after])) => {
            chart.lines = vec![drawn(fore, "line before"), drawn(after, "line after")];
            chart.readings = run.readings;
        }
        _ => {
            chart.moment = None;
            chart.points_only = run
                .readings
                .iter()
                .zip(["first reading", "second reading"])
                .map(|(&(x, y), name)| Spot {
                    x,
                    y,
                    label: name.to_owned(),
                })
                .collect();
        }
    }
    if run.way != Way::BackToMixing {
        chart.break_at = Some(0.0);
    }
    chart.true_curve = Some(run.curve);
    chart.draw()
}
