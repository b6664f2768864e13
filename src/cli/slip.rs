//! `joulecast slip`

use super::answer::Answer;
use super::args::{Common, Slip as Arguments};
use super::folder::Folder;
use super::goal::{positive, refused};
use super::progress::{Progress, interruption, stopped};
use super::read::{Content, bytes};
use super::{Exit, input, output};
use crate::quantity::{Dimension, parse_quantity_as};
use crate::report::{EVALUATE_SCHEMA, SlipQuestion, slip_document, slip_json};
use crate::scenario::{Scenario, nearest};
use crate::slip::{Mistake, Observed, SlipOptions, Slips, Unit, all, explain, own, slips};
use std::path::Path;

pub(super) fn run(a: &Arguments, common: &Common) -> Result<Exit, Exit> {
    let scenario = input::with_spread(a.scenario.as_deref(), common.json)?;
    let known = known(&scenario, a.scenario.as_deref(), common)?;
    let asked: Vec<(Mistake, Option<f64>)> = match &a.word {
        Some(word) => {
            let found = found(&known, word)?;
            let size = a
                .size
                .as_deref()
                .map(|text| size(text, &found))
                .transpose()?;
            found.into_iter().map(|m| (m, size)).collect()
        }
        None => of_usual_size(known),
    };
    let difference = a
        .difference
        .as_deref()
        .map(|d| observed(d, &scenario))
        .transpose()?;
    let folder = Folder::ready(common, true)?;
    let bar = Progress::new(None);
    let tick = |done: u64| bar.set(done);
    let options = SlipOptions {
        progress: Some(&tick),
        ..options(common)
    };
    let found = slips(&scenario, &asked, &options);
    bar.clear();
    let s = found.map_err(stopped)?;
    if let (Some(word), true) = (&a.word, s.mistakes.is_empty() && s.impossible.is_empty()) {
        return Err(refused(&format!(
            "`{word}` cannot be made in this scenario"
        )));
    }
    let explained = match difference {
        Some((d, u)) => {
            let observed = Observed {
                difference: d,
                u: uncertainty(a.u.as_deref(), u, &s)?,
            };
            Some(explain(&s, observed, &options).map_err(stopped)?)
        }
        None => None,
    };
    let question = SlipQuestion {
        slips: &s,
        explained: explained.as_ref(),
        word: a.word.is_some(),
    };
    let answer = Answer {
        name: "slip",
        document: slip_document(&question),
        json: slip_json(&s, explained.as_ref()),
        extra: Vec::new(),
        exit: Exit::Done,
    };
    answer.give(common, folder.as_ref())
}

/// How mistakes are studied.
pub(super) fn options(common: &Common) -> SlipOptions<'static> {
    SlipOptions {
        trials: common.trials,
        interrupt: Some(interruption()),
        ..SlipOptions::new(common.seed)
    }
}

/// Mistakes of their usual size.
pub(super) fn of_usual_size(known: Vec<Mistake>) -> Vec<(Mistake, Option<f64>)> {
    known.into_iter().map(|m| (m, None)).collect()
}

/// The mistakes of the catalogue, and the scenario's own.
pub(super) fn known(
    scenario: &Scenario,
    named: Option<&str>,
    common: &Common,
) -> Result<Vec<Mistake>, Exit> {
    let own = match own(scenario) {
        Ok(own) => own,
        Err(problems) => {
            let source = input::source(named, common.json)?;
            return Err(input::refuse(&source, &problems, common.json));
        }
    };
    Ok(all().cloned().chain(own).collect())
}

/// The mistake of this key, or those with the word in key or words.
fn found(known: &[Mistake], word: &str) -> Result<Vec<Mistake>, Exit> {
    let word = word.trim().to_lowercase();
    if let Some(m) = known.iter().find(|m| m.key == word.as_str()) {
        return Ok(vec![m.clone()]);
    }
    let has = |m: &&Mistake| m.key.contains(&word) || m.words.to_lowercase().contains(&word);
    let some: Vec<Mistake> = known.iter().filter(has).cloned().collect();
    if !some.is_empty() && !word.is_empty() {
        return Ok(some);
    }
    let keys: Vec<&str> = known.iter().map(|m| m.key.as_ref()).collect();
    let hint = match nearest(&word, keys.iter().copied()) {
        Some(key) => format!("did you mean `{key}`?"),
        None => format!("there are {}", keys.join(", ")),
    };
    Err(refused(&format!("no mistake is called `{word}`: {hint}")))
}

/// A size for all of these, in their unit.
fn size(text: &str, found: &[Mistake]) -> Result<f64, Exit> {
    let unit = found.first().map_or(Unit::None, |m| m.size.unit);
    let both = found.iter().all(|m| m.size.signed);
    if found.iter().any(|m| m.size.unit != unit) {
        let keys: Vec<&str> = found.iter().map(|m| m.key.as_ref()).collect();
        let keys = keys.join(", ");
        return Err(refused(&format!(
            "--size: which of them is meant? {keys} are stated in different units"
        )));
    }
    let (dimension, example) = match unit {
        Unit::None => {
            return Err(refused(
                "--size: this mistake is made or not, it has no size",
            ));
        }
        Unit::Times => {
            let number = text.trim().trim_end_matches("times").trim().parse::<f64>();
            return match number {
                Ok(x) if x > 0.0 && x.is_finite() => Ok(x),
                _ => Err(refused(
                    "--size: a factor above zero is due, for example \"3 times\"",
                )),
            };
        }
        Unit::Percent => (Dimension::Fraction, "2 %"),
        Unit::Millilitre => (Dimension::Volume, "1 mL"),
        Unit::Gram => (Dimension::Mass, "20 mg"),
        Unit::Kelvin => (Dimension::TemperatureDifference, "0.5 K"),
        Unit::KelvinPerMinute => (Dimension::TemperatureRate, "20 mK/min"),
        Unit::Second => (Dimension::Time, "60 s"),
        Unit::Watt => (Dimension::Power, "50 mW"),
    };
    let x = parse_quantity_as(text, dimension)
        .map_err(|e| refused(&format!("--size: {e}; for example \"{example}\"")))?;
    let x = x / unit.base();
    match x {
        x if x < 0.0 && !both => Err(refused("--size: this mistake goes one way only")),
        x if unit == Unit::Percent && x.abs() > 100.0 => {
            Err(refused("--size: more than all of it"))
        }
        x if x.is_finite() => Ok(x),
        _ => Err(refused("--size: no number")),
    }
}

/// A difference as a fraction of the accepted value, and its standard uncertainty if it is told: stated, or that of an
/// evaluation in JSON.
fn observed(text: &str, scenario: &Scenario) -> Result<(f64, Option<f64>), Exit> {
    let accepted = scenario.tabulated().0;
    if Path::new(text).extension().is_some_and(|e| e == "json") {
        return of_evaluation(Path::new(text), scenario, accepted);
    }
    let stated = parse_quantity_as(text, Dimension::Fraction)
        .or_else(|e| {
            parse_quantity_as(text, Dimension::MolarEnthalpy)
                .map(|x| x / accepted)
                .map_err(|_| e)
        })
        .map_err(|e| {
            refused(&format!(
                "--difference: {e}; for example \"-3.1 %\" of the magnitude, \"-0.5 kJ/mol\", or evaluate.json"
            ))
        })?;
    match stated {
        0.0 => Err(refused("--difference: a difference of zero needs no cause")),
        x if x.is_finite() && x.abs() < 1e4 => Ok((x, None)),
        _ => Err(refused(
            "--difference: beyond anything that one mistake does",
        )),
    }
}

fn of_evaluation(
    path: &Path,
    scenario: &Scenario,
    accepted: f64,
) -> Result<(f64, Option<f64>), Exit> {
    let bytes = bytes(path, Content::Runs)?;
    let wrong = |what: &str| refused(&format!("--difference: {}: {what}", path.display()));
    let value: serde_json::Value =
        serde_json::from_slice(&bytes).map_err(|e| wrong(&format!("no JSON: {e}")))?;
    if value["schema"] != EVALUATE_SCHEMA {
        return Err(wrong("not what `evaluate --json` prints"));
    }
    if value["scenario"]["digest"] != scenario.digest.as_str() {
        output::complain(&format!(
            "{} was evaluated with another scenario than this one",
            path.display()
        ));
    }
    let number = |key: &str| value["agreement"][key].as_f64();
    match (
        number("difference_J_per_mol"),
        number("u_of_difference_J_per_mol"),
    ) {
        (Some(d), Some(u)) if d != 0.0 => Ok((d / accepted, Some((u / accepted).abs()))),
        _ => Err(wrong("it has no difference from the accepted value")),
    }
}

/// The standard uncertainty of the difference: as stated, as evaluated, or the spread of competent groups.
fn uncertainty(stated: Option<&str>, evaluated: Option<f64>, s: &Slips) -> Result<f64, Exit> {
    match stated {
        Some(text) => positive("--u", text, Dimension::Fraction),
        None => Ok(evaluated.unwrap_or(s.spread.value)),
    }
}
