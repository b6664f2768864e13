//! Mistakes as JSON.

use crate::report::json::{Headed, document, part};
use crate::slip::{Cause, Effect, Explained, Judgement, Place, Says, Slips, Studied};
use crate::stats::Estimate;
use serde_json::Value;

/// Name and version of the document's form.
pub const SLIP_SCHEMA: &str = "joulecast.slip/1";

part! {
    /// What mistakes do.
    Answer<'a>(s: &'a Slips, e: Option<&'a Explained>):
    trials: u64 = s.trials,
    true_J_per_mol: f64 = s.target,
    /// Of competent groups, as a fraction of the true value.
    competent_bias: Estimate = s.bias,
    /// Standard deviation, likewise.
    competent_spread: Estimate = s.spread,
    mistakes: Vec<Mistake<'a>> = s.mistakes.iter().map(|m| Mistake::of(s, m)).collect(),
    impossible: Vec<Impossible<'a>> = s.impossible.iter().map(Impossible::of).collect(),
    /// Causes of a difference, if one was asked about.
    difference: Option<Difference<'a>> = e.map(Difference::of),
}

part! {
    /// A mistake that cannot be as it is written.
    Impossible<'a>(found: &'a (String, String)):
    mistake: &'a str = &found.0,
    why: &'a str = &found.1,
}

part! {
    /// A mistake in this scenario. What it does is null where it cannot be made.
    Mistake<'a>(s: &'a Slips, m: &'a Studied):
    mistake: &'a str = &m.mistake.key,
    what_happened: &'a str = &m.mistake.words,
    /// Null for what is made or not.
    size: Option<f64> = m.range.is_some().then_some(m.size),
    unit: &'static str = m.range.unit.symbol(),
    smallest_plausible: Option<f64> = m.range.is_some().then_some(m.range.low),
    largest_plausible: Option<f64> = m.range.is_some().then_some(m.range.high),
    both_ways: bool = m.range.signed,
    enters: &'a str = &m.mistake.enters,
    noticed: &'a str = &m.mistake.check,
    determination: Option<Does> = Does::at(s, m, Place::Determinations),
    calibration: Option<Does> = Does::at(s, m, Place::Calibration),
    all_runs: Option<Does> = Does::at(s, m, Place::Both),
    /// In the first determination alone.
    one_run: Option<Does> = Does::at(s, m, Place::OneRun),
}

part! {
    /// What it does in some runs.
    Does(s: &Slips, m: &Studied, e: &Effect):
    /// As a fraction: minus for too small a magnitude.
    change_of_magnitude: Estimate = e.shift,
    change_J_per_mol: f64 = e.shift.value * s.target.abs(),
    says: Option<Says> = m.says(e.place),
    /// Share of groups whose runs scatter more than those of 95 % of competent groups.
    scatter_shows: Option<f64> = e.scatter,
    /// Share of groups in which the inspection notices a residue.
    inspection_notices: Option<f64> = e.inspection,
    nonfinite_trials: u64 = e.nonfinite,
}

impl Does {
    fn at(s: &Slips, m: &Studied, place: Place) -> Option<Self> {
        m.at(place).map(|e| Self::of(s, m, e))
    }
}

part! {
    /// What a difference could come from.
    Difference<'a>(e: &'a Explained):
    /// As a fraction: minus for too small a magnitude.
    observed: f64 = e.observed.difference,
    /// Its standard uncertainty, likewise.
    u: f64 = e.observed.u,
    /// Share of competent groups that are off as far.
    probability: f64 = e.probability,
    causes: Vec<OneCause<'a>> = e.causes.iter().map(OneCause::of).collect(),
}

part! {
    /// A mistake as the only cause.
    OneCause<'a>(c: &'a Cause):
    /// Ties share one.
    rank: usize = c.rank,
    mistake: &'a str = &c.mistake.key,
    made_in: Place = c.place,
    /// Size that it would need; null if there is none.
    needed_size: Option<f64> = c.size,
    unit: &'static str = c.range.unit.symbol(),
    /// What it does at that size, as a fraction.
    change_of_magnitude: f64 = c.shift,
    judged: Judgement = c.judgement,
    /// How likely it makes such a difference, over the most likely cause.
    relative_likelihood: f64 = c.likelihood,
    scatter_shows: Option<f64> = c.scatter,
}

/// Everything that mistakes do.
pub fn slip_json(s: &Slips, explained: Option<&Explained>) -> Value {
    let answer = Answer::of(s, explained);
    document(SLIP_SCHEMA, Headed::of(&s.scenario, s.seed, answer))
}
