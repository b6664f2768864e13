//! The kinds of entries, as used in messages, in sheets and for look-ups.

use crate::quantity::texts;
use std::fmt;

texts! {
    /// A kind of library entry, in the order in which a reader wants them.
    Kind::text:
    /// Dissolution or reaction of a substance in a liquid.
    Reaction = "reaction",
    /// Solid that is weighed.
    Substance = "substance",
    /// Liquid in the vessel.
    Liquid = "liquid",
    /// Species of an equation, with its enthalpy of formation.
    Species = "species",
    /// Balance.
    Balance = "balance",
    /// Volumetric device.
    Glassware = "glassware",
    /// Thermometer.
    Thermometer = "thermometer",
    /// Calorimeter vessel.
    Vessel = "vessel",
}

impl Kind {
    /// Name of the section that holds such entries in a library file.
    pub fn section(self) -> &'static str {
        match self {
            Self::Substance => "substances",
            Self::Reaction => "reactions",
            Self::Liquid => "liquids",
            Self::Species => "species",
            Self::Balance => "balances",
            Self::Thermometer => "thermometers",
            Self::Vessel => "vessels",
            Self::Glassware => "glassware",
        }
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.text())
    }
}
