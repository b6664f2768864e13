//! What inspection and repeats cost, and what they leave.

use crate::engine::{EngineError, Study};
use crate::experiment::{Experiment, Quantity};
use crate::scenario::{Inspection, Scenario};
use crate::stats::{Estimate, Moments};
use std::sync::atomic::AtomicBool;

/// Trials of the comparison without repeats, on the same random numbers.
const TRIALS: u64 = 5_120;

/// Repeats of a procedure that looks for residue.
#[derive(Debug, Clone, Copy)]
pub struct RepeatsSeen {
    /// Repeats for each planned calibration run.
    pub calibration: Estimate,
    /// Repeats for each planned determination.
    pub determination: Estimate,
    /// Mean share of the solid left over in determinations that count.
    pub residue: Estimate,
    /// The same without inspection and repeats.
    pub residue_without: Estimate,
    /// What the rule changes in the mean result, J/mol.
    pub shift: Estimate,
}

/// Looks at the repeats of a forecast's columns; `None` if nobody looks for residue.
pub(super) fn repeats(
    scenario: &Scenario,
    columns: &[&[f64]],
    seed: u64,
    interrupt: Option<&AtomicBool>,
) -> Result<Option<RepeatsSeen>, EngineError> {
    if scenario
        .legs()
        .iter()
        .all(|leg| leg.inspection == Inspection::None)
    {
        return Ok(None);
    }
    let mut blind = scenario.clone();
    blind.calibration.inspection = Inspection::None;
    blind.determination.inspection = Inspection::None;
    let run = |s: &Scenario| {
        let study = Study {
            interrupt,
            ..Study::new(seed)
        };
        study.run(&Experiment::without_claims(s.clone()), TRIALS)
    };
    let (with, without) = (run(scenario)?, run(&blind)?);
    let of = |q: Quantity| Moments::of(columns[q as usize]).mean();
    let per_run = |q: Quantity, runs: u32| {
        let all = of(q);
        Estimate::new(all.value / f64::from(runs), all.se / f64::from(runs))
    };
    let shift: Vec<f64> = with.columns[Quantity::Error as usize]
        .iter()
        .zip(&without.columns[Quantity::Error as usize])
        .map(|(a, b)| a - b)
        .collect();
    Ok(Some(RepeatsSeen {
        calibration: per_run(Quantity::CalibrationRepeats, scenario.calibration.runs),
        determination: per_run(Quantity::DeterminationRepeats, scenario.determination.runs),
        residue: of(Quantity::ResidueShare),
        residue_without: Moments::of(&without.columns[Quantity::ResidueShare as usize]).mean(),
        shift: Moments::of(&shift).mean(),
    }))
}
