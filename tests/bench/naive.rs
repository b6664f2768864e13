//! One trial at a time, each number drawn where it is needed: what one writes first.

use super::nominal::*;
use rand::{Rng, RngExt};
use rand_distr::{Distribution, Exp1, StandardNormal};

fn normal(rng: &mut impl Rng, sd: f64) -> f64 {
    let z: f64 = StandardNormal.sample(rng);
    sd * z
}

fn rectangular(rng: &mut impl Rng, half_width: f64) -> f64 {
    half_width * (2.0 * rng.random::<f64>() - 1.0)
}

/// What all runs of a trial share.
struct Shared {
    balance: f64,
    delivery: f64,
    thermometer: f64,
    vessel: f64,
}

/// Indicated mass and indicated temperature rise of one run.
fn measure(rng: &mut impl Rng, s: &Shared, mass: f64, heat: f64, cp: f64) -> (f64, f64) {
    let mut indicated = mass * (1.0 + s.balance);
    for sign in [1.0, -1.0] {
        indicated += sign * (normal(rng, 1e-4) + rectangular(rng, 2e-4) + rectangular(rng, 5e-5));
    }
    let undissolved = (-DISSOLVING * normal(rng, 0.35).exp()).exp();
    let rinse: f64 = Exp1.sample(rng);
    let volume = WATER + s.delivery + normal(rng, 0.03) + 0.2 * rinse;
    let capacity = (s.vessel + volume * DENSITY * cp) * (1.0 + normal(rng, 0.003));
    let rise = mass * heat * (1.0 - undissolved) / capacity;
    let read = rectangular(rng, 5e-4) - rectangular(rng, 5e-4);
    (indicated, rise * s.thermometer + normal(rng, 1.5e-3) + read)
}

fn trial(rng: &mut impl Rng) -> f64 {
    let shared = Shared {
        balance: normal(rng, 5e-5),
        delivery: rectangular(rng, 0.08),
        thermometer: 1.0 + normal(rng, 1e-3),
        vessel: 45.0 + normal(rng, 4.0),
    };
    let reference = REFERENCE + normal(rng, 0.26);
    let purity_calibrant = 0.9995 + rectangular(rng, 0.0005);
    let purity_sample = 0.995 + rectangular(rng, 0.005);
    let cp_calibrant = CP_CALIBRANT + normal(rng, 0.006);
    let cp_sample = CP_SAMPLE + normal(rng, 0.008);
    let mut system = 0.0;
    for _ in 0..3 {
        let heat = purity_calibrant * reference;
        let (mass, rise) = measure(rng, &shared, MASS_CALIBRANT, heat, cp_calibrant);
        system += mass * REFERENCE / rise;
    }
    let system = system / 3.0 + WATER * (CP_SAMPLE - CP_CALIBRANT);
    let mut enthalpy = 0.0;
    for _ in 0..3 {
        let heat = -purity_sample * SAMPLE / MOLAR_MASS;
        let (mass, rise) = measure(rng, &shared, MASS_SAMPLE, heat, cp_sample);
        enthalpy -= rise / (mass / MOLAR_MASS);
    }
    system * enthalpy / 3.0 * 1e-3
}

/// Results in kJ/mol.
pub fn run(rng: &mut impl Rng, trials: usize) -> Vec<f64> {
    (0..trials).map(|_| trial(rng)).collect()
}
