//! A run as the procedure states it: what it is expected to do if nothing errs.

use super::chemistry::{Charge, Heat, Per};
use super::leg::{Leg, LiquidBy};
use super::model::Room;
use super::record::Record;
use super::source::SourceId;
use crate::quantity::{
    Celsius, Gram, Joule, JoulePerKelvin, JoulePerMole, Kelvin, Millilitre, Mole, Second,
};

impl Leg {
    /// Target mass of solid in a run, counted from 0.
    pub fn mass_of(&self, run: u32) -> Gram {
        self.masses.get(run as usize).copied().unwrap_or(self.mass)
    }

    /// Mass of liquid as the procedure states it, at the stated room temperature.
    pub fn nominal_liquid(&self, room: &Room) -> Gram {
        match self.liquid_by {
            LiquidBy::Volume { nominal, .. } => nominal * self.liquid.density_at(room.temperature),
            LiquidBy::Weighed { nominal } => nominal,
        }
    }

    /// Volume of liquid as the procedure states it.
    pub fn nominal_volume(&self, room: &Room) -> Millilitre {
        match self.liquid_by {
            LiquidBy::Volume { nominal, .. } => nominal,
            LiquidBy::Weighed { nominal } => nominal / self.liquid.density_at(room.temperature),
        }
    }

    /// Volume of the portion that enters with the charge; 0 without one.
    pub fn portion_volume(&self) -> Millilitre {
        match self.portion.as_ref().map(|p| p.by) {
            Some(LiquidBy::Volume { nominal, .. }) => nominal,
            _ => Millilitre(0.0),
        }
    }

    /// Its mass.
    pub fn nominal_portion(&self, room: &Room) -> Gram {
        self.portion.as_ref().map_or(Gram(0.0), |p| {
            self.portion_volume() * p.liquid.density_at(room.temperature)
        })
    }

    /// Amount of the charge's substance.
    pub fn nominal_charge(&self) -> Mole {
        match self.charge {
            Charge::Liquid { concentration } => concentration * self.portion_volume(),
            _ => self.mass * self.label_purity / self.reaction.molar_mass,
        }
    }

    /// Mass of the charge's substance, dissolved or not.
    pub fn nominal_substance(&self) -> Gram {
        match self.charge {
            Charge::Liquid { .. } => self.nominal_charge() * self.reaction.molar_mass,
            _ => self.mass,
        }
    }

    /// Extent of reaction, per mole of the charge: `min n_i / nu_i`.
    pub fn nominal_extent(&self, room: &Room) -> Mole {
        let liquid = self.nominal_volume(room);
        let limits = self.reagents.iter().map(|r| r.nominal(liquid) / r.nu);
        Mole(limits.fold(self.nominal_charge().0, f64::min))
    }

    /// How much more of every other reagent there is than the one that the result is stated per
    /// mole of can use up, as a fraction; `None` if nothing else is known to be limited.
    pub fn nominal_margin(&self, room: &Room) -> Option<f64> {
        let liquid = self.nominal_volume(room);
        let charge = self.nominal_charge().0;
        let of = |at: usize| self.reagents[at].nominal(liquid) / self.reagents[at].nu;
        let named = match self.per {
            Per::Charge => charge,
            Per::Reagent(at) => of(at),
        };
        let others = (0..self.reagents.len()).filter(|at| self.per != Per::Reagent(*at));
        let others = others.map(of);
        let charge = (self.per != Per::Charge).then_some(charge);
        let least = others.chain(charge).reduce(f64::min)?;
        Some(least / named - 1.0)
    }

    /// Heat capacity of the contents with the target amounts mixed.
    pub fn nominal_contents(&self, room: &Room) -> JoulePerKelvin {
        let liquid = self.nominal_liquid(room) * self.liquid.heat_capacity_at(room.temperature);
        let portion = self.portion.as_ref().map_or(JoulePerKelvin(0.0), |p| {
            self.nominal_portion(room) * p.liquid.heat_capacity_at(room.temperature)
        });
        liquid + portion + self.nominal_substance() * self.reaction.solute_heat
    }

    /// Molality of the solution with the target amounts mixed, mol/kg.
    pub fn nominal_molality(&self, room: &Room) -> f64 {
        let liquid = self.nominal_liquid(room) + self.nominal_portion(room);
        self.nominal_charge().0 / (liquid.0 * 1e-3)
    }

    /// Heat of a mole of the charge in the state in which it enters, at 25 °C and in the tabulated
    /// state.
    pub fn charge_enthalpy(&self) -> JoulePerMole {
        match self.charge {
            Charge::Dropped | Charge::Metal => self.reaction.enthalpy + self.reaction.dissolving,
            Charge::Beforehand { .. } | Charge::Liquid { .. } => self.reaction.enthalpy,
        }
    }

    /// Moles of what the result is stated for that go with a mole of the charge.
    pub fn nu(&self) -> f64 {
        match self.per {
            Per::Charge => 1.0,
            Per::Reagent(at) => self.reagents[at].nu,
        }
    }

    /// The tabulated enthalpy at a temperature, per mole of what the result is stated for.
    pub fn accepted_at(&self, t: Celsius) -> JoulePerMole {
        let own = self.charge_enthalpy() + self.reaction.slope * (t - self.reaction.at);
        own / self.nu()
    }

    /// Heat that a run releases if nothing errs.
    pub fn nominal_heat(&self, room: &Room) -> Joule {
        match self.heat {
            Heat::Electrical(h) => h.voltage * h.current * h.time,
            Heat::HotWater { hot, cold } => {
                let portion = self.portion.as_ref().map_or(JoulePerKelvin(0.0), |p| {
                    self.nominal_portion(room) * p.liquid.heat_capacity_at(room.temperature)
                });
                portion * (hot - cold)
            }
            Heat::Reaction => {
                let enthalpy = self.charge_enthalpy()
                    + self.reaction.slope * (room.temperature - self.reaction.at)
                    + self
                        .reaction
                        .dilution
                        .from_state(self.nominal_molality(room))
                    + JoulePerMole(self.binding(SourceId::MediumShift).input.ideal);
                -(self.nominal_extent(room) * enthalpy)
            }
        }
    }

    /// Change of temperature that it makes.
    pub fn nominal_change(&self, room: &Room) -> Kelvin {
        self.nominal_change_at(room, 0.5)
    }

    /// The same in a vessel whose heat capacity is at this quantile of what it may be.
    pub fn nominal_change_at(&self, room: &Room, quantile: f64) -> Kelvin {
        let vessel = &self.binding(SourceId::VesselHeat).input.dist;
        let vessel = JoulePerKelvin(vessel.quantile(quantile));
        self.nominal_heat(room) / (vessel + self.nominal_contents(room))
    }

    /// The largest change of temperature, up or down: that of the heaviest mass which may be weighed.
    pub fn largest_change(&self, room: &Room) -> Kelvin {
        let [target, most] = [self, &self.heaviest()].map(|leg| leg.nominal_change(room).0.abs());
        Kelvin(target.max(most))
    }

    /// The smallest change of temperature, up or down: that of the lightest mass which may be weighed.
    pub fn smallest_change(&self, room: &Room) -> Kelvin {
        let [target, least] = [self, &self.lightest()].map(|leg| leg.nominal_change(room).0.abs());
        Kelvin(target.min(least))
    }

    /// The same leg with the heaviest mass of its window as the target.
    pub fn heaviest(&self) -> Self {
        let window = &self.binding(SourceId::Window).input.dist;
        let most = self.masses.iter().fold(self.mass.0, |m, x| m.max(x.0));
        self.weighing(most + window.quantile(1.0 - 1e-12).max(0.0))
    }

    /// The same leg with the lightest mass of its window as the target.
    pub fn lightest(&self) -> Self {
        let window = &self.binding(SourceId::Window).input.dist;
        let least = self.masses.iter().fold(self.mass.0, |m, x| m.min(x.0));
        self.weighing(least + window.quantile(1e-12).min(0.0))
    }

    fn weighing(&self, mass: f64) -> Self {
        Self {
            mass: Gram(mass),
            masses: Vec::new(),
            ..self.clone()
        }
    }

    /// When readings begin to count as readings after mixing.
    pub fn read_from(&self) -> Second {
        match self.record {
            Record::TwoReadings { read_at, .. } => read_at,
            Record::Trace { settle, .. } => settle,
        }
    }

    /// How long a run waits and is recorded.
    pub fn nominal_length(&self) -> Second {
        let wait = match self.charge {
            Charge::Beforehand { wait } => wait.0,
            _ => 0.0,
        };
        let record = match self.record {
            Record::TwoReadings { before, read_at } => before.0 + read_at.0,
            Record::Trace { fore, after, .. } => fore.0 + after.0,
        };
        Second(wait + record)
    }

    /// What the thermometer can tell apart at all, K: its last digit or the width of its noise, whichever
    /// is larger.
    pub fn reading_step(&self) -> f64 {
        let [digit, noise] = self.digit_and_noise();
        digit.max(noise)
    }

    fn digit_and_noise(&self) -> [f64; 2] {
        let noise = &self.binding(SourceId::Noise).input.dist;
        [
            self.binding(SourceId::Resolution).input.dist.mean(),
            noise.standard_uncertainty(),
        ]
    }

    /// Whether the thermometer's noise is there, but smaller than the last digit: then it also spreads the readings over
    /// several digits, and less of it can be worse.
    pub fn noise_within_a_digit(&self) -> bool {
        let [digit, noise] = self.digit_and_noise();
        noise > 0.0 && noise < digit
    }

    /// What makes the heat, in words.
    pub fn what(&self) -> String {
        match self.heat {
            Heat::Reaction => self.reaction.title.clone(),
            Heat::Electrical(_) => "electrical heating".to_owned(),
            Heat::HotWater { .. } => "hot and cold water".to_owned(),
        }
    }
}
