//! Tests of the reductions on records written out by hand.

use super::*;

fn trace(fore: f64, after: f64) -> Record {
    Record::Trace {
        interval: Second(5.0),
        fore: Second(fore),
        after: Second(after),
        settle: Second(40.0),
        read_at: Second(40.0),
    }
}

/// A step at mixing between two lines.
fn step(t: Second) -> Celsius {
    let jump = if t.0 < 0.0 { 0.0 } else { 0.75 + 3e-4 * t.0 };
    Celsius(21.0 - 2e-4 * t.0 + jump)
}

#[test]
fn two_straight_lines_give_back_their_step_in_every_way_that_uses_them() {
    for way in [
        Way::BackToMixing,
        Way::SixtyThree,
        Way::EqualAreas,
        Way::RegnaultPfaundler,
    ] {
        let reduction = Reduction::with(trace(60.0, 120.0), way);
        let reduced = reduction.reduce(|_, t| Column::splat(step(t)));
        // The record jumps between readings: the trapezoid sees the jump as a ramp of one interval.
        let slack = if way == Way::BackToMixing {
            1e-12
        } else {
            2e-3
        };
        assert!(
            (reduced.rise[0].0 - 0.75).abs() < slack,
            "{way:?} {}",
            reduced.rise[0].0
        );
        assert!((reduced.mixing[0].0 - 21.0).abs() < 1e-12);
        let lines = reduction.lines(|_, t| step(t));
        assert!((lines[1].at_mixing.0 - 21.75).abs() < 1e-12);
        assert!((lines[0].slope + 2e-4).abs() < 1e-15);
    }
}

#[test]
fn a_constant_creep_is_removed_by_lines_and_not_by_two_readings() {
    let lines = Reduction::with(trace(60.0, 120.0), Way::BackToMixing);
    assert!(lines.creep().0.abs() < 1e-9);
    let two = Record::TwoReadings {
        before: Second(10.0),
        read_at: Second(170.0),
    };
    assert_eq!(
        Reduction::with(two, Way::TwoReadings).creep(),
        Second(180.0)
    );
}

#[test]
fn a_longer_period_keeps_the_numbers_of_the_readings_it_had() {
    for way in Way::ALL {
        let short: Vec<_> = Reduction::with(trace(60.0, 120.0), way)
            .readings()
            .collect();
        let long: Vec<_> = all_readings(trace(90.0, 200.0));
        assert!(short.iter().all(|r| long.contains(r)), "{way:?}");
    }
    assert_eq!(all_readings(trace(60.0, 120.0)).len(), 12 + 24);
}

#[test]
fn weights_by_differences_are_those_of_the_regression_where_the_way_is_nearly_linear() {
    let rise = |t: Second| {
        let gone = if t.0 < 0.0 {
            0.0
        } else {
            1.0 - (-t.0 / 8.0).exp()
        };
        Celsius(20.0 + 2.0 * gone)
    };
    let mut reduction = Reduction::with(trace(60.0, 120.0), Way::EqualAreas);
    reduction.linearise(|_, t| rise(t));
    let [square, _, mixing] = reduction.noise_squares();
    // Variance of the distance of two independent lines at t_x, plus nothing else: their slopes are
    // equal here, so the moment does not matter.
    let moment = reduction.reduce(|_, t| Column::splat(rise(t))).moment[0];
    let variance = |times: &[f64]| {
        let n = times.len() as f64;
        let mean = times.iter().sum::<f64>() / n;
        let s: f64 = times.iter().map(|t| (t - mean) * (t - mean)).sum();
        1.0 / n + (moment - mean) * (moment - mean) / s
    };
    let fore: Vec<f64> = (1..=12).map(|j| -5.0 * f64::from(j)).collect();
    let after: Vec<f64> = (8..=24).map(|j| 5.0 * f64::from(j)).collect();
    let want = variance(&fore) + variance(&after);
    assert!((square / want - 1.0).abs() < 0.02, "{square} for {want}");
    assert!(mixing > 0.0);
}

#[test]
fn the_extreme_follows_the_direction_of_the_change() {
    for sign in [1.0, -1.0] {
        let shown = |t: Second| {
            let gone = if t.0 < 0.0 { 0.0 } else { (-t.0 * 1e-3).exp() };
            Celsius(20.0 + sign * gone)
        };
        let reduction = Reduction::with(trace(60.0, 120.0), Way::Extreme);
        let reduced = reduction.reduce(|_, t| Column::splat(shown(t)));
        let want = sign * (-5e-3f64).exp();
        assert!((reduced.rise[0].0 - want).abs() < 1e-12);
    }
}
