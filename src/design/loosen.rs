//! How loose each tolerance may be before a target is missed.
//!
//! A tolerance is loosened by scaling its error about the perfect value ([`Treatment::Scaled`]): the same draws, made
//! larger, so that the answer is a root of a smooth function. What comes out is written as the scenario states it.

use super::bounds::{Bound, planned, runs_away, short_of};
use super::goal::Goal;
use super::loosen_held::Held;
use super::loosen_stated::{Reach, loosened, present, reach};
use super::outcome::DesignOptions;
use super::root::{Answer, WIDE, largest, slope_about};
use super::statistic::Statistic;
use crate::engine::{EngineError, Table, Together};
use crate::experiment::{Experiment, ResultColumn};
use crate::random::{Plan, Tag, Treatment};
use crate::rank::erring;
use crate::scenario::{Family, Scenario, Source, SourceId};
use crate::stats::{Estimate, Moments};
use std::sync::atomic::{AtomicU64, Ordering};

/// What one tolerance, or all together, may be.
#[derive(Debug, Clone)]
pub struct Loosest {
    /// The source; `None` for all together.
    pub source: Option<&'static Source>,
    /// How many times as large.
    pub answer: Answer,
    /// The bound that ends it where the target does not.
    pub bound: Option<Bound>,
    /// What is compared with the target if it were twice as large, alone: the price of that step. Simulated at twice the
    /// error whatever ends the answer; NaN where twice as large cannot be.
    pub doubled: Estimate,
    /// The bound that it is beyond then, if any.
    pub doubled_beyond: Option<Bound>,
    /// Bias at the answer, a fraction of the result and signed like it; NaN where there is no answer.
    pub bias: Estimate,
    /// The tolerance now, leg by leg, as the scenario would state it: key and statement.
    pub now: Vec<(String, String)>,
    /// The keys that loosen it as far as that, cut to three figures on the safe side and seen to meet the target; empty where the
    /// grammar has no words for it, or where there is no answer.
    pub set: Vec<(String, String)>,
}

/// A search for the largest factor of some sources of a model.
pub struct Search<'a> {
    /// Runs the model under a plan.
    pub run: &'a (dyn Fn(Plan) -> Result<Table, EngineError> + Sync),
    /// Its result column that is judged.
    pub column: usize,
    /// Tags of the sources.
    pub tags: &'a [Tag],
    /// What is to be reached.
    pub goal: Goal,
    /// Makes the number that the goal judges out of the values of the column.
    pub measure: &'a (dyn Fn(&[f64]) -> f64 + Sync),
    /// The bound that what was simulated is beyond, which no target makes up for.
    pub barred: &'a (dyn Fn(&Table) -> Option<Bound> + Sync),
    /// Its result column with the share of runs in which what should be in excess runs out.
    pub short: usize,
}

/// What a search sees at a factor.
#[derive(Debug, Clone, Copy)]
pub struct Seen {
    /// What is compared with the target.
    pub measure: Estimate,
    /// The bound that it is beyond, if any.
    pub barred: Option<Bound>,
    /// Mean of the column.
    pub mean: Estimate,
    /// Share of runs in which what should be in excess runs out.
    pub short: Estimate,
}

/// What a search finds.
#[derive(Debug, Clone, Copy)]
pub struct Found {
    /// How many times as large.
    pub answer: Answer,
    /// The bound that ends it, if one does.
    pub bound: Option<Bound>,
    /// Mean of the column at the answer; NaN where there is none.
    pub mean: Estimate,
}

impl Search<'_> {
    /// The largest factor up to `limit`; `known` are factors that were seen already.
    ///
    /// # Errors
    /// If interrupted.
    ///
    /// # Panics
    /// If the model has no such column.
    pub fn loosest(&self, limit: f64, known: &[(f64, Seen)]) -> Result<Found, EngineError> {
        let mut known = known.to_vec();
        let mut at = |factor: f64| {
            let found = match known.iter().find(|(f, _)| *f == factor) {
                Some((_, found)) => *found,
                None => {
                    let found = self.at(factor)?;
                    known.push((factor, found));
                    found
                }
            };
            // What is beyond a bound meets nothing.
            Ok(if found.barred.is_some() {
                Estimate::undefined()
            } else {
                found.measure
            })
        };
        let squared = !matches!(self.goal, Goal::Pass(_));
        let answer = largest(&mut at, &|m| self.goal.excess(m), squared, limit)?;
        let barred = match answer {
            // The next factor above that was seen tells what ended the search.
            Answer::Factor(f) => known
                .iter()
                .filter(|(factor, _)| *factor > f.value)
                .min_by(|a, b| a.0.total_cmp(&b.0))
                .filter(|(_, found)| self.goal.met(found.measure.value))
                .and_then(|(_, found)| found.barred),
            _ => None,
        };
        let at_answer = match answer {
            Answer::Factor(f) => Some(f.value),
            Answer::Any(f) => Some(f),
            Answer::Never(_) => None,
        };
        let there = known.iter().find(|(f, _)| Some(*f) == at_answer);
        let there = there.map(|(_, found)| *found);
        let answer = match (answer, barred, there) {
            (Answer::Factor(f), Some(bound), Some(there)) => {
                Answer::Factor(self.ended(f, bound, there, limit)?)
            }
            _ => answer,
        };
        Ok(Found {
            answer,
            bound: barred,
            mean: there.map_or(Estimate::undefined(), |found| found.mean),
        })
    }

    /// A factor that a bound ends which only the trials show, with the error that they leave: that of the share of runs that
    /// run short over its slope. Whether a few results run away is itself by chance, and the error is none to speak of (NaN).
    fn ended(
        &self,
        f: Estimate,
        bound: Bound,
        there: Seen,
        limit: f64,
    ) -> Result<Estimate, EngineError> {
        if bound != Bound::Excess {
            return Ok(Estimate::new(f.value, f64::NAN));
        }
        let ends = [f.value / WIDE, (f.value * WIDE).min(limit)];
        let shares = [self.at(ends[0])?.short.value, self.at(ends[1])?.short.value];
        let of_trials = there.short.se / slope_about((f.value, there.short.value), ends, shares);
        Ok(Estimate::new(f.value, of_trials.min(f.value).hypot(f.se)))
    }

    /// What is seen with the sources scaled.
    ///
    /// # Errors
    /// If interrupted.
    pub fn at(&self, factor: f64) -> Result<Seen, EngineError> {
        let scaled = Treatment::Scaled(factor);
        let plan = self
            .tags
            .iter()
            .fold(Plan::new(), |plan, tag| plan.with(*tag, scaled));
        let table = (self.run)(plan)?;
        Ok(self.read(&table))
    }

    fn read(&self, table: &Table) -> Seen {
        Seen {
            measure: Statistic::of(&table.columns[self.column], self.measure).estimate(),
            barred: (self.barred)(table),
            mean: Moments::of(&table.columns[self.column]).mean(),
            short: Moments::of(&table.columns[self.short]).mean(),
        }
    }
}

/// The step whose price is told.
const TWICE: f64 = 2.0;

/// The sources that a procedure or its instruments can make tighter or looser: all but tabulated values, what is in the
/// bottle, and chance.
pub fn tolerances(scenario: &Scenario) -> Vec<&'static Source> {
    let fixed = |s: &&Source| {
        matches!(s.family, Family::Reference | Family::Reagent)
            || matches!(
                s.id,
                SourceId::Noticing
                    | SourceId::Release
                    | SourceId::HotWater
                    | SourceId::ColdWater
                    | SourceId::AirDensity
                    | SourceId::VesselHeat
            )
    };
    erring(scenario).into_iter().filter(|s| !fixed(s)).collect()
}

/// How loose each tolerance of a scenario may be alone, and all of them in the same proportion; `cap` is that of the change
/// of temperature, K.
///
/// # Errors
/// If interrupted.
pub fn loosen(
    scenario: &Scenario,
    goal: Goal,
    cap: f64,
    options: &DesignOptions,
) -> Result<Vec<Loosest>, EngineError> {
    let model = Experiment::without_claims(scenario.clone());
    let column = ResultColumn::Error as usize;
    let as_it_is = options.run(&model, Plan::new())?;
    // Nature's value of the result, J/mol: what percentages refer to.
    let target = &as_it_is.columns[ResultColumn::Target as usize];
    let result = Moments::of(target).mean().value;
    let band = scenario.target.band;
    let measure = |values: &[f64]| goal.measure_of(values, result, band);
    let beyond = |table: &Table| -> Option<Bound> {
        let runs_away = || matches!(goal, Goal::Spread(_)) && runs_away(&table.columns[column]);
        match () {
            () if short_of(table) => Some(Bound::Excess),
            () if runs_away() => Some(Bound::RunsAway),
            () => None,
        }
    };
    // A bound that the scenario is beyond as it is is no reason to leave anything out.
    let now = beyond(&as_it_is);
    let barred = |table: &Table| beyond(table).filter(|b| Some(*b) != now);
    // Noise and last digit that are drawn in one at their present sizes are not so at others.
    let by_reading = model.clone().reading_by_reading();
    let together = Together::new(options.seed, options.trials, options.interrupt);
    let [run, run_by_reading] = [&model, &by_reading].map(|model| {
        let together = &together;
        move |plan| together.run(model, plan)
    });
    let plain = Search {
        run: &run,
        column,
        tags: &[],
        goal,
        measure: &measure,
        barred: &barred,
        short: ResultColumn::RanOutShare as usize,
    };
    let held = Held {
        scenario,
        own: planned(scenario, cap),
        cap,
        holds: &|table| {
            let seen = plain.read(table);
            seen.barred.is_none() && goal.met(seen.measure.value)
        },
    };
    let sources = tolerances(scenario);
    let groups = std::iter::once(None).chain(sources.iter().map(|s| Some(*s)));
    let done = AtomicU64::new(0);
    let jobs = groups.map(|source| {
        let of_display = |s: &&Source| matches!(s.id, SourceId::Noise | SourceId::Resolution);
        let scaled: Vec<&'static Source> = source.map_or_else(|| sources.clone(), |s| vec![s]);
        let reads = scaled.iter().any(of_display);
        let known = (!reads).then(|| plain.read(&as_it_is));
        let search = Search {
            run: if reads { &run_by_reading } else { &run },
            ..plain
        };
        let one = One {
            source,
            scaled,
            known,
            result,
        };
        let (held, done) = (&held, &done);
        move || {
            let found = one.loosest(&search, held, options);
            options.tick(done.fetch_add(1, Ordering::Relaxed) + 1);
            found
        }
    });
    together.all(jobs.collect()).into_iter().collect()
}

/// One line of the answer: a source, or all of them.
struct One {
    source: Option<&'static Source>,
    scaled: Vec<&'static Source>,
    /// What is seen at the present size, if that is seen already.
    known: Option<Seen>,
    /// Nature's value of the result, J/mol.
    result: f64,
}

impl One {
    fn loosest(
        self,
        search: &Search,
        held: &Held,
        options: &DesignOptions,
    ) -> Result<Loosest, EngineError> {
        let scenario = held.scenario;
        let tags: Vec<Tag> = self.scaled.iter().map(|s| s.tag()).collect();
        let search = Search {
            tags: &tags,
            ..*search
        };
        let Reach { factor, bound } = reach(scenario, &self.scaled, held.cap);
        let mut known: Vec<(f64, Seen)> = self.known.map(|now| (1.0, now)).into_iter().collect();
        // Twice as large is twice as large, beyond a bound or not.
        let can_double = factor >= TWICE || bound.is_some();
        let doubled = match can_double {
            true => Some(search.at(TWICE)?),
            false => None,
        };
        let ended = bound.filter(|_| factor < TWICE);
        if let (Some(seen), None) = (doubled, ended) {
            known.push((TWICE, seen));
        }
        let found = search.loosest(factor, &known)?;
        let (answer, bound) = match found.answer {
            // The plan ends where the target is still met.
            Answer::Any(f) if bound.is_some() => (Answer::Factor(Estimate::new(f, 0.0)), bound),
            answer => (answer, found.bound),
        };
        let set = match answer {
            Answer::Factor(f) => held.stated(&self.scaled, f.value, options)?,
            Answer::Any(f) => loosened(scenario, &self.scaled, f),
            Answer::Never(_) => Vec::new(),
        };
        let bias = found.mean;
        Ok(Loosest {
            source: self.source,
            answer,
            bound,
            doubled: doubled.map_or(Estimate::undefined(), |d| d.measure),
            doubled_beyond: ended.or(doubled.and_then(|d| d.barred)),
            bias: Estimate::new(bias.value / self.result, bias.se / self.result.abs()),
            now: self.source.map_or(Vec::new(), |s| present(scenario, s)),
            set,
        })
    }
}

/// Number of steps that [`DesignOptions::progress`] counts to in [`loosen`].
pub fn steps(scenario: &Scenario) -> u64 {
    tolerances(scenario).len() as u64 + 1
}
