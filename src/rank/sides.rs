//! Calibration side against determination side: what a source does through the runs of either.
//!
//! On the same random numbers four groups do the experiment: as it is, without the source in the
//! calibration, without it in the determinations, without it at all. With e their errors, the source's
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
use crate::engine::{EngineError, Study};
use crate::experiment::{Experiment, Quantity};
use crate::scenario::{Scenario, Source};
use crate::stats::{Estimate, Moments};

/// Trials of each of the four: differences on common random numbers need few.
pub const TRIALS: u64 = 2_560;

/// Runs of the model for each source.
pub(super) const RUNS: u64 = 4;

/// Effect of a source on one side: its mean and its spread, J/mol.
#[derive(Debug, Clone, Copy)]
pub struct Side {
    /// Bias that it makes.
    pub bias: Estimate,
    /// Standard deviation of what it does.
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

/// Splits a source that errs on both sides, with so many trials of each run.
pub(super) fn sides(
    scenario: &Scenario,
    source: &'static Source,
    trials: u64,
    options: &RankOptions,
    meter: &Meter,
) -> Result<Sides, EngineError> {
    let as_it_is = Experiment::without_claims(scenario.clone()).rounding_apart();
    let errors = |calibration: bool, determination: bool| -> Result<Vec<f64>, EngineError> {
        let mut own = scenario.clone();
        for leg in own.legs_mut() {
            let without = if leg.calibrates() {
                calibration
            } else {
                determination
            };
            if without {
                leg.make_perfect(source.id);
            }
        }
        let study = Study {
            interrupt: options.interrupt,
            ..Study::new(options.seed)
        };
        let model = Experiment::without_claims(own).with_readings_of(&as_it_is);
        let mut table = study.run(&meter.on(&model), trials)?;
        Ok(table.columns.swap_remove(Quantity::Error as usize))
    };
    let none = errors(true, true)?;
    let effect = |all: Vec<f64>| {
        let own: Vec<f64> = all.iter().zip(&none).map(|(a, b)| a - b).collect();
        let moments = Moments::of(&own);
        Side {
            bias: moments.mean(),
            spread: moments.sd(),
        }
    };
    let calibration = effect(errors(false, true)?);
    let determination = effect(errors(true, false)?);
    let both = effect(errors(false, false)?);
    let square = |s: &Side| s.spread.value * s.spread.value;
    let apart = square(&calibration) + square(&determination);
    Ok(Sides {
        source,
        calibration,
        determination,
        both,
        cancels: 1.0 - square(&both) / apart,
    })
}
