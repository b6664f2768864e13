//! A study: one model, one plan, any number of trials.

use super::blocks::{OF_A_BATCH, in_order};
use super::model::{Model, Output};
use crate::random::{BLOCK, Draws, Layout, Plan};
use std::ops::ControlFlow;
use std::sync::atomic::AtomicBool;
use thiserror::Error;

/// Trials in a batch, the unit of the adaptive stop: a whole number of blocks, at least 10^4
/// (JCGM 101:2008, 7.9.4).
pub const BATCH: usize = OF_A_BATCH as usize * BLOCK;

/// Why a study ended without its result.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum EngineError {
    /// The user interrupted it.
    #[error("interrupted")]
    Interrupted,
}

/// What to run a model with.
pub struct Study<'a> {
    /// Seed of all streams.
    pub seed: u64,
    /// How trials are nested in classes.
    pub layout: Layout,
    /// Treatments of sources.
    pub plan: Plan,
    /// Set by another thread to end the study early.
    pub interrupt: Option<&'a AtomicBool>,
    /// Called with the number of trials done.
    pub progress: Option<&'a (dyn Fn(u64) + Sync)>,
}

/// Results of a study: one vector per column, trials in order.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Column names.
    pub names: Vec<String>,
    /// Values by column.
    pub columns: Vec<Vec<f64>>,
}

impl Table {
    /// The values of a column.
    pub fn column(&self, name: &str) -> Option<&[f64]> {
        let at = self.names.iter().position(|n| n == name)?;
        Some(&self.columns[at])
    }

    /// Number of trials.
    pub fn trials(&self) -> usize {
        self.columns.first().map_or(0, Vec::len)
    }
}

impl<'a> Study<'a> {
    /// A plain study with this seed.
    pub fn new(seed: u64) -> Self {
        Self {
            seed,
            layout: Layout::MARGINAL,
            plan: Plan::new(),
            interrupt: None,
            progress: None,
        }
    }

    /// Hands every block to `sink` in order, with the number of its trials that count, until
    /// `trials` are done or the sink breaks off. Memory does not grow with the number of trials.
    ///
    /// # Errors
    /// If interrupted.
    pub fn stream(
        &self,
        model: &dyn Model,
        trials: u64,
        sink: &mut dyn FnMut(&Output, usize) -> ControlFlow<()>,
    ) -> Result<(), EngineError> {
        in_order(
            trials.div_ceil(BLOCK as u64),
            self.interrupt,
            &|block| model.block(&Draws::new(self.seed, block, self.layout, &self.plan)),
            &mut |block, output| {
                let left = trials - block * BLOCK as u64;
                sink(&output, (BLOCK as u64).min(left) as usize)
            },
            &|blocks| {
                if let Some(progress) = self.progress {
                    progress((blocks * BLOCK as u64).min(trials));
                }
            },
        )
    }

    /// Runs a fixed number of trials and keeps all results.
    ///
    /// # Errors
    /// If interrupted.
    pub fn run(&self, model: &dyn Model, trials: u64) -> Result<Table, EngineError> {
        self.run_until(model, trials, &mut |_| false)
    }

    /// Runs whole batches until `stop` says so after one of them, or `most` trials are done.
    /// `stop` sees the columns of each batch once, in order; results of later batches that were
    /// already computed are dropped, so the outcome does not depend on the number of threads.
    ///
    /// # Errors
    /// If interrupted.
    pub fn run_until(
        &self,
        model: &dyn Model,
        most: u64,
        stop: &mut dyn FnMut(&[&[f64]]) -> bool,
    ) -> Result<Table, EngineError> {
        let names = model.columns();
        let mut columns: Vec<Vec<f64>> =
            vec![Vec::with_capacity(most.min(1 << 20) as usize); names.len()];
        let mut batch_start = 0;
        self.stream(model, most, &mut |output, count| {
            for (all, new) in columns.iter_mut().zip(output) {
                all.extend_from_slice(&new.0[..count]);
            }
            let done = columns.first().map_or(0, Vec::len);
            if done - batch_start < BATCH {
                return ControlFlow::Continue(());
            }
            let batch: Vec<&[f64]> = columns.iter().map(|c| &c[batch_start..done]).collect();
            batch_start = done;
            if stop(&batch) {
                ControlFlow::Break(())
            } else {
                ControlFlow::Continue(())
            }
        })?;
        Ok(Table { names, columns })
    }
}
