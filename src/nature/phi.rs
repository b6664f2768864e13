//! The functions that keep heat-flow formulas exact where their plain form divides 0 by 0.
//!
//! phi1(z) = (e^z - 1) / z and phi2(z) = (e^z - 1 - z) / z^2 as in exponential integrators
//! (Hochbruck and Ostermann, Acta Numerica 19 (2010) 209), and the moments
//! psi_n(x) = integral over v from 0 to 1 of v^n e^(-x v).

use crate::random::elementary::{exp, exp_m1};

/// (e^z - 1) / z, with phi1(0) = 1.
#[inline]
pub fn phi1(z: f64) -> f64 {
    if z == 0.0 { 1.0 } else { exp_m1(z) / z }
}

/// (e^z - 1 - z) / z^2, with phi2(0) = 1/2.
#[inline]
pub fn phi2(z: f64) -> f64 {
    if z.abs() < 0.5 {
        // Taylor series, coefficients 1 / (n + 2)!; 14 terms reach 1e-17 at |z| = 0.5.
        let (mut term, mut sum) = (0.5, 0.5);
        for n in 3..17 {
            term *= z / f64::from(n);
            sum += term;
        }
        sum
    } else {
        (exp_m1(z) - z) / (z * z)
    }
}

/// psi_0, psi_1 and psi_2 at x >= 0.
///
/// Below 1 by the series of psi_2, whose terms shrink fast, then downwards by
/// psi_(n-1) = (x psi_n + e^(-x)) / n, which only adds positive numbers; above by the upward
/// recurrence psi_n = (n psi_(n-1) - e^(-x)) / x, which is stable there.
#[inline]
pub fn psi(x: f64) -> [f64; 3] {
    let e = exp(-x);
    if x < 1.0 {
        // psi_2 = e^(-x) sum x^j 2! / (3 + j)!: all terms positive.
        let (mut term, mut sum) = (1.0 / 3.0, 1.0 / 3.0);
        for j in 1..20 {
            term *= x / (3.0 + f64::from(j));
            sum += term;
        }
        let psi2 = e * sum;
        let psi1 = 0.5 * (x * psi2 + e);
        let psi0 = x * psi1 + e;
        [psi0, psi1, psi2]
    } else {
        let psi0 = -exp_m1(-x) / x;
        let psi1 = (psi0 - e) / x;
        let psi2 = (2.0 * psi1 - e) / x;
        [psi0, psi1, psi2]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Midpoint rule with Richardson extrapolation: an integral that shares nothing with the code.
    fn moment(n: i32, x: f64) -> f64 {
        let rule = |steps: u32| -> f64 {
            let h = 1.0 / f64::from(steps);
            (0..steps)
                .map(|i| {
                    let v = (f64::from(i) + 0.5) * h;
                    (0..n).fold(1.0, |p, _| p * v) * (-x * v).exp() * h
                })
                .sum()
        };
        let (a, b, c) = (rule(1000), rule(2000), rule(4000));
        let (ab, bc) = (b + (b - a) / 3.0, c + (c - b) / 3.0);
        bc + (bc - ab) / 15.0
    }

    #[test]
    fn moments_agree_with_an_integral_on_both_sides_of_the_switch() {
        for x in [0.0, 1e-12, 1e-4, 0.3, 0.999_999, 1.0, 3.0, 20.0] {
            let got = psi(x);
            for (n, got) in (0..).zip(got) {
                let want = moment(n, x);
                assert!(
                    (got / want - 1.0).abs() < 2e-13,
                    "psi_{n}({x}) = {got}, not {want}"
                );
            }
        }
    }

    #[test]
    fn phi_functions_are_continuous_through_zero_and_through_their_switch() {
        assert_eq!(phi1(0.0), 1.0);
        assert_eq!(phi2(0.0), 0.5);
        for z in [-0.5f64, 0.5] {
            let inside = phi2(z * (1.0 - 1e-14));
            assert!((inside / phi2(z) - 1.0).abs() < 1e-13);
        }
        assert!((phi2(-1e-9) - 0.5 * (1.0 - 1e-9 / 3.0)).abs() < 1e-16);
    }
}
