//! A comparison as JSON.

use super::text::all_cautions;
use crate::design::{
    self, Compared, Comparison, Delivered, Difference, Differences, OutOfBounds, Verdict,
};
use crate::quantity::Currency;
use crate::rank::Share;
use crate::report::json::{Named, document, part};
use crate::report::problems::{Located, located};
use crate::report::words::first_and_all;
use crate::scenario::{Caution, Leg};
use crate::stats::Estimate;
use serde_json::Value;

/// Name and version of the document's form.
pub const COMPARE_SCHEMA: &str = "joulecast.compare/1";

part! {
    /// Procedures side by side; numbers without a unit are fractions of each contender's true value.
    Answer<'a>(c: &'a Comparison, cautions: &[Caution]):
    /// Seed of all random streams.
    seed: u64 = c.seed,
    /// Trials of each contender.
    trials: u64 = c.trials,
    groups_of_a_section: u32 = c.groups,
    /// Cap of the change of temperature.
    cap_K: f64 = c.cap,
    /// What can hurt people or the environment, and what to do.
    cautions: Vec<String> = first_and_all(cautions),
    /// Letters of those that were simulated, the best first.
    order: Vec<char> = c.by_place().iter().map(|(i, _)| Comparison::letter(*i)).collect(),
    contenders: Vec<Contender<'a>> =
        (0..).zip(&c.contenders).map(|(i, x)| Contender::of(i, x, c.groups)).collect(),
}

part! {
    /// A procedure.
    Contender<'a>(i: usize, x: &'a Compared, groups: u32):
    letter: char = Comparison::letter(i),
    name: &'a str = &x.name,
    what: &'a str = &x.what,
    possible: bool = x.result.is_ok(),
    /// Why it is not possible.
    reason: Option<&'a OutOfBounds> = x.result.as_ref().err(),
    #[serde(flatten)]
    delivered: Option<Simulated<'a>> = x.result.as_ref().ok().map(|d| Simulated::of(d, groups)),
}

part! {
    /// What a possible procedure delivers.
    Simulated<'a>(d: &'a Delivered, groups: u32):
    scenario: Named<'a> = Named::of(&d.scenario, None),
    cautions: Vec<String> = d.scenario.cautions.iter().map(ToString::to_string).collect(),
    warnings: Vec<Located<'a>> = located(&d.scenario.text, &d.scenario.warnings),
    /// Bounds that it lies beyond.
    beyond: &'a [OutOfBounds] = &d.zones,
    calibration: Option<Runs<'a>> = Runs::of_any(&d.scenario.calibration, d, 0),
    determination: Option<Runs<'a>> = Runs::of_any(&d.scenario.determination, d, 1),
    true_value_J_per_mol: f64 = d.outcome.target,
    nonfinite_trials: u64 = d.outcome.errors.nonfinite,
    /// Signed like the magnitude: minus for too small.
    bias_in_size: Estimate = d.outcome.relative_bias(),
    spread: Estimate = d.relative(d.outcome.errors.spread),
    within_95: Estimate = d.within(),
    rms_error: Estimate = d.relative(d.outcome.errors.rms),
    /// Spread that infinitely many runs would leave.
    spread_floor: Estimate = d.relative(d.causes.floor),
    tabulated_u: f64 = d.literature(),
    /// By the distance that 95 % of results stay within; those not told apart share one.
    place: usize = d.place,
    /// The sources with the largest total share; several if they are not told apart.
    most_of_the_spread: Vec<OfSpread<'a>> =
        d.causes.spread.iter().map(|(s, share)| OfSpread::of(s.key, share)).collect(),
    largest_bias: Option<OfBias> = d.causes.bias.map(|(s, e)| OfBias::of(s.key, d.in_size(e))),
    ran_out_share: Estimate = d.outcome.ran_out,
    repeats_per_run: Estimate = d.outcome.repeats,
    cost_of_a_group: Cost = Cost::of(&d.outcome.cost, 1.0),
    cost_of_a_section: Cost = Cost::of(&d.outcome.cost, f64::from(groups)),
    less_the_first: Less = Less::of(&d.against),
}

part! {
    /// The runs of one kind.
    Runs<'a>(leg: &'a Leg, d: &Delivered, kind: usize):
    what: String = leg.what(),
    reaction: &'a str = &leg.reaction.key,
    runs: u32 = leg.runs,
    mass_g: f64 = leg.mass.0,
    change_of_temperature_K: f64 = d.outcome.changes[kind],
    in_steps_of_the_thermometer: f64 = d.outcome.steps[kind],
}

impl<'a> Runs<'a> {
    fn of_any(leg: &'a Leg, d: &Delivered, kind: usize) -> Option<Self> {
        (leg.runs > 0).then(|| Self::of(leg, d, kind))
    }
}

part! {
    OfSpread<'a>(source: &'static str, share: &'a Share):
    source: &'static str = source,
    total_share: &'a Share = share,
}

part! {
    OfBias(source: &'static str, bias: Estimate):
    source: &'static str = source,
    bias_in_size: Estimate = bias,
}

part! {
    /// What the procedure takes.
    Cost(c: &design::Cost, groups: f64):
    time_s: Option<f64> = c.time.map(|t| groups * t),
    money: Option<f64> = c.money.map(|m| groups * m),
    currency: Option<Currency> = c.currency,
    solid_calibration_g: f64 = groups * c.solid[0],
    solid_determination_g: f64 = groups * c.solid[1],
    liquid_calibration_mL: f64 = groups * c.liquid[0],
    liquid_determination_mL: f64 = groups * c.liquid[1],
}

part! {
    /// Differences from the first contender, trial by trial.
    Less(d: &Differences):
    bias_in_size: Estimate = d.bias.0,
    size_of_bias: Told = Told::of(d.off),
    spread: Told = Told::of(d.spread),
    within_95: Told = Told::of(d.within),
    rms_error: Told = Told::of(d.rms),
}

part! {
    Told(d: Difference):
    #[serde(flatten)]
    estimate: Estimate = d.0,
    verdict: Verdict = d.verdict(),
}

/// The whole comparison; fractions of each contender's true value, all numbers raw, null where there is none.
pub fn compare_json(c: &Comparison) -> Value {
    let (cautions, _): (Vec<_>, Vec<_>) = all_cautions(c).into_iter().unzip();
    document(COMPARE_SCHEMA, Answer::of(c, &cautions))
}
