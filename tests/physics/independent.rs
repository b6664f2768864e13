//! The built-in scenario against an independent simulation of the same equations.
//!
//! Reference: tests/reference/dewar_chain.py (numpy; the curve by Gauss-Legendre quadrature,
//! checked there against an ODE solver), 2,000,000 trials, seed 20240:
//! `python3 tests/reference/dewar_chain.py --trials 2000000 --seed 20240 --variant A`.

use super::patched;
use joulecast::engine::Study;
use joulecast::experiment::{Experiment, ResultColumn};
use joulecast::scenario::builtin_text;
use joulecast::stats::{Estimate, Summary};

struct Reference {
    mean: Estimate,
    sd: Estimate,
    low: Estimate,
    high: Estimate,
    constant: Estimate,
    constant_sd: Estimate,
    calibration_change: f64,
    determination_change: f64,
    scatter_coverage: f64,
}

fn compare(name: &str, changes: &[(&str, &str)], r: &Reference) {
    // The reference has a thermometer without lag.
    let mut changes = changes.to_vec();
    changes.push(("thermometer.lag", "0 s"));
    let model = Experiment::new(patched(builtin_text(), &changes));
    let table = Study::new(7).run(&model, 102_400).unwrap();
    let column = |q: ResultColumn| &table.columns[q as usize];
    let of = |q: ResultColumn| Summary::of(column(q), 0.95);
    let near = |what: &str, got: Estimate, want: Estimate| {
        let se = (got.se * got.se + want.se * want.se).sqrt();
        let z = (got.value - want.value) / se;
        assert!(z.abs() < 5.0, "{name}, {what}: {got:?} against {want:?}");
    };
    let error = of(ResultColumn::Error);
    near("mean", error.mean, r.mean);
    near("sd", error.sd, r.sd);
    near("2.5 %", error.interval.low, r.low);
    near("97.5 %", error.interval.high, r.high);
    let constant = of(ResultColumn::Constant);
    near("constant", constant.mean, r.constant);
    near("sd of the constant", constant.sd, r.constant_sd);
    let cal = of(ResultColumn::CalibrationChange).mean;
    near(
        "calibration change",
        cal,
        Estimate::new(r.calibration_change, 4e-6),
    );
    let det = of(ResultColumn::DeterminationChange).mean;
    near(
        "determination change",
        det,
        Estimate::new(r.determination_change, 9e-6),
    );
    let held = column(ResultColumn::Error)
        .iter()
        .zip(column(ResultColumn::ScatterClaim))
        .filter(|(e, h)| e.abs() <= **h)
        .count() as f64
        / 102_400.0;
    let se = (held * (1.0 - held) / 102_400.0).sqrt();
    near(
        "coverage",
        Estimate::new(held, se),
        Estimate::new(r.scatter_coverage, 3e-4),
    );
    // Shown to fail: one percent more spread, or the bias of a missing leftover.
    let z = (error.sd.value - 1.02 * r.sd.value) / error.sd.se;
    assert!(z.abs() > 5.0, "{name}: two percent of spread are not seen");
}

#[test]
fn the_built_in_scenario_as_it_is() {
    let reference = Reference {
        mean: Estimate::new(-13.09, 0.13),
        sd: Estimate::new(176.98, 0.09),
        low: Estimate::new(-354.79, 0.31),
        high: Estimate::new(339.45, 0.35),
        constant: Estimate::new(90.038, 0.009),
        constant_sd: Estimate::new(12.459, 0.006),
        calibration_change: 0.262_605,
        determination_change: -0.654_853,
        scatter_coverage: 0.7009,
    };
    compare("base", &[], &reference);
}

#[test]
fn without_noise_display_leak_and_time() {
    let changes = [
        ("thermometer.resolution", "0 K"),
        ("thermometer.noise", "none"),
        ("vessel.leak", "0 /s"),
        ("vessel.stirring", "0 mW"),
        ("vessel.start_difference", "none"),
        ("calibration.dissolving.law", "instant"),
        ("determination.dissolving.law", "instant"),
    ];
    let reference = Reference {
        mean: Estimate::new(-16.98, 0.05),
        sd: Estimate::new(73.06, 0.04),
        low: Estimate::new(-159.67, 0.13),
        high: Estimate::new(126.50, 0.14),
        constant: Estimate::new(90.105, 0.007),
        constant_sd: Estimate::new(10.326, 0.005),
        calibration_change: 0.262_533,
        determination_change: -0.654_653,
        scatter_coverage: 0.7360,
    };
    compare("no curve", &changes, &reference);
}

#[test]
fn with_a_large_leak_and_a_warm_start() {
    let changes = [
        ("vessel.leak", "2e-4 /s"),
        ("vessel.start_difference", "exactly 1 K"),
    ];
    let reference = Reference {
        mean: Estimate::new(96.14, 0.12),
        sd: Estimate::new(173.84, 0.09),
        low: Estimate::new(-239.94, 0.32),
        high: Estimate::new(441.48, 0.35),
        constant: Estimate::new(93.272, 0.009),
        constant_sd: Estimate::new(12.508, 0.006),
        calibration_change: 0.259_980,
        determination_change: -0.651_272,
        scatter_coverage: 0.6547,
    };
    compare("leak", &changes, &reference);
}
