//! Shares of what is there, as they are drawn.

use crate::random::Column;

/// Draws of a share of what is there. A law without an end has draws beyond all of it: they take all but a millionth, so that
/// what is left can still be divided by.
pub(super) fn shares(drawn: Column<f64>) -> Column<f64> {
    const MOST: f64 = 1.0 - 1e-6;
    Column::from_fn(|i| drawn[i].clamp(0.0, MOST))
}
