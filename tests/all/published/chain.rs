//! Chains with an exact answer that resemble a determination against a calibrant.

use super::{TRIALS, first_order, inputs, interval, known, moments, simulate_one};
use crate::judge::{agrees, close, holds_and_bites};
use joulecast::random::Dist;
use joulecast::random::special::normal_quantile;
use joulecast::stats::Sorted;

#[test]
fn a_product_of_log_normals() {
    // ln Y is normal with the sum of the squares as variance; closed forms.
    let sigmas = [0.002, 0.003, 0.02, 0.012, 0.004];
    let dists = sigmas.map(|s| Dist::log_normal(1.0, s).expect("valid"));
    let y = simulate_one(
        inputs(dists),
        |x| 50_000.0 * x[0] * x[1] * x[2] / (x[3] * x[4]),
        TRIALS,
    );
    holds_and_bites("mean", &y, |y| {
        agrees(moments(y).mean(), 50_014.327_052_252_236)
    });
    holds_and_bites("sd", &y, |y| {
        agrees(moments(y).sd(), 1_197.385_394_364_871_4)
    });
    holds_and_bites("median", &y, |y| agrees(Sorted::of(y).median(), 50_000.0));
    holds_and_bites("low", &y, |y| {
        agrees(interval(y).low, 47_708.354_412_159_63)
    });
    holds_and_bites("high", &y, |y| {
        agrees(interval(y).high, 52_401.723_572_398_354)
    });
    let linear = first_order(&sigmas.map(|s| known(1.0, s)), &|x: &[f64]| {
        50_000.0 * x[0] * x[1] * x[2] / (x[3] * x[4])
    });
    assert!(close(linear.u / 50_000.0, 0.023_937_418_407_171_646, 1e-9));
}

#[test]
fn a_ratio_of_normals() {
    // Ends by quadrature; mean to second order 2.0032. The variance does not formally exist.
    let dists = [(10.0, 0.3), (5.0, 0.2)].map(|(m, s)| Dist::normal(m, s).expect("valid"));
    let y = simulate_one(inputs(dists), |x| x[0] / x[1], TRIALS);
    let median = |y: &[f64]| Sorted::of(y).median();
    holds_and_bites("low", &y, |y| {
        agrees(interval(y).low, 1.815_378_483_008_804_2)
    });
    holds_and_bites("median", &y, |y| agrees(median(y), 2.0));
    holds_and_bites("high", &y, |y| {
        agrees(interval(y).high, 2.209_358_897_650_202_5)
    });
    // The reference mean is itself from 4 x 10^6 draws of deviation 0.1.
    holds_and_bites("mean", &y, |y| {
        let mean = moments(y).mean();
        close(mean.value, 2.003_243_384, 5.0 * mean.se.hypot(5e-5))
    });
    let p = first_order(&[known(10.0, 0.3), known(5.0, 0.2)], &|x: &[f64]| {
        x[0] / x[1]
    });
    let k = normal_quantile(0.975);
    assert!(close(p.u, 0.1, 1e-8) && close(p.value - k * p.u, 1.804_003_601_545_994_6, 1e-7));
    // First order misses the upper end by more than the error of the simulated one.
    assert!(!agrees(interval(&y).high, p.value + k * p.u));
}
