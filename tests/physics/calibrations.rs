//! Calibrations by other means than a reference reaction.

use super::{SILENT, certain, patched, simulate};
use joulecast::engine::Study;
use joulecast::experiment::{Experiment, ResultColumn};
use joulecast::random::{Draws, Layout, Plan};
use joulecast::scenario::{Scenario, SourceId, read_with};
use joulecast::stats::Moments;

/// Hot and cold water, 50 mL of each at 42 °C and 22 °C in a vessel of 15 J/K; common practice, no
/// source.
fn hot_and_cold(changes: &[(&str, &str)]) -> Scenario {
    let text = SILENT
        .replace("temperature = \"25 C\"", "temperature = \"22 C\"")
        .replace("heat_capacity = \"40 J/K\"", "heat_capacity = \"15 J/K\"")
        .replace("contents = \"same\"", "contents = \"swapped\"");
    let (start, rest) = text.split_once("[calibration]").unwrap();
    let determination = &rest[rest.find("[determination]").unwrap()..];
    let text = format!(
        "{start}[calibration]\nruns = 1\nkind = \"hot and cold water\"\n[calibration.water]\n\
         hot = \"42 C\"\ncold = \"22 C\"\nvolume = \"50 mL\"\n[calibration.liquid]\n\
         volume = \"50 mL\"\nheat_capacity_error = \"none\"\ndensity_error = \"none\"\n{determination}"
    );
    patched(&text, changes)
}

/// Mean and share below zero of the constant, from the equation alone: midpoint rule over the three
/// rectangular errors of the readings (hot, cold, final) of half-width 0.5 K.
fn constant_by_quadrature() -> (f64, f64, f64) {
    // 50 mL of water at 22 °C (IAPWS-95, computed with iapws 1.5.5).
    let portion = 50.0 * 0.997_769_6 * 4.182_8;
    let last = 22.0 + 20.0 * portion / (15.0 + 2.0 * portion);
    let steps = 100;
    let error = |i: i32| (f64::from(i) + 0.5) / f64::from(steps) - 0.5;
    let (mut sum, mut square, mut below) = (0.0, 0.0, 0.0);
    for h in 0..steps {
        for c in 0..steps {
            for f in 0..steps {
                let (hot, cold, end) = (42.0 + error(h), 22.0 + error(c), last + error(f));
                let constant = portion * (hot - end) / (end - cold) - portion;
                sum += constant;
                square += constant * constant;
                below += f64::from(u8::from(constant < 0.0));
            }
        }
    }
    let n = f64::from(steps).powi(3);
    let mean = sum / n;
    (mean, (square / n - mean * mean).sqrt(), below / n)
}

fn constants(changes: &[(&str, &str)], trials: u64) -> Vec<f64> {
    let model = Experiment::without_claims(hot_and_cold(changes));
    let mut table = Study::new(5).run(&model, trials).unwrap();
    table.columns.swap_remove(ResultColumn::Constant as usize)
}

#[test]
fn independent_readings_make_the_constant_negative_in_a_sixth_of_groups() {
    let trials = 51_200;
    let got = constants(&[("thermometer.noise", "0.5 K rectangular")], trials);
    let (mean, sd, below) = constant_by_quadrature();
    let moments = Moments::of(&got);
    let off = |value: f64, want: f64, se: f64| ((value - want) / se).abs();
    assert!(off(moments.mean().value, mean, moments.mean().se) < 5.0);
    assert!(off(moments.sd().value, sd, moments.sd().se) < 5.0);
    let share = got.iter().filter(|c| **c < 0.0).count() as f64 / trials as f64;
    let se = (below * (1.0 - below) / trials as f64).sqrt();
    assert!(off(share, below, se) < 5.0, "{share} for {below}");
    // Common practice, no source: about 16 J/K, about 18 % below zero.
    assert!((moments.sd().value - 16.0).abs() < 0.6 && (share - 0.18).abs() < 0.01);
    // Readings that err by half as much would not do.
    let half = Moments::of(&constants(
        &[("thermometer.noise", "0.25 K rectangular")],
        trials,
    ));
    assert!(off(half.sd().value, sd, half.sd().se) > 50.0);
}

#[test]
fn a_common_offset_makes_no_constant_negative_and_heat_lost_while_pouring_makes_it_large() {
    let offset = constants(&[("thermometer.offset", "0.5 K rectangular")], 2_560);
    assert!(offset.iter().all(|c| (c - 15.0).abs() < 1e-6));
    let lost = constants(&[("calibration.water.pouring_loss", "exactly 0.5 K")], 1);
    assert!((lost[0] - 26.0).abs() < 0.2, "{}", lost[0]);
}

/// A heater in the silent setting; readings are taken when it is off.
fn heated(changes: &[(&str, &str)]) -> Scenario {
    let (start, rest) = SILENT.split_once("[calibration]").unwrap();
    let determination = &rest[rest.find("[determination]").unwrap()..];
    let text = format!(
        "{start}[calibration]\nruns = 2\nkind = \"electrical\"\n[calibration.electrical]\n\
         voltage = \"12 V\"\ncurrent = \"1.5 A\"\ntime = \"60 s\"\n[calibration.liquid]\n\
         volume = \"100.3 mL\"\nheat_capacity_error = \"none\"\ndensity_error = \"none\"\n[calibration.record]\n\
         kind = \"two readings\"\nbefore = \"1 s\"\nread_at = \"61 s\"\n{determination}"
    )
    .replace("contents = \"same\"", "contents = \"swapped\"");
    patched(&text, changes)
}

#[test]
fn a_heater_without_errors_gives_the_vessel_exactly() {
    for (fore, changes) in [
        ("plain", vec![]),
        ("weighed", vec![("calibration.liquid.mass", "90 g")]),
    ] {
        // A mass takes the place of the volume.
        let scenario = if changes.is_empty() {
            heated(&[])
        } else {
            let text = heated(&[]).text.replace(
                "volume = \"100.3 mL\"\nheat_capacity_error = \"none\"\ndensity_error = \"none\"\n[calibration.record]",
                "mass = \"90 g\"\nheat_capacity_error = \"none\"\ndensity_error = \"none\"\n[calibration.record]",
            );
            read_with(&text, &[]).unwrap()
        };
        let constant = certain(scenario.clone(), &[], ResultColumn::Constant);
        assert!((constant - 40.0).abs() < 1e-9, "{fore}: {constant}");
        let error = certain(scenario, &[], ResultColumn::Error);
        assert!(error.abs() < 1e-6, "{fore}: {error}");
    }
}

#[test]
fn errors_of_voltage_current_and_time_add_in_quadrature() {
    // Q = U I t (textbook): u(Q)^2 / Q^2 = u(U)^2/U^2 + u(I)^2/I^2 + u(t)^2/t^2; two runs average the
    // time, which is watched anew in each.
    let errors = [
        ("calibration.electrical.voltage", "12 V, u = 0.06 V"),
        ("calibration.electrical.current", "1.5 A, u = 0.012 A"),
        ("calibration.electrical.time", "60 s, u = 0.6 s"),
        ("lab.contents", "same"),
        ("determination.liquid.volume", "100.3 mL"),
    ];
    let want = (0.005f64.powi(2) + 0.008f64.powi(2) + 0.01f64.powi(2) / 2.0).sqrt();
    let scenario = heated(&errors);
    let model = Experiment::new(scenario.clone());
    let plan = super::perfect();
    let draws = Draws::new(1, 0, Layout::MARGINAL, &plan);
    let (_, value, claims) = model.one_trial(draws, 0);
    let linear = claims.unwrap().budget.u / value.enthalpy.abs();
    assert!((linear / want - 1.0).abs() < 1e-5, "{linear} for {want}");
    let none = Plan::new();
    let sampled = Study {
        plan: none,
        ..Study::new(2)
    }
    .run(&model, 40_960)
    .unwrap();
    let moments = Moments::of(&sampled.columns[ResultColumn::Value as usize]);
    let relative = moments.sd().value / value.enthalpy.abs();
    let se = moments.sd().se / value.enthalpy.abs();
    // The second order of 1 / (U I t) adds a few ten-thousandths.
    assert!(
        (relative - want).abs() < 5.0 * se + 3e-4 * want,
        "{relative} for {want}"
    );
    assert!(
        (relative - 0.0137).abs() > 5.0 * se,
        "the time is averaged over two runs"
    );
}

#[test]
fn heat_made_in_the_leads_is_missed_by_the_lab() {
    let loss = [
        ("calibration.electrical.lead_loss", "2 %"),
        ("lab.contents", "same"),
    ];
    let with = simulate(heated(&loss), 1, 1, ResultColumn::Value)
        .mean
        .value;
    let without = simulate(heated(&[loss[1]]), 1, 1, ResultColumn::Value)
        .mean
        .value;
    assert!(
        (with / without - 1.0 / 0.98).abs() < 1e-9,
        "{with} {without}"
    );
}

/// The silent setting without a calibration.
fn uncalibrated(vessel: &str, assumed: &str) -> f64 {
    let (start, rest) = SILENT.split_once("[calibration]").unwrap();
    let determination = &rest[rest.find("[determination]").unwrap()..];
    let text = format!("{start}[calibration]\nkind = \"none\"\n{assumed}{determination}");
    let changes = [("vessel.heat_capacity", vessel)];
    let scenario = patched(&text, &changes);
    let target = certain(scenario.clone(), &changes, ResultColumn::Target);
    100.0 * (certain(scenario, &changes, ResultColumn::Value) / target - 1.0)
}

#[test]
fn a_vessel_that_is_forgotten_makes_the_result_too_small() {
    // 100 g of water: 40 / (418.1 + 40), 10 / (418.1 + 10).
    assert!((uncalibrated("40 J/K", "") + 8.73).abs() < 0.06);
    assert!((uncalibrated("10 J/K", "") + 2.34).abs() < 0.06);
    assert!(uncalibrated("40 J/K", "assumed_vessel = \"40 J/K\"\n").abs() < 1e-9);
    let forgotten = uncalibrated("40 J/K", "assumed_vessel = \"20 J/K\"\n");
    assert!((forgotten + 4.37).abs() < 0.06, "{forgotten}");
}

#[test]
fn an_offset_of_the_thermometer_cancels_in_hot_and_cold_water() {
    // Q = m c (T_hot - T): both are read with the same thermometer, so its offset does nothing to the constant. A budget
    // that forgot the hot water would count it much as it counts the noise of a reading.
    let scenario = hot_and_cold(&[
        ("thermometer.offset", "0.5 K rectangular"),
        ("thermometer.noise", "0.5 K rectangular"),
    ]);
    let claims = Experiment::new(scenario).claims_at_zero_error();
    let budget = claims.unwrap().budget;
    let of = |id: SourceId| {
        let line = budget.lines.iter().find(|l| l.source == Some(id));
        line.map_or([0.0; 2], |l| [l.through * l.quantity.u, l.contribution])
    };
    let [through, _] = of(SourceId::Offset);
    assert!(through.abs() < 1e-9 * budget.u, "{budget:?}");
    let [_, noise] = of(SourceId::Noise);
    assert!(noise > 0.1 * budget.u, "{budget:?}");
}
