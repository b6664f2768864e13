//! Checks of the chart with several ways on one record.

use super::tests::says;
use super::tests::{check, check_words};
use super::*;

/// A record with drift before and after a step that is approached exponentially.
pub(super) struct Case {
    /// The step at mixing, in K.
    pub step: f64,
    /// Time in which 63 % of it are done, in seconds.
    pub slowness: f64,
    /// Resolution of the display, in K.
    pub display: f64,
    /// Time between readings, in seconds.
    pub every: f64,
}

/// The record with all ways, evaluated by hand at the true curve.
pub(super) fn sample(case: &Case) -> ReductionChart {
    let Case {
        step,
        slowness,
        display,
        every,
    } = *case;
    let fore = |time: f64| 24.982 + 0.00005 * (time + 180.0) * step;
    let after = |time: f64| 24.982 + step * (1.009 - 0.00026 * time);
    let truth = |time: f64| {
        let done = if time > 0.0 {
            1.0 - libm::exp(-time / slowness)
        } else {
            0.0
        };
        fore(time) + (after(time) - fore(time)) * done
    };
    let seen = |time: f64| {
        let noise = 0.4 * display * libm::sin(time * time + 0.3 * time);
        ((truth(time) + noise) / display).round() * display
    };
    let count = (600.0 / every) as u32;
    let readings = (0..=count)
        .map(|index| -180.0 + every * f64::from(index))
        .map(|time| (time, seen(time)))
        .collect();
    let line = |curve: &dyn Fn(f64) -> f64, from: f64, to: f64, label: &str| FittedLine {
        from,
        to,
        intercept_at: 0.0,
        value: curve(0.0),
        slope: (curve(to) - curve(from)) / (to - from),
        label: label.to_owned(),
    };
    let lines = |name: &str, at: f64| ReductionWay {
        name: name.to_owned(),
        at: Some(at),
        low: fore(at),
        high: after(at),
        rise: after(at) - fore(at),
    };
    let between = |name: &str, at: f64| ReductionWay {
        name: name.to_owned(),
        at: Some(at),
        low: seen(-every),
        high: seen(at),
        rise: seen(at) - seen(-every),
    };
    let late = (90.0 / every).round() * every;
    let mut listed = lines("Regnault–Pfaundler", 0.97 * slowness);
    listed.at = None;
    ReductionChart {
        title: "Six ways to one temperature difference".to_owned(),
        subtitle: "one record, the same readings for every way".to_owned(),
        readings,
        fore: line(&fore, -180.0, -every, "fore-period"),
        after: line(&after, 150.0, 420.0, "after-period"),
        ways: vec![
            between("two readings", 2.0 * late),
            between("extreme reading", late),
            lines("lines back to mixing", 0.0),
            lines("lines at 63 % of the rise", slowness),
            lines("lines at equal areas", 1.02 * slowness),
            listed,
        ],
        areas: Some(EqualAreas {
            from: 0.0,
            at: 1.02 * slowness,
            to: 150.0,
        }),
        true_rise: Some(after(slowness) - fore(slowness)),
        footer: "joulecast 0.1.0 · seed 1 · trial 17 · scenario 3f2a9c…".to_owned(),
    }
}

/// A plain case to start from.
pub(super) fn plain() -> Case {
    Case {
        step: 0.9,
        slowness: 14.0,
        display: 0.002,
        every: 5.0,
    }
}

fn cases() -> Vec<Case> {
    let mut cases = Vec::new();
    for step in [0.9, 0.34, -1.7, -0.05, 7.5] {
        for (slowness, every) in [(14.0, 1.0), (5.0, 5.0), (35.0, 10.0), (20.0, 30.0)] {
            for display in [0.1, 0.01, 0.0001] {
                cases.push(Case {
                    step,
                    slowness,
                    display,
                    every,
                });
            }
        }
    }
    cases
}

#[test]
fn no_words_are_cut_off_or_covered() {
    for case in cases() {
        let name = format!(
            "{} K in {} s, every {} s to {} K",
            case.step, case.slowness, case.every, case.display
        );
        let mut chart = sample(&case);
        check_words(&chart.draw().expect("can be drawn"), &name);
        chart.true_rise = None;
        chart.areas = None;
        chart.ways[1].at = Some(case.slowness + 0.01);
        chart.ways[2].name = "lines carried back to the moment of mixing by hand".to_owned();
        check_words(&chart.draw().expect("can be drawn"), &format!("{name}, b"));
    }
}

#[test]
fn the_chart_says_what_it_shows() {
    for step in [0.9, -0.34] {
        let chart = sample(&Case { step, ..plain() });
        let picture = chart.draw().expect("can be drawn");
        check(&picture);
        says(
            &picture,
            &[
                "Six ways to one temperature difference",
                "time since mixing, s",
                "temperature, °C",
                "fore-period",
                "after-period",
                "mixing",
                "around the rise",
                "whole record",
                "extrapolated",
                "area up to the moment",
                "two readings",
                "lines at 63 % of the rise",
                "Regnault–Pfaundler",
                "ΔT, K",
                "from true",
                "\u{2013}",
                "+0.44 %",
                "+0.01 %",
            ],
        );
        assert_eq!(picture, chart.draw().expect("can be drawn again"));
    }
}

#[test]
fn falls_carry_a_true_minus_sign() {
    let case = Case {
        step: -0.34,
        ..plain()
    };
    let picture = sample(&case).draw().expect("can be drawn");
    assert!(picture.svg.contains("\u{2212}0.3"));
    assert!(!picture.svg.contains(">\n-") && !picture.svg.contains(" -0"));
}

#[test]
fn the_order_of_readings_does_not_matter() {
    let mut chart = sample(&plain());
    let picture = chart.draw().expect("can be drawn");
    chart.readings.reverse();
    assert_eq!(picture, chart.draw().expect("can be drawn"));
}

#[test]
fn what_is_left_out_is_counted() {
    let mut chart = sample(&plain());
    chart.readings[3].1 = f64::NAN;
    let way = chart.ways[2].clone();
    chart.ways.extend([way.clone(), way.clone(), way]);
    let picture = chart.draw().expect("can be drawn");
    check_words(&picture, "too many ways");
    assert!(picture.svg.contains("1 reading without a finite value"));
    assert!(picture.svg.contains("1 further way is left out"));
}

#[test]
fn long_records_are_shown_in_minutes() {
    let mut chart = sample(&plain());
    for index in 1..4000 {
        let time = 420.0 + f64::from(index);
        chart.readings.push((time, chart.after.at(time)));
    }
    let picture = chart.draw().expect("can be drawn");
    check_words(&picture, "long");
    assert!(picture.svg.contains("time since mixing, min"));
    assert!(picture.svg.contains("time since mixing, s"));
    assert!(picture.svg.len() < 1_000_000);
}

#[test]
fn words_from_outside_cannot_break_the_document() {
    let mut chart = sample(&plain());
    chart.title = "a < b & \"c\" \u{0} \u{FFFF} </svg>".to_owned();
    chart.subtitle = "long ".repeat(400);
    chart.footer = "long ".repeat(400);
    chart.fore.label = "wide ".repeat(80);
    chart.ways[0].name = "<&> ".repeat(80);
    chart.ways[1].name = String::new();
    check(&chart.draw().expect("can be drawn"));
}

#[test]
fn odd_values_never_panic() {
    let mut empty = sample(&plain());
    empty.readings.clear();
    assert!(matches!(empty.draw(), Err(ChartError::NoData)));
    let odd: [&[(f64, f64)]; 7] = [
        &[(f64::NAN, 1.0), (0.0, f64::INFINITY)],
        &[(0.0, 25.0)],
        &[(0.0, 25.0), (0.0, 25.0)],
        &[(-1e99, 25.0), (1e99, -1e99)],
        &[(0.0, 0.0), (1e-300, 1e-300)],
        &[(1e300, 1.0), (5.0, 2.0)],
        &[(1e9, 25.0), (1e9 + 1e-6, 25.0 + 1e-14)],
    ];
    let usual = sample(&plain()).readings;
    for readings in odd.into_iter().chain([usual.as_slice()]) {
        for value in [0.0, f64::NAN, 1e99, -1e-300, f64::INFINITY, -77.0] {
            for place in 0..6 {
                let mut chart = sample(&plain());
                chart.readings = readings.to_vec();
                match place {
                    0 => chart.fore.slope = value,
                    1 => (chart.after.to, chart.after.from) = (value, -value),
                    2 => {
                        chart.areas = Some(EqualAreas {
                            from: -value,
                            at: value,
                            to: value,
                        })
                    }
                    3 => chart.ways.iter_mut().for_each(|way| way.at = Some(value)),
                    4 => {
                        for way in &mut chart.ways {
                            (way.low, way.rise) = (value, -value);
                        }
                    }
                    _ => (chart.true_rise, chart.ways) = (Some(value), Vec::new()),
                }
                match chart.draw() {
                    Ok(picture) => check(&picture),
                    Err(why) => assert!(matches!(why, ChartError::NoData), "{why}"),
                }
            }
        }
    }
}
