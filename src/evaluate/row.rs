//! From a row of the table to what the lab computes with.
//!
//! A mass is the indication, net or gross less tare, times the correction for buoyancy if the lab makes it; a volume times
//! the density of the liquid at the room's temperature of that run. `Delta T` is what is written, or final less initial, or
//! what the lab's reduction makes of the run's record. What is missing and is stated by the procedure stands in, and is told.

use super::record::{ReducedRecord, reduce};
use crate::experiment::{LIQUID, buoyancy_correction, reagent_density};
use crate::lab::RunSeen;
use crate::measured::{FileProblem, MeasuredRecord, RunColumn, RunRow};
use crate::quantity::{Celsius, Gram, GramPerMillilitre, Joule, Kelvin};
use crate::scenario::{Heat, Leg, LiquidBy, MassUsed, Scenario};

/// Reads one row.
pub(super) struct Writer<'w> {
    pub(super) scenario: &'w Scenario,
    pub(super) leg: &'w Leg,
    pub(super) row: &'w RunRow,
    pub(super) file: &'w str,
    pub(super) problems: &'w mut Vec<FileProblem>,
    pub(super) stood_in: &'w mut Vec<(String, String)>,
}

impl Writer<'_> {
    fn value(&self, column: RunColumn) -> Option<f64> {
        self.row.value(column)
    }

    fn missing(&mut self, what: &str, hint: &str) {
        self.problems.push(FileProblem {
            file: self.file.to_owned(),
            line: Some(self.row.line),
            column: None,
            message: format!("run {}: {what} is missing", self.row.label),
            hint: Some(hint.to_owned()),
        });
    }

    fn stands_in(&mut self, what: String) {
        self.stood_in.push((what, self.row.label.clone()));
    }

    /// Net mass as indicated.
    fn net(&self, [gross, tare, net]: [RunColumn; 3]) -> Option<f64> {
        let difference = || Some(self.value(gross)? - self.value(tare)?);
        self.value(net).or_else(difference)
    }

    pub(super) fn run(
        &mut self,
        record: Option<&MeasuredRecord>,
    ) -> Option<(RunSeen, Option<ReducedRecord>)> {
        use RunColumn as C;
        let problems = self.problems.len();
        let (scenario, leg) = (self.scenario, self.leg);
        let record = record.and_then(|r| {
            let at = self.value(C::MixedAt);
            match reduce(leg, r, at) {
                Ok(reduced) => Some(reduced),
                Err(mut found) => {
                    self.problems.append(&mut found);
                    None
                }
            }
        });
        let (change, mixing) = self.temperatures(record.as_ref());
        let seen = RunSeen {
            solid: self.solid(),
            liquid: self.liquid(),
            portion: self.portion(),
            reagent: self.reagent(),
            change: Kelvin(change),
            mixing: Celsius(mixing),
            hot: match leg.heat {
                Heat::HotWater { .. } => Celsius(self.value(C::Hot).unwrap_or_else(|| {
                    self.missing("the temperature of the hot water", "column `hot`, °C");
                    f64::NAN
                })),
                Heat::Reaction | Heat::Electrical(_) => Celsius(0.0),
            },
            weighed_at: record.as_ref().map_or(0.0, |r| r.weighed_at),
            heat: self.heat(),
            ..RunSeen::default()
        };
        let room = scenario.room.temperature.0;
        if !(mixing - room).abs().le(&60.0) && mixing.is_finite() {
            self.stands_in(format!(
                "a temperature of {mixing:.1} °C where the room is at {room:.1} °C: check its unit"
            ));
        }
        (self.problems.len() == problems).then_some((seen, record))
    }

    /// Change of temperature and temperature of mixing.
    fn temperatures(&mut self, record: Option<&ReducedRecord>) -> (f64, f64) {
        use RunColumn as C;
        let [initial, last] = [C::Initial, C::Final].map(|c| self.value(c));
        let written = self.value(C::Change).or(match (initial, last) {
            (Some(a), Some(b)) => Some(b - a),
            _ => None,
        });
        if let (Some(_), Some(_)) = (written, record) {
            self.stands_in(
                "both a record and a written change of temperature: the record counts".to_owned(),
            );
        }
        let change = record.map(|r| r.change).or(written).unwrap_or_else(|| {
            self.missing(
                "the change of temperature",
                "a column `change`, or `initial` and `final`, or the name of a `record`",
            );
            f64::NAN
        });
        if change == 0.0 {
            self.missing(
                "a change of temperature other than zero",
                "nothing can be divided by it",
            );
        }
        let mixing = self
            .value(C::Mixing)
            .or(record.map(|r| r.mixing))
            .or(initial);
        let mixing = mixing.or_else(|| self.value(C::Room)).unwrap_or_else(|| {
            let room = self.scenario.room.temperature.0;
            self.stands_in(format!(
                "no temperature of mixing: the procedure's {room:.1} °C is taken"
            ));
            room
        });
        (change, mixing)
    }

    fn solid(&mut self) -> Gram {
        use RunColumn as C;
        let leg = self.leg;
        if leg.mass.0 <= 0.0 {
            return Gram(0.0);
        }
        if self.scenario.lab.mass == MassUsed::Nominal {
            self.stands_in(format!(
                "the lab computes with the nominal mass of {} g",
                leg.mass.0
            ));
            return leg.mass;
        }
        let factor = buoyancy_correction(self.scenario, leg.reaction.density);
        match self.net([C::SolidGross, C::SolidTare, C::Solid]) {
            Some(net) => Gram(net * factor),
            None => {
                self.missing(
                    &format!("the mass of {}", leg.reaction.substance),
                    "columns `solid_gross` and `solid_tare`, or `solid`",
                );
                Gram(f64::NAN)
            }
        }
    }

    fn density(&self, of: impl Fn(Celsius) -> GramPerMillilitre) -> GramPerMillilitre {
        let room = self.scenario.room.temperature;
        of(self.value(RunColumn::Room).map_or(room, Celsius))
    }

    fn liquid(&mut self) -> Gram {
        use RunColumn as C;
        let leg = self.leg;
        if let Some(net) = self.net([C::LiquidGross, C::LiquidTare, C::Liquid]) {
            return Gram(net * buoyancy_correction(self.scenario, LIQUID));
        }
        let volume = self.value(C::LiquidVolume);
        match (volume, leg.liquid_by) {
            (Some(volume), _) if self.scenario.lab.volume_as_mass => Gram(volume),
            (Some(volume), _) => Gram(volume * self.density(|t| leg.liquid.density_at(t)).0),
            (None, LiquidBy::Volume { nominal, .. }) => {
                self.stands_in(format!(
                    "no volume of liquid: the procedure's {} mL is taken",
                    nominal.0
                ));
                if self.scenario.lab.volume_as_mass {
                    Gram(nominal.0)
                } else {
                    leg.nominal_liquid(&self.scenario.room)
                }
            }
            (None, LiquidBy::Weighed { .. }) => {
                self.missing(
                    "the mass of the liquid",
                    "columns `liquid_gross` and `liquid_tare`, or `liquid`",
                );
                Gram(f64::NAN)
            }
        }
    }

    fn portion(&mut self) -> Gram {
        use RunColumn as C;
        let leg = self.leg;
        let Some(portion) = &leg.portion else {
            return Gram(0.0);
        };
        let as_mass = self.scenario.lab.volume_as_mass;
        match (self.value(C::Portion), self.value(C::PortionVolume)) {
            (Some(mass), _) => Gram(mass * buoyancy_correction(self.scenario, LIQUID)),
            (None, Some(volume)) if as_mass => Gram(volume),
            (None, Some(volume)) => Gram(volume * self.density(|t| portion.liquid.density_at(t)).0),
            (None, None) => {
                let volume = leg.portion_volume().0;
                self.stands_in(format!(
                    "no volume of the portion: the procedure's {volume} mL is taken"
                ));
                if as_mass {
                    Gram(volume)
                } else {
                    leg.nominal_portion(&self.scenario.room)
                }
            }
        }
    }

    fn reagent(&mut self) -> Gram {
        use RunColumn as C;
        let Some(density) = reagent_density(self.leg) else {
            return Gram(0.0);
        };
        match self.net([C::ReagentGross, C::ReagentTare, C::Reagent]) {
            Some(net) => Gram(net * buoyancy_correction(self.scenario, density)),
            None => {
                self.missing(
                    "the mass of the reagent that the result is stated for",
                    "columns `reagent_gross` and `reagent_tare`, or `reagent`",
                );
                Gram(f64::NAN)
            }
        }
    }

    /// Heat of a heater beyond that of the procedure's readings: `U I t - (U I t)_stated`.
    fn heat(&mut self) -> Joule {
        use RunColumn as C;
        let Heat::Electrical(h) = self.leg.heat else {
            return Joule(0.0);
        };
        let stated = [h.voltage.0, h.current.0, h.time.0];
        let names = [("voltage", "V"), ("current", "A"), ("time", "s")];
        let mut own = [0.0; 3];
        for (i, column) in [C::Voltage, C::Current, C::Time].into_iter().enumerate() {
            own[i] = self.value(column).unwrap_or_else(|| {
                let ((name, unit), value) = (names[i], stated[i]);
                self.stands_in(format!(
                    "no {name} of the heater: the procedure's {value} {unit} is taken"
                ));
                value
            });
        }
        if own == stated {
            return Joule(0.0);
        }
        Joule(own.iter().product::<f64>() - stated.iter().product::<f64>())
    }
}
