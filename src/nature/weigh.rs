//! Weighing by difference.
//!
//! Indication of a balance with load L (JCGM 100:2008 H; EURACHEM/CITAC CG 4, example A1; buoyancy
//! as in OIML D 28):
//!
//! I = round_d( (1 + g) B L + lambda + eps ),  B = (1 - rho_a / rho_x) / (1 - rho_a / rho_w)
//!
//! with gain g and linearity lambda of the group's balance (one lambda for each place of its range:
//! tare and gross of each substance), repeatability eps of each weighing, readability d, density of
//! air rho_a, of what is weighed rho_x, and of the steel that adjusted the balance
//! rho_w = 8000 kg/m3. The boat is the same thing in both weighings, so its buoyancy cancels; its
//! mass is known to nobody in the last digit, which makes the rounding of tare and gross
//! independent of each other.

use crate::quantity::{Gram, GramPerMillilitre};
use crate::random::{Column, Draws, Tag};
use crate::scenario::{At, Binding, SourceId, draw_bound};

/// Conventional density of the adjustment weights, g/mL.
const STEEL: f64 = 8.0;

/// How the last digit of a display enters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Rounding {
    /// What is shown is a multiple of it.
    #[default]
    True,
    /// As an independent error of up to half a digit (JCGM 100:2008, F.2.2.1): for studies that must tell the display's part
    /// from everything that moves an indication across one of its steps.
    Apart,
}

/// Which weighing: what is weighed, by whom, when.
#[derive(Debug, Clone, Copy)]
pub struct Place {
    /// Numbers of the tare and gross draws; they decide the bits.
    pub readings: [u32; 2],
    /// Leg: each substance has places of its own in the balance's range.
    pub leg: u32,
    /// Run and attempt.
    pub at: At,
    /// How the last digit enters.
    pub rounding: Rounding,
}

impl Place {
    /// Solid of the charge in a boat.
    pub fn solid(leg: u32, at: At, rounding: Rounding) -> Self {
        Self {
            readings: [0, 1],
            leg,
            at,
            rounding,
        }
    }

    /// Liquid in its vessel.
    pub fn liquid(leg: u32, at: At, rounding: Rounding) -> Self {
        Self {
            readings: [2, 3],
            ..Self::solid(leg, at, rounding)
        }
    }

    /// The `number`-th further solid of a leg.
    pub fn further(number: u32, leg: u32, rounding: Rounding) -> Self {
        Self {
            readings: [1000 + 2 * number, 1001 + 2 * number],
            ..Self::solid(1000 * leg, At::default(), rounding)
        }
    }
}

/// Factor by which the air lightens what is weighed.
#[inline]
pub fn buoyancy(air: GramPerMillilitre, of: GramPerMillilitre) -> f64 {
    (1.0 - air / of) / (1.0 - air.0 / STEEL)
}

/// Rounds to a multiple of the readability; a readability of 0 rounds nothing. What lies half-way goes to the even
/// multiple (ISO 80000-1, B.3, rule A), which is what adding and taking away a number without halves does.
#[inline]
pub fn round_to(value: f64, step: f64) -> f64 {
    /// Beyond it a double has whole numbers only; half as much again, so that negative numbers do not leave that range.
    const NO_HALVES: f64 = 1.5 * (1u64 << 52) as f64;
    if step > 0.0 {
        (value / step + NO_HALVES - NO_HALVES) * step
    } else {
        value
    }
}

/// One indication of the balance.
#[inline]
pub fn indication(
    apparent_load: Gram,
    gain: f64,
    linearity: Gram,
    repeatability: Gram,
    readability: Gram,
) -> Gram {
    Gram(round_to(
        (apparent_load * (1.0 + gain) + linearity + repeatability).0,
        readability.0,
    ))
}

/// The recorded mass of a true mass: gross minus tare.
pub fn by_difference(
    bindings: &[Binding],
    draws: &Draws,
    place: Place,
    mass: &Column<Gram>,
    density: GramPerMillilitre,
    boat: Gram,
) -> Column<Gram> {
    use SourceId as S;
    let Place {
        readings: [tare_place, gross_place],
        leg: leg_place,
        at,
        rounding,
    } = place;
    let of = |id: SourceId, reading: u32| {
        draw_bound::<Gram>(&bindings[id as usize], draws, id, At { reading, ..at })
    };
    let gain: Column<f64> = draw_bound(
        &bindings[S::BalanceGain as usize],
        draws,
        S::BalanceGain,
        at,
    );
    let air: Column<GramPerMillilitre> =
        draw_bound(&bindings[S::AirDensity as usize], draws, S::AirDensity, at);
    let readability = of(S::Readability, tare_place);
    let tare_noise = of(S::Repeatability, tare_place);
    let gross_noise = of(S::Repeatability, gross_place);
    let tare_linearity = of(S::Linearity, 4 * leg_place + tare_place);
    let gross_linearity = of(S::Linearity, 4 * leg_place + gross_place);
    let digits = [tare_place, gross_place]
        .map(|reading| last_digit(&bindings[S::Readability as usize], draws, at, reading));
    Column::from_fn(|i| {
        let d = readability[i];
        let load = mass[i] * buoyancy(air[i], density);
        // The last digit: where in it the boat lies, or an error of each indication.
        let [boat, shown, errors] = match rounding {
            Rounding::True => [boat + d * digits[0][i], d, Gram(0.0)],
            Rounding::Apart => [boat, Gram(0.0), d * (digits[1][i] - digits[0][i])],
        };
        let tare = indication(boat, gain[i], tare_linearity[i], tare_noise[i], shown);
        let gross = indication(
            boat + load,
            gain[i],
            gross_linearity[i],
            gross_noise[i],
            shown,
        );
        gross - tare + errors
    })
}

/// Stream of what the last digit of a weighing makes of the boat's mass: it belongs to the readability.
pub const BOAT_IN_ITS_DIGIT: Tag = Tag::of("boat in its last digit");

/// A number from -1/2 to 1/2 for one indication: where in its last digit it lies.
fn last_digit(readability: &Binding, draws: &Draws, at: At, reading: u32) -> Column<f64> {
    use crate::random::Dist;
    use crate::random::{Input, Name};
    let phase = Input::error(Dist::rectangular(-0.5, 0.5).expect("valid"));
    let identity = readability.identity;
    let name = Name::run(BOAT_IN_ITS_DIGIT, identity, at.run, at.attempt);
    draws.column(name, reading, &phase)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn buoyancy_of_a_light_solid_is_hundreds_of_ppm() {
        // OIML D 28 conventional values; 738 ppm for a solid of 1353 kg/m3 (computed).
        let b = buoyancy(GramPerMillilitre(1.2e-3), GramPerMillilitre(1.353));
        assert!(((1.0 - b) * 1e6 - 737.0).abs() < 1.5, "{b}");
        assert_eq!(
            buoyancy(GramPerMillilitre(0.0), GramPerMillilitre(1.3)),
            1.0
        );
    }

    #[test]
    fn the_display_shows_multiples_of_its_last_digit() {
        let shown = indication(Gram(2.345_67), 0.0, Gram(0.0), Gram(0.0), Gram(1e-3));
        assert!((shown.0 - 2.346).abs() < 1e-12);
    }
}
