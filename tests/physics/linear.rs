//! Small normal errors against their analytic variance, and what replicates average.

use super::{SILENT, patched, simulate};
use joulecast::experiment::{Experiment, ResultColumn};
use joulecast::random::{Draws, Layout, Plan};
use joulecast::stats::Summary;

/// Relative spread and its standard error.
fn relative(changes: &[(&str, &str)], seed: u64) -> (f64, f64) {
    let s: Summary = simulate(patched(SILENT, changes), seed, 40_960, ResultColumn::Value);
    (
        s.sd.value / s.mean.value.abs(),
        s.sd.se / s.mean.value.abs(),
    )
}

fn within(what: &str, (got, se): (f64, f64), want: f64) {
    assert!(
        (got - want).abs() < 5.0 * se,
        "{what}: {got} ± {se}, expected {want}"
    );
}

#[test]
fn small_normal_errors_add_up_as_the_law_of_propagation_says() {
    let changes = [
        ("calibration.runs", "3"),
        ("determination.runs", "2"),
        ("balance.repeatability", "s = 5 mg"),
        ("thermometer.noise", "s = 4 mK"),
        ("calibration.reaction.enthalpy", "17.584 kJ/mol, u = 0.2 %"),
        ("determination.thermometer.gain", "u = 0.15 %"),
        ("determination.thermometer.noise", "s = 4 mK"),
    ];
    let (mc, md) = (4.171, 7.195);
    let plain = simulate(
        patched(SILENT, &[]),
        1,
        256,
        ResultColumn::CalibrationChange,
    )
    .mean
    .value;
    let rise_d = simulate(
        patched(SILENT, &[]),
        1,
        256,
        ResultColumn::DeterminationChange,
    )
    .mean
    .value;
    // Two weighings and two readings a run; the molar mass is that of both legs and cancels.
    let square = |x: f64| x * x;
    let run = |m: f64, change: f64| 2.0 * square(5e-3 / m) + 2.0 * square(4e-3 / change);
    let want =
        (run(mc, plain) / 3.0 + run(md, rise_d) / 2.0 + square(0.002) + square(0.0015)).sqrt();
    let got = relative(&changes, 11);
    within("sum", got, want);
    // A tenth more noise must be seen.
    let spoiled = (square(want) + 0.21 * run(md, rise_d) / 2.0).sqrt();
    assert!((got.0 - spoiled).abs() > 5.0 * got.1 || spoiled / want < 1.02);
    let wrong_scope = (run(mc, plain) + run(md, rise_d) / 2.0 + square(0.0025)).sqrt();
    assert!(
        (got.0 - wrong_scope).abs() > 5.0 * got.1,
        "a wrong scope is not told apart"
    );
    // The lab's own linear budget says the same.
    let model = Experiment::new(patched(SILENT, &changes));
    let plan = Plan::new();
    let (_, value, claims) = model.one_trial(Draws::new(3, 0, Layout::MARGINAL, &plan), 0);
    let u = claims.unwrap().budget.u / value.enthalpy.abs();
    assert!((u / want - 1.0).abs() < 0.02, "{u} against {want}");
}

/// Relative errors in %, as in the variance model of ISO 5725-2: a shared one, one for each run,
/// one for each of `n` readings in a run.
fn spread_of(shared: f64, run: f64, reading: f64, runs: u32, n: f64) -> (f64, f64) {
    let mass = 7.195;
    let change = 3.0;
    let gain = format!("u = {shared} %");
    let weighing = format!("s = {} g", 0.01 * run * mass / 2f64.sqrt());
    let noise = format!("s = {} K", 0.01 * reading * change / (2.0 * n).sqrt());
    let runs = runs.to_string();
    let changes = [
        ("determination.runs", runs.as_str()),
        ("determination.thermometer.gain", gain.as_str()),
        ("determination.balance.repeatability", weighing.as_str()),
        ("determination.thermometer.noise", noise.as_str()),
    ];
    let (sd, se) = relative(&changes, 21);
    (100.0 * sd, 100.0 * se)
}

#[test]
fn replicates_average_run_and_reading_and_leave_a_floor() {
    // checks of the variance model u^2 = s_sys^2 + s_b^2/p + s_w^2/(p n), s = 0.5, 0.8, 1.0
    // (closed form; ISO 5725-2 with a shared systematic part).
    let cases = [
        (1, 1.0, 1.374_772_7),
        (1, 3.0, 1.106_044_0),
        (3, 1.0, 0.892_561_9),
        (3, 3.0, 0.757_921_1),
        (10, 3.0, 0.589_349_9),
    ];
    for (p, n, want) in cases {
        let (got, se) = spread_of(0.5, 0.8, 1.0, p, n);
        // Second order: 1/n of a mass that errs by 1 % adds 1e-4 of the spread.
        assert!(
            (got - want).abs() < 5.0 * se + 1e-3 * want,
            "p={p} n={n}: {got} for {want}"
        );
    }
    let (got, se) = spread_of(0.4f64.sqrt(), 0.6f64.sqrt(), 0.0, 3, 1.0);
    assert!(
        (got - 0.774_596_7).abs() < 5.0 * se,
        "equicorrelated: {got}"
    );
}

#[test]
fn a_class_averages_what_groups_have_of_their_own_and_keeps_what_they_share() {
    use joulecast::forecast::class;
    let scenario = patched(
        SILENT,
        &[
            ("calibration.reaction.enthalpy", "17.584 kJ/mol, u = 0.2 %"),
            ("determination.thermometer.gain", "u = 0.15 %"),
        ],
    );
    let value = 15_290.0;
    for groups in [2, 9] {
        let c = class(&scenario, 31, groups, None).unwrap();
        let near = |what: &str, got: joulecast::stats::Estimate, want: f64| {
            let z = (got.value - want * value) / got.se;
            assert!(
                z.abs() < 5.0,
                "{what}, {groups} groups: {got:?} for {}",
                want * value
            );
        };
        // Closed form: the shared 0.2 % stays, the groups' own 0.15 % falls with sqrt N.
        near("scatter", c.scatter, 0.0015);
        let mean = (0.002f64.powi(2) + 0.0015f64.powi(2) / groups as f64).sqrt();
        near("class mean", c.mean_spread, mean);
        let wrong = ((0.002f64.powi(2) + 0.0015f64.powi(2)) / groups as f64).sqrt();
        assert!((c.mean_spread.value - wrong * value).abs() > 5.0 * c.mean_spread.se);
    }
}
