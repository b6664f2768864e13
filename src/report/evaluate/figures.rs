//! The figures of `evaluate`: the runs with their uncertainties, and each record with what was made of it.

use crate::evaluate::{Evaluated, NotedRun, of_leg};
use crate::report::figure::{
    Axis, Figure, Look, Mark, Panel, Point, Row, Rule, Series, Shape, Stroke, Tone,
};
use crate::report::trace::figures::{RecordFigure, record_figure};
use crate::report::words::{accepted, minus, provenance};
use crate::stats::quote;

/// Most records that are drawn.
const RECORDS: usize = 12;

pub(in crate::report) fn evaluate_figures(e: &Evaluated) -> Vec<Figure> {
    let mut all = vec![runs(e)];
    let recorded = e.measured.runs.iter().filter(|r| r.record.is_some());
    all.extend(recorded.take(RECORDS).filter_map(|r| record(e, r)));
    all
}

fn footer(e: &Evaluated) -> String {
    provenance(e.seed, e.trials, &e.scenario.digest)
}

/// One panel for each leg.
fn runs(e: &Evaluated) -> Figure {
    let legs = e.scenario.legs();
    let panel = |at: usize| -> Option<Panel> {
        let results = e.results(at);
        if results.is_empty() {
            return None;
        }
        let size = if at == 0 { 1.0 } else { 1e3 };
        let rows = of_leg(&e.measured.runs, at).map(|r| Row {
            name: format!("run {}", r.label),
            note: r
                .remark
                .clone()
                .unwrap_or_default()
                .chars()
                .take(40)
                .collect(),
            rank: None,
        });
        let points = results.iter().zip(&e.u_runs[at]).enumerate();
        let points = points.map(|(row, (x, u))| Point {
            x: x / size,
            y: row as f64,
            error: Some([(x - 2.0 * u) / size, (x + 2.0 * u) / size]),
            label: minus(&quote(x / size, u / size, 2).value),
            ..Point::default()
        });
        let mut rows: Vec<Row> = rows.collect();
        let mut reach = Vec::new();
        let mut marks = vec![
            Series {
                name: "run, with twice the standard uncertainty that is its own".to_owned(),
                look: Look::marker(Tone::Ink, Shape::Disc),
                points: points.collect(),
                ..Series::default()
            }
            .into(),
        ];
        if at > 0 && legs.len() == 2 {
            let a = &e.agreement;
            let told = minus(&accepted(a.accepted, a.accepted_u.unwrap_or(0.0)));
            let look = Look::line(Tone::Ink, Stroke::Dashed);
            marks.push(Rule::upright(
                a.accepted / size,
                format!("accepted {told}"),
                look,
            ));
            marks.push(result(e, size, rows.len()));
            reach = [e.stated.low, e.stated.high].map(|x| x / size).into();
            rows.push(Row {
                name: "result".to_owned(),
                ..Row::default()
            });
        } else {
            let mean = results.iter().sum::<f64>() / results.len() as f64;
            let look = Look::line(Tone::Accent, Stroke::Solid);
            marks.push(Rule::upright(mean / size, "mean", look));
        }
        Some(Panel {
            x: Axis {
                reach,
                ..Axis::titled(match at {
                    0 => "constant, J/K".to_owned(),
                    _ => format!("result of the {}, kJ/mol", legs[at].title()),
                })
            },
            y: Axis::rows(rows),
            marks,
            ..Panel::default()
        })
    };
    let value = quote(e.stated.value / 1e3, e.stated.half_width() / 1e3, 2);
    Figure {
        name: "runs".to_owned(),
        title: "The runs, each with what is uncertain in it alone".to_owned(),
        subtitle: format!("result: ({} ± {}) kJ/mol", minus(&value.value), value.u),
        alt: format!(
            "Each measured run as a point with its uncertainty, their mean and the accepted value; result {} ± {} kJ/mol.",
            minus(&value.value),
            value.u
        ),
        panels: (0..legs.len()).filter_map(panel).collect(),
        notes: Vec::new(),
        footer: footer(e),
    }
}

/// The result with its interval, below the runs.
fn result(e: &Evaluated, size: f64, row: usize) -> Mark {
    let r = &e.stated;
    let point = Point {
        x: r.value / size,
        y: row as f64,
        error: Some([r.low / size, r.high / size]),
        label: minus(&quote(r.value / size, r.half_width() / size, 2).value),
        ..Point::default()
    };
    Series {
        name: "result, with its 95 % interval".to_owned(),
        look: Look::marker(Tone::Accent, Shape::Square),
        points: vec![point],
        ..Series::default()
    }
    .into()
}

/// The record of a run.
fn record(e: &Evaluated, run: &NotedRun) -> Option<Figure> {
    let name: String = run
        .label
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .collect();
    record_figure(&RecordFigure {
        name: format!("record-{name}"),
        title: format!("The record of run {}", run.label),
        record: run.record.as_ref()?,
        curve: &[],
        footer: footer(e),
    })
}
