//! The pictures of a ranking: bars by share of variance, bars by bias, and what a better source brings.

use crate::rank::{Ranked, Ranking};
use crate::report::chart::{BarRow, BarsChart, ChartError, Picture, StepRow, StepsChart};
use crate::report::words::provenance;

const KILO: f64 = 1e3;

/// Rows of a picture.
const ROWS: usize = 12;

/// Names and pictures; without those that have nothing to show, such as that of biases where these trials see
/// none.
///
/// # Errors
/// If a picture cannot be drawn.
pub fn rank_pictures(r: &Ranking) -> Result<Vec<(&'static str, Picture)>, ChartError> {
    let mut drawn = Vec::new();
    for (name, picture) in [
        ("variance", variance(r)),
        ("bias", bias(r)),
        ("better", better(r)),
    ] {
        match picture {
            Err(ChartError::NoData) => {}
            picture => drawn.push((name, picture?)),
        }
    }
    Ok(drawn)
}

fn footer(r: &Ranking) -> String {
    provenance(r.seed, r.trials, &r.scenario.digest)
}

fn note(s: &Ranked) -> String {
    let one_sided = if s.one_sided { ", one-sided" } else { "" };
    format!("{}{one_sided}", s.source.scope.name())
}

fn variance(r: &Ranking) -> Result<Picture, ChartError> {
    let percent = |s: &crate::rank::Share| (100.0 * s.value, 100.0 * s.low, 100.0 * s.high);
    let rows = r.sources.iter().take(ROWS).map(|s| {
        let (value, low, high) = percent(&s.share.total);
        BarRow {
            label: s.source.key.to_owned(),
            note: note(s),
            value,
            low,
            high,
            second: Some(percent(&s.share.first)),
            rank: u32::try_from(s.rank).ok(),
        }
    });
    BarsChart {
        title: r.scenario.title.clone(),
        subtitle: "which sources make the spread; ties share a rank".to_owned(),
        x_title: "share of variance, %".to_owned(),
        rows: rows.collect(),
        marks: Vec::new(),
        bar_name: "with all it takes part in".to_owned(),
        second_name: "alone".to_owned(),
        footer: footer(r),
    }
    .draw()
}

fn bias(r: &Ranking) -> Result<Picture, ChartError> {
    let own = |s: &Ranked| s.better.effects[0].gain.mean;
    let mut seen: Vec<&Ranked> = r
        .sources
        .iter()
        .filter(|s| own(s).value.abs() > 3.0 * own(s).se)
        .collect();
    seen.sort_by(|a, b| own(b).value.abs().total_cmp(&own(a).value.abs()));
    let in_size = 100.0 * r.target.signum() / r.target.abs();
    let rows = seen.into_iter().take(ROWS).map(|s| {
        let e = own(s);
        let [a, b] = [e.value - 1.96 * e.se, e.value + 1.96 * e.se].map(|x| x * in_size);
        BarRow {
            label: s.source.key.to_owned(),
            note: note(s),
            value: e.value * in_size,
            low: a.min(b),
            high: a.max(b),
            second: None,
            rank: None,
        }
    });
    BarsChart {
        title: r.scenario.title.clone(),
        subtitle: "which sources shift the result; those that these trials can see".to_owned(),
        x_title: "bias in magnitude, % of the true value (minus: too small)".to_owned(),
        rows: rows.collect(),
        marks: Vec::new(),
        bar_name: String::new(),
        second_name: String::new(),
        footer: footer(r),
    }
    .draw()
}

fn better(r: &Ranking) -> Result<Picture, ChartError> {
    let mut sorted: Vec<&Ranked> = r.sources.iter().collect();
    let gain = |s: &Ranked| s.better.effects[0].gain.rms.value;
    sorted.sort_by(|a, b| gain(b).total_cmp(&gain(a)));
    let rows = sorted.into_iter().take(ROWS).map(|s| {
        let of = |at: usize| {
            let e = &s.better.effects[at];
            // The error of the difference is what tells a point from the line of now.
            (e.treated.rms.value / KILO, e.gain.rms.se / KILO)
        };
        StepRow {
            label: s.source.key.to_owned(),
            note: note(s),
            perfect: of(0),
            halved: of(1),
        }
    });
    StepsChart {
        title: r.scenario.title.clone(),
        subtitle: "what a better source would bring".to_owned(),
        x_title: "RMS error of the result, kJ/mol".to_owned(),
        rows: rows.collect(),
        now: r.now.rms.value / KILO,
        footer: footer(r),
    }
    .draw()
}
