//! First-order and total shares of the variance.
//!
//! Every block of trials is run as drawn (A), with everything drawn anew (B), and once for each
//! group with only that group drawn anew (C). Draws are named, so what a plan does not name is
//! bit for bit the same in all three. Then, with D = C - A and V the variance of the result,
//!
//! - V times the total share = E\[D^2\] / 2 (M. J. W. Jansen, Comput. Phys. Commun. 117 (1999) 35),
//!   exactly zero for a source that does nothing. A and C have one distribution, so D has the mean
//!   zero and its variance serves: without the square of the mean that chance gives it, which for a
//!   source that does nearly everything is nearly all of the error;
//! - V times the first-order share = cov(B, D) (A. Saltelli et al., Comput. Phys. Commun. 181 (2010)
//!   259, here about the mean): exact for a source that does nothing, and poor for a source that
//!   does everything, which is the reverse of cov(B, C) with V averaged over B and C
//!   (A. Janon et al., ESAIM: PS 18 (2014) 342).
//!
//! Both ends are had by control variates. cov(A, B), var A - var B and var C - var A have
//! expectation zero, and the two estimators differ by these alone; regression over the batches
//! finds for each group the mixture with the least error. (Sources from memory.)
//!
//! All of it rests on differences and on deviations from means, never on squares of the result
//! itself, so a result far from zero costs no digits.

use super::control::Controls;
use super::group::{Group, ShareOptions, plan};
use super::order::order;
use super::pair::Pair;
use super::share::Share;
use crate::engine::{EngineError, Model, in_order, under_plans};
use crate::random::{BLOCK, Plan, Tag, Treatment};
use crate::stats::{Estimate, Moments};
use std::ops::ControlFlow;

/// Number of the second, independent set of streams.
const SECOND: u64 = 1;

/// The shares of one group.
#[derive(Debug, Clone, PartialEq, serde::Serialize, schemars::JsonSchema)]
pub struct GroupShare {
    /// Name of the group.
    #[serde(skip)]
    pub name: String,
    /// What the group does on its own: the part of the variance that would go, on average, if its
    /// true values were known.
    #[serde(rename = "first_order")]
    pub first: Share,
    /// All that it takes part in: the part of the variance that would stay if all else were known.
    pub total: Share,
}

/// Shares of the variance of one column of a model.
#[derive(Debug, Clone, PartialEq)]
pub struct Shares {
    /// Variance of the column, in its unit squared.
    pub variance: Estimate,
    /// The groups in the order given.
    pub groups: Vec<GroupShare>,
    /// Sum of the first-order shares: 1 if the groups are all there is, do not overlap and add up.
    pub sum_first: Share,
    /// Sum of the total shares: the same, and more if groups act together.
    pub sum_total: Share,
    /// Trials run for each group.
    pub trials: u64,
    /// Trials left out because one of their results was not finite.
    pub nonfinite: u64,
}

impl Shares {
    /// Ranks of the groups by total share, see [`order`].
    pub fn ranks(&self) -> Vec<usize> {
        order(&self.groups.iter().map(|g| &g.total).collect::<Vec<_>>())
    }

    /// Ranks by first-order share.
    pub fn ranks_by_first(&self) -> Vec<usize> {
        order(&self.groups.iter().map(|g| &g.first).collect::<Vec<_>>())
    }
}

/// What a batch holds.
#[derive(Clone)]
struct Sums {
    /// A with B.
    ab: Pair,
    /// For each group: A with D, and B with D.
    groups: Vec<(Pair, Pair)>,
    nonfinite: u64,
}

impl Sums {
    fn new(groups: usize) -> Self {
        Self {
            ab: Pair::default(),
            groups: vec![(Pair::default(), Pair::default()); groups],
            nonfinite: 0,
        }
    }

    /// From the columns A, B, C of one block. A trial counts if all its results are finite.
    fn of(a: &[f64], b: &[f64], cs: &[Vec<f64>]) -> Self {
        let usable: Vec<usize> = (0..a.len())
            .filter(|&t| a[t].is_finite() && b[t].is_finite())
            .filter(|&t| cs.iter().all(|c| c[t].is_finite()))
            .collect();
        let pick = |column: &[f64]| -> Vec<f64> { usable.iter().map(|&t| column[t]).collect() };
        let nonfinite = (a.len() - usable.len()) as u64;
        let (a, b) = (pick(a), pick(b));
        let groups = cs
            .iter()
            .map(|c| {
                let d: Vec<f64> = pick(c).iter().zip(&a).map(|(c, a)| c - a).collect();
                (Pair::of(&a, &d), Pair::of(&b, &d))
            })
            .collect();
        Self {
            ab: Pair::of(&a, &b),
            groups,
            nonfinite,
        }
    }

    fn merge(&mut self, other: &Self) {
        self.ab.merge(&other.ab);
        for (own, new) in self.groups.iter_mut().zip(&other.groups) {
            own.0.merge(&new.0);
            own.1.merge(&new.1);
        }
        self.nonfinite += other.nonfinite;
    }
}

/// Shares of the variance of result column number `column` of a model that belong to each group.
///
/// `all` names every source of the model, in a group or not: shares are of the variance that all
/// of them make. A source in a group is one of them without being named again. Sources outside all
/// groups keep their part of the variance; groups may overlap. Correlated inputs are to be one
/// source, or shares have no meaning.
///
/// The model is run `options.rounded()` times (2 + number of groups) trials. For errors and
/// intervals see [`Share`]; the model's result must have a fourth moment.
///
/// # Errors
/// If interrupted.
///
/// # Panics
/// If the model has no such column.
pub fn shares(
    model: &dyn Model,
    column: usize,
    groups: &[Group],
    all: &[Tag],
    options: &ShareOptions,
) -> Result<Shares, EngineError> {
    let anew = Treatment::Other(SECOND);
    let every: Vec<Tag> = all
        .iter()
        .chain(groups.iter().flat_map(|g| &g.tags))
        .copied()
        .collect();
    let (as_drawn, second) = (Plan::new(), plan(&every, anew));
    let plans: Vec<Plan> = groups.iter().map(|g| g.plan(anew)).collect();
    let each = options.blocks_each();
    let blocks = each * options.parts() as u64;
    let mut batches = vec![Sums::new(groups.len()); options.parts()];
    let every_plan = || [&as_drawn, &second].into_iter().chain(&plans);
    in_order(
        blocks,
        options.interrupt,
        &|block| {
            let columns = under_plans(model, (options.seed, block), every_plan(), |output| {
                output[column].0.to_vec()
            });
            Sums::of(&columns[0], &columns[1], &columns[2..])
        },
        &mut |block, sums| {
            batches[(block / each) as usize].merge(&sums);
            ControlFlow::Continue(())
        },
        &|done| {
            if let Some(progress) = options.progress {
                progress(done * BLOCK as u64);
            }
        },
    )?;
    Ok(evaluate(&batches, groups, blocks * BLOCK as u64))
}

fn evaluate(batches: &[Sums], groups: &[Group], trials: u64) -> Shares {
    let per = |f: &dyn Fn(&Sums) -> f64| -> Vec<f64> { batches.iter().map(f).collect() };
    let variance = per(&|s| 0.5 * (s.ab.var_x() + s.ab.var_y()));
    let mixed = per(&|s| s.ab.cov());
    let uneven = per(&|s| s.ab.var_x() - s.ab.var_y());
    let groups: Vec<GroupShare> = groups
        .iter()
        .enumerate()
        .map(|(i, group)| {
            // var C - var A, written in D so that it vanishes with D.
            let moved = per(&|s| {
                let ad = &s.groups[i].0;
                2.0 * ad.cov() + ad.var_y()
            });
            let controls = Controls::new(batches.len(), &[mixed.clone(), uneven.clone(), moved]);
            let first = per(&|s| s.groups[i].1.cov());
            let total = per(&|s| 0.5 * s.groups[i].0.var_y());
            GroupShare {
                name: group.name.clone(),
                first: Share::ratio(&first, &variance, &controls),
                total: Share::ratio(&total, &variance, &controls),
            }
        })
        .collect();
    Shares {
        variance: Moments::of(&variance).mean(),
        sum_first: Share::sum(groups.iter().map(|g| &g.first)),
        sum_total: Share::sum(groups.iter().map(|g| &g.total)),
        groups,
        trials,
        nonfinite: batches.iter().map(|s| s.nonfinite).sum(),
    }
}
