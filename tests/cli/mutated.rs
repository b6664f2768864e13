//! Two thousand damaged scenarios: an error or a result, never a panic, never a hang.

use joulecast::engine::{Model, Study};
use joulecast::experiment::Experiment;
use joulecast::forecast::{Extras, Options, Trials, family_shares, forecast};
use joulecast::quantity::UNITS;
use joulecast::random::{Draws, Layout, Plan};
use joulecast::report::document::Extent;
use joulecast::report::render::{Screen, document_text};
use joulecast::report::{forecast_document, forecast_json, pictures, problems_text};
use joulecast::scenario::schema::{Shape, all_keys};
use joulecast::scenario::{Scenario, read, shipped, shipped_names, template};
use joulecast::stats::{IntervalKind, Summary};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestCaseError, TestRng, TestRunner};
use std::cell::Cell;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::time::{Duration, Instant};

const CASES: u32 = 2_000;
const TRIALS: u64 = 64;
/// A whole forecast, with its text and pictures, of each so many runnable scenarios.
const WHOLE: u32 = 120;
/// Readings of a group beyond which a scenario is read but not run.
const MOST_READINGS: f64 = 20_000.0;
/// Readings of a group beyond which it is not forecast as a whole, which takes some hundred times as long.
const MOST_OF_WHOLE: f64 = 1_500.0;
/// No case may take longer.
const PATIENCE: Duration = Duration::from_secs(20);

/// What is done to a text, and three numbers that choose where and with what.
type Damage = (u8, usize, usize, usize);

const FACTORS: [&str; 12] = [
    "0", "-1", "1e300", "1e-300", "1e6", "1e-6", "1e12", "10", "0.1", "-0.01", "100", "3",
];

fn damaged(text: &str, damages: &[Damage]) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    lines.retain(|l| !l.trim_start().starts_with('#'));
    for &(what, a, b, c) in damages {
        let n = lines.len();
        if n < 2 {
            break;
        }
        let (a, other) = (a % n, b % n);
        match what {
            0 => drop(lines.remove(a)),
            1 => lines.insert(other, lines[a].clone()),
            2 => lines.swap(a, other),
            3 | 4 => lines[a] = scaled(&lines[a], FACTORS[c % FACTORS.len()], b),
            5 => lines[a] = other_unit(&lines[a], UNITS[c % UNITS.len()].symbol),
            6 => {
                if let (Some((key, _)), Some((_, value))) =
                    (lines[a].split_once('='), lines[other].split_once('='))
                {
                    lines[a] = format!("{key}={value}");
                }
            }
            7 => {
                let signs: Vec<char> = "\"=[].,#%-+e0 9'\\{}µ\u{0}\t\u{202f}".chars().collect();
                let at = char_at(&lines[a], b);
                lines[a].insert(at, signs[c % signs.len()]);
            }
            8 => {
                if let Some((key, _)) = lines[a].split_once('=') {
                    lines[a] = format!("{key}= \"{}\"", words(b, c));
                }
            }
            _ => {
                let at = char_at(&lines[a], b);
                lines[a].truncate(at);
            }
        }
    }
    lines.join("\n")
}

fn char_at(line: &str, at: usize) -> usize {
    let places: Vec<usize> = line.char_indices().map(|(i, _)| i).collect();
    places.get(at % places.len().max(1)).copied().unwrap_or(0)
}

/// Where the numbers of a line are.
fn numbers(line: &str) -> Vec<std::ops::Range<usize>> {
    let mut found: Vec<std::ops::Range<usize>> = Vec::new();
    let start = line.find('=').unwrap_or(line.len());
    for (i, c) in line.char_indices().skip_while(|(i, _)| *i < start) {
        if c.is_ascii_digit() || c == '.' {
            match found.last_mut() {
                Some(r) if r.end == i => r.end += 1,
                _ => found.push(i..i + 1),
            }
        }
    }
    found.retain(|r| line[r.clone()].parse::<f64>().is_ok());
    found
}

fn scaled(line: &str, factor: &str, which: usize) -> String {
    let found = numbers(line);
    let Some(at) = found.get(which % found.len().max(1)) else {
        return line.to_owned();
    };
    let x: f64 = line[at.clone()].parse().unwrap_or(1.0);
    let y = x * factor.parse::<f64>().unwrap_or(1.0);
    format!("{}{y:?}{}", &line[..at.start], &line[at.end..])
}

fn other_unit(line: &str, unit: &str) -> String {
    let Some(at) = numbers(line).pop() else {
        return line.to_owned();
    };
    let end = line[at.end..]
        .find(['"', ','])
        .map_or(line.len(), |i| at.end + i);
    format!("{} {unit}{}", &line[..at.end], &line[end..])
}

/// A value out of words of the grammar.
fn words(a: usize, b: usize) -> String {
    let choices: Vec<&str> = all_keys()
        .filter_map(|k| match k.shape {
            Shape::Choice(words) => Some(words.iter().copied()),
            _ => None,
        })
        .flatten()
        .collect();
    let errors = [
        "none",
        "exactly 1 g",
        "+-0.1 K",
        "u = 5 %",
        "2s = 1 mg",
        "U = 1 %, k = 2",
        "U = 1 g, k = 0",
        "0.1 mL exponential",
        "0.1 mL triangular",
        "0.5 K arcsine",
        "30 % log-normal",
        "500 % log-normal",
        "0 % to 3 % beta(1, 4)",
        "0 % to 3 % beta(0, -4)",
        "u = 1 K, dof = 1",
        "u = 1 g, dof = 0.001",
        "0.1 K trapezoid, top = 50 %",
        "0.1 K trapezoid, top = 200 %",
        "0.1 K curvilinear, limits = 0.2 K",
        "1 mg one-sided",
        "0 g to 0 g",
        "40 s, 30 % log-normal",
        "1e308 kg",
        "u = 1e308 kg",
        "exactly 1e308 K",
        "-0.0 g",
        "99.5 %, u = 0.1 %",
        "20 to 1 C",
        "1 g, +-2 g",
        "5 /s, 900 % log-normal",
        "45 J/K, u = 20 J/K",
        "nan K",
        "inf g",
        "1e-320 mL",
    ];
    match a % 3 {
        0 => choices[b % choices.len()].to_owned(),
        1 => errors[b % errors.len()].to_owned(),
        _ => format!("{}, {}", errors[b % errors.len()], errors[a % errors.len()]),
    }
}

fn readings(scenario: &Scenario) -> f64 {
    let of_leg = |leg: &joulecast::scenario::Leg| {
        let [before, after] = leg.record.times();
        (before.len() + after.len()) as f64 * f64::from(leg.runs)
    };
    scenario.legs().into_iter().map(of_leg).sum()
}

/// Runs a few trials, and everything that is asked of them in a forecast.
fn run(scenario: Scenario, whole: bool) {
    let model = Experiment::new(scenario.clone());
    let table = Study::new(1)
        .run(&model, TRIALS)
        .expect("nobody interrupts");
    assert_eq!(table.columns.len(), model.columns().len());
    for column in &table.columns {
        assert_eq!(column.len() as u64, TRIALS);
        let summary = Summary::of(column, 0.95);
        assert!(summary.nonfinite <= TRIALS);
    }
    let plan = Plan::new();
    let (_, _, claims) = model.one_trial(Draws::new(1, 0, Layout::MARGINAL, &plan), 0);
    family_shares(&claims.expect("claims are asked for").budget);
    if whole {
        let options = Options {
            seed: 1,
            trials: Trials::Fixed(TRIALS),
            interval: IntervalKind::Shortest,
            interrupt: None,
            progress: None,
        };
        let f = forecast(scenario, &options).expect("nobody interrupts");
        let document = forecast_document(&f, &Extras::default(), 2);
        for extent in [Extent::Brief, Extent::Full] {
            assert!(document_text(&document, Screen { width: 80, extent }).len() > 100);
        }
        assert!(forecast_json(&f, &Extras::default()).is_object());
        let _ = pictures(&document.figures);
    }
}

/// Reads a text, and runs it if it can be run; whether it could.
fn try_out(text: &str, whole: bool) -> bool {
    match read(text) {
        Ok(scenario) => {
            problems_text("damaged", text, &scenario.warnings, false);
            if readings(&scenario) <= MOST_READINGS {
                let whole = whole && readings(&scenario) <= MOST_OF_WHOLE;
                run(scenario, whole);
            }
            true
        }
        Err(problems) => {
            assert!(!problems.0.is_empty());
            problems_text("damaged", text, &problems.0, false);
            false
        }
    }
}

#[test]
fn a_damaged_scenario_is_an_error_or_a_result() {
    let texts: Vec<String> = shipped_names()
        .filter_map(|name| shipped(name).map(str::to_owned))
        .chain([template("Damaged")])
        .collect();
    let config = Config {
        cases: CASES,
        failure_persistence: None,
        max_shrink_iters: 200,
        ..Config::default()
    };
    let rng = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let mut runner = TestRunner::new_with_rng(config, rng);
    let damage = (0u8..10, any::<usize>(), any::<usize>(), any::<usize>());
    let cases = (0..texts.len(), prop::collection::vec(damage, 1..5));
    let (good, bad) = (Cell::new(0u32), Cell::new(0u32));
    let outcome = runner.run(&cases, |(which, damages)| {
        let text = damaged(&texts[which], &damages);
        let begun = Instant::now();
        let whole = good.get() % WHOLE == 0;
        match catch_unwind(AssertUnwindSafe(|| try_out(&text, whole))) {
            Ok(true) => good.set(good.get() + 1),
            Ok(false) => bad.set(bad.get() + 1),
            Err(_) => return Err(TestCaseError::fail(format!("panics:\n{text}"))),
        }
        if begun.elapsed() > PATIENCE {
            return Err(TestCaseError::fail(format!("takes too long:\n{text}")));
        }
        Ok(())
    });
    if let Err(e) = outcome {
        panic!("{e}");
    }
    // Damage that nobody survives, or everybody, would test nothing.
    let (good, bad) = (good.get(), bad.get());
    assert_eq!(good + bad, CASES);
    assert!(
        good > CASES / 10 && bad > CASES / 10,
        "{good} good, {bad} bad"
    );
}
