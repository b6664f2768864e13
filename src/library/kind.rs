//! The kinds of entries, as used in messages, in sheets and for look-ups.

use std::fmt;

/// A kind of library entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// Solid that is weighed.
    Substance,
    /// Dissolution or reaction of a substance in a liquid.
    Reaction,
    /// Liquid in the vessel.
    Liquid,
    /// Species of an equation, with its enthalpy of formation.
    Species,
    /// Balance.
    Balance,
    /// Thermometer.
    Thermometer,
    /// Calorimeter vessel.
    Vessel,
    /// Volumetric device.
    Glassware,
}

impl Kind {
    /// Every kind, in the order in which a reader wants them.
    pub const ALL: [Self; 8] = [
        Self::Reaction,
        Self::Substance,
        Self::Liquid,
        Self::Species,
        Self::Balance,
        Self::Glassware,
        Self::Thermometer,
        Self::Vessel,
    ];

    /// One word for messages.
    pub fn text(self) -> &'static str {
        match self {
            Self::Substance => "substance",
            Self::Reaction => "reaction",
            Self::Liquid => "liquid",
            Self::Species => "species",
            Self::Balance => "balance",
            Self::Thermometer => "thermometer",
            Self::Vessel => "vessel",
            Self::Glassware => "glassware",
        }
    }

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
