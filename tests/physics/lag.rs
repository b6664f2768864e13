//! A thermometer that lags: its closed form against the integrator, and what reductions make of it.

use super::curve::{base, numeric};
use super::reductions::{one_degree, reduced, trace};
use joulecast::nature::vessel::Curve;
use joulecast::quantity::{Kelvin, KelvinPerSecond, PerSecond, Second};
use joulecast::scenario::{LawOfDissolving, ReductionMethod};

/// Largest difference of the felt temperature from the integrator's, over the change: in closed form, by steps
/// from one time to the next, and by many steps between.
fn worst(c: &Curve, times: &[f64]) -> f64 {
    let due: Vec<f64> = times.iter().map(|t| numeric(c, *t)[1]).collect();
    let apart = |felt: Vec<f64>| {
        let off = felt
            .iter()
            .zip(&due)
            .map(|(f, d)| ((f - d) / c.change.0).abs());
        off.fold(0.0, f64::max)
    };
    let closed = times.iter().map(|t| c.felt(Second(*t)).0).collect();
    let stepped = |times: &[f64]| -> Vec<f64> {
        let times: Vec<Second> = times.iter().map(|t| Second(*t)).collect();
        c.felt_by_steps(&times).iter().map(|t| t.0).collect()
    };
    // Seven steps to each time.
    let between = |w: &[f64]| {
        let (from, by) = (w[0], w[1] - w[0]);
        (1..=7).map(move |j| from + by * f64::from(j) / 7.0)
    };
    let fine: Vec<f64> = times.windows(2).flat_map(between).collect();
    let fine = stepped(&fine);
    let ends = fine.into_iter().skip(6).step_by(7);
    let fine = std::iter::once(due[0]).chain(ends).collect();
    [apart(closed), apart(stepped(times)), apart(fine)]
        .into_iter()
        .fold(0.0, f64::max)
}

/// Before mixing, while a solid dissolves in 90 s, at its end, and long after.
const TIMES: [f64; 9] = [-180.0, -60.0, -1.0, 1.0, 20.0, 89.9, 90.0, 200.0, 900.0];

fn with(law: LawOfDissolving, time: f64, leak: f64, lag: f64) -> Curve {
    Curve {
        law,
        time: Second(time),
        leak: PerSecond(leak),
        lag: Second(lag),
        ..base()
    }
}

#[test]
fn felt_temperature_agrees_with_the_integrator_to_1e_8_of_the_change() {
    use LawOfDissolving::{CubeRoot, FirstOrder, Instant};
    let near = 1.0 + 1e-6;
    let cases = [
        ("cube root, 5 s", with(CubeRoot, 90.0, 3e-4, 5.0)),
        ("first order, 5 s", with(FirstOrder, 30.0, 3e-4, 5.0)),
        ("at once, 5 s", with(Instant, 0.0, 3e-4, 5.0)),
        ("no leak, cube root", with(CubeRoot, 90.0, 0.0, 5.0)),
        ("no leak, first order", with(FirstOrder, 30.0, 0.0, 5.0)),
        (
            "lag near 1/k, cube root",
            with(CubeRoot, 90.0, 3e-4, near / 3e-4),
        ),
        ("lag 1/k, cube root", with(CubeRoot, 90.0, 2e-2, 50.0)),
        (
            "lag near 1/k, large leak",
            with(CubeRoot, 90.0, 2e-2, 50.0 * near),
        ),
        ("a little apart", with(CubeRoot, 90.0, 2e-2, 52.0)),
        (
            "lag near 1/k, first order",
            with(FirstOrder, 30.0, 3e-4, near / 3e-4),
        ),
        (
            "lag near 1/k, at once",
            with(Instant, 0.0, 3e-4, near / 3e-4),
        ),
        ("lag near 1/r", with(FirstOrder, 30.0, 3e-4, 30.0 * near)),
        ("lag 1/r", with(FirstOrder, 30.0, 3e-4, 30.0)),
        ("r near k", with(FirstOrder, 30.0 * near, 1.0 / 30.0, 5.0)),
        (
            "all three near",
            with(FirstOrder, 30.0 * near, 1.0 / 30.0, 30.0 / near),
        ),
        ("all three equal", with(FirstOrder, 32.0, 1.0 / 32.0, 32.0)),
    ];
    for (name, c) in cases {
        let w = worst(&c, &TIMES);
        assert!(w < 1e-8, "{name}: {w:e}");
    }
}

#[test]
fn a_lag_of_a_millisecond_agrees_too_and_nearly_vanishes() {
    use LawOfDissolving::{CubeRoot, FirstOrder};
    for (law, time) in [(CubeRoot, 2.0), (FirstOrder, 0.5)] {
        let c = Curve {
            start: Second(-0.5),
            ..with(law, time, 3e-4, 1e-3)
        };
        let w = worst(&c, &[-0.4, 5e-4, 0.1, 1.999, 2.0, 2.001, 2.5]);
        assert!(w < 1e-8, "{law:?}: {w:e}");
        // Far out the stretch is long for the integrator, but a lag only shifts the time.
        let t = 600.0;
        let slope = (c.temperature(Second(t + 1.0)) - c.temperature(Second(t))).0;
        let behind = (c.felt(Second(t)) - c.temperature(Second(t))).0;
        assert!((behind + 1e-3 * slope).abs() < 1e-9, "{behind:e} {slope:e}");
    }
}

#[test]
fn a_slightly_wrong_lag_is_told_apart() {
    let right = with(LawOfDissolving::CubeRoot, 90.0, 3e-4, 5.0);
    let wrong = Curve {
        lag: Second(5.0 * (1.0 + 1e-5)),
        ..right
    };
    let off = (wrong.felt(Second(20.0)).0 - numeric(&right, 20.0)[1]).abs() / right.change.0.abs();
    assert!(off > 1e-8, "{off:e}");
}

/// One degree, with drifts on both sides of mixing. It has drifted for long before the record, so that
/// the thermometer's own start is not left in the line before.
fn drifting(law: LawOfDissolving, time: f64, leak: f64, lag: f64) -> Curve {
    Curve {
        start: Second(-200.0),
        surroundings: Kelvin(0.5),
        stirring: KelvinPerSecond(2e-5),
        lag: Second(lag),
        ..one_degree(law, time, leak)
    }
}

#[test]
fn lines_back_to_mixing_change_by_the_slope_difference_times_the_lag() {
    // Behind a lag tau every slow part of the record runs tau late: both lines carried back to mixing
    // are read at -tau, and their distance changes by -(slope behind - slope before) tau. For a
    // surplus of 1 K that leaks at k that is k tau: 0.15 % at 3e-4 /s and 5 s.
    let (k, lag) = (3e-4, 5.0);
    for (law, time) in [
        (LawOfDissolving::CubeRoot, 60.0),
        (LawOfDissolving::FirstOrder, 10.0),
    ] {
        let record = &trace(1.0, 160.0, 240.0);
        let [late, quick] = [lag, 0.0].map(|lag| drifting(law, time, k, lag));
        let of = |c: &Curve| reduced(c, record, ReductionMethod::BackToMixing).0;
        let slope = |t: f64| (quick.temperature(Second(t + 1.0)) - quick.temperature(Second(t))).0;
        let slopes = slope(280.0) - slope(-30.0);
        let change = of(&late) - of(&quick);
        // Second order in k tau, the curvature of the exponential over 280 s, and what a lag of 5 s
        // leaves of the solid's last heat.
        let slack = k * lag * (k * lag + k * 280.0) + 2.0 * (-160.0f64 / 10.0).exp();
        assert!(
            (change + slopes * lag).abs() < slack,
            "{law:?}: {change:e} for {:e}",
            -slopes * lag
        );
        // The sign is seen.
        assert!((change - slopes * lag).abs() > 5.0 * slack);
        // Small it is all the same.
        assert!(change.abs() < 2e-3);
    }
}

#[test]
fn the_moment_of_the_lines_moves_by_the_lag_and_takes_the_change_along() {
    // The centre of heat moves by exactly tau, so that the distance of the lines there does not
    // change; the 63 % moment of two links in a row moves by a little more.
    let (k, lag) = (3e-4, 5.0);
    for (law, time) in [
        (LawOfDissolving::CubeRoot, 60.0),
        (LawOfDissolving::FirstOrder, 20.0),
    ] {
        let record = &trace(1.0, 300.0, 120.0);
        let of = |lag: f64, way| reduced(&drifting(law, time, k, lag), record, way);
        for (way, about) in [
            (ReductionMethod::SixtyThree, 0.2),
            (ReductionMethod::EqualAreas, 0.01),
        ] {
            let (late, quick) = (of(lag, way), of(0.0, way));
            let moved = late.1 - quick.1;
            assert!(
                (moved / lag - 1.0).abs() < about,
                "{law:?} {way:?}: {moved}"
            );
            // What the moment misses of tau counts with the slope difference, about k; the line's
            // curvature k^2 (c - t)^2 / 2 changes with t by tau.
            let slack = k * (moved - lag).abs() + k * k * 360.0 * lag;
            assert!(
                (late.0 - quick.0).abs() < slack,
                "{law:?} {way:?}: {:e}",
                late.0 - quick.0
            );
        }
        // Regnault-Pfaundler balances heat, and the felt temperature obeys the same balance with the
        // same heat, only later: unchanged but for trapezoids and what has not dissolved.
        let change = of(lag, ReductionMethod::RegnaultPfaundler).0
            - of(0.0, ReductionMethod::RegnaultPfaundler).0;
        assert!(change.abs() < 1e-5, "{law:?}: {change:e}");
        // A lag that moved nothing would show here.
        let held =
            of(lag, ReductionMethod::BackToMixing).0 - of(0.0, ReductionMethod::BackToMixing).0;
        assert!((held - k * lag).abs() < 0.5 * k * lag, "{law:?}: {held:e}");
    }
}
