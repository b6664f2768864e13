//! What a source is when the scenario does not say: as the library has it, else none.

use super::entries::LegEntries;
use super::source::{Known, Source, Usual};
use crate::library::{Balance, ErrorFact, Fact};
use crate::quantity::parse_measured;
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

    fn known(known: Known) -> Self {
        match known {
            Known::Fact(f) => Self::fact(f),
            Known::Error(f) => Self::error(f),
            Known::Exact(value) => Self::exact(value),
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

/// What a source is where the scenario does not say.
pub(super) fn library(source: &Source, entries: &LegEntries) -> Default {
    let known = match source.library {
        Usual::Nothing => None,
        Usual::Balance(_) | Usual::Weighing(_) => {
            let own = entries.balance.and_then(|b| of_balance(b, source));
            return own.unwrap_or_else(|| Default::exact(0.0));
        }
        Usual::Thermometer(of) => entries.thermometer.map(of),
        Usual::Vessel(of) => entries.vessel.map(of),
        Usual::Device(of) => entries.device.map(of),
        Usual::Substance(of) => Some(of(entries.substance)),
        Usual::Liquid(of) => Some(of(entries.liquid)),
        Usual::PortionLiquid(of) => Some(of(entries.portion_liquid)),
        Usual::Reaction(of) => Some(of(entries.reaction)),
        // A value published per gram needs no molar mass.
        Usual::MolarMass if entries.reaction.per_gram && entries.calibrates => {
            Some(Known::Exact(entries.substance.molar_mass.value))
        }
        Usual::MolarMass => Some(Known::Fact(&entries.substance.molar_mass)),
        Usual::Chance => {
            return Default {
                dist: Dist::rectangular(0.0, 1.0).expect("valid"),
                text: "chance".to_owned(),
                ..Default::exact(0.0)
            };
        }
    };
    known.map_or_else(|| Default::exact(0.0), Default::known)
}

/// What a source is with this balance; none, if it is no source of balances.
pub(super) fn of_balance(balance: &Balance, source: &Source) -> Option<Default> {
    match source.library {
        Usual::Balance(of) => Some(Default::known(of(balance))),
        Usual::Weighing(text) => {
            let m = parse_measured(text, source.dimension).expect("the table of sources is right");
            Some(Default {
                value: m.value,
                dist: m.dist,
                text: text.to_owned(),
            })
        }
        _ => None,
    }
}
