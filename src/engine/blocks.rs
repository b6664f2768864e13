//! Blocks in parallel, results in order.
//!
//! Blocks are computed on any thread, in waves, and handed on in the order of their numbers; so
//! the results do not depend on the number of threads, and stopping early only drops the end.

use super::run::EngineError;
use rayon::prelude::*;
use std::ops::ControlFlow;
use std::sync::atomic::{AtomicBool, Ordering};

/// Blocks of a batch.
pub(super) const OF_A_BATCH: u64 = 40;

/// Blocks handed out at a time: a batch, so that no more is computed than a rule that stops after one can use, and more
/// where many threads would have too few.
fn wave() -> u64 {
    OF_A_BATCH * (4 * rayon::current_num_threads() as u64).div_ceil(OF_A_BATCH)
}

/// Does `each` for the blocks numbered 0 to `blocks` - 1 on all threads and hands what it returns
/// to `sink` in order, until the sink breaks off.
///
/// For whatever needs more of a block than one run of a model, such as the same block under
/// several plans. `each` must depend on the number of the block only. `progress` is called now
/// and then with the number of blocks handed on. Memory does not grow with the number of blocks.
///
/// # Errors
/// If interrupted; no further block is begun then.
pub fn in_order<T: Send>(
    blocks: u64,
    interrupt: Option<&AtomicBool>,
    each: &(dyn Fn(u64) -> T + Sync),
    sink: &mut dyn FnMut(u64, T) -> ControlFlow<()>,
    progress: &dyn Fn(u64),
) -> Result<(), EngineError> {
    let interrupted = || interrupt.is_some_and(|i| i.load(Ordering::Relaxed));
    let (mut first, wave) = (0, wave());
    while first < blocks {
        let last = (first + wave).min(blocks);
        let done: Option<Vec<T>> = (first..last)
            .into_par_iter()
            .map(|block| (!interrupted()).then(|| each(block)))
            .collect();
        let (Some(done), false) = (done, interrupted()) else {
            return Err(EngineError::Interrupted);
        };
        for (block, result) in (first..last).zip(done) {
            if sink(block, result).is_break() {
                return Ok(());
            }
        }
        progress(last);
        first = last;
    }
    Ok(())
}
