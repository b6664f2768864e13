//! Noise and rounding of a record, drawn reading by reading and drawn at once, against the
//! variance of a regression line (Draper and Smith, Applied Regression Analysis, chapter 1).

use super::{SILENT, patched};
use joulecast::engine::Study;
use joulecast::experiment::{Experiment, Readings, ResultColumn, notebook};
use joulecast::lab::Reduction;
use joulecast::nature::{Group, Rounding};
use joulecast::random::{BLOCK, Draws, Layout, Plan};
use joulecast::scenario::Scenario;
use joulecast::stats::Summary;

const TRACE: [(&str, &str); 5] = [
    ("record.kind", "trace"),
    ("record.interval", "10 s"),
    ("record.fore", "120 s"),
    ("record.after", "300 s"),
    ("record.settle", "60 s"),
];

/// Noise at the edge of being drawn at once: 0.7 of the last digit.
const NOISE: [(&str, &str); 2] = [
    ("thermometer.noise", "s = 7 mK"),
    ("thermometer.resolution", "10 mK"),
];

/// Standard deviation of one reading with that noise, rounding as d / sqrt 12 (Sheppard; wrong by
/// e^(-2 pi^2 0.49) = 6e-5 here).
fn reading() -> f64 {
    (7e-3f64.powi(2) + 1e-2f64.powi(2) / 12.0).sqrt()
}

/// Variance, in readings, of a line's value at zero: 1/n + mean^2 / sum of squares.
fn line_at_zero(times: &[f64]) -> f64 {
    let n = times.len() as f64;
    let mean = times.iter().sum::<f64>() / n;
    let squares: f64 = times.iter().map(|t| (t - mean).powi(2)).sum();
    1.0 / n + mean * mean / squares
}

/// Variances of the line before and of the line behind at mixing, in readings.
fn both_lines() -> [f64; 2] {
    let fore: Vec<f64> = (1..=12).map(|j| -10.0 * f64::from(j)).collect();
    let after: Vec<f64> = (6..=30).map(|j| 10.0 * f64::from(j)).collect();
    [line_at_zero(&fore), line_at_zero(&after)]
}

/// Changes of temperature, temperatures of mixing, and their sums, of the first calibration run.
fn first_run(scenario: &Scenario, at_once: bool, blocks: u64) -> [Vec<f64>; 3] {
    let leg = &scenario.calibration;
    let reduction = Reduction::of(leg);
    let plan = Plan::new();
    let mut out = [Vec::new(), Vec::new(), Vec::new()];
    for block in 0..blocks {
        let draws = Draws::new(31, block, Layout::MARGINAL, &plan);
        let group = Group::new(leg, scenario, &draws, Rounding::True);
        let readings = if at_once {
            Readings::AtOnce
        } else {
            Readings::Each
        };
        let pages = notebook(
            scenario,
            &group,
            &reduction,
            readings,
            (draws, Default::default()),
        );
        for i in 0..BLOCK {
            let run = pages.pages.runs[0].run(i);
            out[0].push(run.change.0);
            out[1].push(run.mixing.0);
            out[2].push(run.change.0 + run.mixing.0);
        }
    }
    out
}

/// The spread of a column in standard errors from what is expected.
fn z(values: &[f64], want: f64) -> f64 {
    let sd = Summary::of(values, 0.95).sd;
    (sd.value - want) / sd.se
}

#[test]
fn spread_of_a_record_is_that_of_the_regression_however_it_is_drawn() {
    let [before, behind] = both_lines();
    // In variances of one reading: change, mixing, and their sum, which is the line behind alone.
    let cases = [
        ("two readings", &[][..], [2.0, 1.0, 1.0]),
        ("lines", &TRACE[..], [before + behind, before, behind]),
    ];
    for (name, record, want) in cases {
        let mut changes = record.to_vec();
        changes.extend(NOISE);
        let scenario = patched(SILENT, &changes);
        for at_once in [false, true] {
            let got = first_run(&scenario, at_once, 80);
            for (what, (values, want)) in
                ["change", "mixing", "sum"].iter().zip(got.iter().zip(want))
            {
                let want = reading() * want.sqrt();
                let off = z(values, want);
                assert!(
                    off.abs() < 5.0,
                    "{name}, {what}, at once {at_once}: {off} s.e."
                );
                // Without the rounding it would be 8 % less, and that is seen.
                let unrounded = z(values, want * 7e-3 / reading());
                assert!(unrounded > 5.0, "{name}, {what}: {unrounded}");
            }
            // Errors of the change and of mixing that were drawn on their own would add up.
            let alone = z(&got[2], reading() * (want[0] + want[1]).sqrt());
            assert!(alone < -5.0, "{name}: {alone}");
        }
    }
}

#[test]
fn means_of_a_record_are_its_smooth_values_however_it_is_drawn() {
    let mut changes = TRACE.to_vec();
    let silent = first_run(&patched(SILENT, &changes), false, 1);
    changes.extend(NOISE);
    let scenario = patched(SILENT, &changes);
    for at_once in [false, true] {
        for (values, smooth) in first_run(&scenario, at_once, 80).iter().zip(&silent) {
            let mean = Summary::of(values, 0.95).mean;
            // A staircase of d/pi e^(-2 pi^2 0.49) = 2e-7 K is left of the rounding.
            assert!(
                (mean.value - smooth[0]).abs() < 5.0 * mean.se + 1e-6,
                "{mean:?}"
            );
        }
    }
}

#[test]
fn what_noise_does_to_other_reductions_is_the_same_however_it_is_drawn() {
    // A solid that dissolves for a minute, so that the readings between the lines matter.
    for (way, least) in [
        ("63 percent", 10.0),
        ("equal areas", 10.0),
        ("regnault-pfaundler", 10.0),
    ] {
        let mut changes = TRACE.to_vec();
        changes.extend(NOISE);
        changes.push(("record.reduction", way));
        changes.push(("calibration.dissolving.time", "exactly 60 s"));
        let scenario = patched(SILENT, &changes);
        let [one, other] = [false, true].map(|at_once| first_run(&scenario, at_once, 80));
        for (each, whole) in one.iter().zip(&other) {
            let [a, b] = [each, whole].map(|values| Summary::of(values, 0.95));
            for (x, y) in [
                (a.mean, b.mean),
                (a.sd, b.sd),
                (a.interval.low, b.interval.low),
            ] {
                let off = (x.value - y.value) / x.se.hypot(y.se);
                assert!(off.abs() < 5.0, "{way}: {x:?} {y:?}");
            }
        }
        assert_ne!(one[0], other[0], "{way}");
        // Both lines' errors on their own would make more of it than the readings that they share with the way.
        let [changes, mixings, sums] = &other;
        let sd = |values: &[f64]| Summary::of(values, 0.95).sd;
        let apart = sd(changes).value.hypot(sd(mixings).value);
        let off = (apart - sd(sums).value) / sd(sums).se;
        assert!(off > least, "{way}: {off}");
    }
}

#[test]
fn noise_reaches_the_result_through_the_change_and_through_mixing_together() {
    // C = -n h(T) / dT with h = 17584 - 4000 (T - 25): du/u = -d(dT)/dT + slope/h dT_mix, where the
    // line before enters both: its weight is 1/dT + slope/h, that of the line behind -1/dT.
    let slope = -4000.0 / 17_584.0;
    let mut changes = TRACE.to_vec();
    changes.extend(NOISE);
    changes.push(("calibration.reaction.slope", "-4000 J/(mol K)"));
    changes.push(("calibration.runs", "1"));
    changes.push(("determination.thermometer.noise", "none"));
    changes.push(("determination.thermometer.resolution", "0 K"));
    let [before, behind] = both_lines();
    let model = Experiment::without_claims(patched(SILENT, &changes));
    let mut kinds = Vec::new();
    for model in [model.clone(), model.reading_by_reading()] {
        let table = Study::new(7).run(&model, 20_480).unwrap();
        let changes = &table.columns[ResultColumn::CalibrationChange as usize];
        let change = Summary::of(changes, 0.95).mean.value;
        let values = &table.columns[ResultColumn::Value as usize];
        let value = Summary::of(values, 0.95).mean.value;
        let relative: Vec<f64> = values.iter().map(|v| v / value).collect();
        let spread = |share: f64| {
            let along = before * share * share + behind / (change * change);
            reading() * along.sqrt()
        };
        let off = z(&relative, spread(1.0 / change + slope));
        assert!(off.abs() < 5.0, "{off} s.e.");
        // With the two errors in the wrong sense, and without the way through mixing.
        assert!(z(&relative, spread(1.0 / change - slope)).abs() > 5.0);
        assert!(z(&relative, spread(1.0 / change)).abs() > 5.0);
        kinds.push(values.clone());
    }
    assert_ne!(
        kinds[0], kinds[1],
        "0.7 last digits of noise are drawn at once"
    );
}

/// Display of 0.1 K; the start stands on a mark, so that only the late reading is off.
fn coarse(noise: &str, mass: &str, spread: &str) -> Scenario {
    patched(
        SILENT,
        &[
            ("thermometer.resolution", "0.1 K"),
            ("thermometer.noise", noise),
            ("calibration.charge.mass", mass),
            ("room.temperature", spread),
        ],
    )
}

const MASSES: [&str; 6] = ["4.10 g", "4.15 g", "4.20 g", "4.24 g", "4.29 g", "4.40 g"];

/// True change of temperature of that mass.
fn true_change(mass: &str) -> f64 {
    let changes = [("calibration.charge.mass", mass)];
    first_run(&patched(SILENT, &changes), false, 1)[0][0]
}

/// Mean error of a rounded reading with noise: the Fourier series of a sawtooth, each term damped by
/// the noise (Widrow and Kollar, Quantization Noise, 2008, chapter 4).
fn staircase(x: f64, digit: f64, noise: f64) -> f64 {
    use std::f64::consts::PI;
    (1..200)
        .map(|k| {
            let k = f64::from(k);
            let damped = (-2.0 * (PI * k * noise / digit).powi(2)).exp();
            (PI * k).cos() * digit / (PI * k) * (2.0 * PI * k * x / digit).sin() * damped
        })
        .sum()
}

#[test]
fn a_coarse_display_is_read_reading_by_reading_and_shows_its_staircase() {
    let mut largest = [0.0f64; 2];
    for (which, noise) in [0.03, 0.003].into_iter().enumerate() {
        for mass in MASSES {
            let model = Experiment::without_claims(coarse(&format!("s = {noise} K"), mass, "25 C"));
            let column = ResultColumn::CalibrationChange as usize;
            let changes = Study::new(9).run(&model, 10_240).unwrap().columns[column].clone();
            let each = Study::new(9)
                .run(&model.reading_by_reading(), 10_240)
                .unwrap();
            assert_eq!(changes, each.columns[column], "never drawn at once");
            let mean = Summary::of(&changes, 0.95).mean;
            let change = true_change(mass);
            let want = staircase(change, 0.1, noise);
            let got = mean.value - change;
            assert!(
                (got - want).abs() < 5.0 * mean.se + 1e-6,
                "{noise} K, {mass}: {got:e} for {want:e}"
            );
            let unseen = got.abs() / (5.0 * mean.se + 1e-6);
            largest[which] = largest[which].max(unseen);
        }
    }
    // Taken as an independent error the rounding would have no bias: seen to be wrong for both.
    assert!(largest.iter().all(|l| *l > 1.0), "{largest:?}");
}

#[test]
fn without_noise_the_error_of_a_coarse_display_is_the_same_in_every_trial() {
    let mut largest = 0.0f64;
    for mass in MASSES {
        let changes = &first_run(&coarse("none", mass, "25 C"), false, 1)[0];
        assert!(changes.iter().all(|r| r == &changes[0]));
        let error = changes[0] - true_change(mass);
        assert!(error.abs() <= 0.05 + 1e-12, "{mass}: {error}");
        largest = largest.max(error.abs());
    }
    assert!(largest > 0.03, "{largest}");
}

#[test]
fn a_start_anywhere_between_marks_turns_the_staircase_into_scatter() {
    // With a phase p uniform over the digit, round(p + x) - round(p) is one of the two neighbours
    // of x: mean x, variance d^2 f (1 - f), f the fraction of x/d. The room spreads over 10 digits.
    let mut unlike = 0.0f64;
    for mass in MASSES {
        let changes = &first_run(&coarse("none", mass, "25 C, 0.5 K rectangular"), false, 80)[0];
        let s = Summary::of(changes, 0.95);
        let change = true_change(mass);
        // Water's heat capacity changes by 3e-5 over the half degree, the reference's by 0.5 %;
        // both are even about the middle to 1e-4 of the change.
        assert!(
            (s.mean.value - change).abs() < 5.0 * s.mean.se + 2e-4,
            "{mass}: {:?}",
            s.mean
        );
        let f = (change / 0.1).rem_euclid(1.0);
        // The true change itself spreads by the reference's slope, 166/17584 a kelvin.
        let own = 166.0 / 17_584.0 * change * 0.5 / 3f64.sqrt();
        let want = (0.01 * f * (1.0 - f) + own * own).sqrt();
        assert!(
            (s.sd.value - want).abs() < 5.0 * s.sd.se + 2e-3,
            "{mass}: {:?} for {want}",
            s.sd
        );
        unlike = unlike.max((want - 0.1 / 6f64.sqrt()).abs());
    }
    assert!(
        unlike > 0.01,
        "two independent roundings would give 0.041 K always"
    );
}

#[test]
fn a_stretch_of_readings_summed_at_once_is_the_sum_of_the_readings() {
    use joulecast::nature::Recorder;
    use joulecast::scenario::{ReductionMethod, read, shipped, shipped_names};
    let mut taken = 0;
    for name in shipped_names() {
        let scenario = read(shipped(name).expect("a text")).expect("a scenario");
        for leg in scenario.legs().into_iter().filter(|leg| leg.runs > 0) {
            for way in [
                ReductionMethod::BackToMixing,
                ReductionMethod::EqualAreas,
                ReductionMethod::RegnaultPfaundler,
            ] {
                if leg.way == ReductionMethod::TwoReadings {
                    continue;
                }
                let reduction = Reduction::with(&leg.record, way);
                let plan = Plan::new();
                let draws = Draws::new(5, 3, Layout::MARGINAL, &plan);
                let group = Group::new(leg, &scenario, &draws, Rounding::True);
                let run = joulecast::nature::Run::new(&group, draws, 1, 0);
                let mut one = run.recorder();
                let each =
                    reduction.finish(&reduction.sums(|_, t, out| one.smooth_reading(t, out)));
                let mut other = run.recorder();
                let count = std::cell::Cell::new(0);
                let sums = reduction.sums_by_stretches(
                    &mut other,
                    |r: &mut Recorder, _, t, out| r.smooth_reading(t, out),
                    |r, t, many, base| {
                        let found = r.smooth_stretch(t, many, base);
                        count.set(count.get() + u32::from(found.is_some()));
                        found
                    },
                );
                let at_once = reduction.finish(&sums);
                taken += count.get();
                for i in 0..BLOCK {
                    let apart = [
                        (each.change[i] - at_once.change[i]).0,
                        (each.mixing[i] - at_once.mixing[i]).0,
                    ];
                    // A change of a kelvin is known to some 1e-13; hundreds of readings at 25 °C are added.
                    assert!(
                        apart.iter().all(|a| a.abs() < 1e-11),
                        "{name} {way:?}: {apart:?}"
                    );
                }
            }
        }
    }
    assert!(taken > 40, "{taken}");
}
