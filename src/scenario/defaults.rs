//! What a source is when the scenario does not say: as the library has it, else none.

use super::shelf::Shelf;
use super::source::SourceId;
use crate::library::{Balance, ErrorFact, Fact, Thermometer, Vessel};
use crate::quantity::{Dimension, parse_measured};
use crate::random::Dist;

/// What a source is when the scenario does not say.
#[derive(Clone)]
pub(super) struct Default {
    /// Value, in the base unit; 0 for an error.
    pub(super) value: f64,
    /// Its distribution.
    pub(super) dist: Dist,
    /// As stated.
    pub(super) text: String,
}

impl Default {
    pub(super) fn fact(f: &Fact) -> Self {
        Self {
            value: f.value,
            dist: f.dist.clone(),
            text: f.text.clone(),
        }
    }

    pub(super) fn error(f: &ErrorFact) -> Self {
        Self {
            value: 0.0,
            dist: f.dist.clone(),
            text: f.text.clone(),
        }
    }

    pub(super) fn exact(value: f64) -> Self {
        Self {
            value,
            dist: Dist::constant(value),
            text: "none".to_owned(),
        }
    }
}

/// What the library says of a source.
pub(super) fn library(leg: &str, id: SourceId, shelf: &Shelf) -> Default {
    let none = || Default::exact(0.0);
    let found = match id.source().site() {
        "balance" => shelf.balance.and_then(|i| of_balance(i, id)),
        "thermometer" => shelf.thermometer.and_then(|i| of_thermometer(i, id)),
        "vessel" => shelf.vessel.and_then(|i| of_vessel(i, id)),
        _ => None,
    };
    if let Some(found) = found {
        return found;
    }
    match id {
        SourceId::Tolerance => shelf
            .device
            .map_or_else(none, |d| Default::error(&d.tolerance)),
        SourceId::Filling => shelf
            .device
            .map_or_else(none, |d| Default::error(&d.repeatability)),
        SourceId::Purity => Default::fact(&shelf.substance.assay),
        // A value published per gram needs no molar mass.
        SourceId::MolarMass if shelf.reaction.per_gram && leg == "calibration" => {
            Default::exact(shelf.substance.molar_mass.value)
        }
        SourceId::MolarMass => Default::fact(&shelf.substance.molar_mass),
        // A uniform number against the chance of noticing.
        SourceId::Noticing => Dist::rectangular(0.0, 1.0).map_or_else(
            |_| none(),
            |d| Default {
                value: 0.0,
                dist: d,
                text: "chance".to_owned(),
            },
        ),
        SourceId::LiquidConcentration => Default::exact(shelf.liquid.concentration.unwrap_or(0.0)),
        SourceId::PortionConcentration => {
            Default::exact(shelf.portion_liquid.concentration.unwrap_or(0.0))
        }
        SourceId::LiquidHeat => Default::error(&shelf.liquid.cp.error),
        SourceId::LiquidDensity => Default::error(&shelf.liquid.density.error),
        SourceId::SoluteHeat => Default::fact(&shelf.reaction.solute_cp),
        SourceId::ReactionEnthalpy if leg == "calibration" => {
            Default::fact(&shelf.reaction.enthalpy)
        }
        SourceId::ReactionEnthalpy => Default::exact(shelf.reaction.enthalpy.value),
        SourceId::ReactionSlope => Default::fact(&shelf.reaction.slope),
        _ => none(),
    }
}

pub(super) fn of_balance(balance: &Balance, id: SourceId) -> Option<Default> {
    match id {
        SourceId::Readability => Some(Default::fact(&balance.readability)),
        SourceId::Repeatability => Some(Default::error(&balance.repeatability)),
        SourceId::Linearity => Some(Default::error(&balance.linearity)),
        SourceId::BalanceGain => Some(Default::error(&balance.gain)),
        // Air is there whatever the balance; 1.2 kg/m3 with ordinary weather.
        SourceId::AirDensity => parse_measured("1.2 kg/m3, u = 0.02 kg/m3", Dimension::Density)
            .ok()
            .map(|m| Default {
                value: m.value,
                dist: m.dist,
                text: "1.2 kg/m3, u = 0.02 kg/m3".to_owned(),
            }),
        _ => None,
    }
}

fn of_thermometer(t: &Thermometer, id: SourceId) -> Option<Default> {
    match id {
        SourceId::Resolution => Some(Default::fact(&t.resolution)),
        SourceId::Noise => Some(Default::error(&t.noise)),
        SourceId::Offset => Some(Default::error(&t.offset)),
        SourceId::ThermometerGain => Some(Default::error(&t.gain)),
        SourceId::Drift => Some(Default::error(&t.drift)),
        SourceId::Lag => Some(Default::fact(&t.lag)),
        _ => None,
    }
}

fn of_vessel(v: &Vessel, id: SourceId) -> Option<Default> {
    match id {
        SourceId::VesselHeat => Some(Default::fact(&v.heat_capacity)),
        SourceId::VesselChange => Some(Default::error(&v.run_to_run)),
        SourceId::Leak => Some(Default::fact(&v.leak)),
        SourceId::Stirring => Some(Default::fact(&v.stirring)),
        _ => None,
    }
}
