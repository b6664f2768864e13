//! One exact step of contents, thermometer and surroundings, from one reading to the next.
//!
//! With y the temperature of the contents above that at the start of the record, d what the thermometer lags behind it,
//! w the drift of the surroundings and h what the contents change by beyond that drift,
//!
//! y' = w + h,   h' = -k h,   d' = y' - d / tau,   h(t_0) = P / C + k (T_env,0 - T_0) - w,
//!
//! which is the vessel of [`super::vessel`] and the thermometer of [`super::lag`] as one linear system. A step of dt is
//!
//! y += w dt + h b,          b = dt phi1(-k dt)
//! d  = d e^(-dt/tau) + w b_0 + h m,   b_0 = dt phi1(-dt/tau),   m = dt D(k dt, dt/tau)
//! h *= e^(-k dt)
//!
//! with D of [`super::phi`]: no exponential of a reading, and exact at k = 0, without a lag and where both rates agree. All
//! that depends on the group alone is worked out once for its leg.
//!
//! Heat that comes by a law brings y a part Y and what is felt a part F at each step ([`super::pulse`]), which go in as
//! y += Y, d += Y - F, h -= k Y. For a source that is a polynomial of what is left, both are moments over the step,
//!
//! psi_n = integral_0^1 v^n e^(-k dt v) dv,   chi_n = integral_0^1 v^n K(v) dv
//!
//! with K(v) = (v dt / tau) D(k dt v, dt v / tau) what is felt a time v dt after heat came at once.

use super::phi::{felt_moments, lagging_pulse_from, psi};
use super::stretch::Stretch;
use crate::quantity::{PerSecond, Second};
use crate::random::elementary::exp_m1;
use crate::random::{BLOCK, Column};
use multiversion::multiversion;
use std::cell::{OnceCell, RefCell};
use std::rc::Rc;

/// What a group's vessel and thermometer do of themselves, with their steps from one reading to the next.
#[derive(Debug, Clone)]
pub(super) struct Dynamics {
    pub(super) leak: Column<PerSecond>,
    pub(super) lag: Column<Second>,
    steps: RefCell<Vec<Rc<Step>>>,
    stretches: RefCell<Vec<Rc<Stretch>>>,
}

impl Dynamics {
    pub(super) fn new(leak: Column<PerSecond>, lag: Column<Second>) -> Self {
        Self {
            leak,
            lag,
            steps: RefCell::default(),
            stretches: RefCell::default(),
        }
    }

    /// The step of this length, s, worked out when it is first asked for. Lengths that differ by what the rounding of two
    /// times leaves are one.
    pub(super) fn step(&self, length: f64) -> Rc<Step> {
        let mut steps = self.steps.borrow_mut();
        let same = |s: &&Rc<Step>| (s.length - length).abs() <= 1e-9 * length;
        if let Some(step) = steps.iter().find(same) {
            return Rc::clone(step);
        }
        let step = Rc::new(Step::new(length, self));
        steps.push(Rc::clone(&step));
        step
    }

    /// Sums over so many readings at one interval, worked out when they are first asked for.
    pub(super) fn stretch(&self, interval: f64, n: u32) -> Rc<Stretch> {
        let step = self.step(interval);
        let mut stretches = self.stretches.borrow_mut();
        let same = |s: &&Rc<Stretch>| s.n == n && Rc::ptr_eq(&s.step, &step);
        if let Some(stretch) = stretches.iter().find(same) {
            return Rc::clone(stretch);
        }
        let stretch = Rc::new(Stretch::new(step, n));
        stretches.push(Rc::clone(&stretch));
        stretch
    }
}

/// A step of one length for one group.
#[derive(Debug)]
pub(super) struct Step {
    pub(super) length: f64,
    /// e^(-k dt).
    keeps: Column<f64>,
    /// b, s.
    warms: Column<f64>,
    /// e^(-dt/tau).
    lags: Column<f64>,
    /// m, s.
    lags_behind: Column<f64>,
    /// b_0, s.
    lags_evenly: Column<f64>,
    moments: OnceCell<Box<Moments>>,
}

/// Moments of what is there and of what is felt.
#[derive(Debug, Clone)]
pub(super) struct Moments {
    pub(super) there: [Column<f64>; 3],
    pub(super) felt: [Column<f64>; 3],
}

/// Where a run is: three numbers for each trial.
#[derive(Debug, Clone)]
pub(super) struct State {
    /// Contents above their start, K.
    pub(super) contents: Column<f64>,
    /// Contents above the thermometer, K.
    pub(super) behind: Column<f64>,
    /// Their change beyond the drift of the surroundings, K/s.
    pub(super) warming: Column<f64>,
}

impl Step {
    fn new(length: f64, Dynamics { leak, lag, .. }: &Dynamics) -> Self {
        let mut own = Self {
            length,
            keeps: Column::splat(0.0),
            warms: Column::splat(0.0),
            lags: Column::splat(0.0),
            lags_behind: Column::splat(0.0),
            lags_evenly: Column::splat(0.0),
            moments: OnceCell::new(),
        };
        for i in 0..BLOCK {
            let x = leak[i].0 * length;
            let lost = -exp_m1(-x);
            own.keeps[i] = 1.0 - lost;
            own.warms[i] = if x == 0.0 { length } else { length * lost / x };
            if lag[i].0 > 0.0 {
                let y = length / lag[i].0;
                let followed = -exp_m1(-y);
                own.lags[i] = 1.0 - followed;
                own.lags_evenly[i] = length * followed / y;
                own.lags_behind[i] = length * lagging_pulse_from(x, y, followed - lost);
            }
        }
        own
    }

    /// Takes the step without any heat.
    pub(super) fn advance(&self, state: &mut State, drift: &Column<f64>) {
        advance(self, state, drift);
    }

    /// e^(-k dt) and e^(-dt/tau).
    pub(super) fn factors(&self) -> (&Column<f64>, &Column<f64>) {
        (&self.keeps, &self.lags)
    }

    /// b, b_0 and m, s.
    pub(super) fn gains(&self) -> [&Column<f64>; 3] {
        [&self.warms, &self.lags_evenly, &self.lags_behind]
    }

    /// What the contents gain over the step if nothing else happens.
    pub(super) fn gain(&self, i: usize, warming: f64, drift: f64) -> f64 {
        drift * self.length + warming * self.warms[i]
    }

    /// The moments, worked out when somebody asks.
    pub(super) fn moments(&self, Dynamics { leak, lag, .. }: &Dynamics) -> &Moments {
        self.moments.get_or_init(|| {
            let zero = || [0; 3].map(|_| Column::splat(0.0));
            let mut all = Moments {
                there: zero(),
                felt: zero(),
            };
            for i in 0..BLOCK {
                let x = leak[i].0 * self.length;
                let there = psi(x);
                let felt = if lag[i].0 > 0.0 {
                    felt_moments(x, self.length / lag[i].0)
                } else {
                    there
                };
                for n in 0..3 {
                    all.there[n][i] = there[n];
                    all.felt[n][i] = felt[n];
                }
            }
            Box::new(all)
        })
    }
}

#[multiversion(targets("x86_64+avx2"))]
fn advance(step: &Step, state: &mut State, drift: &Column<f64>) {
    let (y, d, h) = (
        &mut state.contents.0,
        &mut state.behind.0,
        &mut state.warming.0,
    );
    for i in 0..BLOCK {
        y[i] += drift.0[i] * step.length + h[i] * step.warms.0[i];
        d[i] = d[i] * step.lags.0[i]
            + drift.0[i] * step.lags_evenly.0[i]
            + h[i] * step.lags_behind.0[i];
        h[i] *= step.keeps.0[i];
    }
}

impl State {
    /// At the start of a record.
    pub(super) fn new(warming: &Column<f64>) -> Self {
        Self {
            contents: Column::splat(0.0),
            behind: Column::splat(0.0),
            warming: warming.clone(),
        }
    }

    /// Heat has brought the contents this far, and the thermometer so.
    #[inline]
    pub(super) fn warm(&mut self, i: usize, leak: PerSecond, there: f64, felt: f64) {
        self.contents[i] += there;
        self.behind[i] += there - felt;
        self.warming[i] -= leak.0 * there;
    }
}
