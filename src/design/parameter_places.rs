//! Where a number has to be set.

use crate::scenario::schema;
use crate::scenario::{Document, Leg, SOURCES, Scenario, Sharing, Source, scaled_statement};

/// The legs that a path is about.
pub(super) fn legs_of<'s>(scenario: &'s Scenario, path: &str) -> impl Iterator<Item = &'s Leg> {
    let leg = schema::in_leg(path.trim_start_matches("u(")).0.to_owned();
    scenario
        .legs()
        .into_iter()
        .filter(move |l| l.runs > 0 && (leg.is_empty() || l.name == leg))
}

/// A leg by name; the determination stands for all.
pub(super) fn leg_of<'s>(scenario: &'s Scenario, name: &str) -> &'s Leg {
    scenario
        .legs()
        .into_iter()
        .find(|leg| leg.name == name)
        .unwrap_or(&scenario.determination)
}

/// Where a key has to be set so that it holds: in the leg that it names; else at the top for all legs, and in those
/// legs that state it for themselves.
pub(super) fn places(
    scenario: &Scenario,
    doc: &Document,
    key: &str,
    place: schema::Place,
) -> Vec<String> {
    if !schema::in_leg(key).0.is_empty() || place == schema::Place::Top {
        return vec![key.to_owned()];
    }
    let legs = scenario.legs();
    let used = legs.iter().filter(|leg| leg.runs > 0);
    let (own, others): (Vec<String>, Vec<String>) = used
        .map(|leg| format!("{}.{key}", leg.name))
        .partition(|path| doc.entries.contains_key(path));
    match place {
        schema::Place::Leg => own.into_iter().chain(others).collect(),
        _ if others.is_empty() => own,
        _ => std::iter::once(key.to_owned()).chain(own).collect(),
    }
}

/// The keys of an error for all legs: one for each that errs where others do not, or err differently, since an error grows in
/// proportion.
pub(super) fn errors_apart(scenario: &Scenario, source: &Source, keys: Vec<String>) -> Vec<String> {
    let legs = scenario.legs().into_iter();
    let (erring, exact): (Vec<&Leg>, Vec<&Leg>) = legs
        .filter(|leg| leg.asks_for(source.id))
        .partition(|leg| !leg.binding(source.id).input.is_exact());
    let said = |leg: &&Leg| scaled_statement(source.id, leg.binding(source.id), leg.mass.0, 1.0);
    if exact.is_empty()
        && erring
            .windows(2)
            .all(|pair| said(&pair[0]) == said(&pair[1]))
    {
        return keys;
    }
    let own = erring
        .iter()
        .map(|leg| format!("{}.{}", leg.name, source.key));
    own.collect()
}

/// The leg and the instrument that a key would set apart: a leg that states anything of an instrument has one of its own,
/// whose errors are drawn apart from those of the others. `None` if it shares none with another leg, or has its own already.
pub fn set_apart<'k>(scenario: &Scenario, key: &'k str) -> Option<(&'k str, &'k str)> {
    let (leg, tail) = schema::in_leg(key);
    let (site, _) = tail.split_once('.')?;
    let shared = SOURCES
        .iter()
        .any(|s| s.site() == site && s.sharing == Sharing::Instrument);
    let alone = scenario.legs().iter().filter(|l| l.runs > 0).count() < 2;
    let own = scenario.document().has_table(&format!("{leg}.{site}"));
    (!leg.is_empty() && shared && !alone && !own).then_some((leg, site))
}
