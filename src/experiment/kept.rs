//! What the plans of one block share.
//!
//! Draws are named, so a leg in which a plan treats nothing that errs there comes out bit for bit as without
//! the plan, and so does what a group has for its session if nothing is treated that is drawn for it. A
//! record's noise, where the last digit is an error of its own, is the same whatever else a plan treats.

use super::notebook::Notebook;
use crate::lab::Sums;
use crate::nature::sensor::ROUNDING;
use crate::nature::{Group, RELEASE_DRAW, weigh::BOAT_IN_ITS_DIGIT};
use crate::random::{Draws, Tag, Treatment};
use crate::scenario::{Leg, SOURCES, Scope, Source, SourceId, Supply};
use std::cell::RefCell;
use std::rc::Rc;

/// Streams that decide what a leg comes to.
#[derive(Debug, Clone)]
pub(super) struct LegTags {
    all: Vec<Tag>,
    /// Those that are drawn once for the group.
    group: Vec<Tag>,
    /// Those that decide what goes on in the vessel, and not only what is written down of it.
    course: Vec<Tag>,
}

impl LegTags {
    /// Of the sources that err in a leg.
    pub(super) fn of(leg: &Leg) -> Self {
        let err = SOURCES.iter().filter(|s| leg.errs(s.id));
        let beside = [ROUNDING, BOAT_IN_ITS_DIGIT, RELEASE_DRAW];
        let all: Vec<Tag> = err.clone().map(|s| s.tag()).chain(beside).collect();
        // A stock is weighed once for the session.
        let stock = |r: &crate::scenario::Reagent| matches!(r.supply, Supply::InStock(_));
        let group = if leg.reagents.iter().any(stock) {
            all.clone()
        } else {
            // The last digit of a display belongs to every reading, and its size to the group.
            let once = |s: &&Source| {
                matches!(s.scope, Scope::Group | Scope::Course) || s.id == SourceId::Resolution
            };
            err.filter(once).map(|s| s.tag()).collect()
        };
        // What a balance says decides amounts where a reagent is weighed in.
        let weighed = |r: &crate::scenario::Reagent| !matches!(r.supply, Supply::InLiquid { .. });
        let recorded = |s: &&Source| {
            matches!(s.id, SourceId::Noise | SourceId::Resolution)
                || s.site() == "balance" && !leg.reagents.iter().any(weighed)
        };
        let course = SOURCES.iter().filter(|s| leg.errs(s.id) && !recorded(s));
        let course = course.map(|s| s.tag()).chain([RELEASE_DRAW]).collect();
        Self { all, group, course }
    }
}

/// Whether a plan leaves all these as they are drawn.
fn untouched(draws: &Draws, tags: &[Tag]) -> bool {
    tags.iter().all(|tag| draws.treatment(*tag).is_none())
}

/// What is done to noise and last digit of a thermometer.
type NoiseKey = [Option<Treatment>; 3];

/// Something of a leg's records by run and attempt: their noise, or what they are without it.
#[derive(Debug, Default)]
pub struct Records(RefCell<Vec<OfRun>>);

/// A run with its attempt, and what is known of its record.
type OfRun = ((u32, u32), Rc<Sums>);

impl Records {
    /// That of a run and attempt: as it is known, or new.
    pub(super) fn of(&self, run: (u32, u32), new: impl FnOnce() -> Sums) -> Rc<Sums> {
        let known = self.0.borrow();
        if let Some((_, sums)) = known.iter().find(|(of, _)| *of == run) {
            return Rc::clone(sums);
        }
        drop(known);
        let sums = Rc::new(new());
        self.0.borrow_mut().push((run, Rc::clone(&sums)));
        sums
    }
}

/// What is kept of a block, by leg.
#[derive(Debug, Default)]
pub(super) struct Kept<'e> {
    groups: Vec<(usize, Rc<Group<'e>>)>,
    notebooks: Vec<(usize, Rc<Notebook>)>,
    noises: Vec<(usize, NoiseKey, Rc<Records>)>,
    smooth: Vec<(usize, Rc<Records>)>,
}

fn find<T>(all: &[(usize, Rc<T>)], leg: usize) -> Option<Rc<T>> {
    let found = all.iter().find(|(of, _)| *of == leg)?;
    Some(Rc::clone(&found.1))
}

impl<'e> Kept<'e> {
    /// The group of a leg: as it is kept, or new.
    pub(super) fn group(
        &mut self,
        leg: usize,
        draws: &Draws,
        tags: &LegTags,
        new: impl FnOnce() -> Group<'e>,
    ) -> Rc<Group<'e>> {
        if !untouched(draws, &tags.group) {
            return Rc::new(new());
        }
        find(&self.groups, leg).unwrap_or_else(|| {
            let group = Rc::new(new());
            self.groups.push((leg, Rc::clone(&group)));
            group
        })
    }

    /// The notebook of a leg, if it is kept and serves.
    pub(super) fn notebook(
        &self,
        leg: usize,
        draws: &Draws,
        tags: &LegTags,
    ) -> Option<Rc<Notebook>> {
        untouched(draws, &tags.all).then(|| find(&self.notebooks, leg))?
    }

    /// Keeps a notebook if it may serve again.
    pub(super) fn keep_notebook(
        &mut self,
        leg: usize,
        draws: &Draws,
        tags: &LegTags,
        notebook: &Rc<Notebook>,
    ) {
        if untouched(draws, &tags.all) {
            self.notebooks.push((leg, Rc::clone(notebook)));
        }
    }

    /// A leg's records without noise and last digit: kept, where a plan leaves alone what goes on in its vessel.
    pub(super) fn smooth(&mut self, leg: usize, draws: &Draws, tags: &LegTags) -> Rc<Records> {
        if !untouched(draws, &tags.course) {
            return Rc::default();
        }
        find(&self.smooth, leg).unwrap_or_else(|| {
            let records = Rc::new(Records::default());
            self.smooth.push((leg, Rc::clone(&records)));
            records
        })
    }

    /// The noise of a leg's records.
    pub(super) fn noises(&mut self, leg: usize, draws: &Draws) -> Rc<Records> {
        let of = |id: SourceId| draws.treatment(id.source().tag());
        let key = [
            of(SourceId::Noise),
            of(SourceId::Resolution),
            draws.treatment(ROUNDING),
        ];
        let known = self
            .noises
            .iter()
            .find(|(of, k, _)| *of == leg && *k == key);
        if let Some((_, _, noises)) = known {
            return Rc::clone(noises);
        }
        let noises = Rc::new(Records::default());
        self.noises.push((leg, key, Rc::clone(&noises)));
        noises
    }
}

#[cfg(test)]
mod tests {
    use crate::engine::Model;
    use crate::experiment::Experiment;
    use crate::random::{Draws, Layout, Plan, Tag, Treatment};
    use crate::scenario::{SOURCES, read, shipped, shipped_names};

    /// Bits of a block's results under several plans, one by one and together.
    fn both(model: &Experiment, plans: &[Plan]) -> [Vec<Vec<u64>>; 2] {
        let bits = |output: Vec<crate::random::Column<f64>>| -> Vec<u64> {
            let values = output.iter().flat_map(|c| c.0);
            values.map(f64::to_bits).collect()
        };
        let draws: Vec<Draws> = plans
            .iter()
            .map(|plan| Draws::new(5, 3, Layout::MARGINAL, plan))
            .collect();
        let alone = draws.iter().map(|d| bits(model.block(d))).collect();
        let mut together = Vec::new();
        model.under_plans(&draws, &mut |output| together.push(bits(output)));
        [alone, together]
    }

    #[test]
    fn what_plans_share_changes_no_bit() {
        for name in shipped_names() {
            let scenario = read(shipped(name).unwrap()).unwrap();
            let erring = SOURCES
                .iter()
                .filter(|s| scenario.legs().iter().any(|l| l.errs(s.id)));
            let treatments = [
                Treatment::Other(1),
                Treatment::Perfect,
                Treatment::Scaled(0.5),
            ];
            let mut plans = vec![Plan::new()];
            for source in erring {
                plans.extend(treatments.map(|t| Plan::new().with(source.tag(), t)));
            }
            // Something that no leg knows of leaves all as it is.
            plans.push(Plan::new().with(Tag::of("nothing"), Treatment::Perfect));
            let model = Experiment::without_claims(scenario);
            for model in [model.clone(), model.rounding_apart()] {
                let [alone, together] = both(&model, &plans);
                for (at, plan) in plans.iter().enumerate() {
                    assert!(alone[at] == together[at], "{name}: {plan:?}");
                }
                assert_eq!(alone[0], alone[plans.len() - 1]);
                let moved = alone.iter().filter(|own| **own != alone[0]).count();
                assert!(2 * moved > plans.len(), "{name}: {moved}");
            }
        }
    }
}
