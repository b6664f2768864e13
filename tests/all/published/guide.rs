//! JCGM 100:2008 (gauge block H.1, resistance H.2, Welch-Satterthwaite G.4) and EURACHEM/CITAC CG 4,
//! example A1 (calibration standard).

use super::{TRIALS, inputs, moments, simulate, simulate_one};
use crate::judge::{Z, agrees, agrees_with_print, close, correlation, holds_and_bites, near};
use crate::linear::{Known, Propagated, estimated, known, propagate, propagate_jointly};
use joulecast::engine::ListInput;
use joulecast::random::dist::{Normal, Rectangular};
use joulecast::random::{Dist, MultivariateNormal};

#[test]
fn gauge_block_h_1() {
    // Partly read, the rest from memory. Lengths in nm, l = ls + d - ls (da th + as dth).
    let third = |half: f64| half / 3f64.sqrt();
    let all = [
        estimated(50_000_623.0, 25.0, 18.0),
        estimated(215.0, 5.8, 24.0),
        estimated(0.0, 3.9, 5.0),
        estimated(0.0, 6.7, 8.0),
        known(11.5e-6, third(2e-6)),
        estimated(0.0, third(1e-6), 50.0),
        known(-0.1, 0.2f64.hypot(0.35)),
        estimated(0.0, third(0.05), 2.0),
    ];
    let length = |x: &[f64]| {
        let expansion = x[5] * x[6] + x[4] * x[7];
        x[0] + x[1] + x[2] + x[3] - x[0] * expansion
    };
    let p = propagate(&all, &length);
    assert!(close(p.y, 50_000_838.0, 0.5));
    // 31.671 and 16.76 follow from the components as the example rounds them (9.7, 2.9, 16.6).
    let right = |p: &Propagated| {
        close(p.u, 31.671_122, 0.02) && close(p.dof, 16.764_554, 0.1) && close(p.u, 32.0, 0.6)
    };
    assert!(right(&p), "{} {}", p.u, p.dof);
    assert_eq!(p.dof.floor(), 16.0);
    assert!(close(p.factor(0.99), 2.920_781_622_425_1, 1e-12));
    assert!(close(p.factor(0.99), 2.92, 0.01));
    assert!(close(p.factor(0.99) * p.u, 92.504, 0.06));
    assert!(close(p.factor(0.99) * p.u, 93.0, 1.5));
    let mut wrong = all;
    wrong[7].u *= 1.02;
    assert!(!right(&propagate(&wrong, &length)));
}

#[test]
fn resistance_and_reactance_h_2() {
    // Five simultaneous readings; means and correlations read, readings and results from memory.
    let readings: [[f64; 5]; 3] = [
        [5.007, 4.994, 5.005, 4.990, 4.999],
        [0.019_663, 0.019_639, 0.019_640, 0.019_685, 0.019_678],
        [1.0456, 1.0438, 1.0468, 1.0428, 1.0433],
    ];
    let mean = readings.map(|r| r.iter().sum::<f64>() / 5.0);
    let cell = |i: usize, j: usize| -> f64 {
        let products = (0..5).map(|k| (readings[i][k] - mean[i]) * (readings[j][k] - mean[j]));
        products.sum::<f64>() / 20.0
    };
    let covariance: Vec<Vec<f64>> = (0..3)
        .map(|i| (0..3).map(|j| cell(i, j)).collect())
        .collect();
    let all: Vec<Known> = (0..3)
        .map(|i| known(mean[i], covariance[i][i].sqrt()))
        .collect();
    let resistance = |x: &[f64]| x[0] / x[1] * x[2].cos();
    let reactance = |x: &[f64]| x[0] / x[1] * x[2].sin();
    let impedance = |x: &[f64]| x[0] / x[1];
    let s = propagate_jointly(&all, &covariance, &[&resistance, &reactance, &impedance]);
    let r = |i: usize, j: usize| s[i][j] / (s[i][i] * s[j][j]).sqrt();
    let values = [resistance(&mean), reactance(&mean), impedance(&mean)];
    let exact_values = [
        127.732_169_928_102,
        219.846_511_912_638,
        254.259_701_948_019,
    ];
    let exact_u = [0.071_071_407_397, 0.295_581_677_359, 0.236_336_130_082];
    let exact_r = [-0.588_429_784_424, -0.485_259_224_210, 0.992_511_648_949];
    let pairs = [(0, 1), (0, 2), (1, 2)];
    for i in 0..3 {
        assert!(close(values[i], exact_values[i], 1e-9));
        assert!(close(s[i][i].sqrt(), exact_u[i], 1e-7));
        assert!(close(r(pairs[i].0, pairs[i].1), exact_r[i], 1e-6));
    }
    let printed = [
        (values, [127.732, 219.847, 254.260]),
        ([0, 1, 2].map(|i| s[i][i].sqrt()), [0.071, 0.295, 0.236]),
        (pairs.map(|(i, j)| r(i, j)), [-0.588, -0.485, 0.993]),
    ];
    for (ours, printed) in printed {
        assert!((0..3).all(|i| close(ours[i], printed[i], 0.001)));
    }

    // The same by simulation; the model is all but linear over so small a spread.
    let set = MultivariateNormal::new(mean.to_vec(), &covariance).expect("a covariance");
    let table = simulate(
        vec![ListInput::Correlated("readings".to_owned(), set)],
        &["R", "X", "Z"],
        |x, y| {
            y[0] = resistance(x);
            y[1] = reactance(x);
            y[2] = impedance(x);
        },
        TRIALS / 4,
    );
    let n = table.trials() as f64;
    for i in 0..3 {
        let y = &table.columns[i];
        holds_and_bites("value", y, |y| agrees(moments(y).mean(), exact_values[i]));
        holds_and_bites("u", y, |y| agrees(moments(y).sd(), exact_u[i]));
        // Standard error of a correlation of normals: (1 - r^2) / sqrt n.
        let right = |a: &[f64], b: &[f64]| {
            let se = (1.0 - exact_r[i] * exact_r[i]) / n.sqrt();
            near(correlation(a, b), exact_r[i], se, Z)
        };
        let (a, b) = (&table.columns[pairs[i].0], &table.columns[pairs[i].1]);
        let mixed: Vec<f64> = a.iter().zip(b).map(|(a, b)| a - 0.1 * b).collect();
        assert!(right(a, b) && !right(&mixed, b), "correlation {i}");
    }
}

#[test]
fn effective_degrees_of_freedom_g_4() {
    // Y = b X1 X2 X3 with relative uncertainties in percent, n = 10, 5, 15; from memory.
    let all = [
        estimated(1.0, 0.0025, 9.0),
        estimated(1.0, 0.0057, 4.0),
        estimated(1.0, 0.0082, 14.0),
    ];
    let product = |x: &[f64]| 100.0 * x[0] * x[1] * x[2];
    let p = propagate(&all, &product);
    let right =
        |p: &Propagated| close(p.u, 1.029_465_880_9, 1e-8) && close(p.dof, 18.998_742_3, 1e-5);
    assert!(right(&p));
    assert!(close(p.u, 1.03, 0.005) && close(p.dof, 19.0, 0.05));
    // The example rounds 18.998 to 19, whose factor it prints as 2.09.
    let k = joulecast::random::special::student_quantile(0.975, p.dof.round());
    assert!(close(k, 2.093_024_054_408_308_7, 1e-12) && close(k, 2.09, 0.005));
    assert!(close(k * p.u, 2.154_696_852, 1e-7) && close(k * p.u, 2.2, 0.06));
    let mut wrong = all;
    wrong[1].dof = 5.0;
    assert!(!right(&propagate(&wrong, &product)));
}

/// Concentration in mg/L from mass in mg, purity and volume in mL.
fn concentration(x: &[f64]) -> f64 {
    1000.0 * x[0] * x[1] / x[2]
}

#[test]
fn calibration_standard_a_1() {
    // Results read; the parts of the volume (tolerance, repeatability, 4 K) from memory.
    let third = |half: f64| half / 3f64.sqrt();
    let warm = third(4.0 * 2.1e-4 * 100.0);
    let parts = (0.1 / 6f64.sqrt()).hypot(0.02).hypot(warm);
    assert!(close(parts, 0.066_473_052_184, 1e-12) && close(parts, 0.07, 0.005));
    // The example goes on with 0.07, and so do the results that it prints.
    let all = [
        known(100.28, 0.05),
        known(0.9999, third(0.0001)),
        known(100.0, 0.07),
    ];
    let p = propagate(&all, &concentration);
    let (exact, exact_u) = (1_002.699_72, 0.863_684_737_385);
    let exact_shares = [0.335_075_485_4, 0.004_493_625_8, 0.660_430_888_8];
    let right = |p: &Propagated| {
        close(p.y, exact, 1e-9)
            && close(p.u, exact_u, 1e-7)
            && (0..3).all(|i| close(p.shares()[i], exact_shares[i], 1e-7))
    };
    assert!(right(&p), "{} {} {:?}", p.y, p.u, p.shares());
    assert!(close(p.y, 1002.7, 0.06) && close(p.u, 0.9, 0.05) && close(p.u / p.y, 0.0009, 5e-5));
    let mut wrong = all;
    wrong[1].u *= 1.01;
    assert!(!right(&propagate(&wrong, &concentration)));

    let dists: [Dist; 3] = [
        Normal::new(100.28, 0.05).expect("valid").into(),
        Rectangular::about(0.9999, 0.0001).expect("valid").into(),
        Normal::new(100.0, 0.07).expect("valid").into(),
    ];
    let y = simulate_one(inputs(dists), concentration, TRIALS / 4);
    // E(1/V) exceeds 1/E(V) by the relative variance of V.
    let mean = exact * (1.0 + 0.0007 * 0.0007);
    holds_and_bites("c", &y, |y| agrees(moments(y).mean(), mean));
    holds_and_bites("u(c)", &y, |y| agrees(moments(y).sd(), exact_u));
    assert!(agrees_with_print(moments(&y).mean(), 1002.7, 0.06));
    assert!(agrees_with_print(moments(&y).sd(), 0.9, 0.05));
}
