//! All reductions on one record.

use super::chart::{ChartError, EqualAreas, FittedLine, Picture, ReductionChart, ReductionWay};
use crate::experiment::Experiment;
use crate::forecast::Forecast;
use crate::lab::{Line, Reduction, all_readings};
use crate::nature::{Group, Run};
use crate::quantity::{Celsius, Second};
use crate::random::{Draws, Layout, Plan};
use crate::scenario::{Record, Way};

/// The first determination of the first group, reduced in every way.
///
/// # Errors
/// If the picture cannot be drawn.
pub(super) fn reductions_picture(f: &Forecast, footer: &str) -> Result<Picture, ChartError> {
    let model = Experiment::without_claims(f.scenario.clone());
    let leg = &model.scenario().determination;
    let plan = Plan::new();
    let draws = Draws::new(f.seed, 0, Layout::MARGINAL, &plan);
    let group = Group::new(leg, model.scenario().room, &draws);
    let run = Run::new(&group, draws, 0, 0);
    let shown = |number: u32, t: Second| run.reading(number, t)[0];
    let readings: Vec<(f64, f64)> = all_readings(leg.record)
        .into_iter()
        .map(|(number, t)| (t.0, shown(number, t).0))
        .collect();
    let lines = Reduction::with(leg.record, Way::BackToMixing).lines(shown);
    let [fore, after] = lines[..] else {
        return Err(ChartError::NoData);
    };
    let seen: Vec<(Way, f64, f64)> = Way::ALL
        .into_iter()
        .map(|way| {
            let reduced =
                Reduction::with(leg.record, way).reduce(|number, t| run.reading(number, t));
            (way, reduced.rise[0].0, reduced.moment[0])
        })
        .collect();
    let ways = seen
        .iter()
        .map(|&(way, rise, moment)| {
            on_paper(way, rise, moment, &readings, leg.record, (fore, after))
        })
        .collect();
    let areas = seen
        .iter()
        .find(|s| s.0 == Way::EqualAreas && s.2.is_finite())
        .map(|s| EqualAreas {
            from: 0.0,
            at: s.2,
            to: after.from.0,
        });
    ReductionChart {
        title: format!("One record, six reductions: {}", leg.reaction.title),
        subtitle: "first determination of the first group".to_owned(),
        readings,
        fore: line(fore, "line before"),
        after: line(after, "line after"),
        ways,
        areas,
        true_rise: Some(run.true_rise(0).0),
        footer: footer.to_owned(),
    }
    .draw()
}

fn line(l: Line, label: &str) -> FittedLine {
    FittedLine {
        from: l.from.0,
        to: l.to.0,
        intercept_at: 0.0,
        value: l.at_mixing.0,
        slope: l.slope,
        label: label.to_owned(),
    }
}

/// Where a way's change of temperature stands on the record.
fn on_paper(
    way: Way,
    rise: f64,
    moment: f64,
    readings: &[(f64, f64)],
    record: Record,
    (fore, after): (Line, Line),
) -> ReductionWay {
    let at_line = |l: Line, t: f64| Celsius(l.at_mixing.0 + l.slope * t).0;
    let last_before = readings
        .iter()
        .rev()
        .find(|r| r.0 < 0.0)
        .map_or(f64::NAN, |r| r.1);
    let (at, low, high) = match way {
        Way::TwoReadings | Way::Extreme => {
            let high = last_before + rise;
            let read_at = match record {
                Record::Trace { read_at, .. } => read_at.0,
                Record::TwoReadings { read_at, .. } => read_at.0,
            };
            let found = readings.iter().filter(|r| r.0 > 0.0).find(|r| {
                let due = way == Way::Extreme || r.0 >= read_at - 1e-6;
                due && (r.1 - high).abs() < 1e-9
            });
            (found.map(|r| r.0), last_before, high)
        }
        Way::RegnaultPfaundler => (None, fore.at_mixing.0, fore.at_mixing.0 + rise),
        Way::BackToMixing | Way::SixtyThree | Way::EqualAreas => {
            (Some(moment), at_line(fore, moment), at_line(after, moment))
        }
    };
    ReductionWay {
        name: way.title().to_owned(),
        at,
        low,
        high,
        rise,
    }
}
