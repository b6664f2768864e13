//! One run: weigh, deliver, mix, dissolve, and a thermometer in the vessel.
//!
//! What meets and what heat comes of it is in [`super::mix`]; that heat comes at the break or by its
//! law, and what was not dissolved at the break comes later, by a law of its own. A linear vessel and a
//! linear sensor answer to the sum with the sum of their answers.

use super::dissolve::response;
use super::group::Group;
use super::inspect::chance;
use super::lag::felt_response_from;
use super::mix::{Pulse, contents, mix};
use super::sensor::{ROUNDING, SensorErrors, shown};
use super::vessel::Curve;
use super::weigh::{Place, by_difference};
use crate::quantity::{Celsius, Gram, GramPerMillilitre, Kelvin, KelvinPerSecond, Second};
use crate::random::dist::Rectangular;
use crate::random::{Column, Draws, Input, Name};
use crate::scenario::{At, Heat, LawOfDissolving, Per, Record, SourceId};

/// Liquids are weighed in a vessel of about this mass; it matters for rounding only.
const LIQUID_VESSEL: Gram = Gram(80.0);

/// Density of the liquid when its own buoyancy is reckoned: near enough that of water.
const LIQUID_DENSITY: GramPerMillilitre = GramPerMillilitre(1.0);

/// Number of the reading of hot water before it is poured.
const HOT_READING: u32 = 1 << 27;

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
    /// What it said of the reagent that the result is stated per mole of, if that is another solid
    /// than the charge.
    pub recorded_reagent: Option<Column<Gram>>,
    /// Solid that is left over when the record ends.
    pub residue: Column<Gram>,
    /// How much more there is of what should be in excess than is used up, as a fraction: negative
    /// where it runs out, infinite where nothing is known to be limited.
    pub margin: Column<f64>,
}

#[derive(Debug, Clone)]
struct Curves {
    from: Column<Celsius>,
    surroundings: Column<Kelvin>,
    stirring: Column<KelvinPerSecond>,
    ambient_drift: Column<KelvinPerSecond>,
    /// Heat that begins at the break.
    main: Pulse,
    /// Heat of what was not dissolved at the break.
    late: Option<Pulse>,
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
        let none = Column::splat(Kelvin(0.0));
        let time = Column::splat(Second(0.0));
        let mut curve = Curves {
            surroundings: Column::from_fn(|i| group.temperature[i] - from[i]),
            from,
            stirring: Column::from_fn(|i| group.stirring[i] / contents.capacity[i]),
            ambient_drift: leg.draw(&draws, S::AmbientDrift, at),
            main: Pulse::new(group, LawOfDissolving::Instant, none, time),
            late: None,
        };
        let start = start_of(leg.record);
        let mixing = Column::from_fn(|i| curve.at(group, i, start).base(Second(0.0)));
        // Mix and dissolve.
        let mixed = mix(group, &draws, at, &contents, &mixing);
        curve.main = mixed.main;
        curve.late = mixed.late;
        Self {
            residue: mixed.residue,
            margin: mixed.margin,
            group,
            draws,
            at,
            start,
            curve,
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

    /// The same with the last digit as an independent error of up to half a digit (JCGM 100:2008,
    /// F.2.2.1) instead of true rounding (see [`super::weigh::Rounding`]).
    pub fn reading_with_rounding_apart(&self, number: u32, t: Second) -> Column<Celsius> {
        let leg = self.group.leg;
        let at = At {
            reading: number,
            ..self.at
        };
        let noise: Column<Kelvin> = leg.draw(&self.draws, SourceId::Noise, at);
        let half = Input::error(Rectangular::new(-0.5, 0.5).expect("valid").into());
        let identity = leg.binding(SourceId::Resolution).identity;
        let name = Name::run(ROUNDING, identity, at.run, at.attempt);
        let part: Column<f64> = self.draws.column(name, number, &half);
        Column::from_fn(|i| {
            let error = noise[i] + self.group.resolution[i] * part[i];
            self.shown(i, t, error, Kelvin(0.0))
        })
    }

    /// What it would show without noise and with endless digits: for reductions whose noise is
    /// known exactly.
    pub fn smooth_reading(&self, t: Second) -> Column<Celsius> {
        Column::from_fn(|i| self.shown(i, t, Kelvin(0.0), Kelvin(0.0)))
    }

    #[inline]
    fn shown(&self, i: usize, t: Second, noise: Kelvin, resolution: Kelvin) -> Celsius {
        let curve = self.curve.at(self.group, i, self.start);
        let mut felt = curve.felt_from(t, self.curve.main.end[i]);
        if let Some(late) = &self.curve.late
            && t.0 >= 0.0
        {
            let (leak, lag) = (self.group.leak[i], self.group.lag[i]);
            let (time, end) = (late.time[i], late.end[i]);
            let share = felt_response_from(late.law, time, leak, lag, t, end);
            felt = felt + late.rise[i] * share;
        }
        shown(felt, self.errors(i), t - self.start, noise, resolution)
    }

    #[inline]
    fn errors(&self, i: usize) -> SensorErrors {
        SensorErrors {
            offset: self.group.offset[i],
            gain: self.group.gain[i],
            pivot: self.group.room.temperature,
            drift: self.drift[i],
        }
    }

    /// True change of temperature at the moment of mixing of one trial: all the heat of the run over
    /// its heat capacity.
    pub fn true_rise(&self, trial: usize) -> Kelvin {
        let late = self.curve.late.as_ref();
        self.curve.main.rise[trial] + late.map_or(Kelvin(0.0), |p| p.rise[trial])
    }

    /// True temperature of one trial of the block.
    pub fn truth(&self, trial: usize, t: Second) -> Celsius {
        let main = self.curve.at(self.group, trial, self.start).temperature(t);
        match &self.curve.late {
            Some(late) if t.0 >= 0.0 => {
                let share = response(late.law, late.time[trial], self.group.leak[trial], t);
                main + late.rise[trial] * share
            }
            _ => main,
        }
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
            rise: self.main.rise[i],
            law: self.main.law,
            time: self.main.time[i],
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
