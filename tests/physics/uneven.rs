//! Records that are not read at one interval, and runs that do not have one mass, against what least squares and the definition
//! of a molar enthalpy say of them.

use super::SILENT;
use joulecast::engine::Study;
use joulecast::experiment::{Experiment, ResultColumn};
use joulecast::scenario::{Raw, Scenario, read_with};

fn list(texts: &[String]) -> Raw {
    Raw::Texts(texts.to_vec())
}

fn with(changes: &[(&str, Raw)]) -> Scenario {
    let of = |(path, raw): &(&str, Raw)| ((*path).to_owned(), raw.clone());
    let changes: Vec<(String, Raw)> = changes.iter().map(of).collect();
    read_with(SILENT, &changes).unwrap_or_else(|e| panic!("{e:?}"))
}

fn text(t: &str) -> Raw {
    Raw::Text(t.to_owned())
}

/// A noisy vessel that leaks, read in a trace.
fn trace(record: &[(&str, Raw)]) -> Scenario {
    let mut all = vec![
        ("record.kind", text("trace")),
        ("record.settle", text("120 s")),
        ("record.before", Raw::Unsaid),
        ("record.read_at", Raw::Unsaid),
        ("vessel.leak", text("2e-4 /s")),
        ("vessel.stirring", text("5 mW")),
        ("thermometer.lag", text("4 s")),
        ("thermometer.noise", text("s = 7 mK")),
    ];
    all.extend(record.iter().cloned());
    with(&all)
}

fn columns(scenario: &Scenario, trials: u64) -> Vec<Vec<f64>> {
    let model = Experiment::new(scenario.clone());
    Study::new(3).run(&model, trials).expect("a run").columns
}

/// Times every 30 s from -180 s to 420 s, and every 10 s from -30 s to 150 s.
fn two_paces() -> Vec<f64> {
    let mut all: Vec<f64> = (1..=5).rev().map(|j| -30.0 - 30.0 * f64::from(j)).collect();
    all.extend((-3..=15).filter(|j| *j != 0).map(|j| 10.0 * f64::from(j)));
    all.extend((1..=9).map(|j| 150.0 + 30.0 * f64::from(j)));
    all
}

fn in_words(times: &[f64]) -> Vec<String> {
    times.iter().map(|t| format!("{t} s")).collect()
}

const EVEN: [(&str, &str); 3] = [("interval", "10 s"), ("fore", "180 s"), ("after", "420 s")];

fn even() -> Vec<(&'static str, Raw)> {
    ["record.interval", "record.fore", "record.after"]
        .into_iter()
        .zip(EVEN)
        .map(|(path, (_, t))| (path, text(t)))
        .collect()
}

#[test]
fn a_list_of_the_times_of_an_even_record_is_that_record() {
    let times: Vec<f64> = (-18..=42)
        .filter(|j| *j != 0)
        .map(|j| 10.0 * f64::from(j))
        .collect();
    let listed = trace(&[("record.times", list(&in_words(&times)))]);
    for way in [
        "back to mixing",
        "equal areas",
        "regnault-pfaundler",
        "63 percent",
        "extreme",
        "two readings",
    ] {
        let of = |s: &Scenario| {
            let change = [("record.reduction".to_owned(), text(way))];
            columns(&s.changed(&change).expect("a way"), 256)
        };
        assert_eq!(of(&listed), of(&trace(&even())), "{way}");
    }
}

#[test]
fn a_shorter_interval_around_mixing_is_the_list_of_its_times() {
    let [fore, after] =
        [("record.fore", "180 s"), ("record.after", "420 s")].map(|(p, t)| (p, text(t)));
    let paced = trace(&[
        ("record.interval", text("30 s")),
        ("record.fine_interval", text("10 s")),
        ("record.fine_before", text("30 s")),
        ("record.fine_until", text("150 s")),
        fore,
        after,
    ]);
    let listed = trace(&[("record.times", list(&in_words(&two_paces())))]);
    assert_eq!(columns(&paced, 512), columns(&listed, 512));
    assert_ne!(columns(&paced, 512), columns(&trace(&even()), 512));
}

/// Variance of a line's value at zero for a unit variance of a reading (Draper and Smith, Applied Regression Analysis,
/// chapter 1): 1/n + mean^2 / sum of squares.
fn line_at_zero(times: &[f64]) -> f64 {
    let n = times.len() as f64;
    let mean = times.iter().sum::<f64>() / n;
    let squares: f64 = times.iter().map(|t| (t - mean).powi(2)).sum();
    1.0 / n + mean * mean / squares
}

#[test]
fn noise_of_an_uneven_record_is_that_of_its_two_regression_lines() {
    let times = two_paces();
    let before: Vec<f64> = times.iter().copied().filter(|t| *t < 0.0).collect();
    let behind: Vec<f64> = times.iter().copied().filter(|t| *t >= 120.0).collect();
    // Two runs; the temperatures are otherwise the same in each.
    let due = 7e-3 * ((line_at_zero(&before) + line_at_zero(&behind)) / 2.0).sqrt();
    let n = 16_384;
    let of = |s: &Scenario| {
        let all = columns(s, n);
        let changes = &all[ResultColumn::CalibrationChange as usize];
        let mean = changes.iter().sum::<f64>() / n as f64;
        let square: f64 = changes.iter().map(|x| (x - mean).powi(2)).sum();
        (square / (n - 1) as f64).sqrt()
    };
    let seen = of(&trace(&[("record.times", list(&in_words(&times)))]));
    let within = 4.0 * due / (2.0 * n as f64).sqrt();
    assert!((seen - due).abs() < within, "{seen} for {due}");
    // Stated as an even record of the shorter interval it would be far off.
    assert!(of(&trace(&even())) < due - 4.0 * within);
}

#[test]
fn every_way_is_exact_on_an_uneven_record_without_errors_of_reading() {
    let listed = trace(&[
        ("record.times", list(&in_words(&two_paces()))),
        ("thermometer.noise", text("none")),
        ("thermometer.lag", text("none")),
        ("vessel.leak", text("none")),
    ]);
    for way in ["back to mixing", "regnault-pfaundler"] {
        let change = [("record.reduction".to_owned(), text(way))];
        let all = columns(&listed.changed(&change).expect("a way"), 256);
        let error = all[ResultColumn::Error as usize].iter().map(|e| e.abs());
        let target = all[ResultColumn::Target as usize][0].abs();
        assert!(error.fold(0.0, f64::max) < 1e-8 * target, "{way}");
    }
}

#[test]
fn a_loss_weighs_as_much_as_each_mass_is_small() {
    // Each run gives h (m - 0.1 g) / m of its own mass; what a mean mass would give is another value.
    let masses = [4.0, 7.0, 9.0];
    let told: Vec<String> = masses.iter().map(|m| format!("{m} g")).collect();
    let scenario = with(&[
        ("determination.runs", Raw::Whole(3)),
        ("determination.charge.mass", list(&told)),
        ("determination.charge.transfer_loss", text("exactly 0.1 g")),
    ]);
    let all = columns(&scenario, 256);
    let of = |q: ResultColumn| all[q as usize][0];
    let lost = 0.1 * masses.iter().map(|m| 1.0 / m).sum::<f64>() / 3.0;
    let seen = -of(ResultColumn::Error) / of(ResultColumn::Target);
    assert!((seen - lost).abs() < 1e-9, "{seen} for {lost}");
    assert!((seen - 0.1 / (20.0 / 3.0)).abs() > 1e-3);
    // The nominal masses are those of the runs.
    let nominal = scenario
        .changed(&[("lab.mass".to_owned(), text("nominal"))])
        .expect("a lab");
    let again = columns(&nominal, 256);
    let error = again[ResultColumn::Error as usize][0];
    assert!((error - of(ResultColumn::Error)).abs() < 1e-9 * error.abs());
}

#[test]
fn lists_that_make_no_sense_are_refused() {
    let said = |changes: &[(&str, Raw)]| {
        let of = |(path, raw): &(&str, Raw)| ((*path).to_owned(), raw.clone());
        let changes: Vec<(String, Raw)> = changes.iter().map(of).collect();
        let problems = read_with(SILENT, &changes)
            .expect_err("it makes no sense")
            .0;
        problems
            .iter()
            .map(|p| format!("{}; ", p.message))
            .collect::<String>()
    };
    let masses = |m: &[&str]| list(&m.iter().map(ToString::to_string).collect::<Vec<_>>());
    let two = ["1 g", "2 g"];
    assert!(
        said(&[("determination.charge.mass", masses(&["1 g"]))]).contains("1 masses for 2 runs")
    );
    assert!(
        said(&[("determination.charge.mass", masses(&["1 g", "2 mL"]))]).contains("is a volume")
    );
    assert!(said(&[("determination.charge.mass", masses(&[]))]).contains("an empty list"));
    let window = ("determination.charge.window", text("1 g to 2 g"));
    assert!(
        said(&[("determination.charge.mass", masses(&two)), window]).contains("a window belongs")
    );
    let kind = || ("record.kind", text("trace"));
    let settle = || ("record.settle", text("60 s"));
    let two_readings = [
        ("record.before", Raw::Unsaid),
        ("record.read_at", Raw::Unsaid),
    ];
    let timed = |times: &[&str]| {
        let own = [kind(), settle(), ("record.times", masses(times))];
        said(&[&two_readings[..], &own[..]].concat())
    };
    assert!(timed(&["-10 s", "-20 s", "60 s", "70 s"]).contains("do not rise"));
    assert!(timed(&["-20 s", "-10 s", "0 s", "60 s", "70 s"]).contains("moment of mixing"));
    assert!(timed(&["-10 s", "60 s", "70 s"]).contains("fewer than two readings"));
    assert!(timed(&["-20 s", "-10 s", "60 s"]).contains("fewer than two readings"));
    assert!(timed(&["-2e5 s", "-10 s", "60 s", "70 s"]).contains("later than a day"));
}
