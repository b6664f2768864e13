//! The forecast itself.

use super::beside::Beside;
use super::causes::{Cause, FamilyShare, causes, family_shares};
use super::claims::{ClaimCount, ClaimCoverage};
use super::repeats::{RepeatsSeen, repeats};
use super::sound::Sound;
use crate::engine::{EngineError, Model, Study};
use crate::experiment::{Experiment, ResultColumn};
use crate::lab::LinearBudget;
use crate::random::{Layout, Plan};
use crate::rank::averaged;
use crate::scenario::Scenario;
use crate::stats::{
    AdaptiveStop, Estimate, Interval, IntervalKind, Lattice, Moments, Sorted, StopRule, Summary,
    passes, rms, share_within, shortest,
};
use rayon::iter::{IntoParallelIterator, ParallelIterator};
use std::ops::ControlFlow;
use std::sync::atomic::AtomicBool;

/// How many trials.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Trials {
    /// This many.
    Fixed(u64),
    /// Until mean, spread and interval are as well known as a rule asks, but no more than `most`.
    Until {
        /// The rule.
        rule: StopRule,
        /// Upper limit.
        most: u64,
    },
}

/// Why the trials ended.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, schemars::JsonSchema)]
#[serde(tag = "by", content = "rule")]
pub enum Ended {
    /// As many were asked for.
    #[serde(rename = "number asked for")]
    Asked,
    /// The rule was content.
    #[serde(rename = "rule")]
    Settled(StopRule),
    /// The largest number was reached before.
    #[serde(rename = "largest number")]
    Most(StopRule),
}

/// Standard errors of mean, spread and both ends that a forecast ends with unless asked otherwise, as a part of the spread:
/// wherever its digits fall.
pub const USUAL_RULE: StopRule = StopRule::Relative(0.01);

/// What to run.
pub struct Options<'a> {
    /// Seed of all streams.
    pub seed: u64,
    /// Number of trials.
    pub trials: Trials,
    /// Which 95 % interval to give.
    pub interval: IntervalKind,
    /// Ends the study early.
    pub interrupt: Option<&'a AtomicBool>,
    /// Called with the number of trials done.
    pub progress: Option<&'a (dyn Fn(u64) + Sync)>,
}

/// What a competent group will get.
#[derive(Debug, Clone)]
pub struct Forecast {
    /// The scenario.
    pub scenario: Scenario,
    /// Seed.
    pub seed: u64,
    /// Trials that were run.
    pub trials: u64,
    /// Trials without a finite result.
    pub nonphysical: u64,
    /// The result about nature's value, J/mol: the error of each trial on top of the mean of nature's values. Where
    /// nature's value is the same in all trials that is what groups report; where it is not (a medium, a value of the
    /// cycle that is known with an error) it is what they report of the value that is true for them.
    pub value: Summary,
    /// Nature's value: its mean over trials, J/mol.
    pub target: f64,
    /// Bias: mean of (result - nature's value), J/mol. Undefined, as the spread and the rms error are, where an error has so few
    /// degrees of freedom that there is none.
    pub bias: Estimate,
    /// Spread: standard deviation of that error, J/mol.
    pub spread: Estimate,
    /// Root mean square error, J/mol.
    pub rms: Estimate,
    /// Distance from nature's value within which 95 % of results lie, J/mol.
    pub within: Estimate,
    /// Why the trials ended.
    pub ended: Ended,
    /// The few values that results fall on, if they do.
    pub lattice: Option<Lattice>,
    /// Share of results within the fair band about nature's value, if there is a band. About the tabulated value, where that
    /// is another one, see [`super::Medium`].
    pub in_band: Option<Estimate>,
    /// Trials in which the change of temperature of at least one run had the wrong sign or vanished.
    pub wrong_sign: u64,
    /// Calibration constant, J/K.
    pub constant: Summary,
    /// Changes of temperature, K: calibration, determination.
    pub changes: [Summary; 2],
    /// Standard deviation over the determinations of one group: its median, J/mol.
    pub run_scatter: Option<f64>,
    /// Repeats, if the procedure looks for residue.
    pub repeats: Option<RepeatsSeen>,
    /// Claim (a), from scatter.
    pub scatter_claim: Option<ClaimCoverage>,
    /// Claim (b), from the linear budget.
    pub linear_claim: Option<ClaimCoverage>,
    /// Linear budget of a group whose errors all happen to be zero.
    pub budget: LinearBudget,
    /// That budget by family.
    pub families: Vec<FamilyShare>,
    /// Share of the variance that more runs of both kinds average, by simulation; `None` where nothing scatters.
    pub averaged: Option<Estimate>,
    /// What moves the mean.
    pub causes: Vec<Cause>,
    /// The results about nature's value that were kept, J/mol: all of them up to [`passes::MOST_KEPT`], else the first.
    pub kept: Vec<f64>,
    /// What is shown beside the result.
    pub beside: Beside,
    /// Names of the columns, with their units.
    pub names: Vec<String>,
    /// All kept columns, in the order of their names.
    pub columns: Vec<Vec<f64>>,
}

impl Forecast {
    /// How many of its trials make no sense.
    pub fn sound(&self) -> Sound {
        Sound {
            trials: self.trials,
            nonfinite: self.nonphysical,
            wrong_sign: self.wrong_sign,
        }
    }
}

/// Runs a forecast.
///
/// Up to [`passes::MOST_KEPT`] trials all results are kept; beyond that memory stays bounded, and
/// quantiles are found exactly by running the same trials again.
///
/// # Errors
/// If interrupted.
pub fn forecast(scenario: Scenario, options: &Options) -> Result<Forecast, EngineError> {
    let model = Experiment::new(scenario);
    let study = Study {
        seed: options.seed,
        layout: Layout::MARGINAL,
        plan: Plan::new(),
        interrupt: options.interrupt,
        progress: options.progress,
    };
    let (columns, trials, ended) = sample(&model, &study, options.trials)?;
    let slices: Vec<&[f64]> = columns.iter().map(Vec::as_slice).collect();
    let column = |q: ResultColumn| slices[q as usize];
    let mut claims = [ResultColumn::ScatterClaim, ResultColumn::LinearClaim].map(ClaimCount::new);
    for claim in &mut claims {
        claim.add(&slices);
    }
    let target = Moments::of(column(ResultColumn::Target)).mean().value;
    let reported: Vec<f64> = column(ResultColumn::Error)
        .iter()
        .map(|e| target + e)
        .collect();
    let mut value = Summary::of(&reported, PROBABILITY);
    if options.interval == IntervalKind::Shortest {
        value.interval = shortest(&reported, &Sorted::of(&reported), PROBABILITY);
    }
    let summarised = [
        ResultColumn::Error,
        ResultColumn::DeterminationSd,
        ResultColumn::Constant,
        ResultColumn::CalibrationChange,
        ResultColumn::DeterminationChange,
    ];
    let summarised: Vec<Summary> = summarised
        .into_par_iter()
        .map(|q| Summary::of(column(q), PROBABILITY))
        .collect();
    let [error, run_scatter, constant, changes @ ..] = &summarised[..] else {
        unreachable!("as many as were summarised");
    };
    let (mut bias, mut spread) = (error.mean, error.sd);
    let mut nonphysical = error.nonfinite;
    let mut wrong_sign = wrong_signs(&slices);
    if trials > columns[0].len() as u64 {
        let all = passes::run(trials, &mut |sink| {
            study.stream(&model, trials, &mut |out, n| {
                sink(&out[ResultColumn::Error as usize].0[..n]);
                ControlFlow::Continue(())
            })
        })?;
        // Whether the error is known is told by the results that are kept.
        let known = |of_kept: Estimate| match all.moments.sd() {
            sd if of_kept.se.is_nan() => Estimate::new(sd.value, f64::NAN),
            sd => sd,
        };
        bias = all.moments.mean();
        spread = known(spread);
        nonphysical = all.moments.nonfinite();
        wrong_sign = (wrong_sign as f64 * trials as f64 / columns[0].len() as f64) as u64;
        let about = |e: Estimate| Estimate::new(target + e.value, e.se);
        value.n = all.moments.count();
        value.mean = about(bias);
        value.sd = known(value.sd);
        value.median = about(all.median);
        value.interval = Interval {
            low: about(all.symmetric.low),
            high: about(all.symmetric.high),
            ..all.symmetric
        };
    }
    let lattice = Lattice::of(&Sorted::of(column(ResultColumn::Error)));
    let sizes: Vec<f64> = column(ResultColumn::Error)
        .iter()
        .map(|e| e.abs())
        .collect();
    let within = Sorted::from_vec(sizes).quantile(PROBABILITY);
    let in_band = model.scenario().target.band.map(|band| {
        let half = band * target.abs();
        share_within(column(ResultColumn::Error), -half, half)
    });
    let [scatter_claim, linear_claim] = claims.map(|c| c.coverage());
    let claims = model.claims_at_zero_error();
    let budget = claims.map(|c| c.budget).unwrap_or_default();
    let mut rms = rms(column(ResultColumn::Error));
    if model.scenario().fewest_dof() <= NO_SPREAD {
        let s = &mut value;
        let none = [&mut bias, &mut spread, &mut rms, &mut s.mean, &mut s.sd];
        let shape = [&mut s.skewness, &mut s.excess_kurtosis];
        for e in none.into_iter().chain(shape) {
            *e = Estimate::undefined();
        }
    }
    let repeats = repeats(model.scenario(), &slices, options.seed, options.interrupt)?;
    let beside = Beside::of(model.scenario(), &slices, PROBABILITY);
    let causes = causes(model.scenario(), options.seed, options.interrupt)?;
    let averaged = averaged(model.scenario(), options.seed, options.interrupt)?;
    Ok(Forecast {
        scenario: model.scenario().clone(),
        seed: options.seed,
        trials,
        nonphysical,
        value,
        target,
        bias,
        spread,
        rms,
        within,
        ended,
        lattice,
        in_band,
        wrong_sign,
        constant: *constant,
        changes: [changes[0], changes[1]],
        run_scatter: (run_scatter.n > 0).then_some(run_scatter.median.value),
        repeats,
        scatter_claim,
        linear_claim,
        families: family_shares(&budget),
        budget,
        causes,
        averaged: Some(averaged).filter(|a| a.is_defined()),
        beside,
        names: model.columns(),
        kept: reported,
        columns,
    })
}

/// Coverage probability of all intervals.
const PROBABILITY: f64 = 0.95;

/// A Student t of so many degrees of freedom has no variance: neither has what it enters.
const NO_SPREAD: f64 = 2.0;

/// The adaptive rule may be content by chance after two batches; four more cost little.
const FEWEST_BATCHES: u32 = 6;

/// Kept columns, the number of trials in all, and why they ended.
fn sample(
    model: &Experiment,
    study: &Study,
    trials: Trials,
) -> Result<(Vec<Vec<f64>>, u64, Ended), EngineError> {
    match trials {
        Trials::Fixed(n) => {
            let table = study.run(model, n.min(passes::MOST_KEPT))?;
            Ok((table.columns, n, Ended::Asked))
        }
        Trials::Until { rule, most } => {
            let mut stop = AdaptiveStop::new(rule, PROBABILITY);
            let mut batches = 0;
            let mut ended = Ended::Most(rule);
            let table = study.run_until(model, most.min(passes::MOST_KEPT), &mut |batch| {
                batches += 1;
                let content = stop.push(batch[ResultColumn::Error as usize]).is_stop();
                if content && batches >= FEWEST_BATCHES {
                    ended = Ended::Settled(rule);
                }
                ended == Ended::Settled(rule)
            })?;
            let n = table.trials() as u64;
            Ok((table.columns, n, ended))
        }
    }
}

impl Forecast {
    /// Whether results have a spread.
    pub fn has_spread(&self) -> bool {
        self.spread.is_defined()
    }

    /// Whether the scenario asks for a smaller spread; one that is no number meets no target.
    pub fn misses_target(&self) -> bool {
        let spread = self.spread.value / self.target.abs();
        let target = self.scenario.target.uncertainty;
        target.is_some_and(|most| spread.is_nan() || spread > most)
    }

    /// What their digits go by: the spread or, where there is none, a quarter of the interval.
    pub fn guide(&self) -> f64 {
        let Interval { low, high, .. } = self.value.interval;
        let quarter = 0.25 * (high.value - low.value);
        if self.has_spread() {
            self.spread.value
        } else {
            quarter
        }
    }
}

/// Trials in which the change of temperature of a run vanished or went the wrong way.
fn wrong_signs(columns: &[&[f64]]) -> u64 {
    let runs = columns[ResultColumn::WrongSigns as usize].iter();
    runs.filter(|wrong| **wrong > 0.0).count() as u64
}
