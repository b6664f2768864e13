//! The two sides of the law of total variance, in every shipped scenario: what a source's shares say of the
//! variance, and what holding it leaves.

use super::patched;
use joulecast::engine::Study;
use joulecast::experiment::{Experiment, ResultColumn};
use joulecast::random::{Tag, Treatment};
use joulecast::rank::{Group, ShareOptions, by_source, erring, remaining, shares};
use joulecast::scenario::{shipped, shipped_names};
use joulecast::stats::{Estimate, Moments};

/// A scenario with some of its sources.
struct Picked {
    model: Experiment,
    groups: [Group; 3],
    all: Vec<Tag>,
}

/// The two sources with the largest total shares, and the largest of those below 1 %.
fn picked(name: &str) -> Picked {
    let scenario = patched(shipped(name).unwrap(), &[]);
    let groups = by_source(&erring(&scenario));
    let all: Vec<Tag> = groups.iter().flat_map(|g| g.tags.clone()).collect();
    let model = Experiment::without_claims(scenario).rounding_apart();
    let look = ShareOptions {
        batches: 16,
        ..ShareOptions::new(1).trials(4_096)
    };
    let found = shares(&model, ResultColumn::Error as usize, &groups, &all, &look).unwrap();
    let total = |at: &usize| found.groups[*at].total.value;
    let mut order: Vec<usize> = (0..groups.len()).collect();
    order.sort_by(|a, b| total(b).total_cmp(&total(a)));
    let small = *order[2..].iter().find(|at| total(at) < 0.01).unwrap();
    Picked {
        model,
        groups: [order[0], order[1], small].map(|at| groups[at].clone()),
        all,
    }
}

/// What a source's shares say, and what holding it leaves, and holding all others; all in parts of the
/// variance of the result.
struct Hold {
    name: String,
    first: Estimate,
    total: Estimate,
    held: Estimate,
    rest: Estimate,
}

impl Hold {
    /// Distances, in standard errors, of what is left from what shares say: holding it, holding all others.
    fn off(&self, first: Estimate, total: Estimate) -> [f64; 2] {
        [
            (self.held.value - (1.0 - first.value)) / self.held.se.hypot(first.se),
            (self.rest.value - total.value) / self.rest.se.hypot(total.se),
        ]
    }

    fn worst_error(&self) -> f64 {
        let all = [self.first, self.total, self.held, self.rest];
        all.iter().map(|e| e.se).fold(0.0, f64::max)
    }
}

/// Holds the sources at as many values as there are batches, on random numbers that did not pick them.
fn holds(p: &Picked, batches: usize) -> [Hold; 3] {
    let column = ResultColumn::Error as usize;
    let options = ShareOptions {
        batches,
        ..ShareOptions::new(3).trials(256 * batches as u64)
    };
    let found = shares(&p.model, column, &p.groups, &p.all, &options).unwrap();
    let v = found.variance;
    [0, 1, 2].map(|at| {
        let (group, share) = (&p.groups[at], &found.groups[at]);
        let others = p.all.iter().filter(|t| !group.tags.contains(t));
        // The variance that both sides are parts of has an error too.
        let of = |tags: &[Tag]| {
            let left = remaining(&p.model, column, tags, &options).unwrap();
            let part = left.value / v.value;
            Estimate::new(part, left.se.hypot(part * v.se) / v.value)
        };
        Hold {
            name: group.name.clone(),
            first: Estimate::new(share.first.value, share.first.se),
            total: Estimate::new(share.total.value, share.total.se),
            held: of(&group.tags),
            rest: of(&others.copied().collect::<Vec<_>>()),
        }
    })
}

fn farthest(off: [f64; 2]) -> f64 {
    off[0].abs().max(off[1].abs())
}

#[test]
fn holding_a_source_or_all_others_leaves_what_its_shares_say() {
    // Held at values drawn from it a source leaves V (1 - S) on average; all others held leave V S_T.
    let mut swapped: f64 = 0.0;
    for name in shipped_names() {
        let p = picked(name);
        // Errors with long tails need more values.
        let known = |found: &[Hold; 3]| found[..2].iter().all(|h| h.worst_error() < 0.1);
        let apart = |found: &[Hold; 3]| {
            let small = &found[2];
            let off = |h: &Hold| farthest(h.off(small.first, small.total));
            found[..2].iter().all(|h| off(h) > 5.0)
        };
        let mut found = holds(&p, 40);
        if !(known(&found) && apart(&found)) {
            found = holds(&p, 192);
        }
        assert!(known(&found), "{name}");
        // With another source held in its stead it would fail.
        assert!(apart(&found), "{name}");
        for h in &found {
            let off = h.off(h.first, h.total);
            assert!(farthest(off) < 5.0, "{name}, {}: {off:?}", h.name);
            swapped = swapped.max(farthest(h.off(h.total, h.first)));
        }
    }
    // And with one share taken for the other, where sources act together.
    assert!(swapped > 5.0, "{swapped}");
}

#[test]
fn holding_a_source_at_its_middle_leaves_something_else() {
    // Holding a difference that cups start with leaves 1 - S on average over its values only: at none at all, what
    // acts through it is gone too.
    let p = picked("urea-foam-cups");
    let found = holds(&p, 192);
    let named = |h: &Hold| h.name == "vessel.start_difference";
    let at = found.iter().position(named).unwrap();
    let study = Study {
        plan: p.groups[at].plan(Treatment::At(0.5)),
        ..Study::new(3)
    };
    let error = ResultColumn::Error as usize;
    let [middle, drawn] = [study, Study::new(3)]
        .map(|study| Moments::of(&study.run(&p.model, 49_152).unwrap().columns[error]).sd());
    let part = (middle.value / drawn.value).powi(2);
    let se = 2.0 * part * (middle.se / middle.value).hypot(drawn.se / drawn.value);
    let first = found[at].first;
    let off = (part - (1.0 - first.value)) / se.hypot(first.se);
    assert!(off < -5.0, "{part} +- {se} for {first:?}: {off}");
}
