//! How each error source reaches what the lab writes down, and the linear budget that follows.
//!
//! The whole chain is differentiated: a shared error has one net sensitivity, summed over all runs
//! of all legs that it enters; run and reading errors add up run by run. Degrees of freedom are
//! per independent source.

use super::budget::{BudgetLine, InputQuantity, Label, LinearBudget};
use super::effect::{Effect, Found, Term, terms};
use super::evaluate::{Method, Values};
use super::gradient::{Gradient, Wanted};
use super::page::{LegPages, Pages};
use super::reduce::Reduction;
use crate::quantity::Dimension;
use crate::random::{BLOCK, Column, Tag};
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
    estimates: Vec<(SourceId, Tag)>,
    wanted: Vec<Wanted>,
    run_effects: RunEffects,
    method: Method,
    reductions: Vec<Vec<Reduction>>,
}

#[derive(Debug, Clone)]
struct Slot {
    source: SourceId,
    identity: Tag,
    /// Whose estimate its uncertainty is: a number that slots of one estimate share.
    estimate: usize,
    place: u32,
    of: Label,
    /// Independent draws of a shared error that act with the same sensitivity.
    draws: f64,
    quantity: InputQuantity,
    /// Sensitivity that does not depend on what was seen.
    fixed: f64,
}

impl Links {
    /// Prepares the links of a scenario; the reductions are those of its legs, in their order.
    pub fn of(scenario: &Scenario, reductions: &[Reduction]) -> Self {
        Self::of_records(
            scenario,
            reductions.iter().map(|r| vec![r.clone()]).collect(),
        )
    }

    /// The same for records that are reduced in a way of their own, leg by leg and run by run.
    pub fn of_records(scenario: &Scenario, reductions: Vec<Vec<Reduction>>) -> Self {
        let legs = scenario.legs();
        let mut links = Self {
            legs: vec![Vec::new(); legs.len()],
            names: legs.iter().map(|l| l.title().to_owned().into()).collect(),
            slots: Vec::new(),
            estimates: Vec::new(),
            wanted: vec![Wanted::default(); legs.len()],
            run_effects: scenario.lab.run_effects,
            method: Method::of(scenario),
            reductions,
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
                let estimate = links.estimate(SourceId::Known, binding);
                links.slots.push(Slot {
                    source: SourceId::Known,
                    identity: binding.identity,
                    estimate,
                    place: 0,
                    of: "known".into(),
                    draws: 1.0,
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

    fn estimate(&mut self, source: SourceId, binding: &Binding) -> usize {
        let of = (source, binding.estimate);
        let found = self.estimates.iter().position(|e| *e == of);
        found.unwrap_or_else(|| {
            self.estimates.push(of);
            self.estimates.len() - 1
        })
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
        let estimate = self.estimate(term.source, term.binding);
        let name = &self.names[at];
        let slot = found.unwrap_or_else(|| {
            let quantity = quantity.clone();
            self.slots.push(Slot {
                source: term.source,
                identity,
                estimate,
                place: term.place,
                of: name.clone(),
                draws: 1.0,
                quantity,
                fixed: 0.0,
            });
            self.slots.len() - 1
        });
        if shared {
            self.slots[slot].draws = term.draws;
        }
        let of = &mut self.slots[slot].of;
        if of != name {
            let all = ["both", "several"][usize::from(self.names.len() > 2)];
            *of = all.into();
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

    /// How far each error reaches the results.
    pub fn net(&self, pages: &Pages, values: &Values, g: &Gradient) -> Net {
        let zero = || vec![Column::splat(0.0); self.slots.len()];
        let mut net = Net {
            through: zero(),
            directly: zero(),
            of_runs: zero(),
            scatters: Vec::new(),
        };
        for (slot, own) in self.slots.iter().zip(&mut net.directly) {
            own.0.fill(slot.fixed);
        }
        for (at, (links, leg)) in self.legs.iter().zip(&pages.legs).enumerate() {
            let n = leg.number();
            let observed = self.run_effects == RunEffects::Scatter;
            // 1 where run effects count by what is stated of them.
            let stated = Column::from_fn(|i| f64::from(u8::from(!(observed && n[i] > 1.0))));
            if observed {
                net.scatters.push(self.scatter((at, leg), values, g));
            }
            let anywhere = stated.0.contains(&1.0);
            let found = Found {
                leg,
                reductions: &self.reductions[at],
                method: &self.method,
                constant: &values.constant,
            };
            for link in links {
                if link.shared {
                    let sum = if at == 0 {
                        &mut net.through[link.slot]
                    } else {
                        &mut net.directly[link.slot]
                    };
                    link.effect
                        .each(&found, &g.legs[at], |i, c| sum[i] += link.scale * c);
                } else if anywhere {
                    let sum = &mut net.of_runs[link.slot];
                    let factor = link.scale * link.scale * link.draws;
                    link.effect.each(&found, &g.legs[at], |i, c| {
                        sum[i] += factor * stated[i] * c * c;
                    });
                }
            }
        }
        net
    }

    /// What the scatter of a leg's runs says of their mean.
    fn scatter(&self, (at, leg): (usize, &LegPages), values: &Values, g: &Gradient) -> Scatter {
        let (results, outer) = match at.checked_sub(1) {
            None => (&values.constants, g.constant.clone()),
            Some(own) => (
                &values.enthalpies[own],
                Column::splat(self.method.coefficients[own]),
            ),
        };
        Scatter {
            leg: at,
            mean: leg.mean_of(|r| &results[r]),
            sd: standard_deviation(leg, results),
            n: leg.number(),
            outer,
        }
    }

    /// Combined standard uncertainty and effective degrees of freedom. What rests on one estimate is one term of Welch and
    /// Satterthwaite's formula, on whichever side it acts.
    pub fn combined(&self, net: &Net) -> [Column<f64>; 2] {
        let (mut variance, mut spread) = (Column::splat(0.0), Column::splat(0.0));
        for s in &net.scatters {
            for i in (0..BLOCK).filter(|i| s.n[*i] > 1.0) {
                let v = s.variance(i);
                variance[i] += v;
                spread[i] += v * v / (s.n[i] - 1.0);
            }
        }
        for estimate in 0..self.estimates.len() {
            let mut own = Column::splat(0.0);
            let mut dof = f64::INFINITY;
            let slots = self.slots.iter().enumerate();
            for (slot, s) in slots.filter(|s| s.1.estimate == estimate) {
                let u2 = s.quantity.u * s.quantity.u;
                dof = s.quantity.dof;
                let (through, directly) = (&net.through[slot].0, &net.directly[slot].0);
                for i in 0..BLOCK {
                    let all = through[i] + directly[i];
                    own[i] += (all * all * s.draws + net.of_runs[slot].0[i]) * u2;
                }
            }
            for i in 0..BLOCK {
                variance[i] += own[i];
                spread[i] += own[i] * own[i] / dof;
            }
        }
        let dof = Column::from_fn(|i| {
            if spread[i] > 0.0 {
                variance[i] * variance[i] / spread[i]
            } else {
                f64::INFINITY
            }
        });
        [Column::from_fn(|i| variance[i].sqrt()), dof]
    }

    /// The budget of one trial's result.
    pub fn budget(&self, net: &Net, values: &Values, i: usize) -> LinearBudget {
        let scatters = net.scatters.iter().filter(|s| s.n[i] > 1.0);
        let mut lines: Vec<BudgetLine> = scatters.map(|s| s.line(&self.names, i)).collect();
        let mut apart: f64 = lines.iter().map(|l| l.variance).sum();
        for (slot, s) in self.slots.iter().enumerate() {
            let (through, directly) = (net.through[slot][i], net.directly[slot][i]);
            let of_runs = net.of_runs[slot][i];
            let all = through + directly;
            let square = all * all * s.draws + of_runs;
            let u2 = s.quantity.u * s.quantity.u;
            apart += ((through * through + directly * directly) * s.draws + of_runs) * u2;
            if square > 0.0 {
                lines.push(BudgetLine {
                    quantity: s.quantity.clone(),
                    source: Some(s.source),
                    of: s.of.clone(),
                    sensitivity: if of_runs > 0.0 {
                        square.sqrt()
                    } else {
                        all * s.draws.sqrt()
                    },
                    through: through * s.draws.sqrt(),
                    contribution: (square * u2).sqrt(),
                    variance: square * u2,
                });
            }
        }
        let [u, dof] = self.combined(net);
        LinearBudget {
            lines,
            unit: RESULT.into(),
            value: values.enthalpy[i],
            u: u[i],
            u_if_independent: apart.sqrt(),
            dof: dof[i],
        }
    }
}

/// How far each error reaches the results of a block, by slot.
#[derive(Debug, Clone)]
pub struct Net {
    /// Through the calibration constant.
    through: Vec<Column<f64>>,
    directly: Vec<Column<f64>>,
    /// Sum of squares over the runs, of errors that are drawn for each.
    of_runs: Vec<Column<f64>>,
    scatters: Vec<Scatter>,
}

/// Observed scatter of one leg's runs: a constant or a molar enthalpy, its standard deviation and number of runs.
#[derive(Debug, Clone)]
struct Scatter {
    leg: usize,
    mean: Column<f64>,
    sd: Column<f64>,
    n: Column<f64>,
    /// Derivative of the result with respect to the mean.
    outer: Column<f64>,
}

impl Scatter {
    fn variance(&self, i: usize) -> f64 {
        let by = self.outer[i] * self.sd[i];
        by * by / self.n[i]
    }

    /// As a type A line.
    fn line(&self, names: &[Label], i: usize) -> BudgetLine {
        let (symbol, unit) = if self.leg == 0 {
            ("C", Dimension::HeatCapacity.base_unit())
        } else {
            ("ΔH", RESULT)
        };
        let u = self.sd[i] / self.n[i].sqrt();
        let quantity = InputQuantity::new("observed scatter", symbol, unit, self.mean[i], u)
            .read_repeatedly(self.n[i] - 1.0)
            .with_scope(Scope::Run);
        BudgetLine {
            quantity,
            source: None,
            of: names[self.leg].clone(),
            sensitivity: self.outer[i],
            through: 0.0,
            contribution: self.outer[i].abs() * u,
            variance: self.variance(i),
        }
    }
}

/// Standard deviation over the runs of a leg that count (n - 1); NaN for one.
pub(super) fn standard_deviation(leg: &LegPages, results: &[Column<f64>]) -> Column<f64> {
    let (n, mean) = (leg.number(), leg.mean_of(|r| &results[r]));
    let mut square = Column::splat(0.0);
    for (page, result) in leg.runs.iter().zip(results) {
        for i in 0..BLOCK {
            let off = result[i] - mean[i];
            square[i] += if page.counts[i] > 0.0 { off * off } else { 0.0 };
        }
    }
    Column::from_fn(|i| (square[i] / (n[i] - 1.0)).sqrt())
}

/// What the lab has of a source: the value that it works with (0 for an error), and what it states of it. A
/// last digit counts as rectangular.
fn quantity(id: SourceId, binding: &Binding) -> InputQuantity {
    let source = id.source();
    let dist = &binding.input.dist;
    let unit = source.dimension.base_unit();
    let stated =
        InputQuantity::drawn(source.key, source.symbol, unit, dist).with_scope(source.scope);
    let taken = InputQuantity {
        value: binding.input.ideal,
        ..stated
    };
    match id {
        SourceId::Readability | SourceId::Resolution => InputQuantity {
            u: dist.mean() / 12f64.sqrt(),
            distribution: "rectangular".into(),
            ..taken
        },
        _ => taken,
    }
}
