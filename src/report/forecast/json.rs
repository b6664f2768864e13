//! A forecast as JSON, and its sampled results as CSV.

use crate::forecast::{
    Beside, Cause, ClaimCoverage, ClassSeen, Ended, Extras, Forecast, RepeatsSeen, WaySeen,
};
use crate::report::budget::data::Budget;
use crate::report::json::{Headed, document, part};
use crate::report::records::{finished, number, records};
use crate::scenario::{Heat, Leg, Scenario};
use crate::stats::{Estimate, Summary};
use serde_json::Value;

/// Name and version of the document's form.
pub const SCHEMA: &str = "joulecast.forecast/1";

part! {
    /// A forecast with what it follows from and what is shown beside it.
    Answer<'a>(f: &'a Forecast, extras: &'a Extras):
    trials: u64 = f.trials,
    /// Why the trials ended.
    ended: Ended = f.ended,
    /// Trials without a finite result.
    nonphysical_trials: u64 = f.nonphysical,
    /// Trials in which the change of temperature of some run had the wrong sign or vanished.
    wrong_sign_trials: u64 = f.wrong_sign,
    /// What is taken as true: the mean over the trials.
    accepted_J_per_mol: f64 = f.target,
    /// Standard uncertainty of the accepted value.
    accepted_u_J_per_mol: f64 = f.scenario.tabulated_u().0,
    /// Standard uncertainty of the result less the accepted value.
    compared_u_J_per_mol: Estimate = f.compared(),
    tabulated_J_per_mol: f64 = f.scenario.tabulated().0,
    /// Temperature that the result is stated for.
    quoted_at_C: f64 = f.scenario.target.quote_at.0,
    /// What groups report: the error of each trial on top of the accepted value.
    result_J_per_mol: &'a Summary = &f.value,
    /// Mean error. Like the spread null where an error has too few degrees of freedom.
    bias_J_per_mol: Estimate = f.bias,
    /// Standard deviation of the error.
    spread_J_per_mol: Estimate = f.spread,
    rms_error_J_per_mol: Estimate = f.rms,
    /// Distance from the accepted value within which 95 % of results lie.
    within_95_percent_J_per_mol: Estimate = f.within,
    band: Option<Band> = f.in_band.map(|share| Band::of(f, share)),
    calibration_constant_J_per_K: &'a Summary = &f.constant,
    calibration_change_of_temperature_K: &'a Summary = &f.changes[0],
    determination_change_of_temperature_K: &'a Summary = &f.changes[1],
    claims: Claims = Claims::of(f),
    linear_budget: Budget<'a> = Budget::of(&f.budget),
    share_of_variance_averaged_by_more_runs: Option<Estimate> = f.averaged,
    /// Bias by cause, each removed in turn.
    causes: &'a [Cause] = &f.causes,
    /// Where the procedure looks for residue.
    repeats: Option<RepeatsSeen> = f.repeats,
    #[serde(flatten)]
    beside: &'a Beside = &f.beside,
    /// All reductions of the same records, if asked for.
    reductions: &'a [WaySeen] = &extras.ways,
    /// A class of groups, if asked for.
    class: Option<ClassSeen> = extras.class,
}

part! {
    /// How many results lie in the fair band.
    Band(f: &Forecast, share: Estimate):
    /// A fraction of the value that it is about.
    half_width: Option<f64> = f.scenario.target.band,
    about: &'static str = match f.beside.medium {
        Some(_) => "true value in the medium",
        None => "accepted value",
    },
    share_within: Estimate = share,
}

part! {
    /// How often the intervals that groups state hold the true value.
    Claims(f: &Forecast):
    /// From the scatter of the determinations; null for a single one.
    scatter: Option<ClaimCoverage> = f.scatter_claim,
    /// From the first-order budget.
    linear: Option<ClaimCoverage> = f.linear_claim,
}

part! {
    /// Both kinds of run.
    Procedure<'a>(s: &'a Scenario):
    calibration: Calibration<'a> = Calibration::of(s),
    determination: Determination<'a> = Determination::of(&s.determination),
    /// The sum of a cycle, if it is one.
    cycle: Option<&'a str> = s.is_cycle().then_some(&s.cycle.text),
}

part! {
    /// How the vessel is calibrated.
    Calibration<'a>(s: &'a Scenario):
    kind: &'static str = kind(s),
    reaction: Option<&'a str> = (kind(s) == "reaction").then_some(&s.calibration.reaction.key),
    runs: u32 = s.calibration.runs,
    assumed_vessel_J_per_K: Option<f64> = s.lab.assumed_vessel.map(|v| v.0),
}

part! {
    Determination<'a>(leg: &'a Leg):
    reaction: &'a str = &leg.reaction.key,
    runs: u32 = leg.runs,
}

/// The kind of calibration, as a scenario states it.
fn kind(s: &Scenario) -> &'static str {
    match (s.calibration.heat, s.lab.assumed_vessel) {
        (_, Some(_)) => "none",
        (Heat::Reaction, None) => "reaction",
        (Heat::Electrical(_), None) => "electrical",
        (Heat::HotWater { .. }, None) => "hot and cold water",
    }
}

/// The whole forecast; energies in J/mol, all numbers raw (unrounded), null where there is none.
pub fn forecast_json(f: &Forecast, extras: &Extras) -> Value {
    let (s, answer) = (&f.scenario, Answer::of(f, extras));
    let runs = Some(Procedure::of(s));
    document(SCHEMA, Headed::with(s, f.seed, runs, answer))
}

/// All kept trials, one a line; a comment line says where they come from.
pub fn samples_csv(f: &Forecast, provenance: &str) -> Result<Vec<u8>, csv::Error> {
    let mut writer = records(provenance);
    writer.write_record(std::iter::once("trial").chain(f.names.iter().map(String::as_str)))?;
    for trial in 0..f.columns.first().map_or(0, Vec::len) {
        let values = f.columns.iter().map(|c| number(c[trial]));
        writer.write_record(std::iter::once(trial.to_string()).chain(values))?;
    }
    finished(writer)
}
