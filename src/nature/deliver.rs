//! Delivering liquid by volume.
//!
//! V = V_nom (1 + alpha (t - 20 °C)) + n delta + sum of n eps, m = rho(t) V
//!
//! with n fillings of the device, its error delta (one for the group: the same mark each time), the
//! scatter eps of each filling, and the cubic expansion alpha of its glass, which is marked at
//! 20 °C (ISO 4787, from memory). The liquid's own expansion enters only through its density.

use crate::quantity::{Celsius, Gram, GramPerMillilitre, Millilitre, PerKelvin};

/// Temperature at which volumetric glass is marked (ISO 4787, from memory).
pub const MARKED_AT: Celsius = Celsius(20.0);

/// Delivered volume.
#[inline]
pub fn volume(
    nominal: Millilitre,
    expansion: PerKelvin,
    t: Celsius,
    device_error: Millilitre,
    scatter: Millilitre,
) -> Millilitre {
    nominal * (1.0 + expansion * (t - MARKED_AT)) + device_error + scatter
}

/// Its mass.
#[inline]
pub fn mass(volume: Millilitre, density: GramPerMillilitre) -> Gram {
    volume * density
}
