//! Shares of what is there, as they are drawn: a law without an end has draws beyond all of it.

use crate::random::Column;

/// Shares that take all at most.
pub(super) fn shares(drawn: Column<f64>) -> Column<f64> {
    Column::from_fn(|i| drawn[i].clamp(0.0, 1.0))
}

/// Shares that leave a millionth at least, because what is left is divided by.
pub(super) fn shares_but_not_all(drawn: Column<f64>) -> Column<f64> {
    const MOST: f64 = 1.0 - 1e-6;
    Column::from_fn(|i| drawn[i].clamp(0.0, MOST))
}
