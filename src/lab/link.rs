//! How each error source reaches what the lab writes down, and the linear budget that follows.
//!
//! The whole chain is differentiated: a shared error has one net sensitivity, summed over all runs
//! of both legs that it enters; run and reading errors add up run by run. Degrees of freedom are
//! per independent source; the effective ones follow Welch and Satterthwaite (JCGM 100:2008, G.4).

use super::evaluate::{Evaluation, RunSeen, Seen};
use super::gradient::{Gradient, LegGradient};
use super::reduce::Reduction;
use crate::quantity::Celsius;
use crate::random::Tag;
use crate::random::dist::Distribution;
use crate::scenario::{
    Binding, Leg, LiquidBy, MassUsed, RunEffects, SOURCES, Scenario, Scope, Source, SourceId,
};

/// How a unit error of a source changes one run or one table of a leg.
#[derive(Debug, Clone, Copy)]
enum Effect {
    Solid(f64),
    SolidInProportion(f64),
    Liquid(f64),
    LiquidInProportion,
    RiseInProportion { pivot: Celsius },
    Temperature { rise: f64, mixing: f64 },
    Extra(f64),
    Purity,
    MolarMass,
    LiquidHeat(f64),
    SoluteHeat,
    Enthalpy,
    Slope,
}

#[derive(Debug, Clone, Copy)]
struct Link {
    slot: usize,
    effect: Effect,
    /// Independent draws that act with the same sensitivity.
    draws: f64,
    shared: bool,
}

/// One line of the budget: a source, for those legs that share its draws.
#[derive(Debug, Clone, PartialEq)]
pub struct BudgetLine {
    /// The source; `None` for an observed scatter.
    pub source: Option<SourceId>,
    /// What it belongs to.
    pub of: String,
    /// Standard uncertainty, in the source's base unit.
    pub u: f64,
    /// Degrees of freedom.
    pub dof: f64,
    /// Net sensitivity (root sum of squares over runs for run effects), J/mol per base unit.
    pub sensitivity: f64,
    /// Contribution to the variance of the result, (J/mol)^2.
    pub variance: f64,
}

/// A budget of one result.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct LinearBudget {
    /// Lines, in the order of the source table.
    pub lines: Vec<BudgetLine>,
    /// Combined standard uncertainty, J/mol.
    pub u: f64,
    /// Effective degrees of freedom.
    pub dof: f64,
}

/// The links of a scenario, prepared once.
#[derive(Debug, Clone)]
pub struct Links {
    legs: [Vec<Link>; 2],
    slots: Vec<Slot>,
    run_effects: RunEffects,
}

#[derive(Debug, Clone)]
struct Slot {
    source: SourceId,
    identity: Tag,
    place: u32,
    of: String,
    u: f64,
    dof: f64,
}

impl Links {
    /// Prepares the links of a scenario.
    pub fn of(scenario: &Scenario, reductions: &[Reduction; 2]) -> Self {
        let mut links = Self {
            legs: [Vec::new(), Vec::new()],
            slots: Vec::new(),
            run_effects: scenario.lab.run_effects,
        };
        for (at, leg) in scenario.legs().into_iter().enumerate() {
            let reduction = &reductions[at];
            let nominal = scenario.lab.mass == MassUsed::Nominal;
            // A lab that computes with the nominal mass errs by the window, not by its balance.
            let has_term = |s: &Source| match s.site() {
                "balance" => s.budget && !nominal,
                _ => s.budget || (nominal && s.id == SourceId::Window),
            };
            for source in SOURCES.iter().filter(|s| has_term(s)) {
                for (effect, draws) in effects(scenario, leg, reduction, source.id) {
                    links.add(at, leg, source.id, &leg.bindings, effect, draws);
                }
            }
            if let Some(bindings) = &leg.liquid_balance {
                use SourceId as S;
                for (id, effect, draws) in [
                    (S::BalanceGain, Effect::LiquidInProportion, 1.0),
                    (S::Linearity, Effect::Liquid(1.0), 2.0),
                    (S::Repeatability, Effect::Liquid(1.0), 2.0),
                    (S::Readability, Effect::Liquid(1.0), 2.0),
                ] {
                    links.add(at, leg, id, bindings, effect, draws);
                }
            }
        }
        links
    }

    fn add(
        &mut self,
        at: usize,
        leg: &Leg,
        id: SourceId,
        bindings: &[Binding],
        effect: Effect,
        draws: f64,
    ) {
        let binding = &bindings[id as usize];
        let u = standard_uncertainty(id, binding);
        if u <= 0.0 {
            return;
        }
        let source = id.source();
        // Linearity has its own draw at each place of the range, so legs never share it.
        let place = match (id, effect) {
            (SourceId::Linearity, Effect::Liquid(_)) => 3 + at as u32,
            (SourceId::Linearity, _) => 1 + at as u32,
            _ => 0,
        };
        let shared = matches!(source.scope, Scope::Group | Scope::Course);
        let found = self
            .slots
            .iter()
            .position(|s| s.source == id && s.identity == binding.identity && s.place == place);
        let slot = found.unwrap_or_else(|| {
            self.slots.push(Slot {
                source: id,
                identity: binding.identity,
                place,
                of: leg.name.to_owned(),
                u,
                dof: binding.input.dist.dof(),
            });
            self.slots.len() - 1
        });
        if found.is_some() && self.slots[slot].of != leg.name {
            self.slots[slot].of = "both".to_owned();
        }
        self.legs[at].push(Link {
            slot,
            effect,
            draws,
            shared,
        });
    }

    /// The budget of one result.
    pub fn budget(&self, seen: &Seen, value: &Evaluation, g: &Gradient) -> LinearBudget {
        let mut net = vec![0.0; self.slots.len()];
        let mut by_run = vec![0.0; self.slots.len()];
        let mut draws = vec![1.0f64; self.slots.len()];
        let legs = [
            (
                &self.legs[0],
                &seen.calibration,
                &seen.reference,
                &g.calibration,
                &value.constants,
            ),
            (
                &self.legs[1],
                &seen.determination,
                &seen.unknown,
                &g.determination,
                &value.enthalpies,
            ),
        ];
        let mut lines = Vec::new();
        for (at, (links, runs, tables, leg_gradient, results)) in legs.into_iter().enumerate() {
            let observed = self.run_effects == RunEffects::Scatter && runs.len() > 1;
            if observed {
                let outer = if at == 0 { g.constant } else { 1.0 };
                lines.push(scatter_line(at, results, outer));
            }
            for link in links {
                if link.shared {
                    let c: f64 = sensitivities(link.effect, runs, leg_gradient).sum::<f64>()
                        + table_sensitivity(link.effect, tables.liquid_heat.0, leg_gradient);
                    net[link.slot] += c;
                    draws[link.slot] = link.draws;
                } else if !observed {
                    let squares: f64 = sensitivities(link.effect, runs, leg_gradient)
                        .map(|c| c * c)
                        .sum();
                    by_run[link.slot] += squares * link.draws;
                }
            }
        }
        for (slot, s) in self.slots.iter().enumerate() {
            let square = net[slot] * net[slot] * draws[slot] + by_run[slot];
            if square > 0.0 {
                lines.push(BudgetLine {
                    source: Some(s.source),
                    of: s.of.clone(),
                    u: s.u,
                    dof: s.dof,
                    sensitivity: square.sqrt(),
                    variance: square * s.u * s.u,
                });
            }
        }
        combine(lines)
    }
}

/// Combines lines into u_c and the effective degrees of freedom.
fn combine(lines: Vec<BudgetLine>) -> LinearBudget {
    let variance: f64 = lines.iter().map(|l| l.variance).sum();
    let satterthwaite: f64 = lines.iter().map(|l| l.variance * l.variance / l.dof).sum();
    LinearBudget {
        lines,
        u: variance.sqrt(),
        dof: if satterthwaite > 0.0 {
            variance * variance / satterthwaite
        } else {
            f64::INFINITY
        },
    }
}

/// Observed scatter of one leg's runs as a type A line.
fn scatter_line(at: usize, results: &[f64], outer: f64) -> BudgetLine {
    let n = results.len() as f64;
    let s = standard_deviation(results);
    BudgetLine {
        source: None,
        of: ["calibration", "determination"][at].to_owned(),
        u: s / n.sqrt(),
        dof: n - 1.0,
        sensitivity: outer,
        variance: outer * outer * s * s / n,
    }
}

/// Standard deviation of a few values (n - 1); NaN for one.
pub(super) fn standard_deviation(values: &[f64]) -> f64 {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let square: f64 = values.iter().map(|v| (v - mean) * (v - mean)).sum();
    (square / (n - 1.0)).sqrt()
}

/// What the lab states for a source: a last digit counts as rectangular.
fn standard_uncertainty(id: SourceId, binding: &Binding) -> f64 {
    match id {
        SourceId::Readability | SourceId::Resolution => binding.input.dist.mean() / 12f64.sqrt(),
        _ => binding.input.dist.standard_uncertainty(),
    }
}

/// The effects of a source on a leg, with the number of independent draws of each.
fn effects(
    scenario: &Scenario,
    leg: &Leg,
    reduction: &Reduction,
    id: SourceId,
) -> Vec<(Effect, f64)> {
    use SourceId as S;
    let room = scenario.room.temperature;
    let density = leg.liquid.density_at(room).0;
    let one = |effect| vec![(effect, 1.0)];
    let reading = Effect::Temperature {
        rise: reduction.noise_squares()[0].sqrt(),
        mixing: 0.0,
    };
    match id {
        S::Readability | S::Repeatability | S::Linearity => vec![(Effect::Solid(1.0), 2.0)],
        S::BalanceGain => one(Effect::SolidInProportion(1.0)),
        S::AirDensity => one(Effect::SolidInProportion(
            1.0 / 8.0 - 1.0 / leg.reaction.density.0,
        )),
        S::TransferLoss | S::Window => one(Effect::Solid(1.0)),
        S::Purity => one(Effect::Purity),
        S::MolarMass => one(Effect::MolarMass),
        S::Tolerance | S::Filling | S::RoomTemperature => match leg.liquid_by {
            LiquidBy::Weighed { .. } => Vec::new(),
            LiquidBy::Volume {
                nominal,
                fillings,
                expansion,
            } => match id {
                S::Tolerance => one(Effect::Liquid(density * f64::from(fillings))),
                S::Filling => vec![(Effect::Liquid(density), f64::from(fillings))],
                _ => {
                    let at = |d: f64| leg.liquid.density_at(Celsius(room.0 + d)).0;
                    let slope = at(0.5) - at(-0.5) + expansion.0 * density;
                    one(Effect::Liquid(nominal.0 * slope))
                }
            },
        },
        S::Rinse => one(Effect::Extra(leg.liquid.heat_capacity_at(room).0)),
        S::LiquidHeat => one(Effect::LiquidHeat(1.0)),
        S::SoluteHeat => one(Effect::SoluteHeat),
        S::Offset => one(Effect::Temperature {
            rise: 0.0,
            mixing: 1.0,
        }),
        S::ThermometerGain => one(Effect::RiseInProportion { pivot: room }),
        S::Drift => one(Effect::Temperature {
            rise: reduction.creep().0,
            mixing: reduction.mixing_creep().0,
        }),
        S::Noise | S::Resolution => one(reading),
        S::VesselChange => one(Effect::Extra(leg.binding(S::VesselHeat).input.ideal)),
        S::ReactionEnthalpy if leg.name == "calibration" => one(Effect::Enthalpy),
        S::ReactionSlope => one(Effect::Slope),
        _ => Vec::new(),
    }
}

/// Sensitivity of the result to a unit error in each run.
fn sensitivities<'r>(
    effect: Effect,
    runs: &'r [RunSeen],
    g: &'r LegGradient,
) -> impl Iterator<Item = f64> + 'r {
    runs.iter().zip(&g.runs).map(move |(run, g)| match effect {
        Effect::Solid(per) => per * g.solid,
        Effect::SolidInProportion(per) => per * run.solid.0 * g.solid,
        Effect::Liquid(per) => per * g.liquid,
        Effect::LiquidInProportion => run.liquid.0 * g.liquid,
        Effect::RiseInProportion { pivot } => {
            run.rise.0 * g.rise + (run.mixing - pivot).0 * g.mixing
        }
        Effect::Temperature { rise, mixing } => rise * g.rise + mixing * g.mixing,
        Effect::Extra(per) => per * g.extra,
        _ => 0.0,
    })
}

/// Sensitivity of the result to a unit error of a leg's tables.
fn table_sensitivity(effect: Effect, liquid_heat: f64, g: &LegGradient) -> f64 {
    match effect {
        Effect::Purity => g.purity,
        Effect::MolarMass => g.molar_mass,
        Effect::LiquidHeat(relative) => relative * liquid_heat * g.liquid_heat,
        Effect::SoluteHeat => g.solute_heat,
        Effect::Enthalpy => g.enthalpy,
        Effect::Slope => g.slope,
        _ => 0.0,
    }
}
