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
        let mut j = 4.0;
        while term > 1e-17 {
            term *= x / j;
            sum += term;
            j += 1.0;
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

/// [`decay_difference`] of 0, x and y for the common case of a lag far faster than a leak, in two
/// elementary functions instead of four.
#[inline]
pub fn lagging_ramp(x: f64, y: f64) -> f64 {
    if x < 0.0 || y - x < 0.7 {
        return decay_difference([0.0, x, y]);
    }
    let fallen = exp_m1(-x);
    let slow = if x == 0.0 { 1.0 } else { -fallen / x };
    (slow - (1.0 + fallen - vanishing(y)) / (y - x)) / y
}

/// [`decay_difference`] of x and y, likewise.
#[inline]
pub fn lagging_pulse(x: f64, y: f64) -> f64 {
    lagging_pulse_from(x, y, exp(-x) - vanishing(y))
}

/// The same with the difference of both exponentials, e^(-x) - e^(-y), known.
#[inline]
pub fn lagging_pulse_from(x: f64, y: f64, apart: f64) -> f64 {
    if y - x < 0.7 {
        return decay_difference([x, y]);
    }
    apart / (y - x)
}

/// e^(-y), not computed where it is below the last digit of anything it is added to.
#[inline]
pub fn vanishing(y: f64) -> f64 {
    if y > 60.0 { 0.0 } else { exp(-y) }
}

/// Divided difference of e^(-x) over up to four points, with positive sign: the mean of e^(-x) over
/// the simplex of the points (Hermite-Genocchi), divided by n! for n + 1 points.
///
/// A chain of first-order lags with rates a, b, c answers a unit pulse by t^2 D(a t, b t, c t); equal
/// rates are no special case. Points that lie within 0.7 of each other go through a Taylor series
/// about their mean, others through D(x_0..x_n) = (D(x_0..x_(n-1)) - D(x_1..x_n)) / (x_n - x_0), points
/// rising. Accuracy about 1e-14 relative. (De Boor, Surveys in Approximation Theory 1 (2005) 46.)
#[inline]
pub fn decay_difference<const N: usize>(mut points: [f64; N]) -> f64 {
    // By insertion: two to four points, nearly always in order already.
    for i in 1..N {
        let mut j = i;
        while j > 0 && points[j] < points[j - 1] {
            points.swap(j, j - 1);
            j -= 1;
        }
    }
    difference(&points)
}

fn difference(x: &[f64]) -> f64 {
    let last = x.len() - 1;
    let spread = x[last] - x[0];
    match x {
        [one] => exp(-one),
        [low, _] => exp(-low) * phi1(-spread),
        _ if spread < 0.7 => near(x),
        _ => (difference(&x[..last]) - difference(&x[1..])) / spread,
    }
}

/// The series about the mean m: e^(-m) sum over j of (-1)^j h_j(x - m) / (j + n)!, with h_j the
/// complete homogeneous symmetric polynomials, built from the elementary ones.
fn near(x: &[f64]) -> f64 {
    let n = x.len() - 1;
    let mean = x.iter().sum::<f64>() / x.len() as f64;
    // Elementary symmetric polynomials of the deviations, e[0] = 1.
    let mut e = [1.0, 0.0, 0.0, 0.0, 0.0];
    for (i, v) in x.iter().enumerate() {
        for k in (1..=i + 1).rev() {
            e[k] += (v - mean) * e[k - 1];
        }
    }
    let factorial: f64 = (1..=n).map(|k| k as f64).product();
    let mut h = [0.0; 18];
    h[0] = 1.0;
    let (mut sum, mut weight) = (1.0 / factorial, 1.0 / factorial);
    for j in 1..18 {
        let mut sign = 1.0;
        for k in 1..=j.min(x.len()) {
            h[j] += sign * e[k] * h[j - k];
            sign = -sign;
        }
        weight = -weight / (j + n) as f64;
        sum += weight * h[j];
    }
    exp(-mean) * sum
}

/// psi_0 to psi_7 at x >= 0, downwards from the series of psi_7 (all terms positive). For the rare
/// case that needs so many; [`psi`] is the fast one.
pub fn psi_to_seven(x: f64) -> [f64; 8] {
    let e = exp(-x);
    let (mut term, mut sum) = (0.125, 0.125);
    let mut j = 1.0;
    while term > 1e-18 * sum {
        term *= x / (8.0 + j);
        sum += term;
        j += 1.0;
    }
    let mut psi = [0.0; 8];
    psi[7] = e * sum;
    for n in (1..8).rev() {
        psi[n - 1] = (x * psi[n] + e) / n as f64;
    }
    psi
}

/// The moments of a thermometer's answer K(v) = y v D(x v, y v) to heat that came at once,
/// chi_n = integral over v from 0 to 1 of v^n K(v), for n = 0, 1, 2, x >= 0 and y > 0.
///
/// y / (y - x) [psi_n(x) - psi_n(y)]; where x and y nearly agree y times the moments of
/// v + delta^2 v^3 / 6 + delta^4 v^5 / 120 under e^(-m v), m their mean and delta = (y - x) / 2.
pub fn felt_moments(x: f64, y: f64) -> [f64; 3] {
    felt_after(x, psi(x), y)
}

/// The same with psi of x known.
#[inline]
pub fn felt_after(x: f64, slow: [f64; 3], y: f64) -> [f64; 3] {
    let apart = y - x;
    if apart.abs() >= 0.1 {
        let fast = psi(y);
        return [0, 1, 2].map(|n| y / apart * (slow[n] - fast[n]));
    }
    let psi = psi_to_seven(0.5 * (x + y));
    let square = 0.25 * apart * apart;
    [0, 1, 2].map(|n| y * (psi[n + 1] + square * (psi[n + 3] / 6.0 + square * psi[n + 5] / 120.0)))
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

    #[test]
    fn decay_differences_agree_with_an_integral_over_the_simplex() {
        // Three points: integral of v e^(-(...)) by the midpoint rule in two dimensions, refined.
        let by_rule = |a: f64, b: f64, c: f64, steps: u32| -> f64 {
            let h = 1.0 / f64::from(steps);
            let mut sum = 0.0;
            for i in 0..steps {
                let s = (f64::from(i) + 0.5) * h;
                for j in 0..steps {
                    let r = (f64::from(j) + 0.5) * h;
                    // (1 - s, s (1 - r), s r) covers the triangle with density s.
                    sum += s * (-((1.0 - s) * a + s * (1.0 - r) * b + s * r * c)).exp() * h * h;
                }
            }
            sum
        };
        for [a, b, c] in [
            [0.0, 0.0, 0.0],
            [0.3, 0.3, 0.3 + 1e-9],
            [0.1, 0.5, 0.75],
            [0.0, 0.7, 0.7],
            [0.02, 3.0, 9.0],
            [5.0, 0.1, 5.0 + 1e-6],
        ] {
            let (one, two) = (by_rule(a, b, c, 200), by_rule(a, b, c, 400));
            let want = two + (two - one) / 3.0;
            let got = decay_difference([a, b, c]);
            assert!(
                (got / want - 1.0).abs() < 1e-7,
                "{a} {b} {c}: {got} for {want}"
            );
        }
    }

    #[test]
    fn decay_differences_have_no_seam_where_the_series_takes_over() {
        for x in [[0.1, 0.4, 0.8], [0.1, 0.1, 0.8], [0.1, 0.8, 0.8]] {
            let shifted = x.map(|v| 0.1 + (v - 0.1) * (1.0 - 1e-13));
            let (outside, inside) = (decay_difference(x), decay_difference(shifted));
            assert!(
                (outside / inside - 1.0).abs() < 2e-13,
                "{x:?}: {outside} {inside}"
            );
        }
        let x = [0.0, 0.0, 0.3, 0.7];
        let y = x.map(|v| v * (1.0 - 1e-13));
        assert!((decay_difference(x) / decay_difference(y) - 1.0).abs() < 2e-12);
        assert!((decay_difference([0.0; 4]) - 1.0 / 6.0).abs() < 1e-16);
    }

    #[test]
    fn the_short_forms_for_fast_lags_agree_with_the_general_one() {
        for (x, y) in [
            (0.0, 0.3),
            (0.0, 5.0),
            (1e-6, 0.9),
            (0.02, 3.0),
            (0.3, 59.9),
            (0.3, 60.1),
            (2.0, 200.0),
            (5.0, 5.2),
            (6.0, 2.0),
        ] {
            let ramp = decay_difference([0.0, x, y]);
            assert!(
                (lagging_ramp(x, y) / ramp - 1.0).abs() < 1e-13,
                "ramp {x} {y}"
            );
            let pulse = decay_difference([x, y]);
            assert!(
                (lagging_pulse(x, y) / pulse - 1.0).abs() < 1e-13,
                "pulse {x} {y}"
            );
        }
    }

    #[test]
    fn eight_moments_agree_with_three() {
        for x in [0.0, 0.2, 3.0, 40.0] {
            let (many, few) = (psi_to_seven(x), psi(x));
            for n in 0..3 {
                assert!((many[n] / few[n] - 1.0).abs() < 1e-13, "psi_{n}({x})");
            }
        }
    }
}
