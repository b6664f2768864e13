//! How each error source reaches what the lab writes down, and the linear budget that follows.
//!
//! The whole chain is differentiated: a shared error has one net sensitivity, summed over all runs
//! of all legs that it enters; run and reading errors add up run by run. Degrees of freedom are
//! per independent source.

use super::budget::{BudgetLine, Label, LinearBudget, Quantity, combine};
use super::effect::{Effect, Found, Term, terms};
use super::evaluate::{Evaluation, LegSeen, Method, Seen};
use super::gradient::{Gradient, LegGradient, Wanted};
use super::reduce::Reduction;
use crate::quantity::Dimension;
use crate::random::Tag;
use crate::random::dist::Distribution;
use crate::scenario::{Binding, RunEffects, Scenario, Scope, SourceId};

/// Unit of the result.
const RESULT: &str = "J/mol";

#[derive(Debug, Clone, Copy)]
struct Link {
    slot: usize,
    effect: Effect,
    /// Independent draws that act with the same sensitivity.
    draws: f64,
    shared: bool,
    /// Uncertainty in this leg over that of the line: one error may be larger in one leg than in another, as what is not
    /// known of a heat of dilution is at another molality.
    scale: f64,
}

/// The links of a scenario, prepared once.
#[derive(Debug, Clone)]
pub struct Links {
    legs: Vec<Vec<Link>>,
    names: Vec<Label>,
    slots: Vec<Slot>,
    wanted: Vec<Wanted>,
    run_effects: RunEffects,
    method: Method,
    reductions: Vec<Reduction>,
}

#[derive(Debug, Clone)]
struct Slot {
    source: SourceId,
    identity: Tag,
    estimate: Tag,
    place: u32,
    of: Label,
    quantity: Quantity,
    /// Sensitivity that does not depend on what was seen.
    fixed: f64,
}

impl Links {
    /// Prepares the links of a scenario; the reductions are those of its legs, in their order.
    pub fn of(scenario: &Scenario, reductions: &[Reduction]) -> Self {
        let legs = scenario.legs();
        let mut links = Self {
            legs: vec![Vec::new(); legs.len()],
            names: legs.iter().map(|l| l.title().to_owned().into()).collect(),
            slots: Vec::new(),
            wanted: vec![Wanted::default(); legs.len()],
            run_effects: scenario.lab.run_effects,
            method: Method::of(scenario),
            reductions: reductions.to_vec(),
        };
        for (at, leg) in legs.into_iter().enumerate() {
            // A leg without runs stands for a calibration that nobody does.
            if leg.runs > 0 {
                for term in terms(scenario, leg) {
                    links.add(at, &term);
                }
            }
        }
        if let Some((coefficient, binding)) = &scenario.cycle.known {
            let quantity = quantity(SourceId::Known, binding);
            if quantity.u > 0.0 {
                links.slots.push(Slot {
                    source: SourceId::Known,
                    identity: binding.identity,
                    estimate: binding.estimate,
                    place: 0,
                    of: "known".into(),
                    quantity,
                    fixed: *coefficient,
                });
            }
        }
        links
    }

    /// What the budget needs the evaluation differentiated by, leg by leg.
    pub fn wanted(&self) -> &[Wanted] {
        &self.wanted
    }

    fn add(&mut self, at: usize, term: &Term) {
        let quantity = quantity(term.source, term.binding);
        if quantity.u <= 0.0 {
            return;
        }
        let scope = term.source.source().scope;
        let shared = term.once || matches!(scope, Scope::Group | Scope::Course);
        let identity = term.binding.identity;
        let found = self.slots.iter().position(|s| {
            s.source == term.source && s.identity == identity && s.place == term.place
        });
        let name = &self.names[at];
        let slot = found.unwrap_or_else(|| {
            let quantity = quantity.clone();
            self.slots.push(Slot {
                source: term.source,
                identity,
                estimate: term.binding.estimate,
                place: term.place,
                of: name.clone(),
                quantity,
                fixed: 0.0,
            });
            self.slots.len() - 1
        });
        let of = &mut self.slots[slot].of;
        if of != name {
            *of = if self.names.len() > 2 {
                "several"
            } else {
                "both"
            }
            .into();
        }
        let wanted = &mut self.wanted[at];
        term.effect.ask(&mut wanted.entries, &mut wanted.tables);
        self.legs[at].push(Link {
            slot,
            effect: term.effect,
            draws: term.draws,
            shared,
            scale: quantity.u / self.slots[slot].quantity.u,
        });
    }

    /// The budget of one result.
    pub fn budget(&self, seen: &Seen, value: &Evaluation, g: &Gradient) -> LinearBudget {
        // Net sensitivities: through the calibration constant, and directly.
        let mut net: Vec<[f64; 2]> = self.slots.iter().map(|s| [0.0, s.fixed]).collect();
        let mut of_runs = vec![0.0; self.slots.len()];
        let mut draws = vec![1.0f64; self.slots.len()];
        let mut lines = Vec::new();
        // Whose estimate a line's uncertainty is, and its variance with its degrees of freedom.
        let mut estimates: Vec<(SourceId, Tag, f64, f64)> = Vec::new();
        let legs = std::iter::once(&seen.calibration).chain(&seen.legs);
        for (at, (links, leg)) in self.legs.iter().zip(legs).enumerate() {
            let (results, outer) = match at.checked_sub(1) {
                None => (&value.constants, g.constant),
                Some(leg) => (&value.enthalpies[leg], self.method.coefficients[leg]),
            };
            let by_run = |effect| sensitivities(effect, self, (at, leg), value, &g.legs[at]);
            let observed = self.run_effects == RunEffects::Scatter && leg.runs.len() > 1;
            if observed {
                lines.push(scatter_line(at == 0, &self.names[at], results, outer));
            }
            for link in links {
                if link.shared {
                    let c: f64 = by_run(link.effect).sum();
                    let own = c + link.effect.of_tables(&leg.tables, &g.legs[at]);
                    net[link.slot][at.min(1)] += link.scale * own;
                    draws[link.slot] = link.draws;
                } else if !observed {
                    let squares = by_run(link.effect);
                    let square = squares.map(|c| c * c).sum::<f64>();
                    of_runs[link.slot] += link.scale * link.scale * square * link.draws;
                }
            }
        }
        let mut apart: f64 = lines.iter().map(|l| l.variance).sum();
        for (slot, s) in self.slots.iter().enumerate() {
            let [through, directly] = net[slot];
            let all = through + directly;
            let square = all * all * draws[slot] + of_runs[slot];
            let u2 = s.quantity.u * s.quantity.u;
            apart += ((through * through + directly * directly) * draws[slot] + of_runs[slot]) * u2;
            if square > 0.0 {
                let of = (s.source, s.estimate);
                match estimates.iter_mut().find(|e| (e.0, e.1) == of) {
                    Some(e) => e.2 += square * u2,
                    None => estimates.push((of.0, of.1, square * u2, s.quantity.dof)),
                }
                lines.push(BudgetLine {
                    quantity: s.quantity.clone(),
                    source: Some(s.source),
                    of: s.of.clone(),
                    sensitivity: if of_runs[slot] > 0.0 {
                        square.sqrt()
                    } else {
                        all * draws[slot].sqrt()
                    },
                    through: through * draws[slot].sqrt(),
                    contribution: (square * u2).sqrt(),
                    variance: square * u2,
                });
            }
        }
        // What rests on one estimate is one term of Welch and Satterthwaite's formula, on whichever side it acts.
        let scatter = lines.iter().filter(|l| l.source.is_none());
        let scatter = scatter.map(|l| (l.variance, l.quantity.dof));
        let stated = estimates.iter().map(|e| (e.2, e.3));
        let (variance, dof) = combine(scatter.chain(stated));
        LinearBudget {
            lines,
            unit: RESULT.into(),
            value: value.enthalpy,
            u: variance.sqrt(),
            u_if_independent: apart.sqrt(),
            dof,
        }
    }
}

/// Sensitivity of the result to a unit error in each run of a leg, which is that with this number.
fn sensitivities<'r>(
    effect: Effect,
    links: &'r Links,
    (at, leg): (usize, &'r LegSeen),
    value: &'r Evaluation,
    g: &'r LegGradient,
) -> impl Iterator<Item = f64> + 'r {
    leg.runs.iter().zip(&g.runs).map(move |(run, g)| {
        let found = Found {
            reduction: &links.reductions[at],
            vessel: links.method.vessel(&leg.tables, value.constant, run).0,
        };
        effect.of_run(run, g, &found)
    })
}

/// Observed scatter of one leg's runs as a type A line: its quantity is their mean, a calibration constant
/// or a molar enthalpy.
fn scatter_line(calibration: bool, of: &Label, results: &[f64], outer: f64) -> BudgetLine {
    let n = results.len() as f64;
    let s = standard_deviation(results);
    let (symbol, unit) = if calibration {
        ("C", Dimension::HeatCapacity.base_unit())
    } else {
        ("ΔH", RESULT)
    };
    let mean = results.iter().sum::<f64>() / n;
    let quantity = Quantity::new("observed scatter", symbol, unit, mean, s / n.sqrt())
        .read_repeatedly(n - 1.0)
        .with_scope(Scope::Run);
    BudgetLine {
        quantity,
        source: None,
        of: of.clone(),
        sensitivity: outer,
        through: 0.0,
        contribution: outer.abs() * s / n.sqrt(),
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

/// What the lab has of a source: the value that it works with (0 for an error), and what it states of it. A
/// last digit counts as rectangular.
fn quantity(id: SourceId, binding: &Binding) -> Quantity {
    let source = id.source();
    let dist = &binding.input.dist;
    let unit = source.dimension.base_unit();
    let stated = Quantity::drawn(source.key, source.symbol, unit, dist).with_scope(source.scope);
    let taken = Quantity {
        value: binding.input.ideal,
        ..stated
    };
    match id {
        SourceId::Readability | SourceId::Resolution => Quantity {
            u: dist.mean() / 12f64.sqrt(),
            distribution: "rectangular".into(),
            ..taken
        },
        _ => taken,
    }
}
