//! Checks of the chart of curves, on studies as they are made.

use super::curves_layout::Layout;
use super::curves_samples::*;
use super::geometry::Rect;
use super::pixels::{Pixels, check_png, check_words};
use super::tests::{drawn_from, says};
use super::*;

/// The darkest ground on which words may stand: hatching and grid, but no line of the data.
const GROUND: f64 = 165.0;
/// Lines and markers are darker than this.
const INKED: f64 = 150.0;

fn check(chart: &CurvesChart, name: &str) -> Picture {
    let picture = chart.draw().expect("can be drawn");
    check_words(&picture, GROUND, name);
    picture
}

#[test]
fn no_words_are_cut_off_or_covered() {
    for chart in [replicates(), masses(), single(), dense(), forbidden()] {
        check_png(&check(&chart, &chart.title));
    }
    for level in [0.02, 0.2, 0.28, 0.5, 0.64, 0.9, 2.0, 300.0, -1.0] {
        for other in [0.001, 0.205, 0.34, 40.0] {
            let mut chart = replicates();
            chart.panels[0].levels = vec![mark(level, "the target"), mark(other, "the floor")];
            check(&chart, &format!("levels {level} {other}"));
        }
    }
    for width in [0.0, 0.01, 0.3, 1.5, 4.0, 9.0] {
        for low in [0.5, 2.2, 6.0, 8.9] {
            let mut chart = masses();
            chart.zones = vec![
                span(low, low + width, "where the stirrer does not reach"),
                span(low + width, low + width + 0.5, "too dear"),
            ];
            chart.window = Some(span(low - 1.0, low + 0.2 * width, "meets the target"));
            check(&chart, &format!("zone {low} {width}"));
        }
    }
}

#[test]
fn the_chart_says_what_it_shows() {
    let picture = check(&replicates(), "replicates");
    says(
        &picture,
        &[
            "number of determinations",
            "standard uncertainty of the enthalpy, kJ/mol",
            "of the mean, scatter alone",
            "claimed with Student",
            "target 0.35",
            "floor 0.21",
            "2.84",
            "whiskers: two standard errors to either side",
            "arrows at the edge: values beyond the scale",
            "scenario 3f2a9c…",
            ">\n12\n<",
        ],
    );
    let picture = check(&masses(), "masses");
    says(
        &picture,
        &[
            "bias, kJ/mol",
            "mass of the sample, g",
            "target 0.40 kJ/mol",
            "below what the balance may weigh",
            "not dissolved in",
            "meets the target: 3.3 g to 6.5 g",
            "every mass with 10 240 trials; whiskers",
        ],
    );
    assert_eq!(picture, masses().draw().expect("can be drawn again"));
    let picture = check(&dense(), "dense");
    assert!(picture.svg.contains("band: two standard errors"));
    assert!(picture.svg.len() < 1_000_000);
    let mut hidden = replicates();
    hidden.zones = vec![span(90.0, 99.0, "never")];
    let picture = check(&hidden, "hidden");
    assert!(picture.svg.contains("1 stretch beyond the axis"));
}

#[test]
fn ink_stands_where_the_data_are() {
    for chart in [replicates(), masses(), single(), dense()] {
        let layout = Layout::of(&chart).expect("can be laid out");
        let pixels = Pixels::bare(&chart.draw().expect("can be drawn"));
        let mut found = 0;
        for (pane, panel) in layout.panes.iter().zip(&chart.panels) {
            for curve in &panel.curves {
                for point in curve.points.iter().filter(|point| point.y.is_finite()) {
                    let (x, y) = layout.at(pane, (point.x, point.y));
                    if !pane.plot.holds((x, y)) {
                        continue;
                    }
                    let near = Rect::new(x, y, x, y).grown(6.0);
                    let ink = pixels.darkest(near);
                    assert!(ink < INKED, "{}: {point:?} {ink}", chart.title);
                    found += 1;
                }
            }
        }
        assert!(found > 0, "{}", chart.title);
    }
}

#[test]
fn gaps_stay_empty() {
    let gap = |value: f64| {
        let mut chart = single();
        chart.panels[0].levels.clear();
        let points = (0..9).map(|n| (f64::from(n), if n == 4 { value } else { 1.0 }, 0.0));
        chart.panels[0].curves = vec![curve("one", points)];
        let layout = Layout::of(&chart).expect("can be laid out");
        let (x, y) = layout.at(&layout.panes[0], (4.0, 1.0));
        let near = Rect::new(x, y, x, y).grown(8.0);
        Pixels::bare(&chart.draw().expect("can be drawn")).darkest(near)
    };
    assert!(gap(f64::NAN) > GROUND && gap(f64::INFINITY) > GROUND);
    assert!(gap(1.0) < INKED);
}

#[test]
fn zones_are_hatched_and_free_stretches_are_not() {
    let mut chart = masses();
    chart.panels.truncate(1);
    chart.panels[0].levels.clear();
    chart.window = None;
    let layout = Layout::of(&chart).expect("can be laid out");
    let pixels = Pixels::bare(&chart.draw().expect("can be drawn"));
    let light = |from: f64, to: f64| {
        let (left, right) = (layout.x(from), layout.x(to));
        let bottom = layout.panes[0].plot.bottom;
        pixels.darkest(Rect::new(left, bottom - 30.0, right, bottom - 8.0))
    };
    assert!(light(0.2, 0.8) < 235.0 && light(8.5, 9.3) < 235.0);
    assert!(light(4.1, 5.9) > 250.0);
}

#[test]
fn spoiled_input_is_rejected() {
    let spoil = |change: &dyn Fn(&mut CurvesChart)| {
        let mut chart = masses();
        change(&mut chart);
        chart.draw().expect_err("is refused")
    };
    for value in [f64::NAN, f64::INFINITY] {
        for why in [
            spoil(&|chart| chart.panels[1].curves[0].points[3].x = value),
            spoil(&|chart| chart.panels[0].levels[0].at = value),
        ] {
            assert!(matches!(why, ChartError::NotFinite(_)), "{why}");
        }
    }
    for why in [
        spoil(&|chart| chart.zones[0].low = f64::NAN),
        spoil(&|chart| chart.window = Some(span(1.0, f64::NAN, ""))),
    ] {
        assert!(matches!(why, ChartError::NotFinite(_)), "{why}");
    }
    for why in [
        spoil(&|chart| chart.panels.clear()),
        spoil(&|chart| chart.panels = vec![Panel::default(); 4]),
        spoil(&|chart| chart.zones[0] = span(2.0, 1.0, "")),
    ] {
        assert!(matches!(why, ChartError::Mismatch(_)), "{why}");
    }
    let why = spoil(&|chart| {
        let panels = chart.panels.iter_mut().flat_map(|panel| &mut panel.curves);
        panels
            .flat_map(|curve| &mut curve.points)
            .for_each(|point| point.y = f64::NAN);
    });
    assert!(matches!(why, ChartError::NoData), "{why}");
}

#[test]
fn words_from_outside_cannot_break_the_document() {
    let mut chart = masses();
    chart.title = "a < b & \"c\" \u{0} \u{FFFF} </svg>".to_owned();
    (chart.subtitle, chart.footer) = ("long ".repeat(400), "long ".repeat(400));
    (chart.note, chart.x_title) = ("remark ".repeat(400), "x".repeat(900));
    chart.zones[0].label = "w".repeat(900);
    chart.zones[1].label = "<&> ".repeat(300);
    chart.window.as_mut().expect("has one").label = "wide ".repeat(300);
    chart.panels[0].y_title = "tall ".repeat(90);
    chart.panels[0].levels[0].label = "level ".repeat(90);
    chart.panels[1].curves[0].name = "z ".repeat(900);
    check(&chart, "odd words");
}

#[test]
fn odd_values_never_panic() {
    let odd = [
        0.0,
        -0.0,
        1.0,
        -34.9,
        1e300,
        -1e289,
        1e289,
        1e-300,
        5e-324,
        1e15,
        -1e-7,
        f64::NAN,
        f64::INFINITY,
    ];
    let mut draw = drawn_from(&odd);
    let mut drawn = 0;
    for trial in 0..120 {
        let few = [4, 11, odd.len()][trial % 3];
        let mut chart = if trial % 2 == 0 { masses() } else { single() };
        for point in chart
            .panels
            .iter_mut()
            .flat_map(|panel| &mut panel.curves)
            .flat_map(|curve| &mut curve.points)
        {
            (point.y, point.se) = (draw(few), draw(few));
            point.x = draw(few.min(11));
        }
        for panel in &mut chart.panels {
            for level in &mut panel.levels {
                level.at = draw(few);
            }
        }
        for zone in &mut chart.zones {
            (zone.low, zone.high) = (draw(few), draw(few));
        }
        match chart.draw() {
            Ok(picture) => {
                drawn += 1;
                check_words(&picture, 0.0, &format!("{chart:?}"));
            }
            Err(ChartError::Draw(why) | ChartError::Raster(why)) => panic!("{why}"),
            Err(_) => {}
        }
    }
    assert!(drawn > 10, "{drawn}");
}
