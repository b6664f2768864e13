//! Checks of structure: what must be in every picture, and what must never happen.

use resvg::usvg::{Group, Node, Rect};

use super::*;

/// Asserts that all these words stand in a picture.
#[track_caller]
pub(super) fn says(picture: &Picture, all: &[&str]) {
    for words in all {
        assert!(picture.svg.contains(words), "missing: {words}");
    }
}

/// Draws from the first few of these values, always in the same order (a linear congruential generator).
pub(super) fn drawn_from(values: &[f64]) -> impl FnMut(usize) -> f64 + '_ {
    let mut state = 1_u64;
    move |few| {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        values[(state >> 33) as usize % few]
    }
}

/// Evenly spread ranks turned into a bell curve, so that samples need no random numbers.
pub(super) fn bell(count: u32, center: f64, spread: f64) -> Vec<f64> {
    (0..count)
        .map(|index| {
            let rank = (f64::from(index) + 0.5) / f64::from(count);
            let logit = libm::log(rank / (1.0 - rank));
            // The logistic quantile with its tails pulled in comes close enough to a bell.
            center + spread * 0.6 * logit / (1.0 + 0.02 * logit.abs())
        })
        .collect()
}

/// A one-sided tail towards lower values of heat.
pub(super) fn skewed(count: u32) -> Vec<f64> {
    (0..count)
        .map(|index| {
            let rank = (f64::from(index) + 0.5) / f64::from(count);
            let wobble = (f64::from(index * 7919 % 1000) - 500.0) / 2000.0;
            -35.4 - 0.8 * libm::log(1.0 - rank) + wobble
        })
        .collect()
}

pub(super) fn sample_histogram(values: &[f64]) -> HistogramChart<'_> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let rank = |share: f64| sorted[(share * (sorted.len() - 1) as f64) as usize];
    HistogramChart {
        title: "Molar enthalpy of solution of potassium chloride".to_owned(),
        subtitle: "simple beaker, thermometer to 0.1 K, one run".to_owned(),
        x_title: "molar enthalpy of solution, kJ/mol".to_owned(),
        values,
        mean: Some(values.iter().sum::<f64>() / values.len() as f64),
        median: rank(0.5),
        interval: Span {
            low: rank(0.025),
            high: rank(0.975),
            label: "95 % interval".to_owned(),
        },
        accepted: Some(Mark {
            at: -34.89,
            label: "accepted \u{2212}34.89".to_owned(),
        }),
        band: Some(Span {
            low: -35.39,
            high: -34.39,
            label: "fair band ±0.5 kJ/mol".to_owned(),
        }),
        footer: "joulecast 0.1.0 · seed 1 · 102 400 trials · scenario 3f2a9c…".to_owned(),
    }
}

/// A step with drift before and after, read with a display of the given resolution.
pub(super) fn sample_record(step: f64, resolution: f64) -> RecordChart {
    let truth = |time: f64| {
        let after = if time > 0.0 {
            (step - 0.00018 * step * time) * (1.0 - libm::exp(-time / 14.0))
        } else {
            0.0
        };
        24.982 + 0.00012 * (time + 180.0) * step + after
    };
    let readings = (0..=120).map(|index| {
        let time = -180.0 + 5.0 * f64::from(index);
        let noise = 0.4 * resolution * libm::sin(f64::from(index * index));
        let value = ((truth(time) + noise) / resolution).round() * resolution;
        (time, value)
    });
    let curve = (0..=600).map(|index| (f64::from(index) - 180.0, truth(f64::from(index) - 180.0)));
    let line = |from: f64, to: f64, label: &str| {
        let slope = (truth(to) - truth(from)) / (to - from);
        FittedLine {
            from,
            to,
            intercept_at: 12.0,
            value: truth(from) + slope * (12.0 - from),
            slope,
            label: label.to_owned(),
        }
    };
    let lines = vec![
        line(-180.0, -10.0, "fore-period"),
        line(120.0, 420.0, "after-period"),
    ];
    let (low, high) = (lines[0].value, lines[1].value);
    let size = crate::report::chart::ticks::label(high - low, 3);
    RecordChart {
        title: "Temperature record of one run".to_owned(),
        subtitle: "lines carried to the moment at which the change is read off".to_owned(),
        readings: readings.collect(),
        true_curve: Some(curve.collect()),
        lines,
        moment: Some(Mark {
            at: 12.0,
            label: "read off at 12 s".to_owned(),
        }),
        rise: Some(Rise {
            low: low.min(high),
            high: low.max(high),
            label: format!("ΔT = {size} K"),
        }),
        break_at: Some(0.0),
        points_only: Vec::new(),
        footer: "joulecast 0.1.0 · seed 1 · trial 17 · scenario 3f2a9c…".to_owned(),
    }
}

pub(super) fn two_readings() -> RecordChart {
    let mut chart = sample_record(-1.7, 0.1);
    chart.readings.clear();
    chart.lines.clear();
    chart.moment = None;
    chart.points_only = vec![
        Spot {
            x: -30.0,
            y: 24.9,
            label: "before: 24.9 °C".to_owned(),
        },
        Spot {
            x: 120.0,
            y: 23.3,
            label: "after: 23.3 °C".to_owned(),
        },
    ];
    chart.rise = Some(Rise {
        low: 23.3,
        high: 24.9,
        label: "ΔT = \u{2212}1.6 K".to_owned(),
    });
    chart
}

pub(super) fn check(picture: &Picture) {
    picture.tree().expect("the SVG can be parsed");
    assert!(picture.svg.starts_with("<svg width=\"900\" height=\"560\""));
    assert!(!picture.svg.contains("NaN") && !picture.svg.contains("inf"));
    let png = picture.png().expect("the SVG can be rasterised");
    assert!(png.starts_with(b"\x89PNG\r\n\x1a\n"));
    assert_eq!(png[16..20], 1800_u32.to_be_bytes());
    assert_eq!(png[20..24], 1120_u32.to_be_bytes());
}

fn text_boxes(group: &Group, found: &mut Vec<Rect>) {
    for node in group.children() {
        match node {
            Node::Group(inner) => text_boxes(inner, found),
            Node::Text(text) => found.push(text.abs_bounding_box()),
            _ => {}
        }
    }
}

/// The rasteriser's own idea of where the words are, not the layout's.
pub(super) fn check_words(picture: &Picture, name: &str) {
    let mut boxes = Vec::new();
    text_boxes(picture.tree().expect("can be parsed").root(), &mut boxes);
    assert!(boxes.len() > 8, "{name}: text has got lost");
    for (index, own) in boxes.iter().enumerate() {
        let inside =
            own.left() >= 0.0 && own.top() >= 0.0 && own.right() <= 900.0 && own.bottom() <= 560.0;
        assert!(inside, "{name}: cut off at {own:?}");
        for other in &boxes[..index] {
            let apart = own.right() <= other.left()
                || other.right() <= own.left()
                || own.bottom() <= other.top()
                || other.bottom() <= own.top();
            assert!(apart, "{name}: {own:?} covers {other:?}");
        }
    }
}

#[test]
fn no_words_are_cut_off_or_covered() {
    let values = bell(3000, -34.9, 0.4);
    for shift in [0.0, 0.01, 0.1, 0.7, -0.02, -0.3, 2.5, -40.0] {
        for (mean, median) in [(0.0, 0.0), (0.02, -0.01), (-0.1, 0.1), (1.2, 0.9)] {
            let mut chart = sample_histogram(&values);
            chart.accepted.as_mut().expect("has one").at = -34.9 + shift;
            chart.mean = Some(-34.9 + mean);
            chart.median = -34.9 + median;
            let picture = chart.draw().expect("can be drawn");
            check_words(&picture, &format!("histogram {shift} {mean} {median}"));
        }
    }
    for step in [0.9, 0.05, -0.004, -7.5] {
        for resolution in [0.1, 0.01, 0.0001] {
            let picture = sample_record(step, resolution)
                .draw()
                .expect("can be drawn");
            check_words(&picture, &format!("record {step} {resolution}"));
        }
    }
    check_words(
        &two_readings().draw().expect("can be drawn"),
        "two readings",
    );
}

#[test]
fn histogram_says_what_it_shows() {
    let values = bell(5000, -34.9, 0.4);
    let chart = sample_histogram(&values);
    let picture = chart.draw().expect("can be drawn");
    check(&picture);
    says(
        &picture,
        &[
            "Molar enthalpy of solution of potassium chloride",
            "molar enthalpy of solution, kJ/mol",
            "share of trials per bar, %",
            "accepted \u{2212}34.89",
            "mean \u{2212}34.90",
            "median \u{2212}34.90",
            "95 % interval: \u{2212}3",
            "fair band ±0.5 kJ/mol",
            "scenario 3f2a9c…",
            "of the trials lie outside the bars",
            "DejaVu Sans, Verdana, sans-serif",
        ],
    );
    assert_eq!(picture, chart.draw().expect("can be drawn again"));
}

#[test]
fn record_says_what_it_shows() {
    for step in [0.9, -0.34] {
        let chart = sample_record(step, 0.001);
        let picture = chart.draw().expect("can be drawn");
        check(&picture);
        says(
            &picture,
            &[
                "time since mixing, s",
                "temperature, °C",
                "fore-period",
                "after-period",
                "read off at 12 s",
                "mixing",
                "ΔT = ",
                "true temperature",
                "extrapolated",
            ],
        );
        assert_eq!(picture, chart.draw().expect("can be drawn again"));
    }
    check(&two_readings().draw().expect("can be drawn"));
}

#[test]
fn long_records_are_shown_in_minutes() {
    let chart = RecordChart {
        readings: (0..5000)
            .map(|n| (f64::from(n), 25.0 + f64::from(n % 7) * 0.001))
            .collect(),
        ..RecordChart::default()
    };
    let picture = chart.draw().expect("can be drawn");
    check(&picture);
    assert!(picture.svg.contains("time since mixing, min"));
    assert!(picture.svg.len() < 1_000_000);
}

#[test]
fn words_from_outside_cannot_break_the_document() {
    let values = bell(50, 1.0, 0.1);
    let mut chart = sample_histogram(&values);
    chart.title = "a < b & \"c\" \u{0} \u{FFFF} </svg>".to_owned();
    chart.footer = "long ".repeat(400);
    chart.interval.label = "wide ".repeat(80);
    chart.x_title = "x".repeat(900);
    check(&chart.draw().expect("can be drawn"));
}

#[test]
fn odd_values_never_panic() {
    let odd: [&[f64]; 9] = [
        &[],
        &[f64::NAN, f64::INFINITY],
        &[0.0],
        &[-34.9; 40],
        &[1.0, 1.0 + f64::EPSILON],
        &[1e-300, 2e-300],
        &[-1e300, 1e300, 5.0],
        &[1e99, -1e99, 0.0],
        &[1e15, 1e15 + 1.0, f64::NAN],
    ];
    for values in odd {
        for (mean, far) in [(0.0, 1.0), (1e290, -1e299), (-34.9, 1e-320)] {
            let mut chart = sample_histogram(&[1.0, 2.0]);
            chart.values = values;
            chart.mean = Some(mean);
            chart.interval.low = -far;
            chart.accepted = Some(Mark {
                at: far,
                label: String::new(),
            });
            chart.band = Some(Span {
                low: f64::NEG_INFINITY,
                high: f64::INFINITY,
                label: "all".to_owned(),
            });
            match chart.draw() {
                Ok(picture) => check(&picture),
                Err(why) => assert!(matches!(why, ChartError::NoData), "{why}"),
            }
        }
    }
    let mut chart = sample_histogram(&[1.0, 2.0]);
    chart.mean = Some(f64::NAN);
    assert!(matches!(chart.draw(), Err(ChartError::NotFinite(_))));
}

#[test]
fn odd_records_never_panic() {
    assert!(matches!(
        RecordChart::default().draw(),
        Err(ChartError::NoData)
    ));
    let odd: [&[(f64, f64)]; 7] = [
        &[(f64::NAN, 1.0), (0.0, f64::INFINITY)],
        &[(0.0, 25.0)],
        &[(0.0, 25.0), (0.0, 25.0)],
        &[(-1e99, 25.0), (1e99, -1e99)],
        &[(0.0, 0.0), (1e-300, 1e-300)],
        &[(1e300, 1.0), (5.0, 2.0)],
        &[(1e9, 25.0), (1e9 + 1e-6, 25.0 + 1e-14)],
    ];
    for readings in odd {
        for value in [0.0, f64::NAN, 1e99, -1e-300, f64::INFINITY] {
            let mut chart = sample_record(0.5, 0.01);
            chart.readings = readings.to_vec();
            chart.true_curve = None;
            chart.lines[0].slope = value;
            chart.lines[1].to = value;
            chart.moment = Some(Mark {
                at: value,
                label: "here".to_owned(),
            });
            chart.break_at = Some(value);
            chart.points_only = vec![Spot {
                x: value,
                y: value,
                label: "spot".to_owned(),
            }];
            match chart.draw() {
                Ok(picture) => check(&picture),
                Err(why) => assert!(matches!(why, ChartError::NoData), "{why}"),
            }
        }
    }
}
