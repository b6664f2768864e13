//! The ranking of a scenario: which inputs dominate, by variance and by bias.
//!
//! Column: the error of the result, so that what is common to the lab's value and nature's does not
//! count. The display's last digit is one more independent error, with a share of its own; true rounding,
//! as a forecast has it, would make everything that moves a reading across a step of the display act
//! together with everything else.

use super::effort::{USUAL_TRIALS, share_options};
use super::group::Group;
use super::meter::{Meter, better_trials, interval_trials, side_trials};
use super::shares::{GroupShare, Shares, shares};
use super::sides::{self, Sides, errs_on_both};
use super::sources::{LEFT, by_family, by_scope, by_source, erring, families_to_better, to_better};
use super::what_if::{Better, State, WhatIf, what_if};
use crate::engine::{EngineError, Study};
use crate::experiment::{Experiment, ResultColumn};
use crate::lab::LinearBudget;
use crate::random::{Tag, Treatment};
use crate::scenario::{Family, Scenario, Source};
use crate::stats::{Estimate, FarResults, Moments, Sorted, Validity, clause8, rare_far_results};
use std::sync::atomic::AtomicBool;

/// One ranked source.
#[derive(Debug, Clone, serde::Serialize, schemars::JsonSchema)]
pub struct Ranked {
    /// Which.
    #[serde(skip)]
    pub source: &'static Source,
    /// Whether it can only go one way in this scenario.
    pub one_sided: bool,
    /// Its shares of the variance.
    #[serde(flatten)]
    pub share: GroupShare,
    /// Rank by total share; ties share a rank.
    pub rank: usize,
    /// What it would bring perfect, and halved.
    pub better: Better,
}

/// One family.
#[derive(Debug, Clone, serde::Serialize, schemars::JsonSchema)]
pub struct RankedFamily {
    /// Which.
    pub family: Family,
    /// Its shares.
    #[serde(flatten)]
    pub share: GroupShare,
    /// Rank by total share.
    pub rank: usize,
    /// What it would bring perfect, and halved.
    pub better: Better,
}

/// The whole ranking.
#[derive(Debug, Clone)]
pub struct Ranking {
    /// The scenario.
    pub scenario: Scenario,
    /// Seed.
    pub seed: u64,
    /// Trials of each run of the model.
    pub trials: u64,
    /// Nature's value without errors, J/mol: what percentages refer to.
    pub target: f64,
    /// Bias, spread and RMS error now; J/mol.
    pub now: State,
    /// Sources, largest total share first.
    pub sources: Vec<Ranked>,
    /// Families, largest first.
    pub families: Vec<RankedFamily>,
    /// Shares by scope: reading, run, group, course.
    pub scopes: Vec<GroupShare>,
    /// Spread that infinitely many runs of both kinds would leave, J/mol.
    pub floor: Estimate,
    /// Sums of first-order and total shares over the sources.
    pub sums: [super::share::Share; 2],
    /// Sources on the calibration side against the determination side, the largest effects first.
    pub sides: Vec<Sides>,
    /// Linear budget of a group whose errors are all zero.
    pub budget: LinearBudget,
    /// Whether that budget's interval stands up to the simulated one about its mean, at two digits and at one (JCGM 101,
    /// clause 8): spread against spread, for a budget never holds a bias.
    pub validity: [Validity; 2],
    /// The bias that comes on top of that budget, J/mol: mean error of the trials which the interval is of.
    pub beside_budget: f64,
    /// Trials left out because a result was not finite.
    pub nonfinite: u64,
    /// A few results that make much of the variance, if there are such in the simulation of the interval: shares
    /// and spreads then go by how often chance has brought them.
    pub far: Option<FarResults>,
}

/// How to run it.
#[derive(Clone, Copy)]
pub struct RankOptions<'a> {
    /// Seed of all streams.
    pub seed: u64,
    /// Trials of each run of the model; rounded up to whole batches.
    pub trials: u64,
    /// Ends the study early.
    pub interrupt: Option<&'a AtomicBool>,
    /// Called with the number of trials that all runs of the model have done, out of
    /// [`runs`](super::runs).
    pub progress: Option<&'a (dyn Fn(u64) + Sync)>,
}

/// What is done to a source to see what a better one brings.
pub(super) const TREATMENTS: [Treatment; 2] = [Treatment::Perfect, Treatment::Scaled(0.5)];

/// Ranks the sources of a scenario.
///
/// # Errors
/// If interrupted.
pub fn rank(scenario: &Scenario, options: &RankOptions) -> Result<Ranking, EngineError> {
    let model = Experiment::without_claims(scenario.clone()).rounding_apart();
    let sources = erring(scenario);
    let own = by_source(&sources);
    let families = by_family(&sources);
    let scopes = by_scope(&sources);
    let all: Vec<Tag> = own.iter().flat_map(|g| g.tags.clone()).collect();
    let usual = share_options(options);
    let meter = Meter::new(options.progress);
    let column = ResultColumn::Error as usize;
    let family_groups: Vec<Group> = families.iter().map(|(_, g)| g.clone()).collect();
    let groups = [own, family_groups, scopes].concat();
    let found = shares(&meter.on(&model), column, &groups, &all, &usual)?;
    let bettered = [to_better(&sources), families_to_better(&sources)].concat();
    let now = what_if(&meter.on(&model), column, &[], &[], &usual)?;
    let fewer = share_options(&RankOptions {
        trials: better_trials(found.trials),
        ..*options
    });
    let better = what_if(&meter.on(&model), column, &bettered, &TREATMENTS, &fewer)?;
    let better = better.about(&now);
    let each = side_trials(found.trials);
    let both: Vec<&'static Source> = sources
        .iter()
        .filter(|s| errs_on_both(scenario, s))
        .copied()
        .collect();
    let sides = sides::sides(scenario, &both, each, options, &meter)?;
    let parts = Parts {
        interval: interval(scenario, interval_trials(found.trials), options, &meter)?,
        found,
        better,
        sides,
    };
    Ok(assemble(scenario, options.seed, &sources, &families, parts))
}

/// What the runs of the model have found.
struct Parts {
    found: Shares,
    better: WhatIf,
    sides: Vec<Sides>,
    /// What the errors of a forecast's trials are.
    interval: Simulated,
}

/// What the errors of a forecast's trials are; J/mol.
struct Simulated {
    /// Ends of their 95 % interval.
    ends: [f64; 2],
    /// Their mean.
    bias: f64,
    /// Mean of nature's value.
    target: f64,
    /// A few results that make much of their variance.
    far: Option<FarResults>,
}

/// Puts the parts together, largest first.
fn assemble(
    scenario: &Scenario,
    seed: u64,
    sources: &[&'static Source],
    families: &[(Family, Group)],
    parts: Parts,
) -> Ranking {
    let Parts {
        found,
        better,
        mut sides,
        interval:
            Simulated {
                ends,
                bias,
                target,
                far,
            },
    } = parts;
    let (n, f) = (sources.len(), families.len());
    let totals = |range: std::ops::Range<usize>| -> Vec<usize> {
        let own: Vec<_> = found.groups[range].iter().map(|g| &g.total).collect();
        super::order::order(&own)
    };
    let (source_ranks, family_ranks) = (totals(0..n), totals(n..n + f));
    let mut ranked: Vec<Ranked> = (0..n)
        .map(|at| Ranked {
            source: sources[at],
            one_sided: scenario.is_one_sided(sources[at].id),
            share: found.groups[at].clone(),
            rank: source_ranks[at],
            better: Better::from(&better.groups[at]),
        })
        .collect();
    ranked.sort_by(|a, b| b.share.total.value.total_cmp(&a.share.total.value));
    let mut by_family: Vec<RankedFamily> = (0..f)
        .map(|at| RankedFamily {
            family: families[at].0,
            share: found.groups[n + at].clone(),
            rank: family_ranks[at],
            better: Better::from(&better.groups[n + at]),
        })
        .collect();
    by_family.sort_by(|a, b| b.share.total.value.total_cmp(&a.share.total.value));
    let scopes = found.groups[n + f..].to_vec();
    let floor = floor(&found, better.now.sd);
    let size = |s: &Sides| s.calibration.spread.value.max(s.determination.spread.value);
    sides.sort_by(|a, b| size(b).total_cmp(&size(a)));
    let sums = [
        sum(&found.groups[..n], |g| &g.first),
        sum(&found.groups[..n], |g| &g.total),
    ];
    let (budget, half) = linear(scenario);
    let about = (ends[0] - bias, ends[1] - bias);
    let validity = [2, 1].map(|digits| clause8(0.0, budget.u, half, about, digits));
    Ranking {
        scenario: scenario.clone(),
        seed,
        trials: found.trials,
        target,
        now: better.now,
        sources: ranked,
        families: by_family,
        scopes: scopes.into_iter().filter(|s| s.name != LEFT).collect(),
        floor,
        sums,
        sides,
        budget,
        validity,
        beside_budget: bias,
        nonfinite: found.nonfinite,
        far,
    }
}

/// Spread that infinitely many runs of both kinds would leave, in the unit of the column, from shares with the groups
/// of [`by_scope`]: that part of `spread`, the spread now, which all runs of a group share, and so never above it. Its error is
/// that of the share and that of the spread, as if they had nothing to do with each other.
pub fn floor(found: &Shares, spread: Estimate) -> Estimate {
    let left = found.groups.iter().find(|s| s.name == LEFT);
    left.map_or(Estimate::undefined(), |s| part_of(spread, &s.first))
}

/// The root of a share of the variance that makes a spread.
fn part_of(spread: Estimate, share: &super::share::Share) -> Estimate {
    let part = share.value.clamp(0.0, 1.0);
    let variance = spread.value * spread.value;
    let errors = [variance * share.se, 2.0 * part * spread.value * spread.se];
    Estimate::new(variance * part, errors[0].hypot(errors[1])).root()
}

/// Share of the variance of the result's error that more runs of both kinds average, at the usual number of trials: the same
/// number that a ranking with this seed comes to.
///
/// # Errors
/// If interrupted.
pub fn averaged(
    scenario: &Scenario,
    seed: u64,
    interrupt: Option<&AtomicBool>,
) -> Result<Estimate, EngineError> {
    let model = Experiment::without_claims(scenario.clone()).rounding_apart();
    let sources = erring(scenario);
    let all = by_source(&sources);
    let all: Vec<Tag> = all.into_iter().flat_map(|g| g.tags).collect();
    let mut scopes = by_scope(&sources);
    scopes.retain(|g| g.name == LEFT);
    let options = share_options(&RankOptions {
        seed,
        trials: USUAL_TRIALS,
        interrupt,
        progress: None,
    });
    let found = shares(
        &model,
        ResultColumn::Error as usize,
        &scopes,
        &all,
        &options,
    )?;
    let left = &found.groups[0].first;
    Ok(Estimate::new((1.0 - left.value).clamp(0.0, 1.0), left.se))
}

fn sum(groups: &[GroupShare], of: fn(&GroupShare) -> &super::share::Share) -> super::share::Share {
    super::share::Share::sum(groups.iter().map(of))
}

/// Linear budget of a group without errors, and the half-width of its 95 % interval.
fn linear(scenario: &Scenario) -> (LinearBudget, f64) {
    let claims = Experiment::new(scenario.clone()).claims_at_zero_error();
    claims.map_or((LinearBudget::default(), f64::NAN), |c| {
        (c.budget, c.linear)
    })
}

/// The errors of a forecast, last digits rounded truly.
fn interval(
    scenario: &Scenario,
    trials: u64,
    options: &RankOptions,
    meter: &Meter,
) -> Result<Simulated, EngineError> {
    let study = Study {
        interrupt: options.interrupt,
        ..Study::new(options.seed)
    };
    let model = Experiment::without_claims(scenario.clone());
    let table = study.run(&meter.on(&model), trials)?;
    let errors = &table.columns[ResultColumn::Error as usize];
    let sorted = Sorted::of(errors);
    let mean = |q: ResultColumn| Moments::of(&table.columns[q as usize]).mean().value;
    Ok(Simulated {
        ends: [0.025, 0.975].map(|p| sorted.quantile(p).value),
        bias: mean(ResultColumn::Error),
        target: mean(ResultColumn::Target),
        far: rare_far_results(errors),
    })
}

#[cfg(test)]
mod tests {
    use super::super::share::Share;
    use super::*;

    #[test]
    fn a_floor_is_a_part_of_the_spread_and_never_more() {
        let spread = Estimate::new(2.0, 0.02);
        let of = |value: f64, se: f64| {
            let around = [value - se, value, value + se];
            part_of(spread, &Share::plain(&around))
        };
        // A quarter of the variance is half of the spread; 0.02/4 with 0.01 of the spread's own.
        let half = of(0.25, 0.02 * 3f64.sqrt());
        assert!((half.value - 1.0).abs() < 1e-12);
        assert!((half.se - 0.04_f64.hypot(0.01)).abs() < 1e-12);
        // What chance makes more than all, or less than nothing.
        assert_eq!(of(1.03, 0.02).value, 2.0);
        assert_eq!(of(-0.01, 0.02).value, 0.0);
        assert!(of(-0.01, 0.02).se > 0.0);
    }
}
