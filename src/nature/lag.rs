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
//! cube root:   lambda / (lambda - k) [R_k(t) - R_lambda(t)] up to t_d, with R_x the answer of a vessel
//!   of leak x; afterwards R_m(t_d) e^(-lambda d) + lambda d R_k(t_d) D(k d, lambda d), d = t - t_d.
//!
//! constant: lambda t (t / t_h) D(0, k t, lambda t) up to t_h, afterwards as for the cube root.
//!
//! D is [`super::phi::decay_difference`]. Where lambda and k nearly agree the cube root's difference
//! is expanded about their mean m: lambda times the moments of u + delta^2 u^3 / 6 + delta^4 u^5 / 120
//! under e^(-m u), delta = (lambda - k) / 2.

use super::dissolve::response;
use super::phi::{decay_difference, lagging_pulse, lagging_ramp, psi_to_seven, vanishing};
use crate::quantity::{PerSecond, Second};
use crate::random::elementary::exp;
use crate::scenario::LawOfDissolving;

/// Both answers at the end of a cube-root dissolving: all later times follow from them, so they are
/// worked out once for a run.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct AtEnd {
    /// R_k(t_d).
    contents: f64,
    /// R_m(t_d).
    felt: f64,
}

impl AtEnd {
    /// The answers at the end; zero where there is no such end.
    pub fn of(law: LawOfDissolving, time: Second, k: PerSecond, lag: Second) -> Self {
        let ends = matches!(law, LawOfDissolving::CubeRoot | LawOfDissolving::Steady);
        if !ends || time.0 <= 0.0 {
            return Self::default();
        }
        let contents = response(law, time, k, time);
        let felt = match law {
            _ if lag.0 <= 0.0 => contents,
            LawOfDissolving::Steady => steady(time, k, lag, time),
            _ => cube_root(time, k, lag, time),
        };
        Self { contents, felt }
    }
}

/// Share of the full rise that a thermometer with this lag shows at `t` >= 0.
pub fn felt_response(
    law: LawOfDissolving,
    time: Second,
    k: PerSecond,
    lag: Second,
    t: Second,
) -> f64 {
    felt_response_from(law, time, k, lag, t, AtEnd::of(law, time, k, lag))
}

/// The same with the answers at the end known already.
#[inline]
pub fn felt_response_from(
    law: LawOfDissolving,
    time: Second,
    k: PerSecond,
    lag: Second,
    t: Second,
    end: AtEnd,
) -> f64 {
    if lag.0 <= 0.0 {
        return match law {
            LawOfDissolving::CubeRoot | LawOfDissolving::Steady if time.0 > 0.0 && t >= time => {
                end.contents * exp(-(k * (t - time)))
            }
            _ => response(law, time, k, t),
        };
    }
    let (kt, lt) = (k * t, t / lag);
    match law {
        _ if time.0 <= 0.0 => lt * lagging_pulse(kt, lt),
        LawOfDissolving::Instant => lt * lagging_pulse(kt, lt),
        LawOfDissolving::FirstOrder => {
            let rt = t / time;
            rt * lt * decay_difference([kt, rt, lt])
        }
        LawOfDissolving::CubeRoot if t < time => cube_root(time, k, lag, t),
        LawOfDissolving::Steady if t < time => steady(time, k, lag, t),
        LawOfDissolving::CubeRoot | LawOfDissolving::Steady => {
            let d = t - time;
            let (kd, ld) = (k * d, d / lag);
            end.felt * vanishing(ld) + ld * end.contents * lagging_pulse(kd, ld)
        }
    }
}

fn steady(time: Second, k: PerSecond, lag: Second, t: Second) -> f64 {
    let (x, y) = (k * t, t / lag);
    (t / time) * (y * lagging_ramp(x, y))
}

fn cube_root(time: Second, k: PerSecond, lag: Second, t: Second) -> f64 {
    let lambda = PerSecond(1.0 / lag.0);
    let apart = (lambda - k) * t;
    if apart.abs() >= 0.1 {
        let of = |x: PerSecond| response(LawOfDissolving::CubeRoot, time, x, t);
        return lambda / (lambda - k) * (of(k) - of(lambda));
    }
    let psi = psi_to_seven(0.5 * ((lambda + k) * t));
    let (a, b) = (1.0 - t / time, t / time);
    // Integral over v of (a + b v)^2 v^n e^(-m t v).
    let moment = |n: usize| a * a * psi[n] + 2.0 * a * b * psi[n + 1] + b * b * psi[n + 2];
    let square = 0.25 * apart * apart;
    3.0 * b * (lambda * t) * (moment(1) + square * (moment(3) / 6.0 + square * moment(5) / 120.0))
}
