//! Errors with so few degrees of freedom that a spread is not known, or does not exist.

use super::build::Builder;
use super::document::Raw;
use super::model::Scenario;
use super::problem::{Concern, Problem};
use super::wording::short;
use std::ops::Range;

/// Up to so many degrees of freedom a Student t has no kurtosis, and up to so many no variance.
const NO_KURTOSIS: f64 = 4.0;
const NO_VARIANCE: f64 = 2.0;

/// Warns of each statement that gives an error no more than four, wherever it stands.
pub(super) fn check(b: &mut Builder, scenario: &Scenario) {
    for (leg, source, binding) in scenario.erring() {
        let dof = binding.input.dist.dof();
        if dof > NO_KURTOSIS {
            continue;
        }
        let states = |raw: &Raw| matches!(raw, Raw::Text(t) if t.trim() == binding.stated);
        let mut places: Vec<(String, Option<Range<usize>>)> = (b.doc.entries.iter())
            .filter(|(_, entry)| states(&entry.raw))
            .map(|(path, entry)| (path.clone(), entry.span.clone()))
            .collect();
        if places.is_empty() {
            // The library has it so.
            places.push((format!("{leg}.{}", source.key), None));
        }
        let message = if dof <= NO_VARIANCE {
            "no spread exists; only intervals are stated"
        } else {
            "errors of the spread are unreliable"
        };
        for (path, span) in places {
            if b.reported(&path) {
                continue;
            }
            let message = format!("with {} degrees of freedom {message}", short(dof));
            let hint = "state more degrees of freedom, or none if the uncertainty is well known";
            let found = Problem::warning(&path, message).hint(hint).at(span);
            b.problem(if dof <= NO_VARIANCE {
                found.about(Concern::NoSpread)
            } else {
                found
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::scenario::{Raw, Scenario, read, shipped};

    fn with(key: &str, text: &str) -> Scenario {
        let set = [(key.to_owned(), Raw::Text(text.to_owned()))];
        let s = read(shipped("ammonium-chloride-dewar").unwrap()).unwrap();
        s.changed(&set).unwrap()
    }

    fn told(s: &Scenario) -> Vec<(&str, &str)> {
        let of = |p: &'_ crate::scenario::Problem| p.message.contains("degrees of freedom");
        let own = s.warnings.iter().filter(|p| of(p));
        own.map(|p| (p.path.as_str(), p.message.as_str())).collect()
    }

    #[test]
    fn few_degrees_of_freedom_are_told_at_their_key_and_the_fewest_are_known() {
        let key = "balance.repeatability";
        let two = with(key, "s = 0.1 mg, dof = 2");
        let none = "with 2 degrees of freedom no spread exists; only intervals are stated";
        assert_eq!((two.fewest_dof(), told(&two)), (2.0, vec![(key, none)]));
        let four = with(key, "s = 0.1 mg, dof = 4");
        let unsure = "with 4 degrees of freedom errors of the spread are unreliable";
        assert_eq!((four.fewest_dof(), told(&four)), (4.0, vec![(key, unsure)]));
        let five = with(key, "s = 0.1 mg, dof = 5");
        assert_eq!((five.fewest_dof(), told(&five)), (5.0, vec![]));
        let normal = with(key, "s = 0.1 mg");
        assert_eq!(
            (normal.fewest_dof(), told(&normal)),
            (f64::INFINITY, vec![])
        );
    }

    #[test]
    fn an_error_that_does_not_act_does_not_count() {
        // Nothing is held back where everything is released.
        let idle = with("charge.held_back", "10 %, u = 0.0001 %, dof = 2");
        assert_eq!((idle.fewest_dof(), told(&idle)), (f64::INFINITY, vec![]));
    }
}
