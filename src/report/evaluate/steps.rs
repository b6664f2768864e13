//! The arithmetic of an evaluation, formula by formula with its numbers, so that it can be followed with a pocket calculator.
//!
//! The formulas are those of `lab::evaluate` and `lab::tables`; each line ends in the number that the evaluation has, not
//! in one that was reckoned from rounded ones.

use super::walk::Walk;
use crate::evaluate::{Evaluated, of_leg};
use crate::lab::Method;
use crate::report::document::{Block, Section};
use crate::report::words::minus;
use crate::stats::quote;

/// A number with seven figures: rounding does not reach the result.
pub(super) fn n(x: f64) -> String {
    let text = quote(x, x.abs(), 7).value;
    let text = match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.'),
        false => &text,
    };
    minus(text)
}

/// The same where a sign stands before it.
pub(super) fn signed(x: f64) -> String {
    match x < 0.0 {
        true => format!("({})", n(x)),
        false => n(x),
    }
}

/// One section for each leg, one for the result.
pub(super) fn steps(e: &Evaluated) -> Vec<Section> {
    let method = Method::of(&e.scenario);
    let legs = e.scenario.legs();
    let mut all = Vec::new();
    for (at, leg) in legs.iter().enumerate() {
        let results = e.results(at);
        if results.is_empty() {
            continue;
        }
        let seen = e.measured.seen.leg(at);
        let heading = match at {
            0 => "arithmetic of the calibration".to_owned(),
            _ => format!("arithmetic of the {}", leg.title()),
        };
        let mut section = Section::new(&heading);
        for (run, result) in of_leg(&e.measured.runs, at).zip(results) {
            let walk = Walk {
                e,
                method: &method,
                seen,
                run,
                at,
            };
            section = section.with(Block::Code(walk.lines(*result).join("\n")));
        }
        all.push(section.with(Block::Code(mean(at, results))));
    }
    all.push(result(e, &method));
    all
}

fn mean(at: usize, results: &[f64]) -> String {
    let (name, unit) = if at == 0 {
        ("C", "J/K")
    } else {
        ("ΔH", "J/mol")
    };
    let all: Vec<String> = results.iter().map(|x| n(*x)).collect();
    let value = results.iter().sum::<f64>() / results.len() as f64;
    format!(
        "mean {name} = ({}) / {} = {} {unit}",
        all.join(" + "),
        results.len(),
        n(value)
    )
}

/// The sum of the legs.
fn result(e: &Evaluated, method: &Method) -> Section {
    let mut terms: Vec<String> = e
        .evaluation
        .means
        .iter()
        .zip(&method.coefficients)
        .map(|(mean, c)| format!("{} × ({})", n(*c), n(*mean)))
        .collect();
    if method.known.0 != 0.0 {
        terms.push(format!("{} × ({})", n(method.known.0), n(method.known.1.0)));
    }
    let u = &e.stated;
    let lines = [
        format!(
            "ΔH = {} = {} J/mol",
            terms.join(" + "),
            n(e.evaluation.enthalpy)
        ),
        format!(
            "u = {} J/mol, k = {}, U = k u = {} J/mol",
            n(u.u),
            n(u.factor()),
            n(u.half_width())
        ),
    ];
    Section::new("arithmetic of the result").with(Block::Code(lines.join("\n")))
}
