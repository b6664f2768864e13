//! The chain as a model of the engine: every input a column, physics in loops over columns.

use super::nominal::*;
use joulecast::engine::{Model, Output};
use joulecast::random::elementary::exp_each;
use joulecast::random::{BLOCK, Column, Dist, Draws, Input, Name, Tag};

type Values = Column<f64>;

fn normal(mean: f64, sd: f64) -> Input {
    Input::about(Dist::normal(mean, sd).expect("valid"), mean)
}

fn rectangular(low: f64, high: f64) -> Input {
    Input::about(Dist::rectangular(low, high).expect("valid"), high)
}

fn symmetric(half_width: f64) -> Input {
    let dist = Dist::within(0.0, half_width).expect("valid");
    Input::error(dist)
}

/// A source and its input.
struct Source(Tag, Input);

impl Source {
    fn new(name: &str, input: Input) -> Self {
        Self(Tag::of(name), input)
    }

    fn once(&self, draws: &Draws) -> Values {
        draws.column(Name::once(self.0, Tag::of("")), 0, &self.1)
    }
}

/// The three errors of a weighing.
const WEIGHING: usize = 3;

/// The inputs of the chain.
pub struct Chain {
    balance: Source,
    delivery: Source,
    thermometer: Source,
    reference: Source,
    purity_calibrant: Source,
    purity_sample: Source,
    cp_calibrant: Source,
    cp_sample: Source,
    vessel: Source,
    weighing: [Source; WEIGHING],
    filling: Source,
    rinse: Source,
    noise: Source,
    rounding: Source,
    change: Source,
    rate: Source,
}

/// What all runs of a block of trials share.
struct Shared {
    balance: Values,
    delivery: Values,
    thermometer: Values,
    vessel: Values,
}

impl Chain {
    pub fn new() -> Self {
        let rinse = Dist::exponential(0.0, 0.2).expect("valid");
        let rate = Dist::log_normal(1.0, 0.35).expect("valid");
        Self {
            balance: Source::new("balance gain", normal(0.0, 5e-5)),
            delivery: Source::new("delivery", symmetric(0.08)),
            thermometer: Source::new("thermometer gain", normal(1.0, 1e-3)),
            reference: Source::new("reference enthalpy", normal(REFERENCE, 0.26)),
            purity_calibrant: Source::new("calibrant purity", rectangular(0.999, 1.0)),
            purity_sample: Source::new("sample purity", rectangular(0.99, 1.0)),
            cp_calibrant: Source::new("cp calibrant", normal(CP_CALIBRANT, 0.006)),
            cp_sample: Source::new("cp sample", normal(CP_SAMPLE, 0.008)),
            vessel: Source::new("vessel", normal(45.0, 4.0)),
            weighing: [
                Source::new("weighing repeatability", normal(0.0, 1e-4)),
                Source::new("weighing linearity", symmetric(2e-4)),
                Source::new("weighing readability", symmetric(5e-5)),
            ],
            filling: Source::new("delivery repeatability", normal(0.0, 0.03)),
            rinse: Source::new("rinse water", Input::error(rinse)),
            noise: Source::new("temperature noise", normal(0.0, 1.5e-3)),
            rounding: Source::new("temperature rounding", symmetric(5e-4)),
            change: Source::new("vessel change", normal(1.0, 0.003)),
            rate: Source::new("dissolving rate", Input::about(rate, 1.0)),
        }
    }

    /// Indicated masses and temperature rises of one run of a leg.
    fn measure(
        &self,
        draws: &Draws,
        (leg, run): (Tag, u32),
        shared: &Shared,
        mass: f64,
        heat: &Values,
        cp: &Values,
    ) -> (Values, Values) {
        let draw = |source: &Source, reading, into: &mut Values| {
            draws.reading(Name::run(source.0, leg, run, 0), reading, &source.1, into);
        };
        let drawn = |source, reading| {
            let mut values = Column::splat(0.0);
            draw(source, reading, &mut values);
            values
        };
        let mut indicated = Column::splat(0.0);
        for t in 0..BLOCK {
            indicated[t] = mass * (1.0 + shared.balance[t]);
        }
        let (mut before, mut after) = (Column::splat(0.0), Column::splat(0.0));
        for source in &self.weighing {
            draw(source, 0, &mut after);
            draw(source, 1, &mut before);
            for t in 0..BLOCK {
                indicated[t] += after[t] - before[t];
            }
        }
        let (filling, rinse) = (drawn(&self.filling, 0), drawn(&self.rinse, 0));
        let (change, noise) = (drawn(&self.change, 0), drawn(&self.noise, 0));
        draw(&self.rounding, 0, &mut before);
        draw(&self.rounding, 1, &mut after);
        let mut rise = drawn(&self.rate, 0);
        for t in 0..BLOCK {
            rise[t] *= -DISSOLVING;
        }
        exp_each(&mut rise.0);
        for t in 0..BLOCK {
            let volume = WATER + shared.delivery[t] + filling[t] + rinse[t];
            let capacity = (shared.vessel[t] + volume * DENSITY * cp[t]) * change[t];
            let true_change = mass * heat[t] * (1.0 - rise[t]) / capacity;
            rise[t] = true_change * shared.thermometer[t] + noise[t] + (after[t] - before[t]);
        }
        (indicated, rise)
    }
}

impl Model for Chain {
    fn columns(&self) -> Vec<String> {
        vec!["enthalpy".to_owned()]
    }

    fn block(&self, draws: &Draws) -> Output {
        let shared = Shared {
            balance: self.balance.once(draws),
            delivery: self.delivery.once(draws),
            thermometer: self.thermometer.once(draws),
            vessel: self.vessel.once(draws),
        };
        let mut heat = self.reference.once(draws);
        let purity = self.purity_calibrant.once(draws);
        for t in 0..BLOCK {
            heat[t] *= purity[t];
        }
        let cp = self.cp_calibrant.once(draws);
        let calibrant = Tag::of("calibrant");
        let mut system = Column::splat(0.0);
        for run in 0..3 {
            let who = (calibrant, run);
            let (mass, rise) = self.measure(draws, who, &shared, MASS_CALIBRANT, &heat, &cp);
            for t in 0..BLOCK {
                system[t] += mass[t] * REFERENCE / rise[t];
            }
        }
        let purity = self.purity_sample.once(draws);
        for t in 0..BLOCK {
            heat[t] = -purity[t] * (SAMPLE / MOLAR_MASS);
        }
        let cp = self.cp_sample.once(draws);
        let sample = Tag::of("sample");
        let mut enthalpy = Column::splat(0.0);
        for run in 0..3 {
            let who = (sample, run);
            let (mass, rise) = self.measure(draws, who, &shared, MASS_SAMPLE, &heat, &cp);
            for t in 0..BLOCK {
                enthalpy[t] -= rise[t] * MOLAR_MASS / mass[t];
            }
        }
        for t in 0..BLOCK {
            let capacity = system[t] / 3.0 + WATER * (CP_SAMPLE - CP_CALIBRANT);
            enthalpy[t] *= capacity / 3.0 * 1e-3;
        }
        vec![enthalpy]
    }
}
