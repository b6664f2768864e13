//! Dissolving: how much of the solid has reacted, and the temperature answer of a leaky vessel.
//!
//! First order (Noyes and Whitney 1897): s(t) = 1 - e^(-r t).
//! Cube root (Hixson and Crowell 1931): s(t) = 1 - (1 - t / t_d)^3 up to t_d.
//!
//! The answer of a vessel that loses heat at the rate constant k is
//! R(t) = integral from 0 to t of s'(u) e^(-k (t - u)) du, the share of the full change that is seen
//! at t. In closed form
//!
//! first order: R = r t e^(-k t) phi1((k - r) t)
//! cube root:   R = (3 t / t_d) [a^2 psi_0 + 2 a b psi_1 + b^2 psi_2](k t), a = 1 - t/t_d, b = t/t_d,
//!              and R(t_d) e^(-k (t - t_d)) afterwards
//!
//! constant:    R = (t / t_h) phi1(-k t) up to t_h (a heater of constant power), and
//!              R(t_h) e^(-k (t - t_h)) afterwards
//!
//! All stay exact at k = 0, at r = k and for tiny k t_d (see [`super::phi`]).

use super::phi::{phi1, psi};
use crate::quantity::{PerSecond, Second};
use crate::random::elementary::{exp, exp_m1};
use crate::scenario::LawOfDissolving;

/// Dissolved fraction at `t` >= 0 for a time of dissolving `time` >= 0 (0: at once).
#[inline]
pub fn fraction(law: LawOfDissolving, time: Second, t: Second) -> f64 {
    match law {
        _ if time.0 <= 0.0 => 1.0,
        LawOfDissolving::Instant => 1.0,
        LawOfDissolving::FirstOrder => -exp_m1(-(t / time)),
        LawOfDissolving::CubeRoot => {
            let left = (1.0 - t / time).max(0.0);
            1.0 - left * left * left
        }
        LawOfDissolving::Steady => (t / time).min(1.0),
    }
}

/// Share of the full change that a vessel with leak `k` shows at `t` >= 0.
#[inline]
pub fn response(law: LawOfDissolving, time: Second, k: PerSecond, t: Second) -> f64 {
    match law {
        _ if time.0 <= 0.0 => exp(-(k * t)),
        LawOfDissolving::Instant => exp(-(k * t)),
        LawOfDissolving::FirstOrder => first_order(time, k, t),
        LawOfDissolving::CubeRoot if t < time => cube_root(time, k, t),
        LawOfDissolving::CubeRoot => cube_root(time, k, time) * exp(-(k * (t - time))),
        LawOfDissolving::Steady if t < time => (t / time) * phi1(-(k * t)),
        LawOfDissolving::Steady => phi1(-(k * time)) * exp(-(k * (t - time))),
    }
}

#[inline]
fn first_order(time: Second, k: PerSecond, t: Second) -> f64 {
    let turns = t / time;
    // Whichever rate is faster decays inside phi1; the slower one stands in front, so that nothing
    // overflows.
    let z = k * t - turns;
    if z <= 0.0 {
        turns * exp(-(k * t)) * phi1(z)
    } else {
        turns * exp(-turns) * phi1(-z)
    }
}

#[inline]
fn cube_root(time: Second, k: PerSecond, t: Second) -> f64 {
    let b = t / time;
    let a = 1.0 - b;
    let [psi0, psi1, psi2] = psi(k * t);
    3.0 * b * (a * a * psi0 + 2.0 * a * b * psi1 + b * b * psi2)
}
