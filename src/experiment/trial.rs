//! The model that the engine runs.

use super::kept::{Kept, LegTags};
use super::notebook::{Notebook, Readings, notebook, rounding_apart, usual};
use crate::engine::{Model, Output};
use crate::lab::{
    Claims, CoverageFactor, Entry, Evaluation, Links, Method, Pages, Reduction, Seen, Stated,
    evaluate,
};
use crate::nature::{Group, Rounding};
use crate::quantity::Second;
use crate::random::{BLOCK, Column, Drawn, Draws, Layout, Plan, Treatment};
use crate::scenario::{At, Leg, SOURCES, Scenario, SourceId, draw_bound};
use std::rc::Rc;

/// Result columns of a trial.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(usize)]
pub enum ResultColumn {
    /// Lab's value minus nature's, J/mol.
    Error,
    /// Lab's value, J/mol.
    Value,
    /// Nature's value in the same state, J/mol.
    Target,
    /// Lab's mean calibration constant, J/K.
    Constant,
    /// Mean change of temperature over the calibration runs, K.
    CalibrationChange,
    /// Mean change of temperature over the determinations, K.
    DeterminationChange,
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
    "calibration_change_of_temperature_K",
    "determination_change_of_temperature_K",
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
    readings: Vec<Readings>,
    rounding: Rounding,
    /// Direction of each leg's change of temperature as planned: 1 or -1.
    directions: Vec<f64>,
    claims: Option<(Links, CoverageFactor)>,
    /// Sources that err in each leg.
    tags: Vec<LegTags>,
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
        let direction = |leg: &Leg| leg.nominal_change(&scenario.room).0.signum();
        Self {
            directions: scenario.legs().into_iter().map(direction).collect(),
            method: Method::of(&scenario),
            reductions: scenario.legs().into_iter().map(Reduction::of).collect(),
            readings: scenario.legs().into_iter().map(usual).collect(),
            rounding: Rounding::True,
            claims: None,
            tags: scenario.legs().into_iter().map(LegTags::of).collect(),
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
        self.readings = legs.map(rounding_apart).collect();
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

    /// The same by a lab that takes the moment of mixing for so much later than it is.
    #[must_use]
    pub fn mixing_taken_at(mut self, later: Second) -> Self {
        let reductions = self.reductions.into_iter();
        self.reductions = reductions.map(|r| r.taken_at(later)).collect();
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

    /// Runs whose change of temperature vanished or went the wrong way.
    fn wrong_signs(&self, pages: &Pages) -> Column<f64> {
        let mut wrong = Column::splat(0.0);
        for (leg, direction) in pages.legs.iter().zip(&self.directions) {
            for page in &leg.runs {
                let change = page.entry(Entry::Change).expect("in the pages");
                for i in 0..BLOCK {
                    let is_wrong = change[i] * direction <= 0.0;
                    wrong[i] += f64::from(u8::from(is_wrong)) * page.counts[i];
                }
            }
        }
        wrong
    }

    /// Errors of four groups on the same draws, for each of several experiments that differ from this one in their errors
    /// alone: all runs as here, the calibration as here and the determinations as there, the calibration as there and the
    /// determinations as here, all as there; J/mol.
    pub fn crossed<'o>(
        &'o self,
        others: &'o [Self],
        draws: Draws<'o>,
    ) -> impl Iterator<Item = [Column<f64>; 4]> + 'o {
        let (here, target) = self.notebooks(draws, &mut Kept::default());
        others.iter().map(move |other| {
            let (there, other_target) = other.notebooks(draws, &mut Kept::default());
            let error = |calibration: &[Rc<Notebook>],
                         determinations: &[Rc<Notebook>],
                         target: &Column<f64>| {
                let all = [&calibration[..1], &determinations[1..]].concat();
                let value = evaluate(&pages(&all), &self.method).enthalpy;
                Column::from_fn(|i| value[i] - target[i])
            };
            [
                error(&here, &here, &target),
                error(&here, &there, &other_target),
                error(&there, &here, &target),
                error(&there, &there, &other_target),
            ]
        })
    }

    /// What the lab of one trial wrote down, and its claims: for budgets and explanations.
    pub fn one_trial(&self, draws: Draws, trial: usize) -> (Seen, Evaluation, Option<Claims>) {
        let (notebooks, _) = self.notebooks(draws, &mut Kept::default());
        let pages = pages(&notebooks);
        let values = evaluate(&pages, &self.method);
        let claims = self.claims.as_ref().map(|(links, factor)| {
            Claims::of_trial(&pages, &self.method, &values, (links, factor), trial)
        });
        (pages.seen(trial), values.of_trial(&pages, trial), claims)
    }

    /// What the labs of a block wrote down, and nature's value of each result, J/mol.
    pub fn groups(&self, draws: Draws) -> (Pages, Column<f64>) {
        let (pages, target, _) = self.groups_with_repeats(draws);
        (pages, target)
    }

    /// The same, and how many runs of each leg were carried out again.
    pub fn groups_with_repeats(&self, draws: Draws) -> (Pages, Column<f64>, Vec<Column<f64>>) {
        let (notebooks, target) = self.notebooks(draws, &mut Kept::default());
        let repeats = notebooks.iter().map(|n| n.repeats.clone()).collect();
        (pages(&notebooks), target, repeats)
    }

    /// The claims of a group whose errors are all zero; `None` for an experiment without claims.
    pub fn claims_at_zero_error(&self) -> Option<Claims> {
        let perfect = everywhere(Treatment::Perfect);
        let draws = Draws::new(0, 0, Layout::MARGINAL, &perfect);
        self.one_trial(draws, 0).2
    }

    /// The notebooks of all legs, and nature's value of the result.
    fn notebooks<'e>(
        &'e self,
        draws: Draws<'e>,
        kept: &mut Kept<'e>,
    ) -> (Vec<Rc<Notebook>>, Column<f64>) {
        let s = &self.scenario;
        let mut target = match &s.cycle.known {
            Some((coefficient, binding)) => {
                let known: Column<f64> =
                    draw_bound(binding, &draws, SourceId::Known, At::default());
                Column::from_fn(|i| coefficient * known[i])
            }
            None => Column::splat(0.0),
        };
        let mut notebooks = Vec::new();
        for (at, leg) in s.legs().into_iter().enumerate() {
            let tags = &self.tags[at];
            let group = kept.group(at, &draws, tags, || {
                Group::new(leg, s, &draws, self.rounding)
            });
            if let Some(determination) = at.checked_sub(1) {
                let own = group.enthalpy_at(s.target.quote_at);
                let coefficient = s.cycle.coefficients[determination];
                for i in 0..BLOCK {
                    target[i] += coefficient * own[i].0;
                }
            }
            let reduction = &self.reductions[at];
            let known = kept.notebook(at, &draws, tags);
            notebooks.push(known.unwrap_or_else(|| {
                let records = [kept.noises(at, &draws), kept.smooth(at, &draws, tags)];
                let new = notebook(s, &group, reduction, self.readings[at], (draws, records));
                let new = Rc::new(new);
                kept.keep_notebook(at, &draws, tags, &new);
                new
            }));
        }
        (notebooks, target)
    }

    fn results<'e>(&'e self, draws: Draws<'e>, kept: &mut Kept<'e>) -> Output {
        use ResultColumn as R;
        let (notebooks, target) = self.notebooks(draws, kept);
        let of_legs = leg_columns(&self.scenario).count();
        let mut out = vec![Column::splat(f64::NAN); COLUMNS.len() + of_legs];
        let mut put = |column: R, values: Column<f64>| out[column as usize] = values;
        put(R::CalibrationRepeats, notebooks[0].repeats.clone());
        let repeats = |i: usize| notebooks[1..].iter().map(|n| n.repeats[i]).sum();
        put(R::DeterminationRepeats, Column::from_fn(repeats));
        let determination = &notebooks[1];
        put(R::ResidueShare, determination.residue_share());
        put(R::IncompleteShare, determination.incomplete_share());
        put(R::RanOutShare, determination.ran_out_share());
        put(R::Margin, determination.margin());
        let pages = pages(&notebooks);
        let values = evaluate(&pages, &self.method);
        put(R::WrongSigns, self.wrong_signs(&pages));
        put(R::CalibrationChange, pages.legs[0].mean(Entry::Change));
        put(R::DeterminationChange, pages.legs[1].mean(Entry::Change));
        if let Some((links, factor)) = &self.claims {
            let stated = Stated::of(&pages, &self.method, &values, links, factor);
            put(R::ScatterClaim, stated.scatter);
            put(R::LinearClaim, stated.linear);
            put(R::LinearU, stated.u);
            put(R::LinearDof, stated.dof);
            put(R::DeterminationSd, stated.determination_sd);
        }
        put(
            R::Error,
            Column::from_fn(|i| values.enthalpy[i] - target[i]),
        );
        put(R::Value, values.enthalpy);
        put(R::Target, target);
        put(R::Constant, values.constant);
        if of_legs > 0 {
            let legs = pages.legs[1..].iter().zip(values.means);
            let values = legs.flat_map(|(leg, mean)| [leg.mean(Entry::Change), mean]);
            for (column, x) in out[COLUMNS.len()..].iter_mut().zip(values) {
                *column = x;
            }
        }
        out
    }
}

/// What the lab evaluates of its notebooks.
fn pages(notebooks: &[Rc<Notebook>]) -> Pages {
    Pages {
        legs: notebooks.iter().map(|n| Rc::clone(&n.pages)).collect(),
    }
}

impl Model for Experiment {
    fn columns(&self) -> Vec<String> {
        let mut all: Vec<String> = COLUMNS.iter().map(|c| (*c).to_owned()).collect();
        all.extend(leg_columns(&self.scenario));
        all
    }

    fn block(&self, draws: &Draws) -> Output {
        self.results(*draws, &mut Kept::default())
    }

    fn under_plans(&self, plans: &[Draws], sink: &mut dyn FnMut(Output)) {
        let drawn = Drawn::default();
        let mut kept = Kept::default();
        for draws in plans {
            sink(self.results(draws.keeping(&drawn), &mut kept));
        }
    }
}

/// Columns of a cycle: change of temperature and value of each of its legs.
fn leg_columns(scenario: &Scenario) -> impl Iterator<Item = String> + '_ {
    let legs = scenario.legs().into_iter().skip(1);
    legs.filter(|_| scenario.is_cycle()).flat_map(|leg| {
        let name = leg.title();
        [
            format!("leg_{name}_change_of_temperature_K"),
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
