//! The temperature of the vessel's contents.
//!
//! C dT/dt = -G (T - T_env) + P + dQ/dt with k = G / C, stirring power P and surroundings that drift,
//! T_env = T_env,0 + w (t - t_0). The heat of the reaction, Q s(t) from t = 0 on, adds
//! (Q / C) R(t) with R of [`super::dissolve`]; without it, from T_0 at the start t_0 of the record,
//!
//! T = T_0 + (P / C + k (T_env,0 - T_0)) tau phi1(-k tau) + k w tau^2 phi2(-k tau), tau = t - t_0.
//!
//! A thermometer with a lag feels the same curve through one more first-order link
//! ([`super::lag`]).
//!
//! C is the heat capacity of the vessel with its final contents and constant within a run.

use super::course::Course;
use super::dissolve::response;
use super::lag::felt_response;
use super::phi::{decay_difference, lagging_ramp, phi1, phi2};
use super::pulse::Pulse;
use super::step::Dynamics;
use crate::quantity::{Celsius, Kelvin, KelvinPerSecond, PerSecond, Second};
use crate::random::Column;
use crate::scenario::LawOfDissolving;

/// Everything that shapes one run's temperature curve.
#[derive(Debug, Clone, Copy)]
pub struct Curve {
    /// Start of the record, on a clock that is zero at mixing.
    pub start: Second,
    /// Temperature then.
    pub from: Celsius,
    /// Leak.
    pub leak: PerSecond,
    /// Surroundings minus contents at the start.
    pub surroundings: Kelvin,
    /// Stirring power over heat capacity.
    pub stirring: KelvinPerSecond,
    /// Drift of the surroundings.
    pub ambient_drift: KelvinPerSecond,
    /// Full change: heat of all that dissolves, over heat capacity.
    pub change: Kelvin,
    /// Law of dissolving.
    pub law: LawOfDissolving,
    /// Its time.
    pub time: Second,
    /// Lag of the thermometer.
    pub lag: Second,
}

impl Curve {
    /// Temperature without the reaction.
    #[inline]
    pub fn base(&self, t: Second) -> Celsius {
        let tau = t - self.start;
        let x = -(self.leak * tau);
        let push = self.stirring + self.leak * self.surroundings;
        let mut shift = Kelvin(0.0);
        if push.0 != 0.0 {
            shift = shift + push * tau * phi1(x);
        }
        if self.ambient_drift.0 != 0.0 {
            shift = shift + self.ambient_drift * tau * (-x * phi2(x));
        }
        self.from + shift
    }

    /// Temperature at `t`; zero is the moment of mixing.
    #[inline]
    pub fn temperature(&self, t: Second) -> Celsius {
        if t.0 < 0.0 {
            return self.base(t);
        }
        self.base(t) + self.change * response(self.law, self.time, self.leak, t)
    }

    /// Temperature of the thermometer itself at `t`.
    #[inline]
    pub fn felt(&self, t: Second) -> Celsius {
        let base = if self.lag.0 <= 0.0 {
            self.base(t)
        } else {
            self.felt_base(t)
        };
        if t.0 < 0.0 {
            return base;
        }
        let share = felt_response(self.law, self.time, self.leak, self.lag, t);
        base + self.change * share
    }

    /// The same at several times, none before the one before it, by the steps with which a run is sampled
    /// (`step`).
    pub fn felt_by_steps(&self, times: &[Second]) -> Vec<Celsius> {
        let of = |value: f64| Column::splat(value);
        let dynamics = Dynamics::new(Column::splat(self.leak), Column::splat(self.lag));
        let leaking: KelvinPerSecond = self.leak * self.surroundings;
        let drift = of(self.ambient_drift.0);
        let warming = of(self.stirring.0 + leaking.0 - self.ambient_drift.0);
        let pulses = [Pulse {
            law: self.law,
            change: Column::splat(self.change),
            time: Column::splat(self.time),
        }];
        let mut course = Course::new(&dynamics, (&warming, &drift), &pulses, self.start.0);
        let felt = times.iter().map(|t| {
            course.go_to(t.0);
            self.from + Kelvin(course.state.contents[0] - course.state.behind[0])
        });
        felt.collect()
    }

    fn felt_base(&self, t: Second) -> Celsius {
        let tau = t - self.start;
        let (x, y) = (self.leak * tau, tau / self.lag);
        let push = self.stirring + self.leak * self.surroundings;
        let mut shift = Kelvin(0.0);
        if push.0 != 0.0 {
            shift = shift + push * tau * (y * lagging_ramp(x, y));
        }
        if self.ambient_drift.0 != 0.0 {
            let bend = x * y * decay_difference([0.0, 0.0, x, y]);
            shift = shift + self.ambient_drift * tau * bend;
        }
        self.from + shift
    }
}
