//! What a lab's own notebook says of the result, as a distribution (JCGM 101, clause 6).
//!
//! Each input of the evaluation is drawn from what is known of it: what was seen, less an error drawn from its stated
//! distribution. For an error e of a balance or thermometer, seen = true + e, so that true = seen - e; for one of a mark, a
//! label or a table, true = stated + e. The draws are evaluated as the notebook itself. The terms are those of the linear
//! budget (`effect`), which is the first-order form of the same model; what the lab cannot know of has no term here either.
//!
//! Run and reading effects come either from the instruments' statements or, where a leg has more than one run and the lab
//! says so, from the observed scatter: mean + s / sqrt n t(n - 1), the scaled and shifted t of JCGM 101, 6.4.9. Never both.

use super::drawn::{LegDrawn, Readings};
use super::effect::{Effect, Term, terms};
use super::evaluate::{Evaluation, LegSeen, Method, RunSeen, Seen};
use super::page::own_reduction;
use super::reduce::Reduction;
use super::tables::LegTables;
use crate::quantity::{GramPerMillilitre, JoulePerKelvin, Kelvin};
use crate::random::{BLOCK, Column, Dist, Draws, Input, Name, Tag};
use crate::scenario::{At, Binding, Heat, Leg, RunEffects, Scenario, Scope, SourceId, draw_bound};

/// Density of air that a lab which corrects for buoyancy assumes (the conventional value of OIML D 28).
pub const CONVENTIONAL_AIR: GramPerMillilitre = GramPerMillilitre(1.2e-3);

/// Numbers of the draws of one term; each place of a balance's range has its own.
const DRAWS_OF_A_PLACE: u32 = 64;

/// Observed scatter of a leg: its draws.
const SCATTER: Tag = Tag::of("observed scatter");

/// What is done about errors that can only go one way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OneSided {
    /// They widen the distribution and do not move it, as in the linear budget.
    Spread,
    /// They widen and move it.
    Whole,
}

/// One error that the lab knows of.
#[derive(Debug, Clone)]
struct Known {
    source: SourceId,
    identity: Tag,
    /// The error: what is drawn, less what the lab computes with.
    error: Input,
    /// What true less seen has of it: 1 or -1.
    sign: f64,
    effect: Effect,
    draws: u32,
    shared: bool,
    place: u32,
}

/// What is known of a notebook.
#[derive(Debug, Clone)]
pub struct Knowledge {
    seen: Seen,
    evaluation: Evaluation,
    method: Method,
    legs: Vec<Vec<Known>>,
    readings: Vec<Option<Readings>>,
    reductions: Vec<Vec<Reduction>>,
    known: Option<(f64, Binding)>,
    observed: bool,
}

/// What is sampled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sampled {
    /// The result, with all that is known: result, constant, mean of each leg.
    Result,
    /// Each run by itself, with the errors that are its own: constant of each calibration run, then, with the constant as it
    /// was found, value of each determination, leg by leg.
    RunsApart,
}

impl Knowledge {
    /// Of a notebook; the reductions are those of its legs, one for all runs or one for each.
    pub fn new(
        scenario: &Scenario,
        seen: Seen,
        reductions: Vec<Vec<Reduction>>,
        one_sided: OneSided,
    ) -> Self {
        let method = Method::of(scenario);
        let evaluation = Evaluation::of(&seen, &method);
        let legs = scenario.legs();
        let has_runs = |at: usize| !seen.leg(at).runs.is_empty();
        let of_leg = |(at, leg): (usize, &&Leg)| {
            let all = terms(scenario, leg).into_iter();
            let kept = all.filter(|t| has_runs(at) && !matches!(t.effect, Effect::Readings));
            kept.filter_map(|t| known(scenario, &t, one_sided))
                .collect()
        };
        let readings = |leg: &&Leg| {
            let noise = leg.binding(SourceId::Noise);
            (!noise.input.is_exact() || leg.errs(SourceId::Resolution)).then(|| Readings {
                identity: noise.identity,
                noise: noise.input.clone(),
                digit: leg.binding(SourceId::Resolution).input.dist.mean(),
                of_hot_water: matches!(leg.heat, Heat::HotWater { .. }),
            })
        };
        Self {
            legs: legs.iter().enumerate().map(of_leg).collect(),
            readings: legs.iter().map(readings).collect(),
            reductions,
            known: scenario.cycle.known.clone(),
            observed: scenario.lab.run_effects == RunEffects::Scatter,
            seen,
            evaluation,
            method,
        }
    }

    /// Names of what is sampled.
    pub fn columns(&self, what: Sampled) -> Vec<String> {
        let legs = self.seen.legs.len();
        match what {
            Sampled::Result => ["result".to_owned(), "constant".to_owned()]
                .into_iter()
                .chain((1..=legs).map(|leg| format!("leg {leg}")))
                .collect(),
            Sampled::RunsApart => (0..=legs)
                .flat_map(|leg| {
                    let runs = self.seen.leg(leg).runs.len();
                    (1..=runs).map(move |run| format!("leg {leg} run {run}"))
                })
                .collect(),
        }
    }

    /// The samples of a block.
    pub fn block(&self, draws: &Draws, what: Sampled) -> Vec<Column<f64>> {
        let mut out = vec![Column::splat(0.0); self.columns(what).len()];
        let legs = 1 + self.seen.legs.len();
        let drawn: Vec<LegDrawn> = (0..legs).map(|at| self.leg(at, draws, what)).collect();
        let known = self.known.as_ref().map(|(coefficient, binding)| {
            let value: Column<f64> = draw_bound(binding, draws, SourceId::Known, At::default());
            Column::from_fn(|i| coefficient * value[i])
        });
        let mut tables: Vec<LegTables> = (0..legs)
            .map(|at| self.seen.leg(at).tables.clone())
            .collect();
        for i in 0..BLOCK {
            for (t, drawn) in tables.iter_mut().zip(&drawn) {
                drawn.put_tables(t, i);
            }
            let constants = drawn[0].runs.iter();
            let constants: Vec<f64> = constants
                .map(|r| self.method.constant(&tables[0], &r[i]).0)
                .collect();
            if what == Sampled::RunsApart {
                let constant = JoulePerKelvin(self.evaluation.constant);
                let values = drawn[1..].iter().zip(&tables[1..]).flat_map(|(leg, t)| {
                    let runs = leg.runs.iter();
                    runs.map(move |r| self.method.enthalpy(t, constant, &r[i]).0)
                });
                let all = constants.iter().copied().chain(values);
                all.zip(&mut out).for_each(|(x, column)| column[i] = x);
                continue;
            }
            let constant = match self.method.assumed_vessel {
                Some(vessel) => vessel.0 + drawn[0].mean_error[i],
                None => mean(&constants) + drawn[0].mean_error[i],
            };
            let mut result = known.as_ref().map_or(0.0, |k| k[i]);
            out[1][i] = constant;
            let legs = drawn[1..].iter().zip(&tables[1..]);
            for (at, (leg, t)) in legs.enumerate() {
                let runs = leg.runs.iter();
                let values: Vec<f64> = runs
                    .map(|r| self.method.enthalpy(t, JoulePerKelvin(constant), &r[i]).0)
                    .collect();
                let own = mean(&values) + leg.mean_error[i];
                result += self.method.coefficients[at] * own;
                out[2 + at][i] = own;
            }
            out[0][i] = result;
        }
        out
    }

    /// What may have been true of the runs and tables of a leg.
    fn leg(&self, at: usize, draws: &Draws, what: Sampled) -> LegDrawn {
        let seen = self.seen.leg(at);
        let by_scatter = what == Sampled::Result && self.observed && seen.runs.len() > 1;
        let each = |run: &RunSeen| Box::new([*run; BLOCK]);
        let mut drawn = LegDrawn {
            runs: seen.runs.iter().map(each).collect(),
            tables: Vec::new(),
            mean_error: Column::splat(0.0),
        };
        for term in &self.legs[at] {
            let is_due = if term.shared {
                what == Sampled::Result
            } else {
                !by_scatter
            };
            if !is_due {
                continue;
            }
            let error = |run: u32| -> Column<f64> {
                let mut sum = Column::splat(0.0);
                for k in 0..term.draws {
                    let name = Name::run(term.source.source().tag(), term.identity, run, 0);
                    let number = term.place * DRAWS_OF_A_PLACE + k;
                    let one: Column<f64> = draws.column(name, number, &term.error);
                    for i in 0..BLOCK {
                        sum[i] += term.sign * (one[i] - term.error.ideal);
                    }
                }
                sum
            };
            if let Effect::Table(..) | Effect::TableProportion(..) = term.effect {
                drawn.falsify_table(term.effect, &seen.tables, &error(0));
                continue;
            }
            let common = term.shared.then(|| error(0));
            for r in 0..seen.runs.len() {
                let own = match &common {
                    Some(e) => e,
                    None => &error(r as u32),
                };
                self.falsify(seen, (at, r), term.effect, own, &mut drawn.runs[r]);
            }
        }
        if by_scatter {
            drawn.mean_error = self.scatter(at, draws);
        } else if let Some(readings) = &self.readings[at] {
            for (r, run) in seen.runs.iter().enumerate() {
                let reduction = own_reduction(&self.reductions[at], r);
                readings.falsify(draws, (r as u32, run), reduction, &mut drawn.runs[r]);
            }
        }
        drawn
    }

    /// Takes an error off a run.
    fn falsify(
        &self,
        seen: &LegSeen,
        (at, r): (usize, usize),
        effect: Effect,
        error: &Column<f64>,
        out: &mut [RunSeen; BLOCK],
    ) {
        let run = &seen.runs[r];
        match effect {
            Effect::Run(entry, per) => {
                each(out, error, |run, e| *run.entry_mut(entry) += per * e);
            }
            Effect::Proportion(entry, per) => {
                let own = *run.clone().entry_mut(entry);
                each(out, error, |run, e| *run.entry_mut(entry) += per * own * e);
            }
            Effect::Scale(pivot) => each(out, error, |o, e| {
                o.change = o.change + run.change * e;
                o.mixing = o.mixing + (run.mixing - pivot) * e;
                o.hot = o.hot + (run.hot - pivot) * e;
            }),
            Effect::Shift => each(out, error, |o, e| {
                o.mixing = o.mixing + Kelvin(e);
                o.hot = o.hot + Kelvin(e);
            }),
            Effect::Vessel => {
                let constant = self.evaluation.constant;
                let vessel = self.method.vessel(&seen.tables, constant, run);
                each(out, error, |o, e| o.extra = o.extra + vessel * e);
            }
            Effect::Creep => {
                let reduction = own_reduction(&self.reductions[at], r);
                let [change, mixing] = reduction.creep(run.weighed_at);
                each(out, error, |o, e| {
                    o.change = o.change + Kelvin(change.0 * e);
                    o.mixing = o.mixing + Kelvin(mixing.0 * e);
                });
            }
            Effect::Readings | Effect::Table(..) | Effect::TableProportion(..) => {}
        }
    }

    /// Error of a leg's mean by the scatter of its runs.
    fn scatter(&self, at: usize, draws: &Draws) -> Column<f64> {
        let results = self.evaluation.of_leg(at);
        let n = results.len() as f64;
        let centre = mean(results);
        let squares: f64 = results.iter().map(|x| (x - centre) * (x - centre)).sum();
        let scale = (squares / (n - 1.0) / n).sqrt();
        let name = Name::run(SCATTER, Tag::of(""), at as u32, 0);
        match Dist::student(0.0, scale, n - 1.0) {
            Ok(dist) if scale > 0.0 => draws.column(name, 0, &Input::error(dist)),
            _ => Column::splat(0.0),
        }
    }
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

fn each(out: &mut [RunSeen; BLOCK], error: &Column<f64>, f: impl Fn(&mut RunSeen, f64)) {
    for (run, e) in out.iter_mut().zip(&error.0) {
        f(run, *e);
    }
}

/// A term as an error that is added to what was seen; `None` for one that cannot err.
fn known(scenario: &Scenario, term: &Term, one_sided: OneSided) -> Option<Known> {
    let source = term.source.source();
    let stated = &term.binding.input;
    let (dist, ideal) = match term.source {
        // Stated is the last digit; its error lies within half of it.
        SourceId::Readability => {
            let half = 0.5 * stated.dist.mean();
            (Dist::rectangular(-half, half).ok()?, 0.0)
        }
        SourceId::AirDensity if scenario.lab.corrects_buoyancy => {
            (stated.dist.clone(), CONVENTIONAL_AIR.0)
        }
        _ => (stated.dist.clone(), stated.ideal),
    };
    if dist.exactly().is_some() && dist.exactly() == Some(ideal) || dist.sd() == 0.0 {
        return None;
    }
    let moves = one_sided == OneSided::Whole || !term.binding.is_one_sided();
    let centre = if moves { ideal } else { dist.mean() };
    let read = matches!(source.site(), "balance" | "thermometer")
        || matches!(
            term.source,
            SourceId::TransferLoss | SourceId::Spill | SourceId::PouringLoss
        );
    let sign = if read { -1.0 } else { 1.0 };
    Some(Known {
        source: term.source,
        identity: term.binding.identity,
        error: Input::about(dist, centre),
        sign,
        effect: term.effect,
        draws: term.draws as u32,
        shared: term.once || matches!(source.scope, Scope::Group | Scope::Course),
        place: term.place,
    })
}
