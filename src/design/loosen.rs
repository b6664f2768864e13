//! How loose each tolerance may be before a target is missed.
//!
//! A tolerance is loosened by scaling its error about the perfect value ([`Treatment::Scaled`]): the same draws, made
//! larger, so that the answer is a root of a smooth function. What comes out is written as the scenario states it.

use super::goal::Goal;
use super::outcome::DesignOptions;
use super::root::{Answer, largest};
use super::statistic::Statistic;
use super::zone::{Bound, MOST_SHORT};
use crate::engine::{EngineError, Model, Table};
use crate::experiment::{Experiment, Quantity};
use crate::random::{Plan, Tag, Treatment};
use crate::rank::erring;
use crate::scenario::{
    Binding, Family, Raw, Scenario, Source, SourceId, scaled_statement, schema, statement_size,
};
use crate::stats::{Estimate, Moments};

/// No tolerance is called loose beyond this many times what it is.
pub const LIMIT: f64 = 100.0;

/// What one tolerance, or all together, may be.
#[derive(Debug, Clone)]
pub struct Loosest {
    /// The source; `None` for all together.
    pub source: Option<&'static Source>,
    /// How many times as large.
    pub answer: Answer,
    /// The bound that ends it where the target does not.
    pub bound: Option<Bound>,
    /// What is held against the target if it were twice as large, alone: the price of that step.
    pub doubled: Estimate,
    /// The tolerance now, leg by leg, as the scenario would state it: key and statement.
    pub now: Vec<(String, String)>,
    /// The keys that loosen it as far as that, cut to three figures on the safe side; empty where the grammar has no
    /// words for it, or where it need not change.
    pub set: Vec<(String, String)>,
}

/// A search for the largest factor of some sources of a model.
pub struct Search<'a> {
    /// The model.
    pub model: &'a dyn Model,
    /// Its result column that is judged.
    pub column: usize,
    /// Tags of the sources.
    pub tags: &'a [Tag],
    /// What is to be reached.
    pub goal: Goal,
    /// Makes the number that the goal judges out of the values of the column.
    pub measure: &'a dyn Fn(&[f64]) -> f64,
    /// Whether what was simulated is beyond a bound, which no target makes up for.
    pub barred: &'a dyn Fn(&Table) -> bool,
}

/// What a search sees at a factor.
#[derive(Debug, Clone, Copy)]
pub struct Seen {
    /// What is held against the target.
    pub measure: Estimate,
    /// Whether it is beyond a bound.
    pub barred: bool,
}

impl Search<'_> {
    /// The largest factor up to `limit`, and whether a bound ends it; `known` are factors that were seen already.
    ///
    /// # Errors
    /// If interrupted.
    ///
    /// # Panics
    /// If the model has no such column.
    pub fn loosest(
        &self,
        limit: f64,
        known: &[(f64, Seen)],
        options: &DesignOptions,
    ) -> Result<(Answer, bool), EngineError> {
        let mut known = known.to_vec();
        let mut at = |factor: f64| {
            let found = match known.iter().find(|(f, _)| *f == factor) {
                Some((_, found)) => *found,
                None => {
                    let found = self.at(factor, options)?;
                    known.push((factor, found));
                    found
                }
            };
            // What is beyond a bound meets nothing.
            Ok(if found.barred {
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
                .is_some_and(|(_, found)| found.barred && self.goal.met(found.measure.value)),
            _ => false,
        };
        Ok((answer, barred))
    }

    /// What is seen with the sources scaled.
    ///
    /// # Errors
    /// If interrupted.
    pub fn at(&self, factor: f64, options: &DesignOptions) -> Result<Seen, EngineError> {
        let scaled = Treatment::Scaled(factor);
        let plan = self
            .tags
            .iter()
            .fold(Plan::new(), |plan, tag| plan.with(*tag, scaled));
        let table = options.run(self.model, plan)?;
        Ok(self.read(&table))
    }

    fn read(&self, table: &Table) -> Seen {
        Seen {
            measure: Statistic::of(&table.columns[self.column], self.measure).estimate(),
            barred: (self.barred)(table),
        }
    }
}

/// The sources that a procedure or its instruments can make tighter or looser: all but tabulated values, what is in the
/// bottle, and luck.
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

/// How loose each tolerance of a scenario may be alone, and all of them in the same proportion.
///
/// # Errors
/// If interrupted.
pub fn loosen(
    scenario: &Scenario,
    goal: Goal,
    options: &DesignOptions,
) -> Result<Vec<Loosest>, EngineError> {
    let model = Experiment::without_claims(scenario.clone());
    let column = Quantity::Error as usize;
    let as_it_is = options.run(&model, Plan::new())?;
    // Nature's value of the result, J/mol: what percentages refer to.
    let target = &as_it_is.columns[Quantity::Target as usize];
    let result = Moments::of(target).mean().value;
    let band = scenario.target.band;
    let measure = |values: &[f64]| goal.measure_of(values, result, band);
    let short = |table: &Table| {
        let share = Moments::of(&table.columns[Quantity::RanOutShare as usize]).mean();
        share.value > MOST_SHORT
    };
    // A bound that the scenario is beyond as it is is no reason to leave anything out.
    let judged = !short(&as_it_is);
    let barred = |table: &Table| judged && short(table);
    let plain = Search {
        model: &model,
        column,
        tags: &[],
        goal,
        measure: &measure,
        barred: &barred,
    };
    let now = plain.read(&as_it_is);
    let sources = tolerances(scenario);
    let mut out = Vec::new();
    let groups = std::iter::once(None).chain(sources.iter().map(|s| Some(*s)));
    for (i, source) in groups.enumerate() {
        let tags: Vec<Tag> = match source {
            Some(s) => vec![s.tag()],
            None => sources.iter().map(|s| s.tag()).collect(),
        };
        let search = Search {
            tags: &tags,
            ..plain
        };
        let limit = source.map_or(LIMIT, |s| limit(scenario, s));
        let twice = limit.min(2.0);
        let doubled = search.at(twice, options)?;
        let known = [(1.0, now), (twice, doubled)];
        let (answer, barred) = search.loosest(limit, &known, options)?;
        let (now, set) = match source {
            Some(s) => (statements(scenario, s, 1.0), loosened(scenario, s, answer)),
            None => (Vec::new(), Vec::new()),
        };
        out.push(Loosest {
            source,
            answer,
            bound: barred.then_some(Bound::Excess),
            doubled: doubled.measure,
            now,
            set,
        });
        options.tick(i as u64 + 1);
    }
    Ok(out)
}

/// Number of steps that [`DesignOptions::progress`] counts to in [`loosen`].
pub fn steps(scenario: &Scenario) -> u64 {
    tolerances(scenario).len() as u64 + 1
}

/// The keys of a source and its statements with the error `factor` times as large: one key at the top where all legs
/// would say the same and none speaks for itself, else one for each leg.
pub fn statements(scenario: &Scenario, source: &Source, factor: f64) -> Vec<(String, String)> {
    stated(scenario, source, &|_| factor)
}

fn stated(
    scenario: &Scenario,
    source: &Source,
    factor: &dyn Fn(&Binding) -> f64,
) -> Vec<(String, String)> {
    let doc = scenario.document();
    let own: Vec<(String, String)> = scenario
        .legs()
        .into_iter()
        .filter(|leg| leg.errs(source.id))
        .filter_map(|leg| {
            let binding = leg.binding(source.id);
            if binding.input.is_exact() {
                return None;
            }
            let text = scaled_statement(source.id, binding, leg.mass.0, factor(binding))?;
            Some((format!("{}.{}", leg.name, source.key), text))
        })
        .collect();
    let place = schema::place_of(source);
    let alike = own.windows(2).all(|pair| pair[0].1 == pair[1].1);
    let silent = !own.iter().any(|(key, _)| doc.entries.contains_key(key));
    let all = scenario.legs().iter().filter(|leg| leg.runs > 0).count() == own.len();
    let one = place == schema::Place::Top || place == schema::Place::Both && alike && silent && all;
    match own.first() {
        Some((_, text)) if one => vec![(source.key.to_owned(), text.clone())],
        _ => own,
    }
}

/// The largest factor, up to [`LIMIT`], whose statement the scenario accepts: a window does not reach below no mass, a share
/// is no more than all.
fn limit(scenario: &Scenario, source: &'static Source) -> f64 {
    let accepted = |factor: f64| {
        let set: Vec<(String, Raw)> = statements(scenario, source, factor)
            .into_iter()
            .map(|(key, text)| (key, Raw::Text(text)))
            .collect();
        scenario.changed(&set).is_ok()
    };
    if accepted(LIMIT) {
        return LIMIT;
    }
    let (mut low, mut high) = (1.0f64, LIMIT);
    for _ in 0..12 {
        let middle = (low * high).sqrt();
        if accepted(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

/// The statements at the answer, sizes cut to three figures on the safe side.
fn loosened(scenario: &Scenario, source: &'static Source, answer: Answer) -> Vec<(String, String)> {
    let factor = match answer {
        Answer::Factor(f) => f.value,
        Answer::Any(f) => f,
        Answer::Never(_) => return Vec::new(),
    };
    stated(scenario, source, &|binding| {
        let size = statement_size(source, &binding.input.dist);
        if size > 0.0 {
            cut(size * factor) / size
        } else {
            factor
        }
    })
}

/// The largest number of three figures that is not above `x`.
pub(super) fn cut(x: f64) -> f64 {
    if x.is_nan() || x <= 0.0 || x.is_infinite() {
        return x;
    }
    // A number that has three figures already must not lose one to its binary fraction.
    let text = format!("{:.15e}", x * (1.0 + 1e-12));
    let (figures, exponent) = text.split_once('e').unwrap_or((&text, "0"));
    format!("{:.4}e{exponent}", figures).parse().unwrap_or(x)
}

#[cfg(test)]
mod tests {
    use super::cut;

    #[test]
    fn three_figures_never_say_more_than_there_is() {
        for (x, due) in [
            (0.012_349, 0.0123),
            (9.999, 9.99),
            (0.3, 0.3),
            (70.0, 70.0),
            (123_456.0, 123_000.0),
            (1e-5, 1e-5),
        ] {
            assert!((cut(x) / due - 1.0).abs() < 1e-12, "{x}: {}", cut(x));
        }
    }
}
