//! Studies as they are made, for the tests of the chart of curves and for the eye.

use super::*;

pub(super) const FOOTER: &str = "joulecast 0.1.0 · seed 1 · 102 400 trials · scenario 3f2a9c…";

pub(super) fn mark(at: f64, label: &str) -> Mark {
    Mark {
        at,
        label: label.to_owned(),
    }
}

pub(super) fn span(low: f64, high: f64, label: &str) -> Span {
    Span {
        low,
        high,
        label: label.to_owned(),
    }
}

pub(super) fn curve(name: &str, points: impl IntoIterator<Item = (f64, f64, f64)>) -> Curve {
    Curve {
        name: name.to_owned(),
        points: points
            .into_iter()
            .map(|(x, y, se)| CurvePoint {
                x,
                y,
                se,
                ..CurvePoint::default()
            })
            .collect(),
    }
}

/// Factor of Student's t at 95 % for one to eleven degrees of freedom.
const STUDENT: [f64; 11] = [
    12.71, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228, 2.201,
];

/// Uncertainty against the number of determinations, with floor and target.
pub(super) fn replicates() -> CurvesChart {
    let floor = 0.21;
    let counts = 1..=12_u32;
    let scatter = |n: u32| 0.62 / f64::from(n).sqrt();
    let both = |n: u32| (scatter(n) * scatter(n) + floor * floor).sqrt();
    let student = |n: u32| match n {
        1 => f64::NAN,
        n => STUDENT[n as usize - 2] * scatter(n) / 1.96,
    };
    CurvesChart {
        title: "What more determinations buy".to_owned(),
        subtitle: "potassium chloride in a simple beaker, thermometer to 0.1 K".to_owned(),
        x_title: "number of determinations".to_owned(),
        panels: vec![Panel {
            y_title: "standard uncertainty of the enthalpy, kJ/mol".to_owned(),
            curves: vec![
                curve(
                    "of the mean, all errors",
                    counts.clone().map(|n| (f64::from(n), both(n), 0.011)),
                ),
                curve(
                    "of the mean, scatter alone",
                    counts.clone().map(|n| (f64::from(n), scatter(n), 0.008)),
                ),
                curve(
                    "claimed with Student's t",
                    counts.map(|n| (f64::from(n), student(n), 0.03)),
                ),
            ],
            levels: vec![mark(floor, "floor 0.21"), mark(0.35, "target 0.35")],
            from_zero: true,
        }],
        whole_x: true,
        footer: FOOTER.to_owned(),
        ..CurvesChart::default()
    }
}

/// Uncertainty and bias against the mass of the sample, with forbidden ends and a window.
pub(super) fn masses() -> CurvesChart {
    let masses: Vec<f64> = (0..=18).map(|n| 0.5 + 0.5 * f64::from(n)).collect();
    let spread = |m: f64| 0.08 + 0.9 / m + 0.004 * m * m;
    let bias = |m: f64| 0.15 - 0.0075 * m * m;
    let each = |value: &dyn Fn(f64) -> f64, se: f64| -> Vec<(f64, f64, f64)> {
        masses.iter().map(|m| (*m, value(*m), se)).collect()
    };
    CurvesChart {
        title: "How much salt to weigh in".to_owned(),
        subtitle: "100 mL of water, magnetic stirrer".to_owned(),
        x_title: "mass of the sample, g".to_owned(),
        panels: vec![
            Panel {
                y_title: "standard uncertainty, kJ/mol".to_owned(),
                curves: vec![
                    curve("as it is", each(&spread, 0.03)),
                    curve("with a better lid", each(&|m| 0.7 * spread(m), 0.01)),
                ],
                levels: vec![mark(0.4, "target 0.40 kJ/mol")],
                from_zero: true,
            },
            Panel {
                y_title: "bias, kJ/mol".to_owned(),
                curves: vec![
                    curve("as it is", each(&bias, 0.04)),
                    curve("with a better lid", each(&|m| 0.5 * bias(m), 0.01)),
                ],
                ..Panel::default()
            },
        ],
        zones: vec![
            span(0.0, 1.25, "below what the balance may weigh"),
            span(8.25, f64::INFINITY, "not dissolved in time"),
        ],
        window: Some(span(3.25, 6.5, "meets the target: 3.3 g to 6.5 g")),
        note: "every mass with 10 240 trials".to_owned(),
        footer: FOOTER.to_owned(),
        ..CurvesChart::default()
    }
}

/// A single point with its level.
pub(super) fn single() -> CurvesChart {
    CurvesChart {
        title: "One point".to_owned(),
        x_title: "volume, mL".to_owned(),
        panels: vec![Panel {
            y_title: "standard uncertainty, kJ/mol".to_owned(),
            curves: vec![curve("as it is", [(100.0, 0.43, 0.05)])],
            levels: vec![mark(0.4, "target")],
            from_zero: false,
        }],
        footer: FOOTER.to_owned(),
        ..CurvesChart::default()
    }
}

/// Three panels of 200 points each, with a gap.
pub(super) fn dense() -> CurvesChart {
    let at = |n: u32| 0.05 * f64::from(n);
    let wave = |n: u32, size: f64| size * (1.2 + libm::sin(0.07 * f64::from(n)));
    let points = |size: f64, se: f64| {
        (0..200).map(move |n| {
            let gap = (90..97).contains(&n) || (100..104).contains(&n);
            (at(n), if gap { f64::NAN } else { wave(n, size) }, se)
        })
    };
    let panel = |title: &str, size: f64| Panel {
        y_title: title.to_owned(),
        curves: vec![
            curve("readings every 5 s", points(size, 0.05 * size)),
            curve("readings every 10 s", points(0.7 * size, 0.0)),
            curve("readings every 30 s", points(0.5 * size, 0.0)),
        ],
        levels: vec![mark(size, "target")],
        from_zero: true,
    };
    CurvesChart {
        title: "How the spacing of readings acts".to_owned(),
        x_title: "delay of the first reading, min".to_owned(),
        panels: vec![
            panel("standard uncertainty, kJ/mol", 0.4),
            panel("bias, kJ/mol", 3e-5),
            panel("half-width of the claimed interval, kJ/mol", 2.6e4),
        ],
        zones: vec![
            span(2.0, 2.0, "stirrer starts"),
            span(3.0, 3.05, "lid opened for the sample"),
            span(3.05, 3.1, "lid closed again by hand"),
        ],
        footer: FOOTER.to_owned(),
        ..CurvesChart::default()
    }
}

/// Zones over nearly everything, overlapping, and a window squeezed between them.
pub(super) fn forbidden() -> CurvesChart {
    let mut chart = masses();
    "Hardly a mass is allowed".clone_into(&mut chart.title);
    chart.zones = vec![
        span(0.0, 4.0, "the temperature changes by less than 1 K"),
        span(5.0, 11.0, "not dissolved in time"),
        span(7.0, 11.0, "beyond solubility"),
        span(4.9, 5.0, "spilled"),
    ];
    chart.window = Some(span(4.2, 4.6, "meets the target"));
    chart.panels[0]
        .levels
        .push(mark(40.0, "what the handout claims"));
    chart.panels[1].levels = vec![mark(0.002, "permitted"), mark(-0.002, "permitted")];
    chart
}
