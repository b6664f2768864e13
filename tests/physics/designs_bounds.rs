//! Bounds of studies: where they lie, by hand.

use super::patched;
use joulecast::design::{Answer, Bound, DesignOptions, Goal, Sweep, Vary, cap, loosen, sweep};
use joulecast::scenario::{Scenario, shipped};

fn of(name: &str, changes: &[(&str, &str)]) -> Scenario {
    patched(shipped(name).unwrap(), changes)
}

fn swept(s: &Scenario, vary: &str, goal: Option<Goal>, trials: u64) -> Sweep {
    let options = DesignOptions {
        trials,
        ..DesignOptions::new(1)
    };
    let vary = vec![Vary::parse(vary, s).unwrap()];
    sweep(s, vary, goal, cap(s), &options).unwrap()
}

/// Points that are beyond a bound.
fn beyond(s: &Sweep, bound: Bound) -> Vec<f64> {
    let there = s.points.iter();
    let there = there.filter(|p| p.zones.iter().any(|z| z.bound == bound));
    there.map(|p| p.at[0]).collect()
}

#[test]
fn a_spread_that_a_few_results_make_is_no_spread_to_aim_at() {
    // The denominator of each determination is the capacity found by runs that start up to 14 K off: it comes near zero in a
    // few of ten thousand groups.
    let s = of("zinc-copper-foam-cup", &[]);
    let vary = "u(vessel.start_difference) = 2 K to 14 K by 12 K";
    let spread = swept(&s, vary, Some(Goal::Spread(0.5)), 8_192);
    assert_eq!(beyond(&spread, Bound::RunsAway), [14.0]);
    // Of the distance that 95 % stay within nothing is said.
    let within = swept(&s, vary, Some(Goal::Within(0.5)), 8_192);
    assert!(beyond(&within, Bound::RunsAway).is_empty());
}

#[test]
fn the_cap_goes_by_the_heaviest_mass_of_a_window() {
    let s = of("magnesium-oxide-cycle", &[]);
    let change = |s: &Scenario| s.determination.largest_change(&s.room).0;
    let target = |s: &Scenario| s.determination.nominal_change(&s.room).0.abs();
    let [low, high] = [0.40, 0.50];
    let study = swept(
        &s,
        &format!("determination.charge.mass = {low} g to {high} g by 0.01 g"),
        None,
        64,
    );
    let hot = beyond(&study, Bound::LargeChange);
    let first = hot[0];
    // The target mass alone stays below the cap there, with its window it does not; one step less does.
    let at = |mass: f64| {
        let parameter = &study.vary[0].parameter;
        s.changed(&joulecast::design::changes(&s, &[(parameter, mass)]))
            .unwrap()
    };
    assert!(
        change(&at(first)) > study.cap && change(&at(first - 0.01)) <= study.cap,
        "{hot:?}"
    );
    assert!(target(&at(first)) < change(&at(first)), "{hot:?}");
    // Nearly in proportion to the mass.
    let window = change(&s) / target(&s);
    let share = change(&at(first)) / target(&at(first));
    assert!((share / window - 1.0).abs() < 0.01, "{share} {window}");
}

#[test]
fn an_excess_may_not_run_out_with_the_heaviest_mass_of_a_calibration() {
    // 150 mL of acid of 0.1 mol/L use up 15 mmol of a base of 121.14 g/mol: 1.817 g; the window goes 2.7 % further.
    let s = of("ammonium-chloride-dewar", &[]);
    let study = swept(
        &s,
        "calibration.charge.mass = 1.70 g to 1.84 g by 0.02 g",
        None,
        64,
    );
    let due: Vec<f64> = study.points.iter().map(|p| p.at[0]).collect();
    let window = 0.77 / 0.75;
    let due: Vec<f64> = due
        .into_iter()
        .filter(|m| m * window / 121.14 > 0.015)
        .collect();
    assert_eq!(beyond(&study, Bound::Excess), due);
    assert!(!due.is_empty() && due.len() < study.points.len());
}

#[test]
fn a_heater_must_be_off_when_readings_begin_to_count() {
    let s = of("neutralisation-mug", &[]);
    let study = swept(
        &s,
        "calibration.electrical.time = 130 s to 170 s by 10 s",
        None,
        64,
    );
    // Readings count from 150 s on.
    assert_eq!(beyond(&study, Bound::Late), [160.0, 170.0]);
    let earlier = of("neutralisation-mug", &[("record.settle", "135 s")]);
    let study = swept(
        &earlier,
        "calibration.electrical.time = 130 s to 170 s by 10 s",
        None,
        64,
    );
    assert_eq!(beyond(&study, Bound::Late), [140.0, 150.0, 160.0, 170.0]);
}

#[test]
fn what_mixes_or_is_felt_too_late_is_out_of_bounds() {
    // Readings count from 150 s on. An exponential leaves 5 % at ln 20 = 2.9957 of its times.
    let s = of("neutralisation-mug", &[("thermometer.lag", "0 s")]);
    let vary = "determination.dissolving.mixing_time = 49.5 s to 50.5 s by 0.25 s";
    let spread = Some(Goal::Spread(0.023_28));
    let study = swept(&s, vary, spread, 512);
    let last = 150.0 / 20f64.ln();
    let late = |values: &[f64]| -> Vec<f64> {
        let it = values.iter().copied();
        it.filter(|t| *t > last).collect()
    };
    assert_eq!(beyond(&study, Bound::Late), late(&study.vary[0].values));
    assert!(late(&study.vary[0].values).len() < study.vary[0].values.len());
    // A thermometer that lags holds the heat of calibration and determination back alike.
    let s = of(
        "neutralisation-mug",
        &[
            ("determination.dissolving.mixing_time", "0 s"),
            ("calibration.electrical.time", "1 s"),
        ],
    );
    let study = swept(&s, "thermometer.lag = 28 s to 68 s by 10 s", spread, 512);
    assert_eq!(beyond(&study, Bound::Late), [58.0, 68.0]);
    // Without the bound the same target would be met far beyond it: there the spread is smaller and the bias is huge.
    let s = of("neutralisation-mug", &[]);
    let study = swept(
        &s,
        "dissolving.mixing_time = 4 s to 404 s by 100 s",
        spread,
        2_048,
    );
    assert_eq!(beyond(&study, Bound::Late), [104.0, 204.0, 304.0, 404.0]);
    let bias = |i: usize| {
        study.points[i]
            .outcome
            .as_ref()
            .unwrap()
            .relative_bias()
            .value
    };
    assert!(
        bias(0).abs() < 0.01 && bias(4) < -0.5,
        "{} {}",
        bias(0),
        bias(4)
    );
    assert_eq!(study.window.as_ref().unwrap().ends[0], 4.0);
    assert!(study.window.unwrap().ends[1] < 104.0);
}

#[test]
fn mixing_and_lag_are_loosened_to_that_bound() {
    let s = of("neutralisation-mug", &[("thermometer.lag", "0 s")]);
    let options = DesignOptions {
        trials: 512,
        ..DesignOptions::new(1)
    };
    let all = loosen(&s, Goal::Spread(0.04), cap(&s), &options).unwrap();
    let found = |key: &str| {
        all.iter()
            .find(|x| x.source.is_some_and(|s| s.key == key))
            .unwrap()
    };
    let mixing = found("dissolving.mixing_time");
    let Answer::Factor(f) = mixing.answer else {
        panic!("{mixing:?}");
    };
    // 4 s now.
    assert!(
        (4.0 * f.value * 20f64.ln() / 150.0 - 1.0).abs() < 2e-3,
        "{f:?}"
    );
    assert_eq!(mixing.bound, Some(Bound::Late));
    // Some 5 % of the heat are missed there, and told.
    assert!(
        mixing.bias.value < -0.02 && mixing.bias.se < 0.005,
        "{:?}",
        mixing.bias
    );
}

#[test]
fn the_error_of_a_windows_end_does_not_depend_on_the_step() {
    let s = of("permanganate-iron-dewar", &[]);
    let end = |step: &str, trials: u64| {
        let vary = format!("determination.charge.mass = 0.06 g to 0.14 g by {step} g");
        let window = swept(&s, &vary, Some(Goal::Within(0.04)), trials)
            .window
            .unwrap();
        (window.ends[0], window.se[0])
    };
    let (coarse, fine) = (end("0.02", 512), end("0.002", 512));
    // Over a small step the jagged curve of few trials says nothing of the slope.
    assert!((fine.1 / coarse.1).ln().abs() < 0.7, "{coarse:?} {fine:?}");
    // Both are right about what many more trials find.
    let many = end("0.02", 16_384);
    for (x, se) in [coarse, fine] {
        assert!((x - many.0).abs() < 4.0 * se, "{x} ± {se}, {many:?}");
    }
}

#[test]
fn a_solution_of_another_strength_than_its_tables_is_out_of_bounds() {
    // Tabulated for 0.5 mol/L; a quarter more or less is another solution.
    let s = of("neutralisation-mug", &[]);
    let vary = "determination.liquid.concentration = 0.3 mol/L to 0.7 mol/L by 0.1 mol/L";
    let study = swept(&s, vary, None, 64);
    assert_eq!(beyond(&study, Bound::Strength), [0.3, 0.7]);
}

#[test]
fn permanganate_meets_no_strong_acid_whatever_the_liquid_is_called() {
    let s = of("permanganate-iron-dewar", &[]);
    let vary = "determination.charge.concentration = 1 mol/L to 11 mol/L by 5 mol/L";
    let study = swept(&s, vary, Some(Goal::Within(0.1)), 64);
    assert_eq!(beyond(&study, Bound::Impossible), [11.0]);
    // What is within is not proposed either.
    assert_eq!(beyond(&study, Bound::Strength), [6.0]);
}

#[test]
fn no_study_suggests_a_voltage_that_is_a_danger_to_touch() {
    // 25 V: IEC 60364-4-41 for alternating voltage in dry places, from memory.
    let s = of("neutralisation-mug", &[]);
    let vary = "calibration.electrical.voltage = 24 V to 26 V by 1 V";
    let study = swept(&s, vary, None, 64);
    assert_eq!(beyond(&study, Bound::Hazard), [26.0]);
}

#[test]
fn a_session_that_every_number_of_runs_overruns_bars_them_all() {
    let s = of("permanganate-iron-dewar", &[("times.session", "20 min")]);
    let study = swept(&s, "runs = 1 to 4", None, 64);
    assert!(study.throughout.is_empty());
    assert_eq!(beyond(&study, Bound::Session), [1.0, 2.0, 3.0, 4.0]);
    // What does not change the time has nothing to say about it.
    let study = swept(&s, "thermometer.noise = 1 mK to 3 mK by 1 mK", None, 64);
    assert!(study.throughout.iter().any(|z| z.bound == Bound::Session));
    assert!(beyond(&study, Bound::Session).is_empty());
}

#[test]
fn a_window_is_not_made_of_luck() {
    let s = of("urea-foam-cups", &[]);
    // Nothing here moves the spread by as much as 256 trials leave open.
    let vary = "determination.charge.window = 0.1 g to 0.5 g by 0.1 g";
    let spread = |study: &Sweep, i: usize| {
        let o = study.points[i].outcome.as_ref().unwrap();
        o.relative(o.errors.spread).value
    };
    let study = swept(&s, vary, None, 256);
    let target = spread(&study, 2) * 1.000_01;
    let study = swept(&s, vary, Some(Goal::Spread(target)), 256);
    assert!(study.window.is_none());
    assert_eq!(study.untold(), Some(5));
    let study = swept(&s, vary, Some(Goal::Spread(2.0 * target)), 256);
    assert!(study.window.is_some() && study.untold().is_none());
}
