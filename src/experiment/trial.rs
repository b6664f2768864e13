//! The model that the engine runs.

use super::notebook::{Notebook, Readings, notebook, rounding_apart, usual};
use crate::engine::{Model, Output};
use crate::lab::{
    Claims, CoverageFactor, Evaluation, Gradient, LegSeen, LegTables, Links, Method, Reduction,
    Seen, evaluate,
};
use crate::nature::{Group, Rounding};
use crate::random::{BLOCK, Column, Draws, Layout, Plan, Treatment};
use crate::scenario::{At, Leg, SOURCES, Scenario, SourceId, draw_bound};

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
    /// Share of the determinations that count with solid left over that is worth speaking of.
    IncompleteShare,
    /// Share of the determinations that count in which what should be in excess ran out.
    RanOutShare,
    /// Mean margin of what should be in excess in the determinations that count.
    Margin,
    /// Runs of all kinds that count whose change of temperature vanished or went the wrong way.
    WrongSigns,
}

/// Names of the columns, with units.
pub const COLUMNS: [&str; 18] = [
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
    "incomplete_share",
    "ran_out_share",
    "excess_margin",
    "wrong_sign_runs",
];

/// A scenario made ready to run.
#[derive(Debug, Clone)]
pub struct Experiment {
    scenario: Scenario,
    method: Method,
    reductions: Vec<Reduction>,
    tables: Vec<LegTables>,
    readings: Vec<Readings>,
    rounding: Rounding,
    /// Direction of each leg's change of temperature as planned: 1 or -1.
    directions: Vec<f64>,
    claims: Option<(Links, CoverageFactor)>,
}

impl Experiment {
    /// With the lab's claims in each trial.
    pub fn new(scenario: Scenario) -> Self {
        let mut own = Self::without_claims(scenario);
        let links = Links::of(&own.scenario, &own.reductions);
        own.claims = Some((links, CoverageFactor::new(0.95)));
        own
    }

    /// Without claims, for studies that ask for the error alone; their columns are NaN.
    pub fn without_claims(scenario: Scenario) -> Self {
        let direction = |leg: &Leg| leg.nominal_rise(&scenario.room).0.signum();
        Self {
            directions: scenario.legs().into_iter().map(direction).collect(),
            method: Method::of(&scenario),
            reductions: scenario.legs().into_iter().map(Reduction::of).collect(),
            tables: tables(&scenario),
            readings: scenario.legs().into_iter().map(usual).collect(),
            rounding: Rounding::True,
            claims: None,
            scenario,
        }
    }

    /// The same with every reading drawn and rounded on its own, even where the noise of the
    /// reduction is known exactly: for studies that compare reductions on the same records.
    #[must_use]
    pub fn reading_by_reading(mut self) -> Self {
        self.readings.fill(Readings::Each);
        self
    }

    /// The same with the last digit of thermometer and balance as an independent error of its own everywhere: for
    /// studies that ask which source does what. True rounding makes everything that moves a reading across a
    /// step of the display act together with everything else, which says nothing about any of it.
    #[must_use]
    pub fn rounding_apart(mut self) -> Self {
        let legs = self.scenario.legs().into_iter();
        self.readings = legs
            .map(|leg| rounding_apart(leg, Readings::RoundingApart))
            .collect();
        self.rounding = Rounding::Apart;
        self
    }

    /// The same with readings drawn as another experiment draws them: for scenarios that differ in their
    /// errors and are compared trial by trial.
    #[must_use]
    pub fn with_readings_of(mut self, other: &Self) -> Self {
        self.readings.clone_from(&other.readings);
        self.rounding = other.rounding;
        self
    }

    /// The scenario.
    pub fn scenario(&self) -> &Scenario {
        &self.scenario
    }

    /// How each leg's records are reduced, calibration first.
    pub fn reductions(&self) -> &[Reduction] {
        &self.reductions
    }

    fn seen(&self) -> Seen {
        let mut legs = self.tables.iter().map(|tables| LegSeen {
            runs: Vec::new(),
            tables: tables.clone(),
        });
        Seen {
            calibration: legs.next().expect("a scenario has a calibration"),
            legs: legs.collect(),
        }
    }

    /// Runs whose change of temperature vanished or went the wrong way.
    fn wrong_signs(&self, seen: &Seen) -> f64 {
        let legs = std::iter::once(&seen.calibration).chain(&seen.legs);
        let wrong = legs.zip(&self.directions).map(|(leg, direction)| {
            let runs = leg.runs.iter();
            runs.filter(|run| run.rise.0 * direction <= 0.0).count()
        });
        wrong.sum::<usize>() as f64
    }

    /// What the lab of one trial wrote down, and its claims: for budgets and explanations.
    pub fn one_trial(&self, draws: Draws, trial: usize) -> (Seen, Evaluation, Option<Claims>) {
        let (notebooks, _) = self.notebooks(draws);
        let mut seen = self.seen();
        open(&notebooks, trial, &mut seen);
        let mut value = Evaluation::default();
        evaluate(&seen, &self.method, &mut value);
        let claims = self.claims.as_ref().map(|(links, factor)| {
            let mut scratch = Gradient::default();
            Claims::state(&seen, &self.method, &value, links, factor, &mut scratch)
        });
        (seen, value, claims)
    }

    /// The claims of a group whose errors are all zero; `None` for an experiment without claims.
    pub fn claims_at_zero_error(&self) -> Option<Claims> {
        let perfect = everywhere(Treatment::Perfect);
        let draws = Draws::new(0, 0, Layout::MARGINAL, &perfect);
        self.one_trial(draws, 0).2
    }

    /// The notebooks of all legs, and nature's value of the result.
    fn notebooks(&self, draws: Draws) -> (Vec<Notebook>, Column<f64>) {
        let s = &self.scenario;
        let legs = s.legs();
        let groups: Vec<Group> = legs
            .iter()
            .map(|leg| Group::new(leg, s, &draws, self.rounding))
            .collect();
        let mut target = match &s.cycle.known {
            Some((coefficient, binding)) => {
                let known: Column<f64> =
                    draw_bound(binding, &draws, SourceId::Known, At::default());
                Column::from_fn(|i| coefficient * known[i])
            }
            None => Column::splat(0.0),
        };
        for (group, coefficient) in groups[1..].iter().zip(&s.cycle.coefficients) {
            let own = group.enthalpy_at(s.target.quote_at);
            for i in 0..BLOCK {
                target[i] += coefficient * own[i].0;
            }
        }
        let notebooks = groups
            .iter()
            .zip(&self.reductions)
            .zip(&self.readings)
            .map(|((group, reduction), readings)| notebook(s, group, reduction, *readings, draws))
            .collect();
        (notebooks, target)
    }
}

/// The tables of all legs.
fn tables(scenario: &Scenario) -> Vec<LegTables> {
    let legs = scenario.legs().into_iter();
    legs.map(|leg| LegTables::of(scenario, leg)).collect()
}

/// Opens all notebooks at the pages of one trial.
fn open(notebooks: &[Notebook], trial: usize, seen: &mut Seen) {
    let legs = std::iter::once(&mut seen.calibration).chain(&mut seen.legs);
    for (notebook, leg) in notebooks.iter().zip(legs) {
        leg.runs.clear();
        leg.runs.extend(notebook.trial(trial));
    }
}

impl Model for Experiment {
    fn columns(&self) -> Vec<String> {
        let mut all: Vec<String> = COLUMNS.iter().map(|c| (*c).to_owned()).collect();
        all.extend(leg_columns(&self.scenario));
        all
    }

    fn block(&self, draws: &Draws) -> Output {
        use Quantity as R;
        let (notebooks, target) = self.notebooks(*draws);
        let (cal, det) = (&notebooks[0], &notebooks[1]);
        let of_legs = leg_columns(&self.scenario).count();
        let mut out = vec![Column::splat(f64::NAN); COLUMNS.len() + of_legs];
        let mut seen = self.seen();
        let mut value = Evaluation::default();
        let mut scratch = Gradient::default();
        for i in 0..BLOCK {
            open(&notebooks, i, &mut seen);
            evaluate(&seen, &self.method, &mut value);
            let mut put = |column: R, x: f64| out[column as usize][i] = x;
            put(R::Error, value.enthalpy - target[i]);
            put(R::Value, value.enthalpy);
            put(R::Target, target[i]);
            put(R::Constant, value.constant);
            put(R::CalibrationRise, mean_rise(&seen.calibration.runs));
            put(R::DeterminationRise, mean_rise(&seen.legs[0].runs));
            put(R::CalibrationRepeats, f64::from(cal.repeats(i)));
            let repeats: u32 = notebooks[1..].iter().map(|n| n.repeats(i)).sum();
            put(R::DeterminationRepeats, f64::from(repeats));
            put(R::ResidueShare, det.residue_share(i));
            put(R::IncompleteShare, det.incomplete_share(i));
            put(R::RanOutShare, det.ran_out_share(i));
            put(R::Margin, det.margin(i));
            put(R::WrongSigns, self.wrong_signs(&seen));
            if let Some((links, factor)) = &self.claims {
                let claims =
                    Claims::state(&seen, &self.method, &value, links, factor, &mut scratch);
                put(R::ScatterClaim, claims.scatter);
                put(R::LinearClaim, claims.linear);
                put(R::LinearU, claims.budget.u);
                put(R::LinearDof, claims.budget.dof);
                put(R::DeterminationSd, claims.determination_sd);
            }
            if of_legs > 0 {
                let legs = seen.legs.iter().zip(&value.means);
                let values = legs.flat_map(|(leg, mean)| [mean_rise(&leg.runs), *mean]);
                for (column, x) in out[COLUMNS.len()..].iter_mut().zip(values) {
                    column[i] = x;
                }
            }
        }
        out
    }
}

/// Columns of a cycle: change of temperature and value of each of its legs.
fn leg_columns(scenario: &Scenario) -> impl Iterator<Item = String> + '_ {
    let legs = scenario.legs().into_iter().skip(1);
    legs.filter(|_| scenario.is_cycle()).flat_map(|leg| {
        let name = leg.title();
        [
            format!("leg_{name}_rise_K"),
            format!("leg_{name}_value_J_per_mol"),
        ]
    })
}

/// Every source at its median.
pub fn typical_plan() -> Plan {
    everywhere(Treatment::At(0.5))
}

/// A plan that treats every source alike.
fn everywhere(treatment: Treatment) -> Plan {
    let with = |plan: Plan, s: &crate::scenario::Source| plan.with(s.tag(), treatment);
    SOURCES.iter().fold(Plan::new(), with)
}

fn mean_rise(runs: &[crate::lab::RunSeen]) -> f64 {
    runs.iter().map(|r| r.rise.0).sum::<f64>() / runs.len() as f64
}
