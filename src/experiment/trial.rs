//! The model that the engine runs.

use super::notebook::{Notebook, may_collapse, notebook};
use crate::engine::{Model, Output};
use crate::lab::{
    Claims, CoverageFactor, Evaluation, Gradient, LegTables, Links, Method, Reduction, Seen,
    evaluate,
};
use crate::nature::{Group, Run};
use crate::random::{BLOCK, Column, Draws, Layout, Plan, Treatment};
use crate::scenario::{SOURCES, Scenario};

/// Result columns of a trial.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(usize)]
pub enum Quantity {
    /// Lab's value minus nature's, J/mol.
    Error,
    /// Lab's value, J/mol.
    Value,
    /// Nature's value in the same state, J/mol.
    Target,
    /// Lab's mean calibration constant, J/K.
    Constant,
    /// Mean change of temperature over the calibration runs, K.
    CalibrationRise,
    /// Mean change of temperature over the determinations, K.
    DeterminationRise,
    /// Half-width of the claim by scatter, J/mol.
    ScatterClaim,
    /// Half-width of the claim by the linear budget, J/mol.
    LinearClaim,
    /// Combined standard uncertainty of the linear budget, J/mol.
    LinearU,
    /// Its effective degrees of freedom.
    LinearDof,
    /// Standard deviation over the determinations, J/mol.
    DeterminationSd,
    /// Calibration runs that were carried out again.
    CalibrationRepeats,
    /// Determinations that were carried out again.
    DeterminationRepeats,
    /// Mean share of solid left over in the determinations that count.
    ResidueShare,
}

/// Names of the columns, with units.
pub const COLUMNS: [&str; 14] = [
    "error_J_per_mol",
    "value_J_per_mol",
    "target_J_per_mol",
    "constant_J_per_K",
    "calibration_rise_K",
    "determination_rise_K",
    "scatter_claim_half_width_J_per_mol",
    "linear_claim_half_width_J_per_mol",
    "linear_u_J_per_mol",
    "linear_dof",
    "determination_sd_J_per_mol",
    "calibration_repeats",
    "determination_repeats",
    "residue_share",
];

/// A scenario made ready to run.
#[derive(Debug, Clone)]
pub struct Experiment {
    scenario: Scenario,
    method: Method,
    reductions: [Reduction; 2],
    tables: [LegTables; 2],
    collapsed: [bool; 2],
    claims: Option<(Links, CoverageFactor)>,
}

impl Experiment {
    /// With the lab's claims in each trial.
    pub fn new(scenario: Scenario) -> Self {
        let mut own = Self::without_claims(scenario);
        own.linearise();
        let links = Links::of(&own.scenario, &own.reductions);
        own.claims = Some((links, CoverageFactor::new(0.95)));
        own
    }

    /// Without claims, for studies that ask for the error alone; their columns are NaN.
    pub fn without_claims(scenario: Scenario) -> Self {
        Self {
            method: Method::of(&scenario),
            reductions: scenario.legs().map(Reduction::of),
            tables: scenario.legs().map(|leg| LegTables::of(&scenario, leg)),
            collapsed: scenario.legs().map(may_collapse),
            claims: None,
            scenario,
        }
    }

    /// The same with every reading drawn and rounded on its own, even where the noise of the
    /// reduction is known exactly: for studies that compare reductions on the same records.
    #[must_use]
    pub fn reading_by_reading(mut self) -> Self {
        self.collapsed = [false; 2];
        self
    }

    /// Gives nonlinear reductions their first-order weights, at the record of a typical run.
    fn linearise(&mut self) {
        let typical = typical_plan();
        let draws = Draws::new(0, 0, Layout::MARGINAL, &typical);
        let scenario = self.scenario.clone();
        for (leg, reduction) in scenario.legs().into_iter().zip(&mut self.reductions) {
            let group = Group::new(leg, scenario.room, &draws);
            let run = Run::new(&group, draws, 0, 0);
            reduction.linearise(|_, t| run.smooth_reading(t)[0]);
        }
    }

    /// The scenario.
    pub fn scenario(&self) -> &Scenario {
        &self.scenario
    }

    /// How each leg's records are reduced, calibration first.
    pub fn reductions(&self) -> &[Reduction; 2] {
        &self.reductions
    }

    fn seen(&self) -> Seen {
        Seen {
            calibration: Vec::new(),
            determination: Vec::new(),
            reference: self.tables[0].clone(),
            unknown: self.tables[1].clone(),
        }
    }

    /// What the lab of one trial wrote down, and its claims: for budgets and explanations.
    pub fn one_trial(&self, draws: Draws, trial: usize) -> (Seen, Evaluation, Option<Claims>) {
        let [cal, det] = self.notebooks(draws).0;
        let mut seen = self.seen();
        seen.calibration.extend(cal.trial(trial));
        seen.determination.extend(det.trial(trial));
        let mut value = Evaluation::default();
        evaluate(&seen, &self.method, &mut value);
        let claims = self.claims.as_ref().map(|(links, factor)| {
            let mut scratch = Gradient::default();
            Claims::state(&seen, &self.method, &value, links, factor, &mut scratch)
        });
        (seen, value, claims)
    }

    fn notebooks(&self, draws: Draws) -> ([Notebook; 2], Column<f64>) {
        let s = &self.scenario;
        let groups = s.legs().map(|leg| Group::new(leg, s.room, &draws));
        let target = groups[1].enthalpy_at(s.target.quote_at);
        let target = Column::from_fn(|i| target[i].0);
        let [cal, det] = [0, 1].map(|at| {
            notebook(
                s,
                &groups[at],
                &self.reductions[at],
                self.collapsed[at],
                draws,
            )
        });
        ([cal, det], target)
    }
}

impl Model for Experiment {
    fn columns(&self) -> Vec<String> {
        COLUMNS.iter().map(|c| (*c).to_owned()).collect()
    }

    fn block(&self, draws: &Draws) -> Output {
        use Quantity as R;
        let ([cal, det], target) = self.notebooks(*draws);
        let mut out = vec![Column::splat(f64::NAN); COLUMNS.len()];
        let mut seen = self.seen();
        let mut value = Evaluation::default();
        let mut scratch = Gradient::default();
        for i in 0..BLOCK {
            seen.calibration.clear();
            seen.calibration.extend(cal.trial(i));
            seen.determination.clear();
            seen.determination.extend(det.trial(i));
            evaluate(&seen, &self.method, &mut value);
            let mut put = |column: R, x: f64| out[column as usize][i] = x;
            put(R::Error, value.enthalpy - target[i]);
            put(R::Value, value.enthalpy);
            put(R::Target, target[i]);
            put(R::Constant, value.constant);
            put(R::CalibrationRise, mean_rise(&seen.calibration));
            put(R::DeterminationRise, mean_rise(&seen.determination));
            put(R::CalibrationRepeats, f64::from(cal.repeats(i)));
            put(R::DeterminationRepeats, f64::from(det.repeats(i)));
            put(R::ResidueShare, det.residue_share(i));
            if let Some((links, factor)) = &self.claims {
                let claims =
                    Claims::state(&seen, &self.method, &value, links, factor, &mut scratch);
                put(R::ScatterClaim, claims.scatter);
                put(R::LinearClaim, claims.linear);
                put(R::LinearU, claims.budget.u);
                put(R::LinearDof, claims.budget.dof);
                put(R::DeterminationSd, claims.determination_sd);
            }
        }
        out
    }
}

/// Every source at its median.
pub fn typical_plan() -> Plan {
    SOURCES.iter().fold(Plan::new(), |plan, s| {
        plan.with(s.tag(), Treatment::At(0.5))
    })
}

fn mean_rise(runs: &[crate::lab::RunSeen]) -> f64 {
    runs.iter().map(|r| r.rise.0).sum::<f64>() / runs.len() as f64
}
