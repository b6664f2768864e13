//! Numbers that a study varies: set to what they are, nothing changes.

use super::patched;
use joulecast::design::{DesignOptions, Outcome, Parameter, changes};
use joulecast::scenario::{SOURCES, Scenario, shipped, shipped_names};

/// Trials of each outcome.
const TRIALS: u64 = 256;

fn spread(s: &Scenario) -> f64 {
    let options = DesignOptions {
        trials: TRIALS,
        ..DesignOptions::new(5)
    };
    Outcome::of(s, &options).unwrap().errors.spread.value
}

/// What the scenario states, and what errs at the top. A leg that states anything of an instrument has one of its own, whose
/// draws are others: no key of a leg that is not there already.
fn keys(s: &Scenario) -> Vec<String> {
    let mut all: Vec<String> = s.document().entries.keys().cloned().collect();
    for source in SOURCES {
        if s.determination.errs(source.id) {
            all.push(source.key.to_owned());
        }
    }
    all
}

#[test]
fn a_number_set_to_what_it_is_changes_nothing() {
    let mut tried = 0;
    for name in shipped_names() {
        let s = patched(shipped(name).unwrap(), &[]);
        let now = spread(&s);
        for key in keys(&s) {
            let Ok(parameter) = Parameter::of(&s, &key) else {
                continue;
            };
            if !parameter.now.is_finite() {
                continue;
            }
            let same = s
                .changed(&changes(&s, &[(&parameter, parameter.now)]))
                .unwrap_or_else(|p| {
                    panic!("{name}, {key}: {p:?}");
                });
            let there = spread(&same);
            assert!(
                (there / now - 1.0).abs() < 1e-9,
                "{name}, {key} = {}: {there} and not {now}",
                parameter.now
            );
            tried += 1;
        }
    }
    assert!(tried > 300, "{tried}");
}

#[test]
fn what_the_library_says_of_an_error_stays_when_its_value_is_varied() {
    // The lag is not stated in this scenario: its run-to-run spread is the library's, and grows with it.
    let s = patched(shipped("neutralisation-mug").unwrap(), &[]);
    let parameter = Parameter::of(&s, "thermometer.lag").unwrap();
    let set = changes(&s, &[(&parameter, 30.0)]);
    let text = format!("{:?}", set[0].1);
    assert!(
        text.contains("30 s") && text.contains("log-normal"),
        "{text}"
    );
    let slow = spread(&s.changed(&set).unwrap());
    assert!(slow > 1.2 * spread(&s), "{slow}");
}

#[test]
fn a_time_that_is_stated_as_a_rate_keeps_its_spread() {
    let s = patched(shipped("urea-foam-cups").unwrap(), &[]);
    let parameter = Parameter::of(&s, "determination.dissolving.time").unwrap();
    // A rate of 0.06 1/s.
    assert!(
        (parameter.now * 0.06 - 1.0).abs() < 1e-9,
        "{}",
        parameter.now
    );
    let set = changes(&s, &[(&parameter, parameter.now)]);
    let text = format!("{:?}", set[0].1);
    assert!(text.contains("35 % log-normal"), "{text}");
    let same = s.changed(&set).unwrap();
    assert!((spread(&same) / spread(&s) - 1.0).abs() < 1e-9);
}
