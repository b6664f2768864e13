//! Checks of the map, on studies as they are made.

use super::geometry::Rect;
use super::map_layout::Layout;
use super::map_samples::*;
use super::pixels::{Pixels, check_png, check_words};
use super::tests::{drawn_from, says};
use super::*;

/// The darkest ground for dark words.
const GROUND: f64 = 135.0;

fn samples() -> [MapChart; 5] {
    [wide(), counts(), uneven(), lone(), fine()]
}

fn check(chart: &MapChart, name: &str) -> Picture {
    let picture = chart.draw().expect("can be drawn");
    check_words(&picture, GROUND, name);
    picture
}

#[test]
fn no_words_are_cut_off_or_covered() {
    for chart in samples() {
        check_png(&check(&chart, &chart.title));
    }
    for (x, y) in [
        (0.5, 40.0),
        (5.5, 180.0),
        (0.5, 180.0),
        (5.5, 40.0),
        (2.0, 110.0),
    ] {
        for target in [0.1, 0.29, 0.35, 0.55, 1.4] {
            let mut chart = wide();
            let target = Mark {
                at: target,
                label: "what the handout asks for".to_owned(),
            };
            chart.target = Some(target.clone());
            let best = chart.best.as_mut().expect("has one");
            (best.x, best.y) = (x, y);
            check(&chart, &format!("best {x} {y}, target {}", target.at));
        }
    }
    for column in 0..4 {
        for row in 0..4 {
            let mut chart = counts();
            chart.zones.push(MapZone {
                mark: String::new(),
                label: "one more that is forbidden for a reason".to_owned(),
                cells: vec![(column, row)],
            });
            chart.zones[0].cells = vec![(row, column), (3, 3), (0, 3)];
            let best = chart.best.as_mut().expect("has one");
            (best.x, best.y) = (f64::from(column as u8 + 1), f64::from(row as u8 + 1));
            check(&chart, &format!("counts {column} {row}"));
        }
    }
}

#[test]
fn the_map_says_what_it_shows() {
    let picture = check(&wide(), "wide");
    says(
        &picture,
        &[
            "mass of the sample, g",
            "volume of water, mL",
            "standard uncertainty, kJ/mol",
            "target 0.40",
            "not dissolved in time",
            "best: 3.25 g in 80 mL, 0.342 kJ/mol",
            "10 240 trials a cell",
            "scenario 3f2a9c…",
        ],
    );
    assert_eq!(picture, wide().draw().expect("can be drawn again"));
    let picture = check(&counts(), "counts");
    says(
        &picture,
        &[
            "determinations of the unknown",
            "0.458",
            "0.394",
            ">\n4\n<",
            "longer than",
        ],
    );
    let picture = check(&uneven(), "uneven");
    says(
        &picture,
        &[
            "below what the balance may weigh",
            "overflows",
            "no value",
            "values up to 900.0 are shaded as the darkest",
            ">\n4.5\n<",
        ],
    );
    let picture = check(&lone(), "lone");
    assert!(
        picture
            .svg
            .contains("target 0.40: no line, all values lie above")
    );
    assert!(check(&fine(), "fine").svg.len() < 1_500_000);
}

/// Lightness in the upper left part of a cell, where no words stand.
fn shade(layout: &Layout<'_>, pixels: &Pixels, cell: (usize, usize)) -> (f64, f64) {
    let area = layout.cells.area(cell);
    let (left, top) = (area.left + 3.0, area.top + 3.0);
    pixels.range(Rect::new(left, top, left + 6.0, top + 6.0))
}

#[test]
fn cells_are_shaded_by_their_own_value() {
    let mut chart = counts();
    (chart.zones, chart.best, chart.target) = (Vec::new(), None, None);
    // None of these values occurs, so that no line runs across a cell.
    chart.contours = vec![99.0];
    chart.z[2][1] = f64::NAN;
    let layout = Layout::of(&chart).expect("can be laid out");
    let pixels = Pixels::bare(&chart.draw().expect("can be drawn"));
    let mut shades: Vec<(f64, f64)> = chart
        .values()
        .map(|(cell, value)| {
            let (dark, light) = shade(&layout, &pixels, cell);
            assert!(light - dark < 1.0, "{cell:?} is not even");
            (value, dark)
        })
        .collect();
    shades.sort_by(|a, b| a.0.total_cmp(&b.0));
    assert_eq!(shades.len(), 15);
    for pair in shades.windows(2) {
        assert!(pair[1].1 < pair[0].1, "{pair:?}");
    }
    assert!(
        shade(&layout, &pixels, (1, 2)).0 > 254.0,
        "paper where no value is"
    );
}

#[test]
fn forbidden_cells_are_hatched_and_others_are_not() {
    let chart = wide();
    let layout = Layout::of(&chart).expect("can be laid out");
    let pixels = Pixels::bare(&chart.draw().expect("can be drawn"));
    let spread = |cell: (usize, usize)| {
        let (dark, light) = pixels.range(layout.cells.area(cell).grown(-2.0));
        light - dark
    };
    assert!(spread((19, 0)) > 60.0 && spread((14, 0)) > 60.0);
    // Away from lines and words.
    assert!(spread((12, 8)) < 2.0 && spread((13, 13)) < 2.0);
}

#[test]
fn the_bold_line_runs_where_the_target_is() {
    let mut chart = wide();
    (chart.zones, chart.best) = (Vec::new(), None);
    // A plane, on which the place of the line is known.
    for (row, values) in chart.z.iter_mut().enumerate() {
        for (column, value) in values.iter_mut().enumerate() {
            *value = 0.2 + 0.02 * column as f64 + 0.01 * row as f64;
        }
    }
    let redness = |chart: &MapChart, (x, y): (f64, f64)| {
        let layout = Layout::of(chart).expect("can be laid out");
        let place = layout.cells.at((x, y));
        let near = Rect::new(place.0, place.1, place.0, place.1).grown(1.0);
        let pixels = Pixels::bare(&chart.draw().expect("can be drawn"));
        pixels.warmest(near)
    };
    // 0.2 + 0.02 c + 0.01 r = 0.4 at column 8, row 4, and at column 3.5, row 13.
    let on = [(2.5, 80.0), (1.375, 170.0)];
    let off = [(3.5, 80.0), (2.5, 60.0), (1.375, 150.0)];
    for at in on {
        assert!(redness(&chart, at) > 100.0, "{at:?}");
    }
    for at in off {
        assert!(redness(&chart, at) < 20.0, "{at:?}");
    }
    chart.target = None;
    assert!(on.iter().all(|at| redness(&chart, *at) < 20.0));
}

#[test]
fn spoiled_input_is_rejected() {
    let spoil = |change: &dyn Fn(&mut MapChart)| {
        let mut chart = wide();
        change(&mut chart);
        chart.draw().expect_err("is refused")
    };
    for value in [f64::NAN, f64::INFINITY] {
        for why in [
            spoil(&|chart| chart.xs[3] = value),
            spoil(&|chart| chart.ys[0] = value),
            spoil(&|chart| chart.target.as_mut().expect("has one").at = value),
            spoil(&|chart| chart.contours = vec![0.3, value]),
            spoil(&|chart| chart.best.as_mut().expect("has one").y = value),
        ] {
            assert!(matches!(why, ChartError::NotFinite(_)), "{why}");
        }
    }
    for why in [
        spoil(&|chart| chart.xs.swap(3, 4)),
        spoil(&|chart| chart.ys[1] = chart.ys[0]),
        spoil(&|chart| {
            chart.z.pop();
        }),
        spoil(&|chart| {
            chart.z[4].pop();
        }),
        spoil(&|chart| {
            chart.xs.pop();
        }),
        spoil(&|chart| chart.zones[0].cells.push((21, 0))),
        spoil(&|chart| chart.zones[0].cells.push((0, 15))),
        spoil(&|chart| chart.best.as_mut().expect("has one").x = 99.0),
    ] {
        assert!(matches!(why, ChartError::Mismatch(_)), "{why}");
    }
    let why = spoil(&|chart| chart.z.iter_mut().flatten().for_each(|z| *z = f64::NAN));
    assert!(matches!(why, ChartError::NoData), "{why}");
    assert!(matches!(
        MapChart::default().draw(),
        Err(ChartError::NoData)
    ));
}

#[test]
fn words_from_outside_cannot_break_the_document() {
    for mut chart in [wide(), counts(), uneven()] {
        chart.title = "a < b & \"c\" \u{0} \u{FFFF} </svg>".to_owned();
        (chart.subtitle, chart.footer) = ("long ".repeat(400), "long ".repeat(400));
        (chart.note, chart.x_title) = ("remark ".repeat(400), "x".repeat(900));
        (chart.y_title, chart.z_title) = ("tall ".repeat(90), "z".repeat(900));
        chart.zones[0].label = "<&> ".repeat(300);
        chart.best.as_mut().expect("has one").label = "best ".repeat(90);
        chart.target = Some(Mark {
            at: 0.45,
            label: "target ".repeat(90),
        });
        check(&chart, "odd words");
    }
}

#[test]
fn odd_values_never_panic() {
    let odd = [
        0.0,
        -0.0,
        1.0,
        -34.9,
        1e289,
        -1e289,
        1e-300,
        5e-324,
        1e15,
        -1e-7,
        1e300,
        f64::NAN,
        f64::INFINITY,
    ];
    let mut draw = drawn_from(&odd);
    let mut drawn = 0;
    for trial in 0..60 {
        let few = [4, 10, odd.len()][trial % 3];
        let mut chart = if trial % 2 == 0 { counts() } else { uneven() };
        for value in chart.z.iter_mut().flatten() {
            *value = draw(few);
        }
        if trial % 5 == 0 {
            chart.best = None;
            chart.xs = chart.xs.iter().map(|x| x * 1e288).collect();
            chart.ys = chart.ys.iter().map(|y| 1e9 + 1e-6 * y).collect();
        }
        chart.contours = vec![draw(few), draw(few)];
        if let Some(target) = &mut chart.target {
            target.at = draw(few);
        }
        match chart.draw() {
            Ok(picture) => {
                drawn += 1;
                check_words(&picture, 100.0, &format!("{chart:?}"));
            }
            Err(ChartError::Draw(why) | ChartError::Raster(why)) => panic!("{why}"),
            Err(_) => {}
        }
    }
    assert!(drawn > 10, "{drawn}");
}
