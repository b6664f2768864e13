//! What a model sees of randomness: columns of draws asked for by name.

use super::column::{BLOCK, Column};
use super::dist::{Dist, Distribution};
use super::generator::{cell_seed, fold, uniforms};
use super::name::{Name, Tag};

/// An input that can err: its distribution, and the value it would have if it were perfect.
///
/// "Perfect" means zero error, not zero deviation from the mean: a one-sided error that is made
/// perfect loses its bias.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// What is drawn.
    pub dist: Dist,
    /// The value without error.
    pub ideal: f64,
}

impl Input {
    /// An error about zero.
    pub fn error(dist: Dist) -> Self {
        Self { dist, ideal: 0.0 }
    }

    /// A value with a distribution about it.
    pub fn about(dist: Dist, ideal: f64) -> Self {
        Self { dist, ideal }
    }

    /// A value without any error.
    pub fn exact(value: f64) -> Self {
        Self {
            dist: Dist::constant(value),
            ideal: value,
        }
    }

    /// Whether every draw is the perfect value.
    pub fn is_exact(&self) -> bool {
        matches!(self.dist, Dist::Constant(c) if c.value() == self.ideal)
    }
}

/// What a study does to one source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Treatment {
    /// Drawn from a second, independent set of streams with this number.
    Other(u64),
    /// Zero error.
    Perfect,
    /// Error scaled towards zero by this factor, with the same draws.
    Scaled(f64),
    /// The same draw in all trials: that of the trial with this number (of the class with this
    /// number, for a draw that a class shares).
    Held(u64),
    /// The quantile of the distribution at this probability in all trials (0.5: a typical value).
    At(f64),
}

/// The treatments of a study by source; a source not named is drawn as usual.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Plan(Vec<(Tag, Treatment)>);

impl Plan {
    /// Nothing is treated.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a treatment; a later one of the same source replaces the earlier.
    #[must_use]
    pub fn with(mut self, source: Tag, treatment: Treatment) -> Self {
        self.0.retain(|(tag, _)| *tag != source);
        self.0.push((source, treatment));
        self
    }

    fn of(&self, source: Tag) -> Option<Treatment> {
        self.0
            .iter()
            .find(|(tag, _)| *tag == source)
            .map(|(_, t)| *t)
    }
}

/// How trials are nested: each class (course) holds `groups` groups, and a trial is one group.
/// Trial `t` is group `t % groups` of class `t / groups`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Layout {
    /// Groups in a class, at least 1.
    pub groups: u64,
}

impl Layout {
    /// Every trial is a class of its own: all scopes are drawn anew in each trial.
    pub const MARGINAL: Self = Self { groups: 1 };
}

/// The draws of one block of trials.
#[derive(Debug, Clone, Copy)]
pub struct Draws<'a> {
    seed: u64,
    block: u64,
    layout: Layout,
    plan: &'a Plan,
}

impl<'a> Draws<'a> {
    /// The draws of block number `block` of a study.
    pub fn new(seed: u64, block: u64, layout: Layout, plan: &'a Plan) -> Self {
        Self {
            seed,
            block,
            layout,
            plan,
        }
    }

    /// Draws that differ from trial to trial (scopes reading, run and group).
    #[inline]
    pub fn column<T: Copy + From<f64>>(
        &self,
        name: Name,
        reading: u32,
        input: &Input,
    ) -> Column<T> {
        self.drawn(name, reading, input, false)
    }

    /// Draws that all groups of a class share (scope course).
    #[inline]
    pub fn course<T: Copy + From<f64>>(&self, name: Name, input: &Input) -> Column<T> {
        self.drawn(name, 0, input, true)
    }

    fn drawn<T: Copy + From<f64>>(
        &self,
        name: Name,
        reading: u32,
        input: &Input,
        course: bool,
    ) -> Column<T> {
        if let Dist::Constant(c) = &input.dist
            && c.value() == input.ideal
        {
            return Column::splat(T::from(input.ideal));
        }
        let treatment = self.plan.of(name.source);
        if treatment == Some(Treatment::Perfect) {
            return Column::splat(T::from(input.ideal));
        }
        let seed = match treatment {
            Some(Treatment::Other(salt)) => fold(self.seed, salt),
            _ => self.seed,
        };
        let mut x = [0.0; BLOCK];
        if let Some(Treatment::At(probability)) = treatment {
            x = [probability; BLOCK];
        } else if let Some(Treatment::Held(trial)) = treatment {
            x = [uniform_of_trial(name.key(seed), reading, trial); BLOCK];
        } else if course && self.layout.groups > 1 {
            self.class_uniforms(name.key(seed), reading, &mut x);
        } else {
            uniforms(
                cell_seed(name.key(seed), self.block, u64::from(reading)),
                &mut x,
            );
        }
        input.dist.transform(&mut x);
        if let Some(Treatment::Scaled(factor)) = treatment {
            for v in &mut x {
                *v = input.ideal + factor * (*v - input.ideal);
            }
        }
        Column::from_fn(|i| T::from(x[i]))
    }

    /// The course stream is counted by class, so that a class keeps its draws whatever the
    /// number of its groups.
    fn class_uniforms(&self, key: u64, reading: u32, out: &mut [f64; BLOCK]) {
        let first = self.block * BLOCK as u64;
        let mut cell = [0.0; BLOCK];
        let mut in_cell = None;
        for (i, u) in out.iter_mut().enumerate() {
            let class = (first + i as u64) / self.layout.groups;
            let block = class / BLOCK as u64;
            if in_cell != Some(block) {
                uniforms(cell_seed(key, block, u64::from(reading)), &mut cell);
                in_cell = Some(block);
            }
            *u = cell[(class % BLOCK as u64) as usize];
        }
    }
}

fn uniform_of_trial(key: u64, reading: u32, trial: u64) -> f64 {
    let mut cell = [0.0; BLOCK];
    uniforms(
        cell_seed(key, trial / BLOCK as u64, u64::from(reading)),
        &mut cell,
    );
    cell[(trial % BLOCK as u64) as usize]
}
