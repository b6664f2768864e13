//! Why: what moves the mean, and what makes the spread.
//!
//! The full ranking with its intervals is a study of its own; a forecast shows two cheap parts of
//! it. Each source that can only go one way, or that the lab's budget has no term for, is made
//! perfect in turn, on the same random numbers, and each choice of the lab that can bias is replaced by
//! the better one: what changes is its share of the bias and of the spread. And the linear budget of a group without errors (all errors at zero) is summed by family.

use crate::engine::{EngineError, Model, Output, in_order, under_plans};
use crate::experiment::{Experiment, ResultColumn};
use crate::lab::LinearBudget;
use crate::random::{BLOCK, Column, Draws, Layout, Plan, Treatment};
use crate::scenario::{
    Contents, Family, Inspection, Lab, MassUsed, SOURCES, Scenario, Scope, Source, SourceId,
};
use crate::stats::{Estimate, Moments};
use std::ops::ControlFlow;
use std::sync::atomic::AtomicBool;

/// Trials of each of these small studies; pairs on common random numbers need few.
const TRIALS: u64 = 2_560;

/// A choice of the lab that can bias its result.
struct Choice {
    /// Key and word in a scenario.
    key: &'static str,
    /// What it is.
    doc: &'static str,
    chosen: fn(&Lab) -> bool,
    mend: fn(&mut Lab),
}

/// All such choices; to replace one by the better is one entry here.
const CHOICES: &[Choice] = &[
    Choice {
        key: "lab.contents = same",
        doc: "the contents of both kinds of run taken as alike",
        chosen: |lab| lab.contents == Contents::Same,
        mend: |lab| lab.contents = Contents::Swapped,
    },
    Choice {
        key: "lab.mass = nominal",
        doc: "the target mass computed with instead of the weighed one",
        chosen: |lab| lab.mass == MassUsed::Nominal,
        mend: |lab| lab.mass = MassUsed::Recorded,
    },
    Choice {
        key: "lab.reference_slope = ignored",
        doc: "the reference's value at 25 °C used at another temperature",
        chosen: |lab| !lab.reference_slope,
        mend: |lab| lab.reference_slope = true,
    },
    Choice {
        key: "lab.result_slope = ignored",
        doc: "the result not brought to the quoted temperature",
        chosen: |lab| !lab.result_slope,
        mend: |lab| lab.result_slope = true,
    },
    Choice {
        key: "lab.tables_at = mean",
        doc: "tabulated values taken half-way through the change instead of at mixing",
        chosen: |lab| lab.mean_temperature,
        mend: |lab| lab.mean_temperature = false,
    },
    Choice {
        key: "lab.solid_in_mass = false",
        doc: "the mass of the solid left out of the contents",
        chosen: |lab| !lab.solid_in_mass,
        mend: |lab| lab.solid_in_mass = true,
    },
    Choice {
        key: "lab.heat_capacity = water",
        doc: "water's specific heat capacity used for the solution",
        chosen: |lab| lab.water_heat,
        mend: |lab| lab.water_heat = false,
    },
    Choice {
        key: "lab.volume_as_mass = true",
        doc: "millilitres taken as grams",
        chosen: |lab| lab.volume_as_mass,
        mend: |lab| lab.volume_as_mass = false,
    },
];

/// What moves the mean: an error source, made perfect, or a choice of the lab, replaced by the better one.
#[derive(Debug, Clone, Copy, serde::Serialize, schemars::JsonSchema)]
pub struct Cause {
    /// Key of the error source, or key and word of the choice of the lab.
    #[serde(rename = "source")]
    pub key: &'static str,
    /// What it is.
    #[serde(skip)]
    pub doc: &'static str,
    /// How often it is drawn anew; a choice is everybody's who follows the procedure.
    pub scope: Scope,
    /// The error source; `None` of a choice.
    #[serde(skip)]
    pub source: Option<&'static Source>,
    /// Bias that it makes: mean error with it minus mean error without it, J/mol.
    #[serde(rename = "bias_J_per_mol")]
    pub bias: Estimate,
    /// Spread without it, over spread with it.
    #[serde(rename = "spread_without_over_with")]
    pub spread_without: f64,
}

/// Makes each candidate perfect in turn.
pub(super) fn causes(
    scenario: &Scenario,
    seed: u64,
    interrupt: Option<&AtomicBool>,
) -> Result<Vec<Cause>, EngineError> {
    let model = Experiment::without_claims(scenario.clone());
    let sources: Vec<&Source> = SOURCES
        .iter()
        .filter(|s| is_candidate(scenario, s))
        .collect();
    let as_it_is = Plan::new();
    let perfect = sources
        .iter()
        .map(|s| Plan::new().with(s.tag(), Treatment::Perfect));
    let perfect: Vec<Plan> = perfect.collect();
    let choices: Vec<&Choice> = CHOICES
        .iter()
        .filter(|c| (c.chosen)(&scenario.lab))
        .collect();
    let improved: Vec<Experiment> = choices
        .iter()
        .map(|choice| {
            let mut improved = scenario.clone();
            (choice.mend)(&mut improved.lab);
            Experiment::without_claims(improved)
        })
        .collect();
    // As it is, with each source perfect, with each choice improved.
    let mut errors = vec![Vec::new(); 1 + sources.len() + choices.len()];
    in_order(
        TRIALS / BLOCK as u64,
        interrupt,
        &|block| {
            let plans = std::iter::once(&as_it_is).chain(&perfect);
            let error = |output: Output| output[ResultColumn::Error as usize].clone();
            let mut out = under_plans(&model, (seed, block), plans, error);
            let draws = Draws::new(seed, block, Layout::MARGINAL, &as_it_is);
            out.extend(improved.iter().map(|m| error(m.block(&draws))));
            out
        },
        &mut |_, new: Vec<Column<f64>>| {
            for (all, more) in errors.iter_mut().zip(&new) {
                all.extend(more.0);
            }
            ControlFlow::Continue(())
        },
        &|_| {},
    )?;
    let (all, others) = errors.split_first().expect("as it is");
    let spread = Moments::of(all).sd().value;
    let sources = sources
        .into_iter()
        .map(|s| (s.key, s.doc, s.scope, Some(s)));
    let choices = choices
        .into_iter()
        .map(|c| (c.key, c.doc, Scope::Course, None));
    let mut causes: Vec<Cause> = sources
        .chain(choices)
        .zip(others)
        .map(|((key, doc, scope, source), without)| {
            let shift: Vec<f64> = all.iter().zip(without).map(|(a, b)| a - b).collect();
            Cause {
                key,
                doc,
                scope,
                source,
                bias: Moments::of(&shift).mean(),
                spread_without: Moments::of(without).sd().value / spread,
            }
        })
        .collect();
    causes.sort_by(|a, b| b.bias.value.abs().total_cmp(&a.bias.value.abs()));
    Ok(causes)
}

fn is_candidate(scenario: &Scenario, source: &Source) -> bool {
    let errs = |id: SourceId| {
        scenario
            .legs()
            .iter()
            .any(|leg| !leg.binding(id).input.is_exact())
    };
    let window = source.id == SourceId::Window && scenario.lab.mass != MassUsed::Nominal;
    let unused = source.id == SourceId::Noticing
        && scenario
            .legs()
            .iter()
            .all(|leg| leg.inspection == Inspection::None);
    let one_sided = || scenario.is_one_sided(source.id);
    (!source.budget || one_sided()) && !window && !unused && errs(source.id)
}

impl Cause {
    /// Whether the lab's budget has a term for it.
    pub fn in_budget(&self) -> bool {
        self.source.is_some_and(|s| s.budget)
    }
}

/// Share of one family in the linear budget's variance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FamilyShare {
    /// The family; `None` for an observed scatter.
    pub family: Option<Family>,
    /// Its share, from 0 to 1.
    pub share: f64,
}

/// A budget by family, largest first.
pub fn family_shares(budget: &LinearBudget) -> Vec<FamilyShare> {
    let total: f64 = budget.lines.iter().map(|l| l.variance).sum();
    let mut shares: Vec<FamilyShare> = Vec::new();
    for line in &budget.lines {
        let family = line.source.map(|s| s.source().family);
        let share = line.variance / total;
        match shares.iter_mut().find(|s| s.family == family) {
            Some(s) => s.share += share,
            None => shares.push(FamilyShare { family, share }),
        }
    }
    shares.sort_by(|a, b| b.share.total_cmp(&a.share));
    shares
}
