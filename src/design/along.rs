//! The heart of every sweep: one model for each point, all on the same random numbers.

use super::bounds::OutOfBounds;
use super::outcome::DesignOptions;
use crate::engine::{EngineError, Model, Table};
use crate::random::Plan;

/// Simulates the model of each point and hands its table to `read`; a point that cannot be is a zone.
///
/// Streams are named by seed and source, and the trials of a point do not depend on the others: a longer or finer
/// sweep gives the same bits at the points that it shares, and neighbouring points differ by what was changed and
/// not by noise.
///
/// # Errors
/// If interrupted.
pub fn along<P, M: Model, T>(
    points: &[P],
    model: &dyn Fn(&P) -> Result<M, OutOfBounds>,
    read: &dyn Fn(&P, &M, &Table) -> T,
    options: &DesignOptions,
) -> Result<Vec<Result<T, OutOfBounds>>, EngineError> {
    let mut out = Vec::with_capacity(points.len());
    for (i, point) in points.iter().enumerate() {
        out.push(match model(point) {
            Ok(model) => {
                let table = options.run(&model, Plan::new())?;
                Ok(read(point, &model, &table))
            }
            Err(zone) => Err(zone),
        });
        options.tick(i as u64 + 1);
    }
    Ok(out)
}
