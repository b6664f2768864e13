//! JCGM 100:2008, G.4 and E.1: how well an uncertainty is known.

use super::super::{TRIALS, first_order, inputs, known, moments, simulate_one};
use super::NINETY_NINE;
use crate::judge::{Z, close, near};
use joulecast::lab::{Coverage, LinearBudget, dof_of_reliability};
use joulecast::random::Dist;

#[test]
fn effective_degrees_of_freedom_g_4() {
    // Y = b X1 X2 X3 with relative uncertainties in percent, n = 10, 5, 15; from memory.
    let inputs = |second: f64| {
        [
            known(1.0, 0.0025).with_dof(9.0),
            known(1.0, 0.0057).with_dof(second),
            known(1.0, 0.0082).with_dof(14.0),
        ]
    };
    let product = |x: &[f64]| 100.0 * x[0] * x[1] * x[2];
    let b = first_order(&inputs(4.0), &product);
    let right =
        |b: &LinearBudget| close(b.u, 1.029_465_880_9, 1e-8) && close(b.dof, 18.998_742_3, 1e-5);
    assert!(right(&b));
    assert!(close(b.u, 1.03, 0.005) && close(b.dof, 19.0, 0.05));
    // The example takes 18.998 as 19, whose factor it prints as 2.09; to cut it would give 18.
    let exact = Coverage {
        probability: 0.95,
        whole: false,
    };
    let k = exact.factor(b.dof.round());
    assert!(close(k, 2.093_024_054_408_308_7, 1e-12) && close(k, 2.09, 0.005));
    assert!(close(exact.factor(b.dof), k, 2e-5));
    assert!(close(b.expanded(exact), 2.154_696_852, 2e-5) && close(k * b.u, 2.2, 0.06));
    assert_eq!(NINETY_NINE.dof(b.dof), 18.0);
    assert!(!right(&first_order(&inputs(5.0), &product)));
}

#[test]
fn reliability_of_a_standard_deviation_e_1() {
    // sqrt(1 - c4^2) / c4; printed in percent: 76 52 42 36 24 16 13 10 (n = 30 read, the rest from memory).
    let rows = [
        (2, 75.551_063_976, 76.0),
        (3, 52.272_320_088, 52.0),
        (4, 42.201_569_295, 42.0),
        (5, 36.299_928_954, 36.0),
        (10, 23.876_481_452, 24.0),
        (20, 16.325_647_020, 16.0),
        (30, 13.186_128_500, 13.0),
        (50, 10.126_996_385, 10.0),
    ];
    for (n, exact, printed) in rows {
        let normal: Dist = Dist::normal(0.0, 1.0).expect("valid");
        let s = simulate_one(
            inputs(vec![normal; n]),
            |x| {
                let mean = x.iter().sum::<f64>() / n as f64;
                let square: f64 = x.iter().map(|v| (v - mean) * (v - mean)).sum();
                (square / (n as f64 - 1.0)).sqrt()
            },
            TRIALS / 8,
        );
        let (mean, sd) = (moments(&s).mean(), moments(&s).sd());
        let ratio = sd.value / mean.value;
        let se = ratio * (sd.se / sd.value).hypot(mean.se / mean.value);
        assert!(near(ratio, exact / 100.0, se, Z), "n = {n}: {ratio}");
        assert!(!near(ratio, 1.04 * exact / 100.0, se, Z));
        assert!(close(exact, printed, 0.51));
        // So reliable an uncertainty counts as n - 1 degrees of freedom, all but a quarter of one.
        let dof = dof_of_reliability(exact / 100.0);
        assert!(close(dof, n as f64 - 1.0, 0.26), "n = {n}: {dof}");
    }
    assert!(!close(dof_of_reliability(0.25), 9.0, 0.26));
}
