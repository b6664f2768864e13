//! A thermometer that lags behind.
//!
//! tau dT_m/dt = T - T_m: what it feels is T smoothed by lambda e^(-lambda u), lambda = 1/tau. At the
//! start of the record it has the temperature of the contents. Every part of the temperature curve
//! is a chain of first-order answers, so the lag is one more link of it:
//!
//! without the reaction: lambda tau^2 push D(0, k tau, lambda tau), and for surroundings that drift
//!   k w lambda tau^3 D(0, 0, k tau, lambda tau);
//! at once:     lambda t D(k t, lambda t);
//! first order: r lambda t^2 D(k t, r t, lambda t);
//! cube root:   as in [`super::dissolve`] up to t_d, with the moments chi_n(k t, lambda t) of what is felt in
//!   place of psi_n(k t); afterwards R_m(t_d) e^(-lambda d) + lambda d R_k(t_d) D(k d, lambda d), d = t - t_d.
//!
//! constant: (t / t_h) chi_0(k t, lambda t) up to t_h, afterwards as for the cube root.
//!
//! D is [`super::phi::decay_difference`].

use super::dissolve::response;
use super::phi::{
    decay_difference, felt_after, felt_moments, lagging_pulse, lagging_pulse_from, psi, vanishing,
};
use crate::quantity::{PerSecond, Second};
use crate::random::elementary::exp;
use crate::scenario::LawOfDissolving;

/// Share of the full change that a thermometer with this lag shows at `t` >= 0.
pub fn felt_response(
    law: LawOfDissolving,
    time: Second,
    k: PerSecond,
    lag: Second,
    t: Second,
) -> f64 {
    if lag.0 <= 0.0 {
        return response(law, time, k, t);
    }
    let (kt, lt) = (k * t, t / lag);
    let over = t >= time;
    match law {
        _ if time.0 <= 0.0 => lt * lagging_pulse(kt, lt),
        LawOfDissolving::Instant => lt * lagging_pulse(kt, lt),
        LawOfDissolving::FirstOrder => {
            let rt = t / time;
            rt * lt * decay_difference([kt, rt, lt])
        }
        LawOfDissolving::CubeRoot | LawOfDissolving::Steady if over => {
            after_end(law, time, k, lag, t)[1]
        }
        LawOfDissolving::Steady => (t / time) * felt_moments(kt, lt)[0],
        LawOfDissolving::CubeRoot => {
            let b = t / time;
            let a = 1.0 - b;
            let chi = felt_moments(kt, lt);
            3.0 * b * (a * a * chi[0] + 2.0 * a * b * chi[1] + b * b * chi[2])
        }
    }
}

/// Shares of the full change that the contents have and that the thermometer shows at `t`, not before the end of a law
/// that has an end (cube root, constant).
#[inline]
pub fn after_end(
    law: LawOfDissolving,
    time: Second,
    k: PerSecond,
    lag: Second,
    t: Second,
) -> [f64; 2] {
    let of = |moments: [f64; 3]| match law {
        LawOfDissolving::Steady => moments[0],
        _ => 3.0 * moments[2],
    };
    let x = k * time;
    let slow = psi(x);
    let there = of(slow);
    let d = t - time;
    let (kd, ld) = (k * d, d / lag);
    let keeps = exp(-kd);
    if lag.0 <= 0.0 {
        return [there * keeps; 2];
    }
    let felt = if time.0 > 0.0 {
        of(felt_after(x, slow, time / lag))
    } else {
        0.0
    };
    let lags = vanishing(ld);
    let pulse = lagging_pulse_from(kd, ld, keeps - lags);
    [there * keeps, felt * lags + ld * there * pulse]
}
