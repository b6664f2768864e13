//! What inspection and repeats cost, and what they leave.

use crate::engine::{EngineError, Study};
use crate::experiment::{Experiment, ResultColumn};
use crate::quantity::Currency;
use crate::scenario::{Inspection, Leg, Scenario};
use crate::stats::{Estimate, Moments};
use std::sync::atomic::AtomicBool;

/// Trials of the comparison without repeats, on the same random numbers.
const TRIALS: u64 = 5_120;

/// Repeats of a procedure that looks for residue.
#[derive(Debug, Clone, Copy, serde::Serialize, schemars::JsonSchema)]
pub struct RepeatsSeen {
    /// Repeats for each planned calibration run.
    #[serde(rename = "for_each_calibration")]
    pub calibration: Estimate,
    /// Repeats for each planned determination.
    #[serde(rename = "for_each_determination")]
    pub determination: Estimate,
    /// Mean share of the solid left over in determinations that count.
    #[serde(rename = "residue_share")]
    pub residue: Estimate,
    /// The same without inspection and repeats.
    #[serde(rename = "residue_share_without_rule")]
    pub residue_without: Estimate,
    /// Share of determinations that count although solid is left over in them.
    #[serde(rename = "incomplete_share")]
    pub incomplete: Estimate,
    /// The same without inspection and repeats.
    #[serde(rename = "incomplete_share_without_rule")]
    pub incomplete_without: Estimate,
    /// What the rule changes in the mean result, J/mol.
    #[serde(rename = "shift_J_per_mol")]
    pub shift: Estimate,
    /// What repeats cost a group on average.
    #[serde(flatten)]
    pub cost: RepeatCost,
}

/// What repeats cost a group on average.
#[derive(Debug, Clone, Copy, serde::Serialize, schemars::JsonSchema)]
pub struct RepeatCost {
    /// Time, s; `None` if the procedure does not say what a run takes.
    #[serde(rename = "extra_time_s")]
    pub time: Option<f64>,
    /// Time of the procedure without repeats, s.
    #[serde(rename = "planned_time_s")]
    pub planned_time: Option<f64>,
    /// Solid of the charge, g.
    #[serde(rename = "extra_solid_g")]
    pub solid: f64,
    /// Liquid, mL.
    #[serde(rename = "extra_liquid_mL")]
    pub liquid: f64,
    /// Money; `None` if the procedure does not say what a run costs.
    #[serde(rename = "extra_cost")]
    pub money: Option<f64>,
    /// What it is stated in, if a currency is named.
    pub currency: Option<Currency>,
}

fn cost(scenario: &Scenario, repeats: [f64; 2]) -> RepeatCost {
    let [cal, det] = repeats;
    let (c, d) = (&scenario.calibration, &scenario.determination);
    let each = |of: [Option<f64>; 2]| match of {
        [Some(of_cal), Some(of_det)] => Some(cal * of_cal + det * of_det),
        [None, Some(of_det)] if cal == 0.0 => Some(det * of_det),
        _ => None,
    };
    let times = scenario.times.run.map(|t| t.map(|t| t.0));
    let runs: u32 = scenario.determinations().map(|leg| leg.runs).sum();
    let planned = match times {
        [Some(of_cal), Some(of_det)] => {
            let set_up = scenario.times.set_up.map_or(0.0, |t| t.0);
            Some(set_up + f64::from(c.runs) * of_cal + f64::from(runs) * of_det)
        }
        _ => None,
    };
    let volume = |leg: &Leg| leg.nominal_volume(&scenario.room).0 + leg.portion_volume().0;
    RepeatCost {
        time: each(times),
        planned_time: planned,
        solid: cal * c.mass.0 + det * d.mass.0,
        liquid: cal * volume(c) + det * volume(d),
        money: each(scenario.times.price),
        currency: scenario.times.currency,
    }
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
    for leg in blind.legs_mut() {
        leg.inspection = Inspection::None;
    }
    let run = |s: &Scenario| {
        let study = Study {
            interrupt,
            ..Study::new(seed)
        };
        study.run(&Experiment::without_claims(s.clone()), TRIALS)
    };
    let (with, without) = (run(scenario)?, run(&blind)?);
    let of = |q: ResultColumn| Moments::of(columns[q as usize]).mean();
    let per_run = |all: Estimate, runs: u32| {
        let runs = f64::from(runs.max(1));
        Estimate::new(all.value / runs, all.se / runs)
    };
    let [cal, det] = [
        ResultColumn::CalibrationRepeats,
        ResultColumn::DeterminationRepeats,
    ]
    .map(of);
    let runs = scenario.determinations().map(|leg| leg.runs).sum();
    let shift: Vec<f64> = with.columns[ResultColumn::Error as usize]
        .iter()
        .zip(&without.columns[ResultColumn::Error as usize])
        .map(|(a, b)| a - b)
        .collect();
    Ok(Some(RepeatsSeen {
        calibration: per_run(cal, scenario.calibration.runs),
        determination: per_run(det, runs),
        residue: of(ResultColumn::ResidueShare),
        residue_without: Moments::of(&without.columns[ResultColumn::ResidueShare as usize]).mean(),
        incomplete: of(ResultColumn::IncompleteShare),
        incomplete_without: Moments::of(&without.columns[ResultColumn::IncompleteShare as usize])
            .mean(),
        shift: Moments::of(&shift).mean(),
        cost: cost(scenario, [cal.value, det.value]),
    }))
}
