//! Calorimeter vessels.

use super::error::LibraryError;
use super::fact::{ErrorFact, Fact, RawError, RawFact, Reader};
use super::kind::Kind;
use super::sheet::Sheet;
use crate::quantity::Dimension;
use serde::Deserialize;

/// A vessel with lid, stirrer and whatever dips in.
#[derive(Debug, Clone)]
pub struct Vessel {
    /// Key.
    pub key: String,
    /// Title.
    pub title: String,
    /// Heat capacity without the liquid, J/K.
    pub heat_capacity: Fact,
    /// How much the heat capacity differs from run to run, fraction.
    pub run_to_run: ErrorFact,
    /// Rate constant of heat exchange with the surroundings, 1/s, with about 100 g of liquid.
    pub leak: Fact,
    /// Heat of stirring, W.
    pub stirring: Fact,
    /// What can hurt people or the environment.
    pub cautions: Vec<String>,
    /// How to handle it so that the numbers are good.
    pub advice: Vec<String>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawVessel {
    title: String,
    heat_capacity: RawFact,
    run_to_run: RawError,
    leak: RawFact,
    stirring: RawFact,
    #[serde(default)]
    cautions: Vec<String>,
    #[serde(default)]
    advice: Vec<String>,
}

impl RawVessel {
    pub fn read(self, key: &str, reader: &Reader) -> Result<Vessel, LibraryError> {
        let heat_capacity = "heat_capacity";
        Ok(Vessel {
            key: key.to_owned(),
            title: self.title,
            heat_capacity: reader.positive(
                heat_capacity,
                &self.heat_capacity,
                Dimension::HeatCapacity,
            )?,
            run_to_run: reader.error("run_to_run", &self.run_to_run, Dimension::Fraction)?,
            leak: reader.positive("leak", &self.leak, Dimension::Rate)?,
            stirring: reader.positive("stirring", &self.stirring, Dimension::Power)?,
            cautions: self.cautions,
            advice: self.advice,
        })
    }
}

impl Vessel {
    pub(super) fn sheet(&self) -> Sheet {
        Sheet::new(&self.key, &self.title, Kind::Vessel)
            .fact("heat_capacity", &self.heat_capacity)
            .error("run_to_run", &self.run_to_run)
            .fact("leak", &self.leak)
            .fact("stirring", &self.stirring)
            .cautions(&self.cautions, &self.advice)
    }
}

#[cfg(test)]
mod tests {
    use super::super::Library;

    #[test]
    fn better_insulation_leaks_less_and_nothing_can_turn_negative() {
        let library = Library::builtin();
        let order = ["dewar-stoppered", "foam-nested-lid", "foam-single"];
        let leaks = order.map(|k| library.vessel(k).unwrap().leak.value);
        assert!(leaks[0] < leaks[1] && leaks[1] < leaks[2]);
        for v in library.vessels.values() {
            for fact in [&v.heat_capacity, &v.leak, &v.stirring] {
                assert!(fact.dist.quantile(1e-9) > 0.0, "{}: {}", v.key, fact.text);
            }
        }
    }
}
