//! All reductions of the same records, side by side.

use crate::engine::{EngineError, Study};
use crate::experiment::{Experiment, ResultColumn};
use crate::scenario::{Record, ReductionMethod, Scenario};
use crate::stats::{Estimate, Moments, rms};
use std::sync::atomic::AtomicBool;

/// Trials of each reduction; all see the same records, so few tell them apart.
const TRIALS: u64 = 10_240;

/// One reduction over many groups.
#[derive(Debug, Clone, Copy, serde::Serialize, schemars::JsonSchema)]
pub struct WaySeen {
    /// Which.
    #[serde(rename = "reduction")]
    pub way: ReductionMethod,
    /// Mean error of the result, J/mol.
    #[serde(rename = "bias_J_per_mol")]
    pub bias: Estimate,
    /// Its standard deviation, J/mol.
    #[serde(rename = "spread_J_per_mol")]
    pub spread: Estimate,
    /// Its root mean square, J/mol.
    #[serde(rename = "rms_error_J_per_mol")]
    pub rms: Estimate,
}

/// Reduces the same records in every way, in both kinds of run alike. A scenario whose records are
/// two readings has one way only.
///
/// # Errors
/// If interrupted.
pub fn ways(
    scenario: &Scenario,
    seed: u64,
    interrupt: Option<&AtomicBool>,
) -> Result<Vec<WaySeen>, EngineError> {
    let traces = scenario
        .legs()
        .iter()
        .all(|leg| matches!(leg.record, Record::Trace { .. }));
    let all: &[ReductionMethod] = if traces {
        &ReductionMethod::ALL
    } else {
        &[ReductionMethod::TwoReadings]
    };
    all.iter()
        .map(|&way| {
            let mut own = scenario.clone();
            if traces {
                for leg in own.legs_mut() {
                    leg.way = way;
                }
            }
            let model = Experiment::without_claims(own).reading_by_reading();
            let study = Study {
                interrupt,
                ..Study::new(seed)
            };
            let table = study.run(&model, TRIALS)?;
            let errors = &table.columns[ResultColumn::Error as usize];
            let moments = Moments::of(errors);
            Ok(WaySeen {
                way,
                bias: moments.mean(),
                spread: moments.sd(),
                rms: rms(errors),
            })
        })
        .collect()
}
