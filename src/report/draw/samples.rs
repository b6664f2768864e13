//! Figures of odd data, for tests.

use crate::report::figure::*;

/// Odd values of every kind.
fn odd() -> Vec<(&'static str, Vec<f64>)> {
    let many = (0..14).map(|i| 9.0 / f64::from(i + 1)).collect();
    vec![
        ("one", vec![3.0]),
        ("equal", vec![2.5; 6]),
        ("zero", vec![0.0; 3]),
        ("negative", vec![-4.0, -0.1, -2.0]),
        (
            "outlier",
            vec![1.0, 1.1, 1e7, 0.9, 1.05, 1.0, 1.2, 1.1, 0.95],
        ),
        ("nan", vec![1.0, f64::NAN, f64::INFINITY, 2.0]),
        ("huge", vec![1e99, -1e99, 3.0]),
        ("tiny", vec![1e-12, 2e-12, 3e-12]),
        ("two", vec![1.0, 5.0]),
        ("many", many),
    ]
}

/// A figure with long words.
pub(super) fn framed(name: &str, panels: Vec<Panel>) -> Figure {
    Figure {
        name: name.to_owned(),
        title: "A headline that is long enough to need a second line when it is set in bold letters & <signs>".to_owned(),
        subtitle: "a remark on what is drawn".to_owned(),
        alt: format!("A picture of {name} values."),
        notes: vec!["a note".to_owned(); 3],
        footer: "joulecast · seed 1".to_owned(),
        panels,
    }
}

/// Bars in rows with long names, two a row, and lines close to each other.
pub(super) fn rows(values: &[f64]) -> Panel {
    let row = |i: usize| Row {
        name: format!(
            "dissolving.leftover_{}",
            "of_coarse_crystals_".repeat(i % 4)
        ),
        note: "now 35 s, 30 % log-normal (calibration); 45 s, 35 % log-normal ".repeat(i % 3),
        rank: u32::try_from(i + 1).ok(),
    };
    let bars = |lane: [f64; 2]| {
        let bar = |(i, v): (usize, &f64)| Bar {
            sides: lane.map(|side| i as f64 + side),
            value: *v,
            error: Some([v - 0.3 * v.abs(), v + 0.2 * v.abs()]),
            label: format!("{v:.3}"),
        };
        values.iter().enumerate().map(bar).collect()
    };
    let rule = |at: f64, label: &str| Rule {
        at,
        label: label.to_owned(),
        ..Rule::default()
    };
    let double = [[-0.36, -0.06], [0.14, 0.36]].map(|lane| Bars {
        name: "share, including interactions".to_owned(),
        bars: bars(lane),
        ..Bars::default()
    });
    let mut marks: Vec<Mark> = double.into_iter().map(Mark::from).collect();
    marks.extend([rule(1.0, "now 1.00 %"), rule(1.02, "target 1.02 %")].map(Mark::from));
    Panel {
        x: Axis {
            from_zero: true,
            ..Axis::titled("share, %")
        },
        y: Axis::rows((0..values.len()).map(row).collect()),
        marks,
        ..Panel::default()
    }
}

/// Curves with errors, stretches, levels, words and an arrow.
pub(super) fn curves(values: &[f64]) -> Panel {
    let series = |number: usize| {
        let point = |(i, v): (usize, &f64)| Point {
            x: i as f64,
            y: v * (1.0 + 0.01 * number as f64),
            error: Some([v - 0.1, v + 0.1]),
            aside: i == 2,
            ..Point::default()
        };
        Series {
            name: format!("curve {number} with a name that goes on"),
            label: format!("curve {number}"),
            look: Look::curve(number),
            points: values.iter().enumerate().map(point).collect(),
        }
    };
    let span = |a: f64, b: f64, label: &str, fill: Option<Fill>| Span {
        ends: [a, b],
        label: label.to_owned(),
        fill,
        ..Span::default()
    };
    let mut marks: Vec<Mark> = vec![
        span(
            -1.0,
            0.4,
            "ΔT too small to read, excess runs out",
            Some(Fill::Tinted),
        )
        .into(),
        span(0.4, f64::INFINITY, "meets the target", None).into(),
        span(0.45, 0.5, "longer than the session", Some(Fill::Tinted)).into(),
    ];
    marks.extend((0..3).map(|n| Mark::from(series(n))));
    marks.push(
        Rule {
            at: 1.3,
            direction: Direction::Across,
            label: "floor of the spread: infinitely many runs".to_owned(),
            ..Rule::default()
        }
        .into(),
    );
    marks.push(
        Arrow {
            x: 1.0,
            ends: [1.0, 2.0],
            label: "ΔT = 1.0 K".to_owned(),
        }
        .into(),
    );
    marks.push(
        Note {
            x: 1.0,
            y: 1.0,
            label: "best".to_owned(),
        }
        .into(),
    );
    marks.push(
        Whisker {
            name: "95 % of groups: 1 to 2".to_owned(),
            ends: [0.5, f64::MAX],
        }
        .into(),
    );
    Panel {
        x: Axis::titled("time since mixing, s"),
        y: Axis::titled("temperature, °C"),
        marks,
        height: Height::Low,
    }
}

/// A map of `n` by `n` cells, or of more rows, with lines, zones and a best cell.
fn map(n: usize, values: &[f64], stepped: bool) -> Panel {
    let places: Vec<f64> = (0..n).map(|i| 1.0 + i as f64).collect();
    let z = |j: usize| {
        (0..n)
            .map(|i| values[(i * j + i) % values.len()] + i as f64)
            .collect()
    };
    let level = |at: f64, bold: bool| Level {
        at,
        label: format!("{at:.1}"),
        bold,
        above: false,
    };
    let scale = || if stepped { Scale::Whole } else { Scale::Linear };
    let axis = |title: &str| Axis {
        scale: scale(),
        at: places.clone(),
        ..Axis::titled(title)
    };
    Panel {
        x: axis("runs"),
        y: axis("sample mass, g"),
        height: Height::Tall,
        marks: vec![
            Cells {
                name: "spread, %".to_owned(),
                z: (0..n).map(z).collect(),
                levels: vec![level(1.5, false), level(2.5, false), level(3.0, true)],
                zones: vec![Hatched {
                    mark: "a".to_owned(),
                    label: "ΔT too small to read".to_owned(),
                    cells: (0..n).map(|j| (0, j)).collect(),
                }],
                best: Some(((n - 1, n - 1), "smallest RMS error".to_owned())),
                stepped,
                xs: places.clone(),
                ys: places.clone(),
            }
            .into(),
        ],
    }
}

/// Figures of all these.
pub(super) fn all() -> Vec<Figure> {
    let mut figures = Vec::new();
    for (name, values) in odd() {
        figures.push(framed(name, vec![rows(&values)]));
        figures.push(framed(
            name,
            vec![curves(&values), curves(&values), rows(&values)],
        ));
        for (n, stepped) in [(1, false), (2, true), (6, true), (9, false), (20, false)] {
            figures.push(framed(name, vec![map(n, &values, stepped)]));
        }
    }
    figures
}
