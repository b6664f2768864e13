//! Competent and erring sessions of one block of groups, as a model of the engine.

use super::acts::{Act, unknown_to_the_lab};
use super::catalogue::Mistake;
use super::place::Place;
use super::shown::Found;
use crate::design::set;
use crate::engine::{Model, Output};
use crate::experiment::Experiment;
use crate::lab::{LegPages, Method, Pages, Values, evaluate};
use crate::quantity::Second;
use crate::random::{Column, Drawn, Draws};
use crate::scenario::Scenario;
use std::rc::Rc;

/// A mistake made ready to be simulated.
pub(super) struct Prepared {
    act: Act,
    size: f64,
    pub(super) places: Vec<Place>,
    /// What happens, where that is another session.
    session: Option<Experiment>,
    /// Legs in which it is made.
    legs: Vec<bool>,
    method: Method,
    factor: f64,
    /// Whether the lab goes on with what it knows without the mistake.
    unknown: bool,
}

impl Prepared {
    /// Of a mistake with a size in its unit; `None` if it makes no sense in this scenario, or why it cannot be as it is written.
    pub(super) fn of(
        scenario: &Scenario,
        mistake: &Mistake,
        size: f64,
    ) -> Result<Option<Self>, String> {
        let legs: Vec<bool> = scenario
            .legs()
            .iter()
            .map(|leg| (mistake.fits)(scenario, leg))
            .collect();
        let runs: Vec<u32> = scenario.legs().iter().map(|leg| leg.runs).collect();
        let assumed = scenario.lab.assumed_vessel.is_some();
        let in_calibration = legs[0] && runs[0] > 0 && !assumed;
        let in_determinations = legs[1..].contains(&true);
        let whole = mistake.places.len() == 1;
        let one = mistake.act.fits_one_run() && legs[1] && runs[1] > 1;
        let possible = |place: &Place| match place {
            Place::Determinations => in_determinations,
            Place::Calibration => in_calibration,
            Place::Both => whole || (in_calibration && in_determinations),
            Place::OneRun => one,
        };
        let places: Vec<Place> = mistake.places.iter().copied().filter(possible).collect();
        let needs_both = matches!(mistake.act, Act::Runs(_)) && places == [Place::Both];
        if places.is_empty() || !legs.contains(&true) || (needs_both && !in_calibration) {
            return Ok(None);
        }
        let size = size * mistake.size.unit.base();
        let mut erring = scenario.clone();
        let mut method = Method::of(scenario);
        let mut factor = 1.0;
        let mut unknown = false;
        let session = match &mistake.act {
            Act::Happens(change) => {
                for (leg, own) in erring.legs_mut().into_iter().zip(&legs) {
                    if *own {
                        change(leg, size);
                    }
                }
                Some(Experiment::without_claims(erring))
            }
            Act::Evaluates(change) => {
                change(&mut erring);
                method = Method::of(&erring);
                Some(Experiment::without_claims(erring))
            }
            Act::Keys(text) => {
                let changed = set(scenario, text).map_err(|p| p.to_string())?.scenario;
                let changed = changed.map_err(|zone| zone.words)?;
                unknown = !only_the_lab(text);
                if !unknown {
                    method = Method::of(&changed);
                }
                Some(Experiment::without_claims(changed))
            }
            Act::Moment => Experiment::without_claims(erring)
                .mixing_taken_at(Second(size))
                .into(),
            Act::Method(change) => {
                change(&mut method);
                None
            }
            Act::Value(of) => {
                factor = of(scenario);
                None
            }
            Act::Noted(_) | Act::LookedUp(_) | Act::Runs(_) => None,
        };
        Ok(Some(Self {
            act: mistake.act.clone(),
            size,
            places,
            session,
            legs,
            method,
            factor,
            unknown,
        }))
    }

    /// What erring labs wrote down, in all runs, and the repeats of each leg if they differ.
    fn pages(
        &self,
        (scenario, competent): (&Scenario, &Pages),
        draws: Draws,
    ) -> (Pages, Option<Vec<Column<f64>>>) {
        let mut pages = competent.clone();
        let mut repeats = None;
        if let Some(session) = &self.session {
            let (own, _, again) = session.groups_with_repeats(draws);
            pages = own;
            repeats = Some(again);
            if self.unknown {
                unknown_to_the_lab(&mut pages, competent, scenario);
            }
        }
        let legs = scenario.legs().into_iter().zip(&mut pages.legs);
        for ((leg, own), _) in legs.zip(&self.legs).filter(|(_, fits)| **fits) {
            match &self.act {
                Act::Noted(change) => {
                    for page in &mut Rc::make_mut(own).runs {
                        change(page, leg, self.size);
                    }
                }
                Act::LookedUp(change) => change(&mut Rc::make_mut(own).tables, leg),
                _ => {}
            }
        }
        if let Act::Runs(change) = &self.act {
            change(&mut pages.legs);
        }
        (pages, repeats)
    }
}

/// Whether changed keys are about the evaluation alone.
fn only_the_lab(text: &str) -> bool {
    let mut keys = text.split(';').filter(|part| !part.trim().is_empty());
    keys.all(|part| part.trim_start().starts_with("lab."))
}

/// The pages of a group that errs in some runs.
fn mixed(competent: &Pages, erring: &Pages, place: Place) -> Pages {
    let mut legs = competent.legs.clone();
    match place {
        Place::Both => legs.clone_from(&erring.legs),
        Place::Calibration => legs[0].clone_from(&erring.legs[0]),
        Place::Determinations => legs[1..].clone_from_slice(&erring.legs[1..]),
        Place::OneRun => {
            let run = erring.legs[1].runs.first().cloned();
            if let (Some(run), Some(own)) = (run, Rc::make_mut(&mut legs[1]).runs.first_mut()) {
                *own = run;
            }
        }
    }
    Pages { legs }
}

/// Competent and erring groups side by side.
pub(super) struct Sessions {
    pub(super) competent: Experiment,
    pub(super) method: Method,
    pub(super) erring: Vec<Prepared>,
}

impl Sessions {
    pub(super) fn scenario(&self) -> &Scenario {
        self.competent.scenario()
    }

    /// Number of legs.
    fn legs(&self) -> usize {
        self.scenario().legs().len()
    }

    /// The columns of a table of these sessions, in the order of [`Model::block`].
    pub(super) fn split<'t>(&self, columns: &'t [Vec<f64>]) -> Split<'t> {
        let legs = self.legs();
        let (target, mut rest) = columns.split_first().expect("nature's value");
        let mut next = |n: usize| {
            let (own, others) = rest.split_at(n);
            rest = others;
            own
        };
        let competent = Found::of(next(1 + legs));
        let repeats = next(legs);
        let erring = self.erring.iter().map(|own| {
            let again = next(legs);
            let places = own.places.iter();
            (again, places.map(|_| Found::of(next(1 + legs))).collect())
        });
        Split {
            erring: erring.collect(),
            target,
            competent,
            repeats,
        }
    }
}

/// Results of sessions, by what they are of.
pub(super) struct Split<'t> {
    /// Nature's value.
    pub(super) target: &'t [f64],
    pub(super) competent: Found<'t>,
    /// Runs that competent groups carried out again, by leg.
    pub(super) repeats: &'t [Vec<f64>],
    /// Of each mistake its repeats, and what it comes to in each of its places.
    pub(super) erring: Vec<(&'t [Vec<f64>], Vec<Found<'t>>)>,
}

/// The value of each group, and the variance of the runs of each leg.
fn results(pages: &Pages, method: &Method, factor: f64, out: &mut Output) {
    let Values {
        constants,
        enthalpies,
        enthalpy,
        ..
    } = evaluate(pages, method);
    out.push(Column::from_fn(|i| factor * enthalpy[i]));
    let all = std::iter::once(&constants).chain(&enthalpies);
    out.extend(all.zip(&pages.legs).map(|(own, leg)| variance(leg, own)));
}

/// Variance over the runs that count; 0 with fewer than two.
fn variance(leg: &LegPages, values: &[Column<f64>]) -> Column<f64> {
    let n = leg.number();
    let mean = leg.mean_of(|r| &values[r]);
    let mut sum = Column::splat(0.0);
    for (page, own) in leg.runs.iter().zip(values) {
        for i in 0..sum.0.len() {
            if page.counts[i] > 0.0 {
                let off = own[i] - mean[i];
                sum[i] += off * off;
            }
        }
    }
    Column::from_fn(|i| {
        if n[i] > 1.0 {
            sum[i] / (n[i] - 1.0)
        } else {
            0.0
        }
    })
}

impl Model for Sessions {
    fn columns(&self) -> Vec<String> {
        let of_effect = 1 + self.legs();
        let effects: usize = self.erring.iter().map(|p| p.places.len()).sum();
        let repeats = (1 + self.erring.len()) * self.legs();
        let n = 1 + of_effect * (1 + effects) + repeats;
        (0..n).map(|i| i.to_string()).collect()
    }

    /// Nature's value; the competent groups' results and repeats; of each mistake its repeats, then by place its results.
    fn block(&self, draws: &Draws) -> Output {
        let drawn = Drawn::default();
        let draws = draws.keeping(&drawn);
        let (competent, target, repeats) = self.competent.groups_with_repeats(draws);
        let mut out = vec![target];
        results(&competent, &self.method, 1.0, &mut out);
        out.extend(repeats.iter().cloned());
        for own in &self.erring {
            let (erring, again) = own.pages((self.scenario(), &competent), draws);
            out.extend(again.unwrap_or_else(|| repeats.clone()));
            for place in &own.places {
                let pages = mixed(&competent, &erring, *place);
                results(&pages, &own.method, own.factor, &mut out);
            }
        }
        out
    }
}
