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
use super::step::{Dynamics, Moments, State, Step};
use crate::quantity::{Kelvin, PerSecond, Second};
use crate::random::elementary::exp;
use crate::random::{BLOCK, Column};
use crate::scenario::LawOfDissolving;
use multiversion::multiversion;
use std::hint::select_unpredictable;

/// Heat that comes by a law, as the change that it would make at once.
#[derive(Debug, Clone)]
pub(super) struct Pulse {
    pub(super) law: LawOfDissolving,
    pub(super) change: Column<Kelvin>,
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
                let change = self.change[i].0;
                state.warm(i, dynamics.leak[i], change, 0.0);
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
            let heat = self.pulse.change[i].0 * self.left[i];
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
        let dt = step.length;
        let mut ends = Column::splat(false);
        let goes_on = look(self.pulse, dt, &self.left, &mut ends);
        // In a step few trials end: eights in which none does are passed over.
        let (eights, _) = ends.0.as_chunks::<8>();
        let some = (0..).zip(eights).filter(|(_, eight)| **eight != [false; 8]);
        for i in some.flat_map(|(at, _)| 8 * at..8 * at + 8) {
            if ends[i] {
                self.end(i, dynamics, dt, state);
            }
        }
        if goes_on {
            let moments = step.moments(dynamics);
            burn_on(
                self.pulse,
                &dynamics.leak,
                (dt, moments),
                &mut self.left,
                state,
            );
        }
    }

    /// The step in which it ends in a trial.
    fn end(&mut self, i: usize, dynamics: &Dynamics, dt: f64, state: &mut State) {
        let (law, before) = (self.pulse.law, self.left[i]);
        let size = match law {
            LawOfDissolving::CubeRoot => before * before * before,
            _ => before,
        };
        let remains = self.pulse.time[i] * before;
        let (leak, lag) = (dynamics.leak[i], dynamics.lag[i]);
        let [there, felt] =
            after_end(law, remains, leak, lag, Second(dt)).map(|share| size * share);
        let change = self.pulse.change[i].0;
        state.warm(i, leak, change * there, change * felt);
        self.left[i] = 0.0;
    }
}

/// Finds the trials in which a source ends within a step, and whether it goes on in any.
#[multiversion(targets("x86_64+avx2"))]
fn look(pulse: &Pulse, dt: f64, left: &Column<f64>, ends: &mut Column<bool>) -> bool {
    let mut goes_on = false;
    for i in 0..BLOCK {
        let goes = left.0[i] * pulse.time.0[i].0 > dt;
        goes_on |= goes;
        ends.0[i] = (left.0[i] > 0.0) & !goes;
    }
    goes_on
}

/// Y or F of a step for a heat of 1, from its moments.
#[inline(always)]
fn share(cube: bool, (a, delta): (f64, f64), [zero, one, two]: [f64; 3]) -> f64 {
    if cube {
        let bend = a * (a * zero + 2.0 * delta * one);
        3.0 * delta * (bend + delta * delta * two)
    } else {
        delta * zero
    }
}

/// A step of a source with an end, in the trials in which it goes on.
#[multiversion(targets("x86_64+avx2"))]
fn burn_on(
    pulse: &Pulse,
    leak: &Column<PerSecond>,
    (dt, moments): (f64, &Moments),
    left: &mut Column<f64>,
    state: &mut State,
) {
    let cube = pulse.law == LawOfDissolving::CubeRoot;
    let State {
        contents,
        behind,
        warming,
    } = state;
    let ([t0, t1, t2], [f0, f1, f2]) = (&moments.there, &moments.felt);
    for i in 0..BLOCK {
        let (before, time, change) = (left.0[i], pulse.time.0[i].0, pulse.change.0[i].0);
        let delta = dt / time;
        let a = before - delta;
        let there = change * share(cube, (a, delta), [t0.0[i], t1.0[i], t2.0[i]]);
        let felt = change * share(cube, (a, delta), [f0.0[i], f1.0[i], f2.0[i]]);
        // As in `State::warm`. Adding -0 and taking away 0 changes nothing: no stores under a mask, which are slow.
        let goes = before * time > dt;
        contents.0[i] += select_unpredictable(goes, there, -0.0);
        behind.0[i] += select_unpredictable(goes, there - felt, -0.0);
        warming.0[i] -= select_unpredictable(goes, leak.0[i].0 * there, 0.0);
        left.0[i] = select_unpredictable(goes, a, before);
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
