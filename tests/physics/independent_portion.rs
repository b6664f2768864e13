//! The permanganate scenario against an independent simulation of the same equations: a powder
//! dissolved beforehand, residue that goes on dissolving, a stock that may run out, a portion of another
//! temperature, side heats and a medium.
//!
//! Reference: tests/reference/permanganate_chain.py (numpy, written from the equations alone; its curve
//! is checked there against an ODE solver), 2,000,000 trials of each variant, seed 1:
//! `python3 tests/reference/permanganate_chain.py`.

use super::patched;
use joulecast::engine::Study;
use joulecast::experiment::{Experiment, ResultColumn};
use joulecast::scenario::shipped;
use joulecast::stats::{Estimate, Summary};

/// Value and standard error of the reference, in the columns' units.
type Seen = (f64, f64);

struct Reference {
    error: [Seen; 4],
    constant: [Seen; 2],
    calibration_change: Seen,
    determination_change: [Seen; 2],
    margin: Seen,
    ran_out: Seen,
}

/// Deviations from the reference, in standard errors of the difference.
fn deviations(changes: &[(&str, &str)], r: &Reference) -> Vec<(&'static str, f64)> {
    let text = shipped("permanganate-iron-dewar").unwrap();
    // The reference has a thermometer without lag, and nobody who looks for residue.
    let mut all = vec![
        ("thermometer.lag", "0 s"),
        ("determination.inspection.kind", "none"),
    ];
    all.extend_from_slice(changes);
    let model = Experiment::without_claims(patched(text, &all));
    let table = Study::new(7).run(&model, 102_400).unwrap();
    let of = |q: ResultColumn| Summary::of(&table.columns[q as usize], 0.95);
    let z = |got: Estimate, want: Seen| (got.value - want.0) / got.se.hypot(want.1);
    let error = of(ResultColumn::Error);
    let constant = of(ResultColumn::Constant);
    let det = of(ResultColumn::DeterminationChange);
    let mut seen = vec![
        ("mean", z(error.mean, r.error[0])),
        ("sd", z(error.sd, r.error[1])),
        ("2.5 %", z(error.interval.low, r.error[2])),
        ("97.5 %", z(error.interval.high, r.error[3])),
        ("constant", z(constant.mean, r.constant[0])),
        ("sd of the constant", z(constant.sd, r.constant[1])),
        (
            "calibration change",
            z(
                of(ResultColumn::CalibrationChange).mean,
                r.calibration_change,
            ),
        ),
        (
            "determination change",
            z(det.mean, r.determination_change[0]),
        ),
        (
            "sd of the determination change",
            z(det.sd, r.determination_change[1]),
        ),
        ("margin", z(of(ResultColumn::Margin).mean, r.margin)),
    ];
    if r.ran_out.0 > 0.0 {
        seen.push(("ran out", z(of(ResultColumn::RanOutShare).mean, r.ran_out)));
    }
    seen
}

fn compare(changes: &[(&str, &str)], r: &Reference) {
    for (what, z) in deviations(changes, r) {
        assert!(z.abs() < 5.0, "{what}: {z} standard errors");
    }
}

const AS_IT_IS: Reference = Reference {
    error: [
        (3649.6, 5.5),
        (7835.7, 8.2),
        (-8753.8, 10.8),
        (22_364.7, 36.1),
    ],
    constant: [(89.8306, 0.0073), (10.2731, 0.0051)],
    calibration_change: (0.316_683, 4e-6),
    determination_change: [(0.963_880, 67e-6), (0.094_517, 47e-6)],
    margin: (0.221_591, 13e-6),
    ran_out: (0.0, 0.0),
};

#[test]
fn a_fine_powder_in_ample_iron() {
    compare(&[], &AS_IT_IS);
    // A portion a twentieth of a kelvin warmer on average would be seen at once.
    let warmer = [("determination.charge.start_difference", "0 K to 0.1 K")];
    let off = deviations(&warmer, &AS_IT_IS);
    assert!(off.iter().any(|(_, z)| z.abs() > 10.0), "{off:?}");
}

#[test]
fn a_coarse_powder() {
    compare(
        &[("determination.dissolving.time", "40 min, 38 % log-normal")],
        &Reference {
            error: [
                (144_356.8, 40.0),
                (56_629.0, 28.3),
                (43_672.7, 76.6),
                (263_450.8, 137.6),
            ],
            constant: [(89.8309, 0.0073), (10.2690, 0.0051)],
            calibration_change: (0.316_691, 4e-6),
            determination_change: [(0.745_732, 79e-6), (0.111_848, 55e-6)],
            margin: (0.221_575, 13e-6),
            ran_out: (0.0, 0.0),
        },
    );
}

#[test]
fn iron_that_runs_out_in_a_fifth_of_the_runs() {
    compare(
        &[("determination.stock.mass", "2.25 g")],
        &Reference {
            error: [
                (4720.1, 5.6),
                (7888.6, 8.3),
                (-7874.6, 10.5),
                (23_293.3, 34.8),
            ],
            constant: [(89.8259, 0.0073), (10.2710, 0.0051)],
            calibration_change: (0.316_688, 4e-6),
            determination_change: [(0.962_248, 67e-6), (0.094_211, 47e-6)],
            margin: (0.017_972, 11e-6),
            ran_out: (0.211_98, 0.000_185),
        },
    );
}
