//! The variance that stays when sources are held.

use super::group::{ShareOptions, plan};
use super::pair::Pair;
use crate::engine::{EngineError, Model, in_order};
use crate::random::{BLOCK, Draws, Layout, Tag, Treatment};
use crate::stats::{Estimate, Moments};
use std::ops::ControlFlow;

/// Mean variance of result column number `column` when the sources with these tags are held at
/// values drawn from their distributions, in the unit of the column squared.
///
/// Each batch of trials is run with the sources held at other draws, and the variances of the
/// batches are averaged. On average this leaves V (1 - first-order share) of a group; with all
/// other sources held instead, V times its total share (law of total variance; I. M. Sobol', Math.
/// Comput. Simul. 55 (2001) 271, from memory). Holding a source at its nominal value does neither.
///
/// Here batches are what gives precision, not trials: one batch is one held value. Trials with a
/// result that is not finite are left out.
///
/// # Errors
/// If interrupted.
///
/// # Panics
/// If the model has no such column.
pub fn remaining(
    model: &dyn Model,
    column: usize,
    held: &[Tag],
    options: &ShareOptions,
) -> Result<Estimate, EngineError> {
    let each = options.blocks_each();
    let mut batches = vec![Pair::default(); options.parts()];
    in_order(
        each * options.parts() as u64,
        options.interrupt,
        &|block| {
            // Draws of trials that the study itself does not reach.
            let from = options.rounded() + block / each;
            let plan = plan(held, Treatment::Held(from));
            let draws = Draws::new(options.seed, block, Layout::MARGINAL, &plan);
            let mut values = model.block(&draws)[column].0.to_vec();
            values.retain(|v| v.is_finite());
            Pair::of(&values, &values)
        },
        &mut |block, pair| {
            batches[(block / each) as usize].merge(&pair);
            ControlFlow::Continue(())
        },
        &|done| {
            if let Some(progress) = options.progress {
                progress(done * BLOCK as u64);
            }
        },
    )?;
    let variances: Vec<f64> = batches.iter().map(Pair::var_x).collect();
    Ok(Moments::of(&variances).mean())
}
