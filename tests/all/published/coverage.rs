//! How often stated intervals cover the truth: exact results for few readings, the simulated ones of
//! Welch and Satterthwaite's, and the conformity probabilities of JCGM 106:2012.

use super::{inputs, simulate, simulate_one};
use crate::judge::{Z, close, near};
use joulecast::grade::conformity::conforms;
use joulecast::random::Dist;
use joulecast::random::special::{student_cdf, student_quantile};
use joulecast::stats::share_within;

const TRIALS: u64 = 1 << 17;

fn standard() -> Dist {
    Dist::normal(0.0, 1.0).expect("valid")
}

/// Mean and squared standard uncertainty s^2 / n of the readings.
fn mean_and_variance(x: &[f64]) -> (f64, f64) {
    let n = x.len() as f64;
    let mean = x.iter().sum::<f64>() / n;
    let squares: f64 = x.iter().map(|v| (v - mean) * (v - mean)).sum();
    (mean, squares / (n - 1.0) / n)
}

#[test]
fn mean_plus_or_minus_two_standard_errors_covers_too_rarely() {
    // Exact: 2 F(2; n - 1) - 1, for three readings 2 / sqrt 6; the factor needed is Student's.
    let exact = [
        (2, 0.704_832_764_699_133_5, 12.706_204_736_174_694),
        (3, 0.816_496_580_927_726, 4.302_652_729_749_462),
        (4, 0.860_674_031_441_157, 3.182_446_305_283_708),
        (10, 0.923_447_176_229_299_1, 2.262_157_162_798_205),
    ];
    assert!(close(exact[1].1, 2.0 / 6f64.sqrt(), 1e-15));
    for (n, covered, needed) in exact {
        let dof = f64::from(n) - 1.0;
        assert!(close(2.0 * student_cdf(2.0, dof) - 1.0, covered, 1e-13));
        assert!(close(student_quantile(0.975, dof), needed, 1e-11));
        let pivot = simulate_one(
            inputs((0..n).map(|_| standard())),
            |x| {
                let (mean, variance) = mean_and_variance(x);
                mean / variance.sqrt()
            },
            TRIALS,
        );
        let share = |k: f64| share_within(&pivot, -k, k);
        let right = |k: f64, p: f64| near(share(k).value, p, share(k).se, Z);
        assert!(right(2.0, covered) && right(needed, 0.95), "n = {n}");
        // Neither factor does the other's work.
        assert!(!right(2.0, 0.95) && !right(0.8 * needed, 0.95));
    }
}

#[test]
fn welch_satterthwaite_dips_where_two_sources_mix() {
    // Three readings with sigma 1 and a correction of known uncertainty uB; covered by k = 2, by the
    // effective degrees of freedom and by their whole part. From 2 x 10^6 simulations elsewhere,
    // whose own error is 2 x 10^-4.
    let rows = [
        (0.0, false, [0.816_119_5, 0.949_745_5, 0.949_745_5]),
        (0.25, false, [0.874_682, 0.922_274_5, 0.925_767]),
        (0.25, true, [0.874_322, 0.922_108, 0.925_567_5]),
        (1.0, true, [0.963_520_5, 0.963_253, 0.963_323_5]),
    ];
    for (u_b, flat, verified) in rows {
        let correction: Dist = if flat {
            let half = u_b * 3f64.sqrt();
            Dist::within(0.0, half).expect("valid")
        } else {
            Dist::normal(0.0, u_b).expect("valid")
        };
        let table = simulate(
            inputs([standard(), standard(), standard(), correction]),
            &["k2", "whole part left", "whole part"],
            |x, y| {
                let (mean, type_a) = mean_and_variance(&x[..3]);
                let variance = type_a + u_b * u_b;
                let ratio = (mean + x[3]).abs() / variance.sqrt();
                let dof = 2.0 * variance * variance / (type_a * type_a);
                let covers = |k: f64| f64::from(u8::from(ratio <= k));
                y[0] = covers(2.0);
                y[1] = covers(student_quantile(0.975, dof));
                // Without a correction dof is 2 but for rounding, which must not make it 1.
                y[2] = covers(student_quantile(0.975, (dof + 1e-9).floor()));
            },
            TRIALS,
        );
        for (column, p) in table.columns.iter().zip(verified) {
            let share = share_within(column, 0.5, 1.5);
            let se = share.se.hypot(2e-4);
            assert!(near(share.value, p, se, Z), "uB = {u_b}: {}", share.value);
            assert!(!near(share.value, p + 0.01, se, Z));
        }
    }
}

#[test]
fn probabilities_of_conformity_jcgm_106() {
    // Bursting strength at least 490 kPa, breakdown voltage at most -5.40 V; from memory.
    let strength = conforms(509.7, 8.6, [490.0, f64::INFINITY]);
    let voltage = conforms(-5.47, 0.05, [f64::NEG_INFINITY, -5.40]);
    assert!(close(strength, 0.989_009_547_384_822_2, 1e-14) && close(strength, 0.99, 0.006));
    assert!(close(voltage, 0.919_243_340_766_227_3, 1e-14) && close(voltage, 0.92, 0.006));
    // A guard band of U and of 0.83 U (k = 2): 8.3.2, from memory.
    let guarded = [
        (1.0, 0.977_249_868_051_820_8, 0.977, 0.001),
        (0.83, 0.951_542_773_733_277_2, 0.95, 0.003),
    ];
    for (share, exact, printed, last) in guarded {
        let guarded = |k: f64| conforms(-k * share, 1.0, [f64::NEG_INFINITY, 0.0]);
        let p = guarded(2.0);
        assert!(close(p, exact, 1e-14) && close(p, printed, last));
        assert!(!close(guarded(1.9), printed, last));
    }
    assert_eq!(conforms(0.0, 1.0, [0.0, f64::INFINITY]), 0.5);
}
