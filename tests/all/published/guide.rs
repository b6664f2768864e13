//! JCGM 100:2008, H.2 (resistance) and EURACHEM/CITAC CG 4, example A1 (calibration standard), by
//! simulation; their budgets to first order are in `budgets`.

use super::budgets::{Readings, concentration, impedance, reactance, resistance};
use super::{TRIALS, inputs, moments, simulate, simulate_one};
use crate::judge::{Z, agrees, agrees_with_print, correlation, holds_and_bites, near};
use joulecast::engine::ListInput;
use joulecast::random::{Dist, MultivariateNormal};

#[test]
fn resistance_and_reactance_h_2() {
    // Means and correlations read, readings and results from memory; the model is all but linear over so
    // small a spread.
    let exact_values = [
        127.732_169_928_102,
        219.846_511_912_638,
        254.259_701_948_019,
    ];
    let exact_u = [0.071_071_407_397, 0.295_581_677_359, 0.236_336_130_082];
    let exact_r = [-0.588_429_784_424, -0.485_259_224_210, 0.992_511_648_949];
    let pairs = [(0, 1), (0, 2), (1, 2)];
    let readings = Readings::published();
    let mean = readings.mean.to_vec();
    let set = MultivariateNormal::new(mean, &readings.covariance).expect("a covariance");
    let table = simulate(
        vec![ListInput::Correlated("readings".to_owned(), set)],
        &["R", "X", "Z", "V", "I", "phi"],
        |x, y| {
            y[..3].copy_from_slice(&[resistance(x), reactance(x), impedance(x)]);
            y[3..].copy_from_slice(x);
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
    // The shares of the linear budget are what is simulated: c u(x) r(x, y) / u(y).
    let model = readings.model();
    let budgets = [
        model.budget("ohm", &resistance),
        model.budget("ohm", &reactance),
        model.budget("ohm", &impedance),
    ];
    for (b, y) in budgets.iter().zip(&table.columns) {
        for (line, x) in b.lines.iter().zip(&table.columns[3..]) {
            let r = correlation(x, y);
            let part = line.sensitivity * line.quantity.u / b.u;
            let se = part.abs() * (1.0 - r * r) / n.sqrt();
            assert!(near(b.share(line), part * r, se, Z), "{line:?}");
            // The modulus of the impedance does not depend on the phase at all.
            let bites = !near(b.share(line) + 0.02 * part, part * r, se, Z);
            assert!(bites || line.quantity.symbol == "phi" && b.value > 250.0);
        }
    }
}

#[test]
fn calibration_standard_a_1() {
    let (exact, exact_u) = (1_002.699_72, 0.863_684_737_385);
    let dists: [Dist; 3] = [
        Dist::normal(100.28, 0.05).expect("valid"),
        Dist::within(0.9999, 0.0001).expect("valid"),
        Dist::normal(100.0, 0.07).expect("valid"),
    ];
    let y = simulate_one(inputs(dists), concentration, TRIALS / 4);
    // E(1/V) exceeds 1/E(V) by the relative variance of V.
    let mean = exact * (1.0 + 0.0007 * 0.0007);
    holds_and_bites("c", &y, |y| agrees(moments(y).mean(), mean));
    holds_and_bites("u(c)", &y, |y| agrees(moments(y).sd(), exact_u));
    assert!(agrees_with_print(moments(&y).mean(), 1002.7, 0.06));
    assert!(agrees_with_print(moments(&y).sd(), 0.9, 0.05));
}
