//! The arithmetic of `evaluate --steps` can be followed with a pocket calculator: each line that has numbers on both sides of its
//! last sign of equality says what they make.

use joulecast::scenario::shipped_names;
use std::fs;
use tempfile::tempdir;

/// Value of sums, products and quotients of numbers, whose units are passed over; `None` for anything else.
fn value(expression: &str) -> Option<f64> {
    let spaced = expression
        .replace('\u{2212}', "-")
        .replace('(', " ( ")
        .replace(')', " ) ");
    let is_unit =
        |w: &str| !w.contains(|c: char| c.is_ascii_digit()) && w.chars().any(char::is_alphabetic);
    // A sign that stands at its number belongs to it.
    let words: Vec<&str> = spaced
        .split_whitespace()
        .filter(|w| !is_unit(w) && *w != "°C")
        .collect();
    let mut rest = words.as_slice();
    let found = sum(&mut rest)?;
    rest.is_empty().then_some(found)
}

fn sum(words: &mut &[&str]) -> Option<f64> {
    let mut total = product(words)?;
    while let Some((sign @ (&"+" | &"-"), rest)) = words.split_first() {
        *words = rest;
        let next = product(words)?;
        total += if *sign == "+" { next } else { -next };
    }
    Some(total)
}

fn product(words: &mut &[&str]) -> Option<f64> {
    let mut total = factor(words)?;
    while let Some((sign @ (&"×" | &"/"), rest)) = words.split_first() {
        *words = rest;
        let next = factor(words)?;
        total = if *sign == "×" {
            total * next
        } else {
            total / next
        };
    }
    Some(total)
}

fn factor(words: &mut &[&str]) -> Option<f64> {
    let (first, rest) = words.split_first()?;
    *words = rest;
    match *first {
        "-" => factor(words).map(|x| -x),
        "(" => {
            let inner = sum(words)?;
            let (close, rest) = words.split_first()?;
            *words = rest;
            (*close == ")").then_some(inner)
        }
        number => number.parse().ok(),
    }
}

/// Lines of the arithmetic, whole.
fn lines(said: &str) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for line in said.lines() {
        match all.last_mut() {
            Some(last) if line.starts_with("          ") => {
                last.push(' ');
                last.push_str(line.trim());
            }
            _ => all.push(line.trim().to_owned()),
        }
    }
    all
}

/// Number of lines that were checked.
fn check(name: &str, said: &str) -> usize {
    let mut checked = 0;
    for line in lines(said) {
        let parts: Vec<&str> = line.split(" = ").collect();
        let [.., expression, result] = parts[..] else {
            continue;
        };
        let result = result.split(" at ").next().unwrap_or(result);
        let (Some(found), Some(due)) = (value(expression), value(result)) else {
            continue;
        };
        // A difference of numbers with seven figures may have few of them.
        let largest = expression
            .replace('\u{2212}', "-")
            .split(|c: char| !c.is_ascii_digit() && c != '.')
            .filter_map(|w| w.parse::<f64>().ok())
            .fold(due.abs(), f64::max);
        assert!(
            (found - due).abs() <= 2e-6 * largest.max(due.abs()),
            "{name}: {line}: {found}"
        );
        checked += 1;
    }
    checked
}

#[test]
fn the_arithmetic_of_every_scenario_adds_up() {
    for name in shipped_names() {
        let folder = tempdir().expect("a folder");
        let run = |arguments: &[&str]| {
            let (code, said, why) = super::run(folder.path(), arguments);
            assert_eq!(code, 0, "{name}: {why}");
            said
        };
        let template = run(&["evaluate", name, "--template", "--all-columns"]);
        let mut table = template.lines().map(|l| l.split(',').collect::<Vec<_>>());
        let headers = table.next().expect("headers");
        let mut file = headers.join(",");
        for row in table {
            let cells = headers.iter().zip(row).map(|(header, cell)| {
                match header.split(' ').next().expect("a name") {
                    "record" | "mixed_at" | "remark" | "initial" | "final" => "",
                    "change" => "1.2345",
                    "mixing" => "20.5",
                    _ => cell,
                }
            });
            file += &format!("\n{}", cells.collect::<Vec<_>>().join(","));
        }
        fs::write(folder.path().join("runs.csv"), file).expect("a file");
        let said = run(&["evaluate", name, "runs.csv", "--steps", "--trials", "1024"]);
        let checked = check(name, &said);
        assert!(checked >= 6, "{name}: {checked} lines\n{said}");
    }
}

#[test]
fn a_wrong_number_is_seen() {
    assert_eq!(value("150 mL × 0.5 g/mL"), Some(75.0));
    assert_eq!(value("\u{2212}(\u{2212}463.5) / 2"), Some(231.75));
    assert_eq!(
        value("3 \u{2212} (\u{2212}129) × (21 \u{2212} 25)"),
        Some(-513.0)
    );
    assert_eq!(value("m w / M"), None);
    let wrong = std::panic::catch_unwind(|| check("", "  Q = 2 V × 3 A = 6.001 J"));
    assert!(wrong.is_err());
    assert_eq!(check("", "  Q = U I t = 2 V × 3 A × 4 s = 24 J"), 1);
}
