//! The ranking of a scenario: which inputs dominate, by variance and by bias.
//!
//! Column: the error of the result, so that what is common to the lab's value and nature's does not
//! count. The display's last digit is one more independent error, with a share of its own; true rounding,
//! as a forecast has it, would make everything that moves a reading across a step of the display act
//! together with everything else.

use super::group::{Group, ShareOptions};
use super::shares::{GroupShare, Shares, shares};
use super::sides::{Sides, sides};
use super::sources::{LEFT, by_family, by_scope, by_source, erring, families_to_better, to_better};
use super::what_if::{GroupEffects, WhatIf, what_if};
use crate::engine::{EngineError, Study};
use crate::experiment::{Experiment, Quantity};
use crate::lab::LinearBudget;
use crate::random::{Tag, Treatment};
use crate::scenario::{Family, Scenario, Source};
use crate::stats::{Estimate, Sorted, Validity, clause8};
use std::sync::atomic::AtomicBool;

/// Batches and trials of a ranking, unless asked otherwise.
const BATCHES: usize = 32;

/// One ranked source.
#[derive(Debug, Clone)]
pub struct Ranked {
    /// Which.
    pub source: &'static Source,
    /// Its shares of the variance.
    pub share: GroupShare,
    /// Rank by total share; ties share a rank.
    pub rank: usize,
    /// What it would bring perfect, and halved.
    pub better: GroupEffects,
}

/// One family.
#[derive(Debug, Clone)]
pub struct RankedFamily {
    /// Which.
    pub family: Family,
    /// Its shares.
    pub share: GroupShare,
    /// Rank by total share.
    pub rank: usize,
    /// What it would bring perfect, and halved.
    pub better: GroupEffects,
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
    pub now: super::what_if::State,
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
    /// Whether that budget's interval stands up to the simulation, at two digits and at one (JCGM 101,
    /// clause 8).
    pub validity: [Validity; 2],
    /// Trials left out because a result was not finite.
    pub nonfinite: u64,
}

/// How to run it.
pub struct RankOptions<'a> {
    /// Seed of all streams.
    pub seed: u64,
    /// Trials of each run of the model; rounded up to whole batches.
    pub trials: u64,
    /// Ends the study early.
    pub interrupt: Option<&'a AtomicBool>,
    /// Called with the number of runs of the model done, in trials.
    pub progress: Option<&'a (dyn Fn(u64) + Sync)>,
}

/// What [`RankOptions::progress`] counts to when this many trials are asked for: those of the shares, then
/// those of what a better source brings.
pub fn runs(trials: u64) -> u64 {
    let options = ShareOptions {
        batches: BATCHES,
        ..ShareOptions::new(0).trials(trials)
    };
    2 * options.rounded()
}

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
    let share_options = ShareOptions {
        seed: options.seed,
        trials: options.trials,
        batches: BATCHES,
        interrupt: options.interrupt,
        progress: options.progress,
    };
    let column = Quantity::Error as usize;
    let family_groups: Vec<Group> = families.iter().map(|(_, g)| g.clone()).collect();
    let groups = [own, family_groups, scopes].concat();
    let found = shares(&model, column, &groups, &all, &share_options)?;
    let treatments = [Treatment::Perfect, Treatment::Scaled(0.5)];
    let bettered = [to_better(&sources), families_to_better(&sources)].concat();
    let better = what_if(&model, column, &bettered, &treatments, &share_options)?;
    let split: Vec<Option<Sides>> = sources
        .iter()
        .map(|s| sides(scenario, s, options.seed, options.interrupt))
        .collect::<Result<_, _>>()?;
    assemble(scenario, options, &sources, &families, found, better, split)
}

/// Puts the parts together, largest first.
fn assemble(
    scenario: &Scenario,
    options: &RankOptions,
    sources: &[&'static Source],
    families: &[(Family, Group)],
    found: Shares,
    better: WhatIf,
    split: Vec<Option<Sides>>,
) -> Result<Ranking, EngineError> {
    let (n, f) = (sources.len(), families.len());
    let totals = |range: std::ops::Range<usize>| -> Vec<usize> {
        let own: Vec<_> = found.groups[range].iter().map(|g| &g.total).collect();
        super::order::order(&own)
    };
    let (source_ranks, family_ranks) = (totals(0..n), totals(n..n + f));
    let mut ranked: Vec<Ranked> = (0..n)
        .map(|at| Ranked {
            source: sources[at],
            share: found.groups[at].clone(),
            rank: source_ranks[at],
            better: better.groups[at].clone(),
        })
        .collect();
    ranked.sort_by(|a, b| b.share.total.value.total_cmp(&a.share.total.value));
    let mut by_family: Vec<RankedFamily> = (0..f)
        .map(|at| RankedFamily {
            family: families[at].0,
            share: found.groups[n + at].clone(),
            rank: family_ranks[at],
            better: better.groups[n + at].clone(),
        })
        .collect();
    by_family.sort_by(|a, b| b.share.total.value.total_cmp(&a.share.total.value));
    let scopes = found.groups[n + f..].to_vec();
    let floor = floor(&found);
    let mut sides: Vec<Sides> = split.into_iter().flatten().collect();
    let size = |s: &Sides| s.calibration.spread.value.max(s.determination.spread.value);
    sides.sort_by(|a, b| size(b).total_cmp(&size(a)));
    let sums = [
        sum(&found.groups[..n], |g| &g.first),
        sum(&found.groups[..n], |g| &g.total),
    ];
    let (budget, half) = linear(scenario);
    let (low, high, target) = interval(scenario, options)?;
    let validity = [2, 1].map(|digits| clause8(0.0, budget.u, half, (low, high), digits));
    Ok(Ranking {
        scenario: scenario.clone(),
        seed: options.seed,
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
        nonfinite: found.nonfinite,
    })
}

/// Spread that infinitely many runs of both kinds would leave, in the unit of the column, from shares with the groups
/// of [`by_scope`]: the root of what is shared by all runs of a group.
pub fn floor(found: &Shares) -> Estimate {
    let left = found.groups.iter().find(|s| s.name == LEFT);
    left.map_or(Estimate::undefined(), |s| {
        let part = s.first.value.max(0.0);
        let value = (found.variance.value * part).sqrt();
        Estimate::new(value, value * s.first.se / (2.0 * part.max(1e-12)))
    })
}

fn sum(groups: &[GroupShare], of: fn(&GroupShare) -> &super::share::Share) -> super::share::Share {
    super::share::Share::sum(groups.iter().map(of))
}

/// Linear budget of a group without luck, and the half-width of its 95 % interval.
fn linear(scenario: &Scenario) -> (LinearBudget, f64) {
    let claims = Experiment::new(scenario.clone()).claims_without_luck();
    claims.map_or((LinearBudget::default(), f64::NAN), |c| {
        (c.budget, c.linear)
    })
}

/// Trials of the interval that the linear one is held against.
const INTERVAL_TRIALS: u64 = 102_400;

/// 95 % interval of the error, and the mean of nature's value; J/mol.
fn interval(scenario: &Scenario, options: &RankOptions) -> Result<(f64, f64, f64), EngineError> {
    let study = Study {
        interrupt: options.interrupt,
        ..Study::new(options.seed)
    };
    let model = Experiment::without_claims(scenario.clone());
    let trials = INTERVAL_TRIALS.min(8 * options.trials);
    let table = study.run(&model, trials)?;
    let sorted = Sorted::of(&table.columns[Quantity::Error as usize]);
    let target = &table.columns[Quantity::Target as usize];
    Ok((
        sorted.quantile(0.025).value,
        sorted.quantile(0.975).value,
        target.iter().sum::<f64>() / target.len() as f64,
    ))
}
