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

    /// Sums over `n` smooth readings at an interval from `t` on, of what each shows above `base` and of that times its number
    /// from 0; none, and nothing done, where they must be taken one by one.
    pub fn smooth_stretch(
        &mut self,
        t: Second,
        (interval, n): (Second, u32),
        base: &Column<Celsius>,
    ) -> Option<[Column<f64>; 2]> {
        self.course.go_to(t.0);
        let mut sums = self.course.stretch(interval.0, n)?;
        let count = f64::from(n);
        let numbers = 0.5 * count * (count - 1.0);
        let squares = numbers * (2.0 * count - 1.0) / 3.0;
        // sum and j-sum of 1, and of the times since the start.
        let since = t - self.run.start;
        let ones = [count, numbers];
        let times = [
            since * count + interval * numbers,
            since * numbers + interval * squares,
        ];
        for i in 0..BLOCK {
            let errors = self.run.errors(i);
            let still = sensed(self.run.from[i], errors, Second(0.0)) - base[i];
            for k in 0..2 {
                let felt = sums[k][i] * (1.0 + errors.gain);
                sums[k][i] = felt + still.0 * ones[k] + (errors.drift * times[k]).0;
            }
        }
        Some(sums)
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
