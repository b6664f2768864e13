//! A scenario with some of its keys changed, as the command line writes it: `PATH = VALUE; PATH = VALUE`.

use super::bounds::refused;
use super::compare::Contender;
use super::compare_written::{Written, split};
use super::parameter::{ALL_RUNS, Parameter, changes};
use super::parameter_error::ParameterError;
use super::parameter_places::{places, set_apart};
use crate::quantity::parse_quantity_as;
use crate::scenario::schema::{self, Shape};
use crate::scenario::{Problem, Problems, Raw, Scenario, Severity};
use std::ops::Range;

/// A contender that differs from a scenario in these keys. Where the changed scenario cannot be, it says why; what is
/// no change at all (an unknown key, a value of another kind) is an error.
///
/// # Errors
/// Problems of the text, with their places in it.
pub fn set(scenario: &Scenario, text: &str) -> Result<Contender, Problems> {
    let mut all: Vec<(String, Raw)> = Vec::new();
    let mut problems = Vec::new();
    let mut written = Vec::new();
    let mut start = 0;
    for part in text.split(';') {
        match split(part, start) {
            Some(w) => match one(scenario, &w) {
                Ok(set) => {
                    let paths: Vec<String> = set.iter().map(|(path, _)| path.clone()).collect();
                    // A window that moved with its mass gives way to one that is stated.
                    let moved = |p: &String| p.ends_with("charge.window");
                    let twice = paths
                        .iter()
                        .any(|p| !moved(p) && all.iter().any(|(path, _)| path == p));
                    if twice {
                        problems.push(
                            Problem::error(w.path, format!("`{}` is set twice", w.path))
                                .hint("leave one of them out")
                                .at(Some(w.spans[0].clone())),
                        );
                    }
                    all.retain(|(path, _)| !paths.contains(path));
                    all.extend(set);
                    written.push((paths, w.spans[1].clone()));
                }
                Err(found) => problems.push(found),
            },
            None if part.trim().is_empty() && start > 0 => {}
            None => {
                let whole = start..start + part.len();
                problems.push(
                    Problem::error("", format!("`{}` changes nothing", part.trim()))
                        .hint(
                            "write `PATH = VALUE`, for example `thermometer.use = thermistor-1mK`",
                        )
                        .at(Some(whole)),
                );
            }
        }
        start += part.len() + 1;
    }
    if !problems.is_empty() {
        return Err(Problems(problems));
    }
    let found = match scenario.changed(&all) {
        Ok(changed) => Ok(changed),
        Err(said) => {
            let mistakes = mistakes(&said, &written);
            if !mistakes.is_empty() {
                return Err(Problems(mistakes));
            }
            Err(refused(&said))
        }
    };
    let moved = |p: &(String, Raw)| p.0.ends_with("charge.window") && !text.contains("window");
    let window = if all.iter().any(moved) {
        ", the window in proportion to the mass"
    } else {
        ""
    };
    let keys = written.iter().flat_map(|(paths, _)| paths);
    let mut apart: Vec<String> = keys
        .filter_map(|path| set_apart(scenario, path))
        .map(|(leg, site)| {
            let leg = leg.strip_prefix("leg.").unwrap_or(leg);
            format!(", `{leg}` with a {site} of its own")
        })
        .collect();
    apart.dedup();
    let apart = apart.concat();
    Ok(Contender {
        name: text.split_whitespace().collect::<Vec<_>>().join(" "),
        what: format!("A with this changed{window}{apart}"),
        derived: true,
        scenario: found,
    })
}

/// What one written change sets.
fn one(scenario: &Scenario, w: &Written) -> Result<Vec<(String, Raw)>, Problem> {
    let [path_at, value_at] = &w.spans;
    let wrong = |message: String, hint: &str| {
        Problem::error(w.path, message)
            .hint(hint)
            .at(Some(value_at.clone()))
    };
    let key = schema::find(w.path);
    let is_mass = key.is_some_and(|k| k.site == "charge" && k.name == "mass");
    if w.path == ALL_RUNS || w.path.starts_with("u(") || is_mass {
        let parameter =
            Parameter::of(scenario, w.path).map_err(|e| unknown(&e, path_at.clone()))?;
        let number = match parameter.dimension() {
            Some(d) => {
                parse_quantity_as(w.value, d).map_err(|e| wrong(e.to_string(), d.example()))?
            }
            None => f64::from(w.value.parse::<u16>().map_err(|_| {
                wrong(
                    format!("`{}` is not a whole number", w.value),
                    "for example 4",
                )
            })?),
        };
        if number > 0.0 {
            return Ok(changes(scenario, &[(&parameter, number)]));
        }
        return Err(wrong(
            format!("`{}` is not above zero", w.value),
            "a number above zero is due",
        ));
    }
    let raw = raw(key.map(|k| k.shape), w.value);
    let mut doc = scenario.document();
    doc.problems.clear();
    doc.set(w.path, raw.clone());
    if let Some(said) = doc.problems.into_iter().next() {
        let at = if key.is_none() { path_at } else { value_at };
        return Err(said.at(Some(at.clone())));
    }
    let place = key.map_or(schema::Place::Top, |k| k.place);
    let doc = scenario.document();
    let places = places(scenario, &doc, w.path, place);
    Ok(places.into_iter().map(|path| (path, raw.clone())).collect())
}

/// A value as the key takes it; what does not fit stays a text, of which the reader says what is due.
fn raw(shape: Option<Shape>, value: &str) -> Raw {
    match shape {
        Some(Shape::Count(..)) => value
            .parse()
            .map_or_else(|_| Raw::Text(value.to_owned()), Raw::Whole),
        Some(Shape::Flag) => value
            .parse()
            .map_or_else(|_| Raw::Text(value.to_owned()), Raw::Flag),
        _ => Raw::Text(value.to_owned()),
    }
}

fn unknown(e: &ParameterError, at: Range<usize>) -> Problem {
    let problem = match e {
        ParameterError::Unknown {
            path,
            message,
            hint,
        } => Problem {
            hint: hint.clone(),
            ..Problem::error(path, message.clone())
        },
        other => Problem::error("", other.to_string()),
    };
    problem.at(Some(at))
}

/// Errors at the very keys that were set, which are mistakes of the writer and no limits of the procedure.
fn mistakes(said: &Problems, written: &[(Vec<String>, Range<usize>)]) -> Vec<Problem> {
    let errors = said.0.iter();
    errors
        .filter(|p| p.severity == Severity::Error && p.concern.is_none())
        .filter_map(|p| {
            let (_, at) = written.iter().find(|(paths, _)| paths.contains(&p.path))?;
            Some(p.clone().at(Some(at.clone())))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::builtin;

    fn words(text: &str) -> (String, Option<Range<usize>>) {
        let Err(Problems(all)) = set(&builtin(), text) else {
            panic!("{text} is taken");
        };
        (format!("{}", all[0]), all[0].span.clone())
    }

    #[test]
    fn a_key_changes_where_the_scenario_states_it() {
        let own = builtin();
        let of = |text: &str| set(&own, text).unwrap().scenario.unwrap();
        let finer = of("thermometer.use = \"thermistor-1mK\"");
        assert!(finer.determination.reading_step() < own.determination.reading_step());
        // The legs state their own charges; a mass takes its window along.
        let heavy = of("determination.charge.mass = 3.2 g");
        assert!((heavy.determination.mass.0 - 3.2).abs() < 1e-9);
        let window = |s: &Scenario| {
            let dist = &s
                .determination
                .binding(crate::scenario::SourceId::Window)
                .input
                .dist;
            dist.quantile(1.0)
        };
        assert!((window(&heavy) / window(&own) - 2.0).abs() < 1e-6);
        let both = of("calibration.runs = 4; determination.runs = 6;");
        assert_eq!((both.calibration.runs, both.determination.runs), (4, 6));
        assert_eq!(of("runs = 5").calibration.runs, 5);
        assert!(of("lab.volume_as_mass = true").lab.volume_as_mass);
    }

    #[test]
    fn what_is_no_change_is_pointed_at() {
        let (said, at) = words("thermometer.use = thermistor-1mk");
        assert!(said.contains("did you mean `thermistor-1mK`?"), "{said}");
        assert_eq!(at, Some(18..32));
        let (said, at) = words("runs = 3; determination.charge.mas = 1 g");
        assert!(
            said.contains("unknown key") && said.contains("charge.mass"),
            "{said}"
        );
        assert_eq!(at, Some(10..34));
        for bad in [
            "",
            "x",
            "runs = ",
            "= 3",
            "runs = many",
            "runs = 0",
            "determination.charge.mass = 3 mL",
            "determination.charge.mass = -3 g",
            "calibration.runs = 3.5",
            "lab.contents = other",
            "u(title) = 3 g",
            "u(thermometer.noise) = 3 g",
            "u(vessel.leak) = -1 1/s",
            "format = 2",
            "calibration.runs = 4; calibration.runs = 5",
            "runs = 4; determination.runs = 4",
        ] {
            assert!(!words(bad).0.is_empty(), "{bad}");
        }
    }

    #[test]
    fn a_limit_of_the_procedure_is_a_reason_and_no_mistake() {
        let found = set(&builtin(), "determination.charge.mass = 90 g").unwrap();
        let zone = found.scenario.unwrap_err();
        assert_eq!(zone.bound, super::super::Bound::Solubility);
    }
}
