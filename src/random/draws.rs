//! What a model sees of randomness: columns of draws asked for by name.

use super::column::{BLOCK, Column};
use super::dist::{Dist, Form};
use super::name::{Cell, Name, Tag, fold};
use std::cell::RefCell;
use std::collections::HashMap;

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
        self.dist.exactly() == Some(self.ideal)
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

/// Standard columns that were drawn for one block, by stream key and reading, so that its plans need not draw them again.
#[derive(Debug, Default)]
pub struct Drawn(RefCell<HashMap<(u64, u32), Standard>>);

/// Draws of a form; one stream may have two sizes, as one error may act with two sensitivities.
#[derive(Debug)]
struct Standard {
    form: Form,
    z: Box<[f64; BLOCK]>,
}

/// Columns that are kept at most: 8 MB.
const MOST_KEPT: usize = 4096;

/// The draws of one block of trials.
#[derive(Debug, Clone, Copy)]
pub struct Draws<'a> {
    seed: u64,
    block: u64,
    layout: Layout,
    plan: &'a Plan,
    drawn: Option<&'a Drawn>,
}

impl<'a> Draws<'a> {
    /// The draws of block number `block` of a study.
    pub fn new(seed: u64, block: u64, layout: Layout, plan: &'a Plan) -> Self {
        Self {
            seed,
            block,
            layout,
            plan,
            drawn: None,
        }
    }

    /// The same, with what is drawn kept for other plans of the same block.
    #[must_use]
    pub fn keeping(self, drawn: &'a Drawn) -> Self {
        Self {
            drawn: Some(drawn),
            ..self
        }
    }

    /// What the plan does to a source.
    pub fn treatment(&self, source: Tag) -> Option<Treatment> {
        self.plan.of(source)
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

    /// The same of a reading of a record, into a column that is there already.
    #[inline]
    pub fn reading(&self, name: Name, reading: u32, input: &Input, out: &mut Column<f64>) {
        self.put(name, reading, input, false, &mut out.0);
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
        let mut x = [0.0; BLOCK];
        self.put(name, reading, input, course, &mut x);
        Column::from_fn(|i| T::from(x[i]))
    }

    fn put(&self, name: Name, reading: u32, input: &Input, course: bool, x: &mut [f64; BLOCK]) {
        if input.is_exact() {
            return x.fill(input.ideal);
        }
        let treatment = self.plan.of(name.source);
        if treatment == Some(Treatment::Perfect) {
            return x.fill(input.ideal);
        }
        let seed = match treatment {
            Some(Treatment::Other(salt)) => fold(self.seed, salt),
            _ => self.seed,
        };
        let (key, dist) = (name.key(seed), &input.dist);
        match treatment {
            Some(Treatment::At(probability)) => x.fill(dist.quantile(probability)),
            Some(Treatment::Held(trial)) => x.fill(of_trial(key, reading, trial, dist)),
            _ if course && self.layout.groups > 1 => self.of_classes(key, reading, dist, x),
            _ => self.fill(key, reading, dist, x),
        }
        if let Some(Treatment::Scaled(factor)) = treatment {
            for v in x {
                *v = input.ideal + factor * (*v - input.ideal);
            }
        }
    }

    fn fill(&self, key: u64, reading: u32, dist: &Dist, x: &mut [f64; BLOCK]) {
        let mut cell = Cell::new(key, self.block, reading);
        let Some(Drawn(known)) = self.drawn else {
            return dist.fill(&mut cell, x);
        };
        let mut known = known.borrow_mut();
        let of = (key, reading);
        match known.get(&of).filter(|kept| kept.form == *dist.form()) {
            Some(kept) => x.copy_from_slice(&kept.z[..]),
            None => {
                let form = dist.form().clone();
                form.fill(&mut cell, x);
                if known.len() < MOST_KEPT {
                    let z = Box::new(*x);
                    known.insert(of, Standard { form, z });
                }
            }
        }
        dist.place(x);
    }

    /// The course stream is counted by class, so that a class keeps its draws whatever the
    /// number of its groups.
    fn of_classes(&self, key: u64, reading: u32, dist: &Dist, out: &mut [f64; BLOCK]) {
        let first = self.block * BLOCK as u64;
        let mut drawn = [0.0; BLOCK];
        let mut in_cell = None;
        for (i, x) in out.iter_mut().enumerate() {
            let class = (first + i as u64) / self.layout.groups;
            let block = class / BLOCK as u64;
            if in_cell != Some(block) {
                dist.fill(&mut Cell::new(key, block, reading), &mut drawn);
                in_cell = Some(block);
            }
            *x = drawn[(class % BLOCK as u64) as usize];
        }
    }
}

/// The draw of one trial: its cell is drawn up to it.
fn of_trial(key: u64, reading: u32, trial: u64, dist: &Dist) -> f64 {
    let mut drawn = [0.0; BLOCK];
    let place = (trial % BLOCK as u64) as usize;
    let mut cell = Cell::new(key, trial / BLOCK as u64, reading);
    dist.fill(&mut cell, &mut drawn[..=place]);
    drawn[place]
}
