//! Calibration side against determination side: what a source does through the runs of either.
//!
//! On the same random numbers four groups do the experiment: as it is, without the source in the
//! calibration, without it in the determinations, without it at all; since the runs of one side do not know of the other,
//! it takes the runs as they are, once, and those without the source. With e their errors, the source's
//! effects in each trial are
//!
//! through the calibration    e(without in determinations) - e(without at all)
//! through the determinations e(without in calibration) - e(without at all)
//! in all                     e(as it is) - e(without at all)
//!
//! Where the two effects have opposite signs they cancel: the variance of the sum is less than the sum
//! of the variances.

use super::meter::Meter;
use super::study::RankOptions;
use crate::engine::{EngineError, in_order};
use crate::experiment::Experiment;
use crate::random::{BLOCK, Draws, Layout, Plan};
use crate::scenario::{Scenario, Source};
use crate::stats::{Estimate, Moments};
use std::ops::ControlFlow;

/// Trials of each: differences on common random numbers need few.
pub const TRIALS: u64 = 2_560;

/// Effect of a source on one side: its mean and its spread, J/mol.
#[derive(Debug, Clone, Copy, serde::Serialize, schemars::JsonSchema)]
pub struct Side {
    /// Bias that it makes.
    #[serde(rename = "bias_J_per_mol")]
    pub bias: Estimate,
    /// Standard deviation of what it does.
    #[serde(rename = "spread_J_per_mol")]
    pub spread: Estimate,
}

/// A source, side by side.
#[derive(Debug, Clone, Copy)]
pub struct Sides {
    /// Which.
    pub source: &'static Source,
    /// Through the calibration.
    pub calibration: Side,
    /// Through the determinations.
    pub determination: Side,
    /// Through both.
    pub both: Side,
    /// Share of the two sides' variance that cancels between them; negative where they add up.
    pub cancels: f64,
}

/// Whether a source errs on both sides, so that it can be split.
pub(super) fn errs_on_both(scenario: &Scenario, source: &Source) -> bool {
    let on = |calibrates: bool| {
        let mut legs = scenario.legs().into_iter();
        legs.any(|leg| leg.calibrates() == calibrates && leg.errs(source.id))
    };
    on(true) && on(false)
}

/// Splits each source that errs on both sides, with so many trials of each run.
pub(super) fn sides(
    scenario: &Scenario,
    sources: &[&'static Source],
    trials: u64,
    options: &RankOptions,
    meter: &Meter,
) -> Result<Vec<Sides>, EngineError> {
    let as_it_is = Experiment::without_claims(scenario.clone()).rounding_apart();
    let without: Vec<Experiment> = sources
        .iter()
        .map(|source| {
            let mut own = scenario.clone();
            for leg in own.legs_mut() {
                leg.make_perfect(source.id);
            }
            Experiment::without_claims(own).with_readings_of(&as_it_is)
        })
        .collect();
    // By source: through the calibration, the determinations, both.
    let mut effects = vec![[Moments::default(); 3]; sources.len()];
    let plan = Plan::new();
    in_order(
        trials.div_ceil(BLOCK as u64),
        options.interrupt,
        &|block| {
            let draws = Draws::new(options.seed, block, Layout::MARGINAL, &plan);
            let crossed = as_it_is.crossed(&without, draws);
            let effects = crossed.map(|[all, calibration, determinations, none]| {
                meter.count();
                [calibration, determinations, all].map(|with| {
                    let own: Vec<f64> = (0..BLOCK).map(|i| with[i] - none[i]).collect();
                    Moments::of(&own)
                })
            });
            effects.collect::<Vec<_>>()
        },
        &mut |_, new: Vec<[Moments; 3]>| {
            for (sums, more) in effects.iter_mut().flatten().zip(new.iter().flatten()) {
                sums.merge(more);
            }
            ControlFlow::Continue(())
        },
        &|_| {},
    )?;
    let side = |moments: &Moments| Side {
        bias: moments.mean(),
        spread: moments.sd(),
    };
    let square = |s: &Side| s.spread.value * s.spread.value;
    let all = sources.iter().zip(&effects).map(|(source, moments)| {
        let [calibration, determination, both] = moments.each_ref().map(side);
        let apart = square(&calibration) + square(&determination);
        Sides {
            source,
            calibration,
            determination,
            both,
            cancels: 1.0 - square(&both) / apart,
        }
    });
    Ok(all.collect())
}
