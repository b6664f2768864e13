//! What the thermometer shows.
//!
//! T_shown = round_d( T + offset + gain (T - T_room) + drift (t - t_start) + noise )
//!
//! The scale error acts on the distance from the stated room temperature: an error of the scale
//! that also shows there belongs to the offset.

use super::weigh::round_to;
use crate::quantity::{Celsius, Kelvin, KelvinPerSecond, Second};
use crate::random::Tag;

/// Stream of what rounding adds where it counts as an independent error of its own: it belongs to the
/// resolution.
pub const ROUNDING: Tag = Tag::of("rounding of a whole record");

/// Errors of one sensor in one run.
#[derive(Debug, Clone, Copy)]
pub struct SensorErrors {
    /// Constant error.
    pub offset: Kelvin,
    /// Relative error of the scale.
    pub gain: f64,
    /// Where the scale error is zero.
    pub pivot: Celsius,
    /// Creep.
    pub drift: KelvinPerSecond,
}

/// What it would show without noise and with endless digits.
#[inline]
pub fn sensed(truth: Celsius, errors: SensorErrors, since_start: Second) -> Celsius {
    let error = errors.offset + (truth - errors.pivot) * errors.gain + errors.drift * since_start;
    truth + error
}

/// The shown temperature.
#[inline]
pub fn shown(
    truth: Celsius,
    errors: SensorErrors,
    since_start: Second,
    noise: Kelvin,
    resolution: Kelvin,
) -> Celsius {
    let sensed = sensed(truth, errors, since_start) + noise;
    Celsius(round_to(sensed.0, resolution.0))
}
