//! What a forecast shows beside its result: the reagent in excess, the legs of a cycle, the medium,
//! constants below zero.

use super::run::Forecast;
use crate::experiment::{COLUMNS, ResultColumn};
use crate::quantity::JoulePerMole;
use crate::scenario::{Contents, Per, Scenario, SourceId};
use crate::stats::{Estimate, Moments, Summary, share_within};

/// What should be in excess.
#[derive(Debug, Clone, serde::Serialize, schemars::JsonSchema)]
pub struct Excess {
    /// Its margin as the procedure states the amounts, as a fraction of what is used up.
    #[serde(rename = "planned_margin")]
    pub planned: f64,
    /// Its margin over all groups.
    pub margin: Summary,
    /// Share of determinations in which it runs out.
    #[serde(rename = "share_of_runs_where_it_runs_out")]
    pub ran_out: Estimate,
    /// What the result is stated per mole of.
    #[serde(rename = "per_mole_of")]
    pub named: String,
    /// Whether a linear budget sees all of the result: where the reagent runs out in some determinations and suffices in
    /// others, the result has a kink.
    pub linear_budget_valid: bool,
}

/// One leg of a cycle.
#[derive(Debug, Clone, serde::Serialize, schemars::JsonSchema)]
pub struct LegOfCycle {
    /// Its name.
    #[serde(rename = "leg")]
    pub name: String,
    /// What happens in it.
    #[serde(rename = "reaction")]
    pub what: String,
    /// Its coefficient in the result.
    pub coefficient: f64,
    /// Change of temperature, K.
    #[serde(rename = "change_of_temperature_K")]
    pub change: Summary,
    /// Its own value, J/mol.
    #[serde(rename = "value_J_per_mol")]
    pub value: Summary,
}

/// What the medium makes of the tabulated value.
#[derive(Debug, Clone, Copy, serde::Serialize, schemars::JsonSchema)]
pub struct Medium {
    /// Tabulated value, J/mol, for the same temperature and the same reagent.
    #[serde(rename = "tabulated_J_per_mol")]
    pub tabulated: f64,
    /// How far the value that is true in the medium may lie from it, J/mol: what is not known of the medium, and no error
    /// of a group.
    #[serde(rename = "true_value_less_tabulated_J_per_mol")]
    pub shift: Summary,
    /// How far results lie from it, J/mol: that and the errors of groups.
    #[serde(rename = "result_less_tabulated_J_per_mol")]
    pub away: Summary,
    /// Share of results within the fair band about the tabulated value, if there is a band.
    #[serde(rename = "share_within_band_about_tabulated")]
    pub in_band: Option<Estimate>,
}

/// All of it.
#[derive(Debug, Clone, serde::Serialize, schemars::JsonSchema)]
pub struct Beside {
    /// What should be in excess, as far as it is known.
    pub excess: Option<Excess>,
    /// Legs of a cycle, the first one included; empty if there is no cycle.
    #[serde(rename = "cycle_legs")]
    pub legs: Vec<LegOfCycle>,
    /// The medium, if the scenario states what it shifts.
    pub medium: Option<Medium>,
    /// Groups whose calibration gives the vessel a heat capacity below zero.
    pub negative_constants: u64,
}

impl Forecast {
    /// Standard uncertainty of the difference between what a group reports and the accepted value, by
    /// [`Scenario::compared_u`].
    pub fn compared(&self) -> Estimate {
        let u = self.scenario.compared_u(JoulePerMole(self.spread.value)).0;
        Estimate::new(u, self.spread.se * (self.spread.value / u))
    }
}

impl Beside {
    pub(super) fn of(scenario: &Scenario, columns: &[&[f64]], probability: f64) -> Self {
        let column = |q: ResultColumn| columns[q as usize];
        let of_vessel = scenario.lab.contents == Contents::Swapped;
        let below = column(ResultColumn::Constant)
            .iter()
            .filter(|c| **c < 0.0)
            .count() as u64;
        Self {
            excess: excess(scenario, columns, probability),
            legs: legs(scenario, columns, probability),
            medium: medium(scenario, columns, probability),
            negative_constants: if of_vessel { below } else { 0 },
        }
    }
}

fn excess(scenario: &Scenario, columns: &[&[f64]], probability: f64) -> Option<Excess> {
    let leg = &scenario.determination;
    let planned = leg.nominal_margin(&scenario.room)?;
    let ran_out = Moments::of(columns[ResultColumn::RanOutShare as usize]).mean();
    let kink = ran_out.value > 0.0 && ran_out.value < 1.0;
    Some(Excess {
        planned,
        margin: Summary::of(columns[ResultColumn::Margin as usize], probability),
        ran_out,
        linear_budget_valid: !kink,
        named: match leg.per {
            Per::Charge => leg.reaction.substance.clone(),
            Per::Reagent(at) => leg.reagents[at].name.clone(),
        },
    })
}

fn legs(scenario: &Scenario, columns: &[&[f64]], probability: f64) -> Vec<LegOfCycle> {
    if !scenario.is_cycle() {
        return Vec::new();
    }
    let own = columns[COLUMNS.len()..].chunks_exact(2);
    scenario
        .determinations()
        .zip(&scenario.cycle.coefficients)
        .zip(own)
        .map(|((leg, coefficient), own)| LegOfCycle {
            name: leg.title().to_owned(),
            what: leg.what(),
            coefficient: *coefficient,
            change: Summary::of(own[0], probability),
            value: Summary::of(own[1], probability),
        })
        .collect()
}

fn medium(scenario: &Scenario, columns: &[&[f64]], probability: f64) -> Option<Medium> {
    let stated = |leg: &crate::scenario::Leg| {
        let input = &leg.binding(SourceId::MediumShift).input;
        !input.is_exact() || input.ideal != 0.0
    };
    if !scenario.determinations().any(stated) {
        return None;
    }
    let tabulated = scenario.tabulated().0;
    let from_table = |q: ResultColumn| -> Vec<f64> {
        let values = columns[q as usize].iter();
        values.map(|v| v - tabulated).collect()
    };
    let away = from_table(ResultColumn::Value);
    let in_band = scenario.target.band.map(|band| {
        let half = band * tabulated.abs();
        share_within(&away, -half, half)
    });
    Some(Medium {
        tabulated,
        shift: Summary::of(&from_table(ResultColumn::Target), probability),
        away: Summary::of(&away, probability),
        in_band,
    })
}
