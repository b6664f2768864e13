//! One run: weigh, deliver, mix, dissolve, and a thermometer in the vessel.
//!
//! What meets and what heat comes of it is in [`super::mix`]; that heat comes at the break or by its
//! law, and what was not dissolved at the break comes later, by a law of its own. A linear vessel and a
//! linear sensor answer to the sum with the sum of their answers.

use super::course::Course;
use super::dissolve::response;
use super::group::Group;
use super::inspect::chance;
use super::mix::{contents, mix};
use super::pulse::Pulse;
use super::recorder::Recorder;
use super::sensor::{ROUNDING, SensorErrors, shown};
use super::vessel::Curve;
use super::weigh::{Place, by_difference};
use crate::quantity::{Celsius, Gram, GramPerMillilitre, Kelvin, KelvinPerSecond, Second};
use crate::random::{BLOCK, Column, Dist, DistError, Draws, Input, Name};
use crate::scenario::{At, Heat, LawOfDissolving, Per, Record, SourceId, draw_reading};

/// Liquids are weighed in a vessel of about this mass; it matters for rounding only.
const LIQUID_VESSEL: Gram = Gram(80.0);

/// Density of the liquid when its own buoyancy is reckoned: near enough that of water.
const LIQUID_DENSITY: GramPerMillilitre = GramPerMillilitre(1.0);

/// Number of the reading of hot water before it is poured.
const HOT_READING: u32 = 1 << 27;

/// One run as it happened.
#[derive(Debug, Clone)]
pub struct Run<'a> {
    pub(super) group: &'a Group<'a>,
    pub(super) draws: Draws<'a>,
    pub(super) at: At,
    pub(super) start: Second,
    pub(super) from: Column<Celsius>,
    /// Change of the contents at the start beyond the drift of the surroundings, K/s.
    warming: Column<f64>,
    /// That drift, K/s.
    ambient_drift: Column<f64>,
    /// Heat that begins at the break, and that of what was not dissolved then.
    pulses: Vec<Pulse>,
    drift: Column<KelvinPerSecond>,
    /// What the balance said of the solid.
    pub recorded_solid: Column<Gram>,
    /// What the balance said of the liquid, if it was weighed.
    pub recorded_liquid: Option<Column<Gram>>,
    /// What it said of the reagent that the result is stated per mole of, if that is another solid
    /// than the charge.
    pub recorded_reagent: Option<Column<Gram>>,
    /// Solid that is left over when the record ends.
    pub residue: Column<Gram>,
    /// How much more there is of what should be in excess than is used up, as a fraction: negative
    /// where it runs out, infinite where nothing is known to be limited.
    pub margin: Column<f64>,
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
        let target = leg.mass_of(run);
        let solid = Column::from_fn(|i| target + off_target[i]);
        let recorded_solid = if leg.mass.0 > 0.0 {
            let place = Place::solid(leg.place, at, group.rounding);
            let density = leg.reaction.density;
            by_difference(&leg.bindings, &draws, place, &solid, density, leg.boat)
        } else {
            Column::splat(Gram(0.0))
        };
        let contents = contents(group, &draws, at, &solid);
        // What is missing in the vessel was weighed all the same.
        let recorded_liquid = leg.liquid_balance.as_ref().map(|bindings| {
            let place = Place::liquid(leg.place, at, group.rounding);
            let mass = Column::splat(leg.nominal_liquid(&group.room));
            by_difference(
                bindings,
                &draws,
                place,
                &mass,
                LIQUID_DENSITY,
                LIQUID_VESSEL,
            )
        });
        let recorded_reagent = match leg.per {
            Per::Charge => None,
            Per::Reagent(r) => group.reagents[r].recorded(&draws, (leg.place, group.rounding), at),
        };
        // Temperatures.
        let from = match leg.heat {
            // The cold water is stated as it is when the record starts.
            Heat::HotWater { .. } => leg.draw(&draws, S::ColdWater, at),
            Heat::Reaction | Heat::Electrical(_) => {
                let difference: Column<Kelvin> = leg.draw(&draws, S::Disequilibrium, at);
                Column::from_fn(|i| group.temperature[i] + difference[i])
            }
        };
        let ambient_drift: Column<f64> = leg.draw(&draws, S::AmbientDrift, at);
        let warming = Column::from_fn(|i| {
            let surroundings = group.temperature[i] - from[i];
            let stirring: KelvinPerSecond = group.stirring[i] / contents.capacity[i];
            let leaking: KelvinPerSecond = group.dynamics.leak[i] * surroundings;
            stirring.0 + leaking.0 - ambient_drift[i]
        });
        let start = start_of(&leg.record);
        let before = group.dynamics.step(-start.0);
        let mixing =
            Column::from_fn(|i| from[i] + Kelvin(before.gain(i, warming[i], ambient_drift[i])));
        // Mix and dissolve.
        let mixed = mix(group, &draws, at, &contents, &mixing);
        Self {
            residue: mixed.residue,
            margin: mixed.margin,
            group,
            draws,
            at,
            start,
            from,
            warming,
            ambient_drift,
            pulses: std::iter::once(mixed.main).chain(mixed.late).collect(),
            drift: leg.draw(&draws, S::Drift, at),
            recorded_solid,
            recorded_liquid,
            recorded_reagent,
        }
    }

    /// What the thermometer showed of hot water before it was poured.
    pub fn hot_reading(&self) -> Column<Celsius> {
        let at = At {
            reading: HOT_READING,
            ..self.at
        };
        let leg = self.group.leg;
        let hot: Column<Celsius> = leg.draw(&self.draws, SourceId::HotWater, self.at);
        let noise: Column<Kelvin> = leg.draw(&self.draws, SourceId::Noise, at);
        Column::from_fn(|i| {
            let errors = self.errors(i);
            shown(
                hot[i],
                errors,
                Second(0.0),
                noise[i],
                self.group.resolution[i],
            )
        })
    }

    /// Whether the inspection at the end notices solid that is left over.
    pub fn noticed(&self) -> Column<bool> {
        let chance_draw: Column<f64> =
            self.group
                .leg
                .draw(&self.draws, SourceId::Noticing, self.at);
        Column::from_fn(|i| chance_draw[i] < chance(self.group.leg.inspection, self.residue[i]))
    }

    /// A thermometer at the start of the record.
    pub fn recorder(&self) -> Recorder<'_, 'a> {
        Recorder::new(self)
    }

    #[inline]
    pub(super) fn errors(&self, i: usize) -> SensorErrors {
        SensorErrors {
            offset: self.group.offset[i],
            gain: self.group.gain[i],
            pivot: self.group.room.temperature,
            drift: self.drift[i],
        }
    }

    /// Number and attempt.
    pub fn number(&self) -> (u32, u32) {
        (self.at.run, self.at.attempt)
    }

    /// The error of a reading by noise and last digit, where the digit is an independent error (JCGM 100:2008, F.2.2.1)
    /// of this part of it instead of true rounding (see [`super::weigh::Rounding`]).
    pub fn noise_and_digit(&self, number: u32, part: Result<Dist, DistError>) -> Column<f64> {
        let mut error = Column::splat(0.0);
        self.noise(number, &mut error);
        let part = Input::error(part.expect("valid"));
        let identity = self.group.leg.binding(SourceId::Resolution).identity;
        let name = Name::run(ROUNDING, identity, self.at.run, self.at.attempt);
        let mut of_digit = Column::splat(0.0);
        self.draws.reading(name, number, &part, &mut of_digit);
        for i in 0..BLOCK {
            error[i] += self.group.resolution[i].0 * of_digit[i];
        }
        error
    }

    /// Noise of a reading, K.
    pub(super) fn noise(&self, number: u32, out: &mut Column<f64>) {
        let at = At {
            reading: number,
            ..self.at
        };
        let binding = self.group.leg.binding(SourceId::Noise);
        draw_reading(binding, &self.draws, SourceId::Noise, at, out);
    }

    /// True change of temperature at the moment of mixing of one trial: all the heat of the run over
    /// its heat capacity.
    pub fn true_change(&self, trial: usize) -> Kelvin {
        let all = self.pulses.iter().map(|p| p.change[trial]);
        all.fold(Kelvin(0.0), |sum, change| sum + change)
    }

    /// True temperature of one trial of the block, in closed form.
    pub fn truth(&self, trial: usize, t: Second) -> Celsius {
        let leak = self.group.dynamics.leak[trial];
        let drift = KelvinPerSecond(self.ambient_drift[trial]);
        let base = Curve {
            start: self.start,
            from: self.from[trial],
            leak,
            // What stirring and leak do together at the start.
            surroundings: Kelvin(0.0),
            stirring: KelvinPerSecond(self.warming[trial]) + drift,
            ambient_drift: drift,
            change: Kelvin(0.0),
            law: LawOfDissolving::Instant,
            time: Second(0.0),
            lag: Second(0.0),
        };
        let heat = self.pulses.iter().filter(|_| t.0 >= 0.0);
        heat.fold(base.base(t), |sum, p| {
            sum + p.change[trial] * response(p.law, p.time[trial], leak, t)
        })
    }

    /// Its temperatures from the start on.
    pub(super) fn course(&self) -> Course<'_> {
        let rates = (&self.warming, &self.ambient_drift);
        Course::new(&self.group.dynamics, rates, &self.pulses, self.start.0)
    }
}

/// The record starts with its first reading.
fn start_of(record: &Record) -> Second {
    match record {
        Record::TwoReadings { before, .. } => -*before,
        Record::Trace { fore, .. } => -*fore,
    }
}
