//! A thermometer in the vessel, read one time after the other.

use super::course::Course;
use super::run::Run;
use super::sensor::{sensed, shown};
use super::step::State;
use crate::quantity::{Celsius, Kelvin, Second};
use crate::random::{BLOCK, Column};
use multiversion::multiversion;

/// Goes along a run from the start of its record; times must not go back.
#[derive(Debug)]
pub struct Recorder<'r, 'a> {
    run: &'r Run<'a>,
    course: Course<'r>,
    noise: Column<f64>,
}

impl<'r, 'a> Recorder<'r, 'a> {
    pub(super) fn new(run: &'r Run<'a>) -> Self {
        Self {
            run,
            course: run.course(),
            noise: Column::splat(0.0),
        }
    }

    /// What the thermometer shows at `t` (zero: mixing). Each reading of a run has its own
    /// number; the number, not the order of asking, decides its noise.
    pub fn reading(&mut self, number: u32, t: Second, out: &mut Column<Celsius>) {
        self.run.noise(number, &mut self.noise);
        self.course.go_to(t.0);
        show(self.run, &self.course.state, t, &self.noise, out);
    }

    /// What it would show without noise and with endless digits: for reductions whose noise is
    /// known exactly.
    pub fn smooth_reading(&mut self, t: Second, out: &mut Column<Celsius>) {
        self.course.go_to(t.0);
        sense(self.run, &self.course.state, t, out);
    }
}

#[multiversion(targets("x86_64+avx2"))]
fn sense(run: &Run, state: &State, t: Second, out: &mut Column<Celsius>) {
    let since = t - run.start;
    for i in 0..BLOCK {
        let felt = run.from.0[i] + Kelvin(state.contents.0[i] - state.behind.0[i]);
        out.0[i] = sensed(felt, run.errors(i), since);
    }
}

#[multiversion(targets("x86_64+avx2"))]
fn show(run: &Run, state: &State, t: Second, noise: &Column<f64>, out: &mut Column<Celsius>) {
    let (since, resolution) = (t - run.start, &run.group.resolution);
    for i in 0..BLOCK {
        let felt = run.from.0[i] + Kelvin(state.contents.0[i] - state.behind.0[i]);
        let noise = Kelvin(noise.0[i]);
        out.0[i] = shown(felt, run.errors(i), since, noise, resolution.0[i]);
    }
}
