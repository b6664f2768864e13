//! Tests of the reductions on records written out by hand.

use super::*;
use crate::scenario::Pace;

fn trace(fore: f64, after: f64) -> Record {
    Record::Trace {
        pace: Pace::Even(Second(5.0)),
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
        ReductionMethod::BackToMixing,
        ReductionMethod::SixtyThree,
        ReductionMethod::EqualAreas,
        ReductionMethod::RegnaultPfaundler,
    ] {
        let reduction = Reduction::with(&trace(60.0, 120.0), way);
        let reduced = reduction.reduce(|_, t, out| *out = Column::splat(step(t)));
        // The record jumps between readings: the trapezoid sees the jump as a ramp of one interval.
        let slack = if way == ReductionMethod::BackToMixing {
            1e-12
        } else {
            2e-3
        };
        assert!(
            (reduced.change[0].0 - 0.75).abs() < slack,
            "{way:?} {}",
            reduced.change[0].0
        );
        assert!((reduced.mixing[0].0 - 21.0).abs() < 1e-12);
        let lines = reduction.lines(|_, t| step(t));
        assert!((lines[1].at_mixing.0 - 21.75).abs() < 1e-12);
        assert!((lines[0].slope + 2e-4).abs() < 1e-15);
    }
}

#[test]
fn a_constant_creep_is_removed_by_lines_and_not_by_two_readings() {
    let lines = Reduction::with(&trace(60.0, 120.0), ReductionMethod::BackToMixing);
    assert_eq!(lines.creep(0.0)[0], Second(0.0));
    // The line at mixing is 60 s after the start of the record.
    assert_eq!(lines.creep(0.0)[1], Second(60.0));
    let two = Record::TwoReadings {
        before: Second(10.0),
        read_at: Second(170.0),
    };
    let seen = Reduction::with(&two, ReductionMethod::TwoReadings).creep(0.0);
    assert_eq!(seen, [Second(180.0), Second(0.0)]);
    // An extreme reading at 45 s, and the last one before at -5 s.
    let far = Reduction::with(&trace(60.0, 120.0), ReductionMethod::Extreme).creep(45.0);
    assert_eq!(far, [Second(50.0), Second(55.0)]);
}

#[test]
fn a_longer_period_keeps_the_numbers_of_the_readings_it_had() {
    for way in ReductionMethod::ALL {
        let short: Vec<_> = Reduction::with(&trace(60.0, 120.0), way)
            .readings()
            .collect();
        let long: Vec<_> = all_readings(&trace(90.0, 200.0));
        assert!(short.iter().all(|r| long.contains(r)), "{way:?}");
    }
    assert_eq!(all_readings(&trace(60.0, 120.0)).len(), 12 + 24);
}

/// A change of 2 K with a time constant of 8 s between two lines of different slopes.
fn bent(t: f64) -> f64 {
    let gone = if t < 0.0 { 0.0 } else { 1.0 - (-t / 8.0).exp() };
    20.0 + 4e-4 * t + gone * (2.0 - 9e-4 * t)
}

#[test]
fn weights_to_first_order_are_those_that_differences_find() {
    let record = trace(60.0, 120.0);
    for way in ReductionMethod::ALL {
        let reduction = Reduction::with(&record, way);
        let readings: Vec<(u32, Second)> = reduction.readings().collect();
        let step = 1e-5;
        let shifted = |number: u32, by: f64| {
            let reduced = reduction.reduce(|n, t, out| {
                let up = if n == number { by } else { 0.0 };
                *out = Column::splat(Celsius(bent(t.0) + up));
            });
            (reduced.change[0].0, reduced.mixing[0].0)
        };
        let slopes: Vec<(f64, f64)> = readings
            .iter()
            .map(|(number, _)| {
                let (up, down) = (shifted(*number, step), shifted(*number, -step));
                let slope = |a: f64, b: f64| (a - b) / (2.0 * step);
                (slope(up.0, down.0), slope(up.1, down.1))
            })
            .collect();
        let sum = |f: &dyn Fn(&(f64, f64)) -> f64| slopes.iter().map(f).sum::<f64>();
        let due = [
            sum(&|w| w.0 * w.0),
            sum(&|w| w.0 * w.1),
            sum(&|w| w.1 * w.1),
        ];
        let moment = reduction
            .reduce(|_, t, out| *out = Column::splat(Celsius(bent(t.0))))
            .weighed_at[0];
        let got = reduction.noise_squares(moment);
        for (g, d) in got.iter().zip(due) {
            assert!(
                (g - d).abs() < 0.02 * due[0],
                "{way:?}: {got:?} for {due:?}"
            );
        }
        // The lines at mixing instead of where they are taken would be seen.
        if matches!(
            way,
            ReductionMethod::SixtyThree
                | ReductionMethod::EqualAreas
                | ReductionMethod::RegnaultPfaundler
        ) {
            assert!((reduction.noise_squares(40.0)[0] / due[0] - 1.0).abs() > 0.05);
        }
        let start = readings[0].1;
        let creep = readings
            .iter()
            .zip(&slopes)
            .map(|(r, w)| w.0 * (r.1 - start).0);
        let creep = creep.sum::<f64>();
        let [of_change, _] = reduction.creep(moment);
        assert!(
            (of_change.0 - creep).abs() < 1.0,
            "{way:?}: {of_change:?} for {creep}"
        );
    }
}

#[test]
fn the_extreme_follows_the_direction_of_the_change() {
    for sign in [1.0, -1.0] {
        let shown = |t: Second| {
            let gone = if t.0 < 0.0 { 0.0 } else { (-t.0 * 1e-3).exp() };
            Celsius(20.0 + sign * gone)
        };
        let reduction = Reduction::with(&trace(60.0, 120.0), ReductionMethod::Extreme);
        let reduced = reduction.reduce(|_, t, out| *out = Column::splat(shown(t)));
        let want = sign * (-5e-3f64).exp();
        assert!((reduced.change[0].0 - want).abs() < 1e-12);
    }
}

#[test]
fn an_extreme_reading_is_sought_where_the_change_went_however_the_record_ends() {
    // Contents of an open cup, colder than the room: 1.6 K lost at once, then warmed by the room beyond the start.
    for sign in [1.0, -1.0] {
        let shown = |t: Second| {
            let drop = if t.0 < 0.0 {
                0.0
            } else {
                1.6 * (-t.0 / 60.0).exp()
            };
            Celsius(20.0 + sign * (4e-3 * (t.0 + 60.0) - drop))
        };
        let reduction = Reduction::with(&trace(60.0, 600.0), ReductionMethod::Extreme);
        let reduced = reduction.reduce(|_, t, out| *out = Column::splat(shown(t)));
        let last = 4e-3 * 55.0;
        let due = 4e-3 * 65.0 - 1.6 * (-5.0f64 / 60.0).exp() - last;
        assert!(
            (reduced.change[0].0 - sign * due).abs() < 1e-12,
            "{}",
            reduced.change[0].0
        );
        assert_eq!(reduced.weighed_at[0], 5.0);
        assert!(shown(Second(600.0)).0 * sign > shown(Second(-5.0)).0 * sign + 0.3);
    }
}
