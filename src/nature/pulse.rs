//! Heat that comes by a law, step by step.
//!
//! What is left of it after a step is what the law says of a smaller amount: first order, X e^(-r t) as before; cube
//! root, with the share a = 1 - t / t_d of the time left, a cube-root dissolving of a^3 of the heat in the time a t_d; a
//! constant power, a of it in the time a t_h. So a step over which a source goes on needs multiplications only, with
//! delta = dt / t_d and a the share of the time left at its end,
//!
//! first order:  Y = X r dt D(k dt, r dt),  F = X (r dt) (dt / tau) D(k dt, r dt, dt / tau)
//! cube root:    Y = 3 Q delta (a^2 psi_0 + 2 a delta psi_1 + delta^2 psi_2),  F the same with chi_n
//! constant:     Y = Q delta psi_0,  F = Q delta chi_0
//!
//! with the moments of [`super::step`], and the step in which it ends takes the closed forms of [`super::dissolve`] and
//! [`super::lag`] for what was left at its start.

use super::lag::after_end;
use super::phi::decay_difference;
use super::step::{Dynamics, State, Step};
use crate::quantity::{Kelvin, Second};
use crate::random::elementary::exp;
use crate::random::{BLOCK, Column};
use crate::scenario::LawOfDissolving;

/// Heat that comes by a law, as the rise that it would make at once.
#[derive(Debug, Clone)]
pub(super) struct Pulse {
    pub(super) law: LawOfDissolving,
    pub(super) rise: Column<Kelvin>,
    pub(super) time: Column<Second>,
}

/// A pulse under way.
#[derive(Debug, Clone)]
pub(super) struct Source<'p> {
    pulse: &'p Pulse,
    /// Share of the heat (first order) or of the time (else) that is left.
    left: Column<f64>,
    /// Time until it is all over, s.
    to_go: f64,
    /// Steps of a first-order source, by their length.
    rates: Vec<Rate>,
}

/// One step of a first-order source.
#[derive(Debug, Clone)]
struct Rate {
    length: f64,
    keeps: Column<f64>,
    there: Column<f64>,
    felt: Column<f64>,
}

/// Of a first-order source less than the last digit is left after so many of its times.
const OVER: f64 = 40.0;

impl Pulse {
    /// Begins at mixing: what comes at once is there.
    pub(super) fn begin(&self, dynamics: &Dynamics, state: &mut State) -> Source<'_> {
        let mut left = Column::splat(1.0);
        let mut longest = 0.0f64;
        for i in 0..BLOCK {
            let time = self.time[i].0;
            if self.law == LawOfDissolving::Instant || time <= 0.0 {
                let rise = self.rise[i].0;
                state.warm(i, dynamics.leak[i], rise, 0.0);
                left[i] = 0.0;
            } else {
                longest = longest.max(time);
            }
        }
        let to_go = match self.law {
            LawOfDissolving::FirstOrder => OVER * longest,
            _ => longest,
        };
        Source {
            pulse: self,
            left,
            to_go,
            rates: Vec::new(),
        }
    }
}

impl Source<'_> {
    /// Whether nothing of it is left in any trial.
    pub(super) fn is_over(&self) -> bool {
        self.to_go <= 0.0
    }

    /// Adds what it brings in a step to the state at its end.
    pub(super) fn advance(&mut self, dynamics: &Dynamics, step: &Step, state: &mut State) {
        if self.to_go <= 0.0 {
            return;
        }
        self.to_go -= step.length;
        match self.pulse.law {
            LawOfDissolving::Instant => {}
            LawOfDissolving::FirstOrder => self.fade(dynamics, step, state),
            LawOfDissolving::CubeRoot | LawOfDissolving::Steady => self.burn(dynamics, step, state),
        }
    }

    fn fade(&mut self, dynamics: &Dynamics, step: &Step, state: &mut State) {
        let known = self.rates.iter().position(|r| r.length == step.length);
        let at = known.unwrap_or_else(|| {
            self.rates
                .push(Rate::new(dynamics, self.pulse, step.length));
            self.rates.len() - 1
        });
        let rate = &self.rates[at];
        for i in 0..BLOCK {
            let heat = self.pulse.rise[i].0 * self.left[i];
            state.warm(
                i,
                dynamics.leak[i],
                heat * rate.there[i],
                heat * rate.felt[i],
            );
            self.left[i] *= rate.keeps[i];
        }
    }

    fn burn(&mut self, dynamics: &Dynamics, step: &Step, state: &mut State) {
        let cube = self.pulse.law == LawOfDissolving::CubeRoot;
        let dt = step.length;
        for i in 0..BLOCK {
            let (before, time) = (self.left[i], self.pulse.time[i].0);
            if before <= 0.0 {
                continue;
            }
            let rise = self.pulse.rise[i].0;
            let remains = before * time;
            let [there, felt] = if remains > dt {
                let moments = step.moments(dynamics);
                let delta = dt / time;
                let a = before - delta;
                self.left[i] = a;
                let of = |m: &[Column<f64>; 3]| {
                    if cube {
                        let bend = a * (a * m[0][i] + 2.0 * delta * m[1][i]);
                        3.0 * delta * (bend + delta * delta * m[2][i])
                    } else {
                        delta * m[0][i]
                    }
                };
                [of(&moments.there), of(&moments.felt)]
            } else {
                self.left[i] = 0.0;
                let size = if cube {
                    before * before * before
                } else {
                    before
                };
                let (leak, lag) = (dynamics.leak[i], dynamics.lag[i]);
                let law = self.pulse.law;
                after_end(law, Second(remains), leak, lag, Second(dt)).map(|share| size * share)
            };
            state.warm(i, dynamics.leak[i], rise * there, rise * felt);
        }
    }
}

impl Rate {
    fn new(dynamics: &Dynamics, pulse: &Pulse, length: f64) -> Self {
        let mut own = Self {
            length,
            keeps: Column::splat(0.0),
            there: Column::splat(0.0),
            felt: Column::splat(0.0),
        };
        for i in 0..BLOCK {
            let (time, lag) = (pulse.time[i].0, dynamics.lag[i].0);
            if time <= 0.0 {
                continue;
            }
            let (x, z) = (dynamics.leak[i].0 * length, length / time);
            own.keeps[i] = exp(-z);
            own.there[i] = z * decay_difference([x, z]);
            own.felt[i] = if lag > 0.0 {
                let y = length / lag;
                z * y * decay_difference([x, z, y])
            } else {
                own.there[i]
            };
        }
        own
    }
}
