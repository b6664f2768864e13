//! A forecast as JSON, and its sampled results as CSV.

#![expect(non_snake_case, reason = "fields are named as in the document")]

use crate::forecast::{ClaimCoverage, ClassSeen, Extras, Forecast, WaySeen};
use crate::report::budget::data::Budget;
use crate::report::json::{Headed, document};
use crate::report::records::{finished, number, records};
use crate::scenario::{Heat, Scenario};
use crate::stats::{Estimate, Summary};
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

/// Name and version of the document's form.
pub const SCHEMA: &str = "joulecast.forecast/1";

/// A forecast with what it follows from and what is shown beside it.
#[derive(Serialize, JsonSchema)]
pub(in crate::report) struct Answer<'a> {
    #[serde(flatten)]
    forecast: &'a Forecast,
    /// Standard uncertainty of the accepted value.
    accepted_u_J_per_mol: f64,
    /// Standard uncertainty of the result less the accepted value.
    compared_u_J_per_mol: Estimate,
    tabulated_J_per_mol: f64,
    /// Temperature that the result is stated for.
    quoted_at_C: f64,
    band: Option<Band>,
    calibration_change_of_temperature_K: &'a Summary,
    determination_change_of_temperature_K: &'a Summary,
    claims: Claims,
    linear_budget: Budget<'a>,
    /// All reductions of the same records, if asked for.
    reductions: &'a [WaySeen],
    /// A class of groups, if asked for.
    class: Option<ClassSeen>,
}

/// How many results lie in the fair band.
#[derive(Serialize, JsonSchema)]
struct Band {
    /// A fraction of the value that it is about.
    half_width: Option<f64>,
    about: &'static str,
    share_within: Estimate,
}

/// How often the intervals that groups state hold the true value.
#[derive(Serialize, JsonSchema)]
struct Claims {
    /// From the scatter of the determinations; null for a single one.
    scatter: Option<ClaimCoverage>,
    /// From the first-order budget.
    linear: Option<ClaimCoverage>,
}

/// Both kinds of run.
#[derive(Serialize, JsonSchema)]
pub(in crate::report) struct Procedure<'a> {
    calibration: Calibration<'a>,
    determination: Determination<'a>,
    /// The sum of a cycle, if it is one.
    cycle: Option<&'a str>,
}

/// How the vessel is calibrated.
#[derive(Serialize, JsonSchema)]
struct Calibration<'a> {
    kind: &'static str,
    reaction: Option<&'a str>,
    runs: u32,
    assumed_vessel_J_per_K: Option<f64>,
}

#[derive(Serialize, JsonSchema)]
struct Determination<'a> {
    reaction: &'a str,
    runs: u32,
}

impl<'a> Procedure<'a> {
    fn of(s: &'a Scenario) -> Self {
        let (leg, assumed) = (&s.calibration, s.lab.assumed_vessel);
        let kind = match (leg.heat, assumed) {
            (_, Some(_)) => "none",
            (Heat::Reaction, None) => "reaction",
            (Heat::Electrical(_), None) => "electrical",
            (Heat::HotWater { .. }, None) => "hot and cold water",
        };
        Self {
            calibration: Calibration {
                kind,
                reaction: (kind == "reaction").then_some(&leg.reaction.key),
                runs: leg.runs,
                assumed_vessel_J_per_K: assumed.map(|v| v.0),
            },
            determination: Determination {
                reaction: &s.determination.reaction.key,
                runs: s.determination.runs,
            },
            cycle: s.is_cycle().then_some(&s.cycle.text),
        }
    }
}

/// The whole forecast; energies in J/mol, all numbers raw (unrounded), null where there is none.
pub fn forecast_json(f: &Forecast, extras: &Extras) -> Value {
    let s = &f.scenario;
    let answer = Answer {
        forecast: f,
        accepted_u_J_per_mol: s.tabulated_u().0,
        compared_u_J_per_mol: f.compared(),
        tabulated_J_per_mol: s.tabulated().0,
        quoted_at_C: s.target.quote_at.0,
        band: f.in_band.map(|share_within| Band {
            half_width: s.target.band,
            about: match f.beside.medium {
                Some(_) => "true value in the medium",
                None => "accepted value",
            },
            share_within,
        }),
        calibration_change_of_temperature_K: &f.changes[0],
        determination_change_of_temperature_K: &f.changes[1],
        claims: Claims {
            scatter: f.scatter_claim,
            linear: f.linear_claim,
        },
        linear_budget: Budget::from(&f.budget),
        reductions: &extras.ways,
        class: extras.class,
    };
    let mut headed = Headed::of(s, f.seed, answer);
    headed.scenario.procedure = Some(Procedure::of(s));
    document(SCHEMA, headed)
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
