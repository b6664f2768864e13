//! Delivering liquid by volume.
//!
//! V = V_nom (1 + alpha (t - 20 °C)) + n delta + sum of n eps - V_s, m = rho(t) (1 + e) V
//!
//! with n fillings of the device, its error delta (one for the group: the same mark each time), the
//! scatter eps of each filling, what is missing in all V_s, the cubic expansion alpha of its glass, which is marked at
//! 20 °C (ISO 4787, from memory), and the error e of the table of densities. The liquid's own expansion enters only
//! through its density. Never less than nothing is delivered.

use crate::quantity::{Celsius, Gram, GramPerMillilitre, Millilitre, PerKelvin};
use crate::random::Column;
use crate::scenario::LiquidBy;

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
    Millilitre(volume.0.max(0.0)) * density
}

/// Mass of a liquid in one run, with all fillings of its device; `missing` is what lacks in all, whatever the way.
pub fn delivered(
    by: LiquidBy,
    density: &Column<GramPerMillilitre>,
    temperature: &Column<Celsius>,
    device_error: &Column<Millilitre>,
    missing: &Column<Millilitre>,
    filling: impl Fn(u32) -> Column<Millilitre>,
) -> Column<Gram> {
    match by {
        LiquidBy::Weighed { nominal } => {
            Column::from_fn(|i| Gram((nominal - mass(missing[i], density[i])).0.max(0.0)))
        }
        LiquidBy::Volume {
            nominal,
            fillings,
            expansion,
        } => {
            let mut scatter = Column::from_fn(|i| -missing[i]);
            for number in 0..fillings {
                let one = filling(number);
                scatter = Column::from_fn(|i| scatter[i] + one[i]);
            }
            Column::from_fn(|i| {
                let v = volume(
                    nominal,
                    expansion,
                    temperature[i],
                    device_error[i],
                    scatter[i],
                );
                mass(v, density[i])
            })
        }
    }
}
