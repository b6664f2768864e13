//! How much of what is mixed reacts, and what heat that gives.
//!
//! All amounts are in moles of the charge's substance: n of it is in the vessel, of which n0 is there
//! dissolved (or dissolves as the record's own law says), n1 goes on dissolving after the break. The
//! other reagents suffice for L = min over them of n_i / nu_i. Then
//!
//! extent      xi0 = min(n0, L),  xi1 = min(n1, L - xi0)
//! at the break  Q0 = -xi0 h - (n0 h_s if the charge is dropped as a solid)
//! later         Q1 = -xi1 h - n1 h_s
//!
//! with h the molar enthalpy of the reaction (of the solid itself, where the table has it so: then
//! h_s = 0), h_s that of dissolving the solid. What does not react for want of the other reagent still
//! dissolves. So residue brings the heat of the solid, h + h_s, and brings it late.

use crate::quantity::{Joule, JoulePerMole, Mole};

/// What is mixed in one run of one trial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mixed {
    /// Charge that is dissolved at the break, or that dissolves by the law of the record.
    pub at_break: Mole,
    /// Charge that dissolves later.
    pub later: Mole,
    /// What the other reagents suffice for; infinite if nothing is known to be limited.
    pub limit: Mole,
    /// Molar enthalpy of the reaction.
    pub enthalpy: JoulePerMole,
    /// Molar enthalpy of dissolving the solid.
    pub dissolving: JoulePerMole,
    /// Whether what is there at the break is solid.
    pub dropped: bool,
}

/// What comes of it.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Heats {
    /// Heat of what is there at the break.
    pub at_break: Joule,
    /// Heat of what dissolves later.
    pub later: Joule,
}

impl Mixed {
    /// Extent and heat.
    #[inline]
    pub fn heats(self) -> Heats {
        let first = Mole(self.at_break.0.min(self.limit.0));
        let second = Mole(self.later.0.min((self.limit - first).0));
        let dropped = if self.dropped {
            self.at_break
        } else {
            Mole(0.0)
        };
        Heats {
            at_break: -(first * self.enthalpy) - dropped * self.dissolving,
            later: -(second * self.enthalpy) - self.later * self.dissolving,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const MIXED: Mixed = Mixed {
        at_break: Mole(0.8),
        later: Mole(0.2),
        limit: Mole(f64::INFINITY),
        enthalpy: JoulePerMole(-600.0),
        dissolving: JoulePerMole(40.0),
        dropped: false,
    };

    #[test]
    fn residue_brings_the_heat_of_the_solid() {
        let heats = MIXED.heats();
        assert!((heats.at_break.0 - 480.0).abs() < 1e-12);
        assert!((heats.later.0 - 0.2 * 560.0).abs() < 1e-12);
        let dropped = Mixed {
            dropped: true,
            ..MIXED
        };
        assert!((dropped.heats().at_break.0 - 0.8 * 560.0).abs() < 1e-12);
    }

    #[test]
    fn what_finds_no_partner_dissolves_without_reacting() {
        let short = Mixed {
            limit: Mole(0.9),
            ..MIXED
        };
        let heats = short.heats();
        assert!((heats.at_break.0 - 480.0).abs() < 1e-12);
        assert!((heats.later.0 - (0.1 * 600.0 - 0.2 * 40.0)).abs() < 1e-12);
        let shorter = Mixed {
            limit: Mole(0.5),
            ..MIXED
        };
        assert!((shorter.heats().at_break.0 - 300.0).abs() < 1e-12);
        assert!((shorter.heats().later.0 + 8.0).abs() < 1e-12);
    }
}
