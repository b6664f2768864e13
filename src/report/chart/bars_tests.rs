//! Checks of the charts of rows: what must be in them, and what must never happen.

use resvg::usvg::{Group, Node, Rect};

use super::tests::{drawn_from, says};
use super::*;

/// Sources with their scope and a plausible share of the variance in percent.
pub(super) const SOURCES: [(&str, &str, f64); 16] = [
    ("thermometer.noise", "each reading", 41.7),
    ("dissolving.leftover", "each run", 22.9),
    ("electrical.lead_loss", "whole course", 12.4),
    ("weighing.salt", "each run", 8.6),
    ("heat_exchange.coefficient", "each group", 5.2),
    ("thermometer.display", "each reading", 3.1),
    ("moment.read_off", "each run", 2.2),
    ("purity.water_content", "whole course", 1.4),
    ("stirring.power", "each group", 0.9),
    ("vessel.heat_capacity", "each group", 0.6),
    ("volume.cylinder", "each run", 0.4),
    ("evaporation.loss", "each run", 0.25),
    ("clock.start", "each run", 0.12),
    ("thermometer.scale", "whole course", 0.07),
    ("electrical.voltage", "whole course", 0.012),
    ("electrical.current", "whole course", 0.0),
];

const FOOTER: &str = "joulecast 0.1.0 · seed 1 · 102 400 trials · scenario 3f2a9c…";

/// Shares of the variance, one bar or two in each row.
pub(super) fn sample_bars(rows: usize, double: bool) -> BarsChart {
    let rows = SOURCES.iter().zip(1..).take(rows);
    BarsChart {
        title: "Where the scatter of the result comes from".to_owned(),
        subtitle: "molar enthalpy of solution of potassium chloride, simple beaker".to_owned(),
        x_title: "share of the variance of the result, %".to_owned(),
        rows: rows
            .map(|((label, note, value), rank)| BarRow {
                label: (*label).to_owned(),
                note: (*note).to_owned(),
                value: *value,
                low: (0.86 * value - 0.8).max(0.0),
                high: 1.12 * value + 0.9,
                second: double.then(|| (1.2 * value + 1.1, 1.05 * value + 0.3, 1.35 * value + 1.9)),
                rank: Some(rank),
            })
            .collect(),
        marks: Vec::new(),
        bar_name: "alone (first order)".to_owned(),
        second_name: "with all interactions (total)".to_owned(),
        footer: FOOTER.to_owned(),
    }
}

/// Biases of both signs.
pub(super) fn sample_bias() -> BarsChart {
    let biases = [
        ("heat exchange", "lid and walls", -0.412, 0.021),
        ("leftover crystals", "", -0.236, 0.034),
        ("lead loss", "calibration", 0.187, 0.012),
        ("reaction to dilution", "", 0.061, 0.011),
        ("evaporation", "", -0.014, 0.009),
        ("stirring", "", 0.004, 0.012),
    ];
    BarsChart {
        title: "Bias of the result from each family of sources".to_owned(),
        x_title: "bias of the mean result, kJ/mol".to_owned(),
        rows: biases
            .iter()
            .map(|(label, note, value, half)| BarRow {
                label: (*label).to_owned(),
                note: (*note).to_owned(),
                value: *value,
                low: value - half,
                high: value + half,
                ..BarRow::default()
            })
            .collect(),
        footer: FOOTER.to_owned(),
        ..BarsChart::default()
    }
}

/// What improving each of the sources buys.
pub(super) fn sample_steps(rows: usize) -> StepsChart {
    let now = 0.643;
    let without = |share: f64| now * (1.0 - share / 100.0).sqrt();
    StepsChart {
        title: "What improving one source at a time would buy".to_owned(),
        subtitle: "molar enthalpy of solution of potassium chloride, simple beaker".to_owned(),
        x_title: "RMS error of the result, kJ/mol".to_owned(),
        rows: SOURCES
            .iter()
            .take(rows)
            .map(|(label, note, share)| StepRow {
                label: (*label).to_owned(),
                note: (*note).to_owned(),
                perfect: (without(*share), 0.0021 + 0.0002 * share),
                halved: (without(0.75 * share), 0.0021),
            })
            .collect(),
        now,
        footer: FOOTER.to_owned(),
    }
}

fn boxes_of(group: &Group, words: &mut Vec<Rect>, marks: &mut Vec<Rect>) {
    for node in group.children() {
        match node {
            Node::Group(inner) => boxes_of(inner, words, marks),
            Node::Text(text) => words.push(text.abs_bounding_box()),
            Node::Path(path) => marks.push(path.abs_stroke_bounding_box()),
            Node::Image(_) => {}
        }
    }
}

/// Words inside the picture, none over another, and none over a mark of the data.
fn check_rows(picture: &Picture, name: &str) {
    assert!(!picture.svg.contains("NaN") && !picture.svg.contains("inf"));
    let png = picture.png().expect("can be rasterised");
    assert!(png.starts_with(b"\x89PNG\r\n\x1a\n"), "{name}");
    let tree = picture.tree().expect("can be parsed");
    let (width, height) = (tree.size().width(), tree.size().height());
    assert!(width == 900.0 && height > 100.0, "{name}: {width} {height}");
    let (mut words, mut marks) = (Vec::new(), Vec::new());
    boxes_of(tree.root(), &mut words, &mut marks);
    assert!(words.len() > 2, "{name}: text has got lost");
    for (index, own) in words.iter().enumerate() {
        let inside =
            own.left() >= 0.0 && own.top() >= 0.0 && own.right() <= width && own.bottom() <= height;
        assert!(inside, "{name}: cut off at {own:?}");
        let apart = |other: &Rect| {
            own.right() <= other.left()
                || other.right() <= own.left()
                || own.bottom() <= other.top()
                || other.bottom() <= own.top()
        };
        for other in &words[..index] {
            assert!(apart(other), "{name}: {own:?} covers {other:?}");
        }
        for mark in &marks {
            // Not the paper; grid, zero and reference lines pass behind words at most, and
            // are as tall as the plot.
            let data = mark.height() < 30.0 && mark.width() < 800.0;
            assert!(!data || apart(mark), "{name}: {own:?} lies on {mark:?}");
        }
    }
}

#[test]
fn no_words_are_cut_off_or_covered_in_rows() {
    for rows in [1, 2, 5, 16] {
        for double in [false, true] {
            let mut chart = sample_bars(rows, double);
            let name = format!("bars {rows} {double}");
            check_rows(&chart.draw().expect("can be drawn"), &name);
            for marks in [[9.0, 9.2], [41.7, 43.0], [0.3, 60.0]] {
                let mark = |at: f64| Mark {
                    at,
                    label: format!("line at {at}"),
                };
                chart.marks = marks.map(mark).to_vec();
                let picture = chart.draw().expect("can be drawn");
                check_rows(&picture, &format!("{name} {marks:?}"));
                assert!(picture.svg.contains(&format!("line at {}", marks[1])));
            }
            chart.marks.clear();
            for row in &mut chart.rows {
                row.note.clear();
                row.rank = None;
                (row.value, row.low, row.high) = (-row.value, -row.high, -row.low);
            }
            check_rows(&chart.draw().expect("can be drawn"), &name);
        }
        let mut chart = sample_steps(rows);
        for now in [0.643, 0.3, 0.5, 0.9, 2.0, 0.0] {
            chart.now = now;
            let picture = chart.draw().expect("can be drawn");
            check_rows(&picture, &format!("steps {rows} {now}"));
        }
    }
    check_rows(&sample_bias().draw().expect("can be drawn"), "bias");
    let mut nowhere = sample_bars(2, false);
    nowhere.marks.push(Mark {
        at: f64::NAN,
        label: String::new(),
    });
    assert!(matches!(nowhere.draw(), Err(ChartError::NotFinite(_))));
}

#[test]
fn bars_say_what_they_show() {
    let chart = sample_bars(16, true);
    let picture = chart.draw().expect("can be drawn");
    says(
        &picture,
        &[
            "electrical.lead_loss",
            "whole course",
            "41.7",
            "16.",
            "alone (first order)",
            "with all interactions (total)",
            "share of the variance of the result, %",
            "whiskers: 95 % intervals",
            "scenario 3f2a9c…",
        ],
    );
    assert_eq!(picture, chart.draw().expect("can be drawn again"));
    // Names of the bars only where there are two to tell apart.
    let single = sample_bars(16, false).draw().expect("can be drawn");
    assert!(!single.svg.contains("first order"));
    let few = sample_bars(3, false).draw().expect("can be drawn");
    let tall = |picture: &Picture| picture.tree().expect("can be parsed").size().height();
    assert!(tall(&few) + 200.0 < tall(&single));
    let bias = sample_bias().draw().expect("can be drawn");
    assert!(bias.svg.contains("\u{2212}0.412") && bias.svg.contains("0.187"));
}

#[test]
fn steps_say_what_they_show() {
    let chart = sample_steps(16);
    let picture = chart.draw().expect("can be drawn");
    says(
        &picture,
        &[
            "now 0.643",
            "source halved",
            "source perfect",
            "0.491",
            "RMS error of the result, kJ/mol",
            "the scale does not begin at zero",
            "whiskers: two standard errors to either side",
        ],
    );
    assert_eq!(picture, chart.draw().expect("can be drawn again"));
    let mut chart = sample_steps(3);
    chart.rows[0].perfect.0 = 0.1;
    let picture = chart.draw().expect("can be drawn");
    assert!(!picture.svg.contains("does not begin at zero"));
}

#[test]
fn long_names_are_wrapped_not_cut() {
    let long = "dissolving.leftover_of_coarse_crystals_that_sink_below_the_stirrer_and_stay_there";
    let mut bars = sample_bars(4, true);
    bars.rows[1].label = long.to_owned();
    bars.rows[2].note =
        "small words that go on for much longer than anybody would expect".to_owned();
    let mut steps = sample_steps(4);
    steps.rows[3].label = long.to_owned();
    (bars.footer, steps.footer) = (String::new(), String::new());
    for picture in [bars.draw(), steps.draw()] {
        let picture = picture.expect("can be drawn");
        check_rows(&picture, "long names");
        assert!(picture.svg.contains("_stay_there") && !picture.svg.contains('…'));
    }
}

#[test]
fn words_from_outside_cannot_break_rows() {
    let mut bars = sample_bars(3, true);
    bars.title = "a < b & \"c\" \u{0} \u{FFFF} </svg>".to_owned();
    bars.footer = "long ".repeat(400);
    bars.bar_name = "wide ".repeat(80);
    bars.second_name = "x".repeat(300);
    bars.rows[0].label = "y".repeat(5000);
    bars.rows[1].label = "blank ".repeat(500);
    bars.rows[1].note = "z".repeat(5000);
    bars.rows[2].rank = Some(u32::MAX);
    bars.x_title = "x".repeat(900);
    check_rows(&bars.draw().expect("can be drawn"), "odd words, bars");
    let mut steps = sample_steps(3);
    steps.rows[0].label = "y.".repeat(3000);
    steps.rows[1].label.clear();
    steps.rows[1].note.clear();
    check_rows(&steps.draw().expect("can be drawn"), "odd words, steps");
    let many = sample_steps(16).rows.into_iter().cycle().take(500);
    steps.rows = many.collect();
    let picture = steps.draw().expect("can be drawn");
    assert!(picture.svg.contains("460 further rows are not shown"));
}

#[test]
fn odd_values_never_panic_in_rows() {
    let odd = [
        0.0,
        -0.0,
        1.0,
        -34.9,
        f64::NAN,
        f64::INFINITY,
        f64::NEG_INFINITY,
        1e300,
        -1e289,
        1e289,
        1e-300,
        5e-324,
        1e15,
        -1e-7,
    ];
    let mut draw = drawn_from(&odd);
    for trial in 0..150 {
        let few = if trial % 3 == 0 { 4 } else { odd.len() };
        let mut bars = sample_bars(1 + trial % 5, trial % 2 == 0);
        for row in &mut bars.rows {
            (row.value, row.low, row.high) = (draw(few), draw(few), draw(few));
            row.second = row.second.map(|_| (draw(few), draw(few), draw(few)));
        }
        match bars.draw() {
            Ok(picture) => check_rows(&picture, &format!("{:?}", bars.rows)),
            Err(why) => assert!(matches!(why, ChartError::NoData), "{why}"),
        }
        let mut steps = sample_steps(1 + trial % 5);
        steps.now = draw(few);
        for row in &mut steps.rows {
            row.perfect = (draw(few), draw(few));
            row.halved = (draw(few), draw(few));
        }
        match steps.draw() {
            Ok(picture) => check_rows(&picture, &format!("{} {:?}", steps.now, steps.rows)),
            Err(why) => assert!(
                matches!(why, ChartError::NoData | ChartError::NotFinite(_)),
                "{why}"
            ),
        }
    }
    for value in [0.0, 1e-320, 7.0] {
        let mut bars = sample_bars(4, true);
        for row in &mut bars.rows {
            (row.value, row.low, row.high) = (value, value, value);
            row.second = Some((value, value, value));
        }
        check_rows(&bars.draw().expect("can be drawn"), "all the same, bars");
        let mut steps = sample_steps(4);
        steps.now = value;
        for row in &mut steps.rows {
            (row.perfect, row.halved) = ((value, 0.0), (value, 0.0));
        }
        check_rows(&steps.draw().expect("can be drawn"), "all the same, steps");
    }
    assert!(matches!(
        BarsChart::default().draw(),
        Err(ChartError::NoData)
    ));
    assert!(matches!(
        StepsChart::default().draw(),
        Err(ChartError::NoData)
    ));
}
