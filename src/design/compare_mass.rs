//! The mass of a charge at which the temperature changes by a given amount.

use crate::quantity::Gram;
use crate::scenario::{Leg, Room};

/// Rounds of the search for the mass; each gains digits as long as the change is nearly in proportion.
const ROUNDS: u32 = 100;

/// The search ends this close to the change of temperature, relative.
const NEAR: f64 = 1e-6;

/// The mass at which a leg's temperature changes by so much, up or down; `None` if none does.
pub(super) fn mass_for(leg: &Leg, room: &Room, due: f64) -> Option<f64> {
    let mut own = leg.clone();
    for _ in 0..ROUNDS {
        let change = own.nominal_change(room).0.abs();
        let factor = due / change;
        if !factor.is_finite() {
            return None;
        }
        if (factor - 1.0).abs() < NEAR {
            return Some(own.mass.0);
        }
        own.mass = Gram(own.mass.0 * factor);
    }
    None
}

/// A number at so many significant digits.
pub(super) fn figures(x: f64, digits: usize) -> f64 {
    format!("{x:.*e}", digits.saturating_sub(1))
        .parse()
        .unwrap_or(x)
}

/// The next smaller mass of three digits, or nearly so: half a per cent less always is another number of three digits.
pub(super) fn next_below(mass: f64) -> f64 {
    figures(mass * 0.994, 3).min(mass)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::builtin;

    #[test]
    fn the_mass_of_a_change_of_temperature_gives_that_change() {
        let s = builtin();
        let leg = &s.determination;
        let now = leg.nominal_change(&s.room).0.abs();
        let found = mass_for(leg, &s.room, now).unwrap();
        assert!((found / leg.mass.0 - 1.0).abs() < 1e-5);
        let double = mass_for(leg, &s.room, 2.0 * now).unwrap();
        // Less than twice as much would do only if it gave more heat per gram.
        assert!(
            double > 2.0 * leg.mass.0 * 0.98 && double < 2.1 * leg.mass.0,
            "{double}"
        );
        // The acid of the calibration ends: no mass brings ten kelvin.
        assert_eq!(mass_for(&s.calibration, &s.room, 10.0), None);
        assert_eq!(mass_for(leg, &s.room, f64::NAN), None);
    }

    #[test]
    fn the_next_mass_below_is_another_of_three_digits() {
        for mass in [1.0, 1.01, 9.99, 0.123, 0.5, 64.0] {
            let found = next_below(mass);
            assert!(found < mass && found > 0.98 * mass, "{mass}: {found}");
            assert_eq!(found, figures(found, 3));
        }
    }
}
