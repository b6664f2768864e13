//! A comparison as JSON.

#![expect(non_snake_case, reason = "fields are named as in the document")]

use super::text::all_cautions;
use crate::design::{Comparison, Delivered, Differences, OutOfBounds};
use crate::quantity::Currency;
use crate::rank::Share;
use crate::report::json::{Named, document};
use crate::report::problems::{Located, located};
use crate::report::words::first_and_all;
use crate::scenario::Leg;
use crate::stats::Estimate;
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

/// Name and version of the document's form.
pub const COMPARE_SCHEMA: &str = "joulecast.compare/1";

/// Procedures side by side; numbers without a unit are fractions of each contender's true value.
#[derive(Serialize, JsonSchema)]
pub(in crate::report) struct Answer<'a> {
    /// Seed of all random streams.
    seed: u64,
    /// Trials of each contender.
    trials: u64,
    groups_of_a_section: u32,
    /// Cap of the change of temperature.
    cap_K: f64,
    /// What can hurt people or the environment, and what to do.
    cautions: Vec<String>,
    /// Letters of those that were simulated, the best first.
    order: Vec<char>,
    contenders: Vec<Contender<'a>>,
}

/// A procedure.
#[derive(Serialize, JsonSchema)]
struct Contender<'a> {
    letter: char,
    name: &'a str,
    what: &'a str,
    possible: bool,
    /// Why it is not possible.
    reason: Option<&'a OutOfBounds>,
    #[serde(flatten)]
    delivered: Option<Simulated<'a>>,
}

/// What a possible procedure delivers.
#[derive(Serialize, JsonSchema)]
struct Simulated<'a> {
    scenario: Named<'a>,
    cautions: Vec<String>,
    warnings: Vec<Located<'a>>,
    /// Bounds that it lies beyond.
    beyond: &'a [OutOfBounds],
    calibration: Option<Runs<'a>>,
    determination: Option<Runs<'a>>,
    true_value_J_per_mol: f64,
    nonfinite_trials: u64,
    /// Signed like the magnitude: minus for too small.
    bias_in_size: Estimate,
    spread: Estimate,
    within_95: Estimate,
    rms_error: Estimate,
    /// Spread that infinitely many runs would leave.
    spread_floor: Estimate,
    tabulated_u: f64,
    /// By the distance that 95 % of results stay within; those not told apart share one.
    place: usize,
    /// The sources with the largest total share; several if they are not told apart.
    most_of_the_spread: Vec<OfSpread<'a>>,
    largest_bias: Option<OfBias<'a>>,
    ran_out_share: Estimate,
    repeats_per_run: Estimate,
    cost_of_a_group: Cost,
    cost_of_a_section: Cost,
    less_the_first: Less<'a>,
}

/// The runs of one kind.
#[derive(Serialize, JsonSchema)]
struct Runs<'a> {
    what: String,
    reaction: &'a str,
    runs: u32,
    mass_g: f64,
    change_of_temperature_K: f64,
    in_steps_of_the_thermometer: f64,
}

#[derive(Serialize, JsonSchema)]
struct OfSpread<'a> {
    source: &'a str,
    total_share: &'a Share,
}

#[derive(Serialize, JsonSchema)]
struct OfBias<'a> {
    source: &'a str,
    bias_in_size: Estimate,
}

/// What the procedure takes.
#[derive(Serialize, JsonSchema)]
struct Cost {
    time_s: Option<f64>,
    money: Option<f64>,
    currency: Option<Currency>,
    solid_calibration_g: f64,
    solid_determination_g: f64,
    liquid_calibration_mL: f64,
    liquid_determination_mL: f64,
}

/// Differences from the first contender, trial by trial.
#[derive(Serialize, JsonSchema)]
struct Less<'a> {
    bias_in_size: Estimate,
    #[serde(flatten)]
    differences: &'a Differences,
}

impl<'a> Runs<'a> {
    /// Those of a leg, if there are any.
    fn of(leg: &'a Leg, change: f64, steps: f64) -> Option<Self> {
        (leg.runs > 0).then(|| Self {
            what: leg.what(),
            reaction: &leg.reaction.key,
            runs: leg.runs,
            mass_g: leg.mass.0,
            change_of_temperature_K: change,
            in_steps_of_the_thermometer: steps,
        })
    }
}

impl Cost {
    fn of(d: &Delivered, groups: u32) -> Self {
        let (c, groups) = (&d.outcome.cost, f64::from(groups));
        Self {
            time_s: c.time.map(|t| groups * t),
            money: c.money.map(|m| groups * m),
            currency: c.currency,
            solid_calibration_g: groups * c.solid[0],
            solid_determination_g: groups * c.solid[1],
            liquid_calibration_mL: groups * c.liquid[0],
            liquid_determination_mL: groups * c.liquid[1],
        }
    }
}

impl<'a> Simulated<'a> {
    fn of(d: &'a Delivered, groups: u32) -> Self {
        let (s, o) = (&d.scenario, &d.outcome);
        Self {
            scenario: s.into(),
            cautions: s.cautions.iter().map(ToString::to_string).collect(),
            warnings: located(&s.text, &s.warnings),
            beyond: &d.zones,
            calibration: Runs::of(&s.calibration, o.changes[0], o.steps[0]),
            determination: Runs::of(&s.determination, o.changes[1], o.steps[1]),
            true_value_J_per_mol: o.target,
            nonfinite_trials: o.errors.nonfinite,
            bias_in_size: o.relative_bias(),
            spread: o.relative(o.errors.spread),
            within_95: d.within(),
            rms_error: o.relative(o.errors.rms),
            spread_floor: o.relative(d.causes.floor),
            tabulated_u: d.literature(),
            place: d.place,
            most_of_the_spread: d
                .causes
                .spread
                .iter()
                .map(|(source, total_share)| OfSpread {
                    source: source.key,
                    total_share,
                })
                .collect(),
            largest_bias: d.causes.bias.map(|(source, e)| OfBias {
                source: source.key,
                bias_in_size: o.in_size(e),
            }),
            ran_out_share: o.ran_out,
            repeats_per_run: o.repeats,
            cost_of_a_group: Cost::of(d, 1),
            cost_of_a_section: Cost::of(d, groups),
            less_the_first: Less {
                bias_in_size: d.against.bias.0,
                differences: &d.against,
            },
        }
    }
}

/// The whole comparison; fractions of each contender's true value, all numbers raw, null where there is none.
pub fn compare_json(c: &Comparison) -> Value {
    let (cautions, _): (Vec<_>, Vec<_>) = all_cautions(c).into_iter().unzip();
    let answer = Answer {
        seed: c.seed,
        trials: c.trials,
        groups_of_a_section: c.groups,
        cap_K: c.cap,
        cautions: first_and_all(&cautions),
        order: c
            .by_place()
            .iter()
            .map(|(i, _)| Comparison::letter(*i))
            .collect(),
        contenders: c
            .contenders
            .iter()
            .enumerate()
            .map(|(i, x)| Contender {
                letter: Comparison::letter(i),
                name: &x.name,
                what: &x.what,
                possible: x.result.is_ok(),
                reason: x.result.as_ref().err(),
                delivered: x.result.as_ref().ok().map(|d| Simulated::of(d, c.groups)),
            })
            .collect(),
    };
    document(COMPARE_SCHEMA, answer)
}
