//! The sources of a scenario as groups that a ranking moves.

use super::group::Group;
use crate::nature::RELEASE_DRAW;
use crate::nature::sensor::ROUNDING;
use crate::nature::weigh::BOAT_IN_ITS_DIGIT;
use crate::random::Tag;
use crate::scenario::{Family, SOURCES, Scenario, Scope, Source, SourceId};

/// The sources that err in a scenario, in the order of their table.
pub fn erring(scenario: &Scenario) -> Vec<&'static Source> {
    let known = scenario.cycle.known.as_ref();
    let errs = |s: &&Source| match s.id {
        SourceId::Known => known.is_some_and(|(_, b)| !b.input.is_exact()),
        id => scenario.legs().iter().any(|leg| leg.errs(id)),
    };
    SOURCES.iter().filter(errs).collect()
}

/// Streams of a source: its own, and what its last digit makes of a boat or of a whole record.
fn tags(source: &Source) -> Vec<Tag> {
    let beside = match source.id {
        SourceId::Readability => Some(BOAT_IN_ITS_DIGIT),
        SourceId::Resolution => Some(ROUNDING),
        SourceId::Release => Some(RELEASE_DRAW),
        _ => None,
    };
    std::iter::once(source.tag()).chain(beside).collect()
}

/// One group for each source: all its draws in all runs.
pub fn by_source(sources: &[&'static Source]) -> Vec<Group> {
    sources.iter().map(|s| Group::new(s.key, tags(s))).collect()
}

/// The same groups to be made better: of a last digit or a chance its size alone, since what comes of it
/// by chance is no better or worse.
pub fn to_better(sources: &[&'static Source]) -> Vec<Group> {
    sources
        .iter()
        .map(|s| Group::new(s.key, [s.tag()]))
        .collect()
}

/// One group for each family, to be made better.
pub fn families_to_better(sources: &[&'static Source]) -> Vec<Group> {
    let of = |(family, group): (Family, Group)| {
        let own = sources.iter().filter(|s| s.family == family);
        Group::new(&group.name, own.map(|s| s.tag()))
    };
    by_family(sources).into_iter().map(of).collect()
}

/// One group for each family that has sources.
pub fn by_family(sources: &[&'static Source]) -> Vec<(Family, Group)> {
    let mut families: Vec<Family> = sources.iter().map(|s| s.family).collect();
    families.sort();
    families.dedup();
    let group = |f: &Family| {
        let own = sources.iter().filter(|s| s.family == *f);
        (*f, Group::new(f.name(), own.flat_map(|s| tags(s))))
    };
    families.iter().map(group).collect()
}

/// One group for each scope that has sources, and one for what no repetition averages.
pub fn by_scope(sources: &[&'static Source]) -> Vec<Group> {
    let of = |name: &str, scopes: &[Scope]| {
        let own = sources.iter().filter(|s| scopes.contains(&s.scope));
        Group::new(name, own.flat_map(|s| tags(s)))
    };
    let mut groups: Vec<Group> = [Scope::Reading, Scope::Run, Scope::Group, Scope::Course]
        .iter()
        .map(|s| of(s.name(), &[*s]))
        .collect();
    groups.push(of(LEFT, &[Scope::Group, Scope::Course]));
    groups
}

/// Name of the group of everything that replicates do not average.
pub const LEFT: &str = "group and course";
