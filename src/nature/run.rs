//! One run: weigh, deliver, dissolve, and a thermometer in the vessel.

use super::deliver;
use super::dissolve::fraction;
use super::inspect::chance;
use super::lag::AtEnd;
use super::sensor::{SensorErrors, shown};
use super::vessel::Curve;
use super::weigh::{Weighed, by_difference};
use crate::quantity::{
    Celsius, Gram, GramPerMole, Joule, JoulePerGramKelvin, JoulePerKelvin, JoulePerMole,
    JoulePerMoleKelvin, Kelvin, KelvinPerSecond, Millilitre, Mole, PerSecond, Second, Watt,
};
use crate::random::{BLOCK, Column, Draws};
use crate::scenario::{At, LawOfDissolving, Leg, LiquidBy, Record, Room, SourceId};

/// Liquids are weighed in a vessel of about this mass; it matters for rounding only.
const LIQUID_VESSEL: Gram = Gram(80.0);

/// Density of the liquid when its own buoyancy is reckoned: near enough that of water.
const LIQUID_DENSITY: crate::quantity::GramPerMillilitre = crate::quantity::GramPerMillilitre(1.0);

/// What a group has for its whole session in one leg.
#[derive(Debug, Clone)]
pub struct Group<'a> {
    leg: &'a Leg,
    room: Room,
    place: u32,
    temperature: Column<Celsius>,
    specific_heat: Column<JoulePerGramKelvin>,
    water_heat: JoulePerGramKelvin,
    solute_heat: Column<JoulePerGramKelvin>,
    device_error: Column<Millilitre>,
    vessel: Column<JoulePerKelvin>,
    leak: Column<PerSecond>,
    stirring: Column<Watt>,
    offset: Column<Kelvin>,
    gain: Column<f64>,
    resolution: Column<Kelvin>,
    lag: Column<Second>,
    purity: Column<f64>,
    molar_mass: Column<GramPerMole>,
    enthalpy: Column<JoulePerMole>,
    slope: Column<JoulePerMoleKelvin>,
}

impl<'a> Group<'a> {
    /// Draws what does not change between the runs of a leg.
    pub fn new(leg: &'a Leg, room: Room, draws: &Draws) -> Self {
        use SourceId as S;
        let at = At::default();
        let temperature: Column<Celsius> = leg.draw(draws, S::RoomTemperature, at);
        let liquid_error: Column<f64> = leg.draw(draws, S::LiquidHeat, at);
        let fillings = match leg.liquid_by {
            LiquidBy::Volume { fillings, .. } => f64::from(fillings),
            LiquidBy::Weighed { .. } => 0.0,
        };
        let mark: Column<Millilitre> = leg.draw(draws, S::Tolerance, at);
        Self {
            leg,
            room,
            place: u32::from(leg.name == "determination"),
            specific_heat: Column::from_fn(|i| {
                leg.liquid.heat_capacity_at(temperature[i]) * (1.0 + liquid_error[i])
            }),
            water_heat: leg.liquid.heat_capacity_at(room.temperature),
            temperature,
            solute_heat: leg.draw(draws, S::SoluteHeat, at),
            device_error: Column::from_fn(|i| mark[i] * fillings),
            vessel: leg.draw(draws, S::VesselHeat, at),
            leak: leg.draw(draws, S::Leak, at),
            stirring: leg.draw(draws, S::Stirring, at),
            offset: leg.draw(draws, S::Offset, at),
            gain: leg.draw(draws, S::ThermometerGain, at),
            resolution: leg.draw(draws, S::Resolution, at),
            lag: leg.draw(draws, S::Lag, at),
            purity: leg.draw(draws, S::Purity, at),
            molar_mass: leg.draw(draws, S::MolarMass, at),
            enthalpy: leg.draw(draws, S::ReactionEnthalpy, at),
            slope: leg.draw(draws, S::ReactionSlope, at),
        }
    }

    /// The leg it belongs to.
    pub fn leg(&self) -> &'a Leg {
        self.leg
    }

    /// The molar enthalpy that a perfect determination at temperature `t` would find, in the
    /// tabulated state: what the lab's value is compared with.
    pub fn enthalpy_at(&self, t: Celsius) -> Column<JoulePerMole> {
        Column::from_fn(|i| self.enthalpy[i] + self.slope[i] * (t - self.leg.reaction.at))
    }
}

/// One run as it happened.
#[derive(Debug, Clone)]
pub struct Run<'a> {
    group: &'a Group<'a>,
    draws: Draws<'a>,
    at: At,
    start: Second,
    curve: Curves,
    drift: Column<KelvinPerSecond>,
    /// What the balance said of the solid.
    pub recorded_solid: Column<Gram>,
    /// What the balance said of the liquid, if it was weighed.
    pub recorded_liquid: Option<Column<Gram>>,
    /// Solid that is left over when the record ends.
    pub residue: Column<Gram>,
}

#[derive(Debug, Clone)]
struct Curves {
    law: LawOfDissolving,
    from: Column<Celsius>,
    surroundings: Column<Kelvin>,
    stirring: Column<KelvinPerSecond>,
    ambient_drift: Column<KelvinPerSecond>,
    rise: Column<Kelvin>,
    time: Column<Second>,
    end: Column<AtEnd>,
}

impl<'a> Run<'a> {
    /// Carries out run number `run`, at its `attempt`-th repeat.
    pub fn new(group: &'a Group<'a>, draws: Draws<'a>, run: u32, attempt: u32) -> Self {
        use SourceId as S;
        let leg = group.leg;
        let at = At {
            run,
            attempt,
            reading: 0,
        };
        // Weigh: the window decides how much is tipped in.
        let off_target: Column<Gram> = leg.draw(&draws, S::Window, at);
        let solid = Column::from_fn(|i| leg.mass + off_target[i]);
        let recorded_solid = by_difference(
            &leg.bindings,
            &draws,
            Weighed::Solid,
            (group.place, at),
            &solid,
            leg.reaction.density,
            leg.boat,
        );
        // Deliver.
        let liquid = liquid_mass(group, &draws, at);
        let recorded_liquid = leg.liquid_balance.as_ref().map(|bindings| {
            by_difference(
                bindings,
                &draws,
                Weighed::Liquid,
                (group.place, at),
                &liquid,
                LIQUID_DENSITY,
                LIQUID_VESSEL,
            )
        });
        // Into the vessel: some solid stays behind, some rinse water is there already.
        let lost: Column<Gram> = leg.draw(&draws, S::TransferLoss, at);
        let rinse: Column<Millilitre> = leg.draw(&draws, S::Rinse, at);
        let change: Column<f64> = leg.draw(&draws, S::VesselChange, at);
        let in_vessel = Column::from_fn(|i| solid[i] - lost[i]);
        let capacity = Column::from_fn(|i| {
            group.vessel[i] * (1.0 + change[i])
                + liquid[i] * group.specific_heat[i]
                + in_vessel[i] * group.solute_heat[i]
                + (rinse[i] * LIQUID_DENSITY) * group.water_heat
        });
        // Dissolve.
        let leftover: Column<f64> = leg.draw(&draws, S::Leftover, at);
        let time: Column<Second> = leg.draw(&draws, S::DissolvingTime, at);
        let start = start_of(leg.record);
        let difference: Column<Kelvin> = leg.draw(&draws, S::Disequilibrium, at);
        let ambient_drift: Column<KelvinPerSecond> = leg.draw(&draws, S::AmbientDrift, at);
        let mut curve = Curves {
            law: leg.law,
            from: Column::from_fn(|i| group.temperature[i] + difference[i]),
            surroundings: Column::from_fn(|i| -difference[i]),
            stirring: Column::from_fn(|i| group.stirring[i] / capacity[i]),
            ambient_drift,
            rise: Column::splat(Kelvin(0.0)),
            time,
            end: Column::splat(AtEnd::default()),
        };
        for i in 0..BLOCK {
            let amount: Mole = in_vessel[i] * group.purity[i] / group.molar_mass[i];
            let molality = amount.0 / ((liquid[i] + rinse[i] * LIQUID_DENSITY).0 * 1e-3);
            let mixing = curve.at(group, i, start).base(Second(0.0));
            let enthalpy = group.enthalpy[i]
                + group.slope[i] * (mixing - leg.reaction.at)
                + leg.reaction.dilution.from_state(molality);
            let heat: Joule = -(amount * (1.0 - leftover[i]) * enthalpy);
            curve.rise[i] = heat / capacity[i];
            curve.end[i] = curve.at(group, i, start).at_end();
        }
        let end = end_of(leg.record);
        let residue = Column::from_fn(|i| {
            let dissolved = fraction(leg.law, curve.time[i], end) * (1.0 - leftover[i]);
            in_vessel[i] * (1.0 - dissolved)
        });
        Self {
            residue,
            group,
            draws,
            at,
            start,
            curve,
            drift: leg.draw(&draws, S::Drift, at),
            recorded_solid,
            recorded_liquid,
        }
    }

    /// Whether the inspection at the end notices solid that is left over.
    pub fn noticed(&self) -> Column<bool> {
        let luck: Column<f64> = self
            .group
            .leg
            .draw(&self.draws, SourceId::Noticing, self.at);
        Column::from_fn(|i| luck[i] < chance(self.group.leg.inspection, self.residue[i]))
    }

    /// What the thermometer shows at `t` (zero: mixing). Each reading of a run has its own
    /// number; the number, not the order of asking, decides its noise.
    pub fn reading(&self, number: u32, t: Second) -> Column<Celsius> {
        let at = At {
            reading: number,
            ..self.at
        };
        let noise: Column<Kelvin> = self.group.leg.draw(&self.draws, SourceId::Noise, at);
        Column::from_fn(|i| self.shown(i, t, noise[i], self.group.resolution[i]))
    }

    /// What it would show without noise and with endless digits: for reductions whose noise is
    /// known exactly.
    pub fn smooth_reading(&self, t: Second) -> Column<Celsius> {
        Column::from_fn(|i| self.shown(i, t, Kelvin(0.0), Kelvin(0.0)))
    }

    #[inline]
    fn shown(&self, i: usize, t: Second, noise: Kelvin, resolution: Kelvin) -> Celsius {
        let errors = SensorErrors {
            offset: self.group.offset[i],
            gain: self.group.gain[i],
            pivot: self.group.room.temperature,
            drift: self.drift[i],
        };
        let curve = self.curve.at(self.group, i, self.start);
        let felt = curve.felt_from(t, self.curve.end[i]);
        shown(felt, errors, t - self.start, noise, resolution)
    }

    /// True change of temperature at the moment of mixing of one trial: all the heat of the run over
    /// its heat capacity.
    pub fn true_rise(&self, trial: usize) -> Kelvin {
        self.curve.rise[trial]
    }

    /// True temperature of one trial of the block.
    pub fn truth(&self, trial: usize, t: Second) -> Celsius {
        self.curve.at(self.group, trial, self.start).temperature(t)
    }
}

impl Curves {
    #[inline]
    fn at(&self, group: &Group, i: usize, start: Second) -> Curve {
        Curve {
            start,
            from: self.from[i],
            leak: group.leak[i],
            surroundings: self.surroundings[i],
            stirring: self.stirring[i],
            ambient_drift: self.ambient_drift[i],
            rise: self.rise[i],
            law: self.law,
            time: self.time[i],
            lag: group.lag[i],
        }
    }
}

/// The record starts with its first reading.
fn start_of(record: Record) -> Second {
    match record {
        Record::TwoReadings { before, .. } => -before,
        Record::Trace { fore, .. } => -fore,
    }
}

/// When the record ends and the vessel is looked into.
fn end_of(record: Record) -> Second {
    match record {
        Record::TwoReadings { read_at, .. } => read_at,
        Record::Trace { after, .. } => after,
    }
}

fn liquid_mass(group: &Group, draws: &Draws, at: At) -> Column<Gram> {
    let leg = group.leg;
    match leg.liquid_by {
        LiquidBy::Weighed { nominal } => Column::splat(nominal),
        LiquidBy::Volume {
            nominal,
            fillings,
            expansion,
        } => {
            let mut scatter = Column::splat(Millilitre(0.0));
            for reading in 0..fillings {
                let one: Column<Millilitre> =
                    leg.draw(draws, SourceId::Filling, At { reading, ..at });
                for i in 0..BLOCK {
                    scatter[i] = scatter[i] + one[i];
                }
            }
            Column::from_fn(|i| {
                let t = group.temperature[i];
                let v = deliver::volume(nominal, expansion, t, group.device_error[i], scatter[i]);
                deliver::mass(v, leg.liquid.density_at(t))
            })
        }
    }
}
