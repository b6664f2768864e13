//! Mistakes of a scenario's own: the table `[slips]`.

use super::acts::Act;
use super::catalogue::{Mistake, all as all_known};
use super::place::Place;
use super::size::Size;
use crate::design::set;
use crate::scenario::schema::{FURTHER, LEGS, SLIPS, in_leg};
use crate::scenario::{Problem, Problems, Scenario};
use std::borrow::Cow;

/// The mistakes that a scenario names for itself.
///
/// # Errors
/// All that are no changes of its keys, at their places in the file.
pub fn own(scenario: &Scenario) -> Result<Vec<Mistake>, Problems> {
    let mut problems = Vec::new();
    let mut all = Vec::new();
    for (name, text, span) in &scenario.slips {
        if all_known().any(|m| m.key == name.as_str()) {
            let message = format!("`{name}` is a mistake that is known already");
            let problem = Problem::error(&format!("{SLIPS}.{name}"), message);
            problems.push(problem.hint("choose another name").at(span.clone()));
            continue;
        }
        if let Err(Problems(found)) = set(scenario, text) {
            let path = format!("{SLIPS}.{name}");
            problems.extend(found.into_iter().map(|p| {
                let message = match p.path.as_str() {
                    "" => p.message,
                    key => format!("`{key}`: {}", p.message),
                };
                Problem {
                    hint: p.hint,
                    ..Problem::error(&path, message)
                }
                .at(span.clone())
            }));
            continue;
        }
        all.push(Mistake {
            key: Cow::Owned(name.clone()),
            words: Cow::Owned(name.replace(['-', '_'], " ")),
            size: Size::NONE,
            fits: |_, leg| leg.runs > 0,
            places: places(text),
            enters: Cow::Owned(text.split_whitespace().collect::<Vec<_>>().join(" ")),
            check: Cow::Borrowed(""),
            act: Act::Keys(text.clone()),
        });
    }
    match problems.is_empty() {
        true => Ok(all),
        false => Err(Problems(problems)),
    }
}

/// In which runs changed keys act.
fn places(text: &str) -> &'static [Place] {
    let keys = text.split(';').filter_map(|part| part.split_once('='));
    let keys: Vec<&str> = keys.map(|(path, _)| path.trim()).collect();
    let of = |leg: &str| keys.iter().filter(|k| in_leg(k).0 == leg).count();
    let calibration = of(LEGS[0]);
    let further = keys.iter().filter(|k| k.starts_with(FURTHER)).count();
    let determinations = of(LEGS[1]) + further;
    if keys.iter().any(|k| k.starts_with("lab.")) {
        &[Place::Both]
    } else if calibration == keys.len() {
        &[Place::Calibration]
    } else if of(LEGS[1]) == keys.len() {
        &[Place::Determinations, Place::OneRun]
    } else if determinations == keys.len() {
        &[Place::Determinations]
    } else if calibration + determinations == 0 {
        &Place::ALL
    } else {
        &[Place::Both]
    }
}
