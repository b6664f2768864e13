//! A run's temperatures, forwards in time.

use super::pulse::{Pulse, Source};
use super::step::{Dynamics, State};
use crate::random::Column;

/// Goes along a run from the start of its record; times must not go back.
#[derive(Debug)]
pub(super) struct Course<'r> {
    dynamics: &'r Dynamics,
    /// Drift of the surroundings, K/s.
    drift: &'r Column<f64>,
    pulses: &'r [Pulse],
    now: f64,
    pub(super) state: State,
    /// What comes from mixing on.
    sources: Option<Vec<Source<'r>>>,
}

impl<'r> Course<'r> {
    /// At the `start` of a record, s before mixing if negative, with the change of the contents then beyond the drift of
    /// the surroundings, K/s.
    pub(super) fn new(
        dynamics: &'r Dynamics,
        (warming, drift): (&Column<f64>, &'r Column<f64>),
        pulses: &'r [Pulse],
        start: f64,
    ) -> Self {
        Self {
            dynamics,
            drift,
            pulses,
            now: start,
            state: State::new(warming),
            sources: None,
        }
    }

    /// Goes on to a time; mixing is at zero.
    pub(super) fn go_to(&mut self, t: f64) {
        debug_assert!(t >= self.now, "a record is read forwards");
        if t >= 0.0 && self.sources.is_none() {
            self.step_to(0.0);
            let begin = self
                .pulses
                .iter()
                .map(|p| p.begin(self.dynamics, &mut self.state));
            self.sources = Some(begin.collect());
        }
        self.step_to(t);
    }

    /// Sums over `n` readings at an interval from now on, of what the thermometer feels above the start of the record and of
    /// that times the number of the reading, and goes to the last of them; none, if heat comes or begins by then.
    pub(super) fn stretch(&mut self, interval: f64, n: u32) -> Option<[Column<f64>; 2]> {
        let end = self.now + interval * f64::from(n - 1);
        let quiet = match &self.sources {
            None => end < 0.0,
            Some(all) => all.iter().all(Source::is_over),
        };
        if !quiet {
            return None;
        }
        let stretch = self.dynamics.stretch(interval, n);
        let sums = stretch.sums(&self.state, self.drift);
        self.step_to(end);
        Some(sums)
    }

    fn step_to(&mut self, t: f64) {
        if t <= self.now {
            return;
        }
        let step = self.dynamics.step(t - self.now);
        step.advance(&mut self.state, self.drift);
        for source in self.sources.iter_mut().flatten() {
            source.advance(self.dynamics, &step, &mut self.state);
        }
        self.now = t;
    }
}
