//! The numbers of a leg's tables that an error may falsify.

use super::tables::{AmountBy, HeatKind, LegTables};

/// What a leg's tables hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TableEntry {
    /// J/mol of the tabulated enthalpy.
    Enthalpy,
    /// J/(mol K) of its slope.
    Slope,
    /// g/mol of the charge.
    MolarMass,
    /// Purity of the charge.
    Purity,
    /// J/(g K) of the liquid.
    LiquidHeat,
    /// J/(g K) of the portion.
    PortionHeat,
    /// J/(g K) of water, for a lab that uses it for everything.
    WaterHeat,
    /// J/(g K) of the dissolved solid.
    SoluteHeat,
    /// Concentration of the portion, mol/L.
    PortionConcentration,
    /// Concentration of the vessel's liquid, mol/L.
    LiquidConcentration,
    /// g/mol of the other reagent's solid.
    ReagentMolarMass,
    /// Its purity.
    ReagentPurity,
    /// mL of the stock's flask.
    Flask,
    /// V of the heater.
    Voltage,
    /// A of the heater.
    Current,
    /// s of the heater.
    HeatingTime,
    /// J of side heats.
    SideHeat,
    /// J/mol of the heat of dilution.
    Dilution,
}

/// Number of entries.
pub const TABLE_ENTRIES: usize = 18;

impl TableEntry {
    /// Its value in a leg's tables; 0 if the leg has no such thing.
    pub fn value(self, t: &LegTables) -> f64 {
        let (charge, named) = (t.charge, t.named);
        match self {
            Self::Enthalpy => t.enthalpy.0,
            Self::Slope => t.slope.0,
            Self::MolarMass => t.molar_mass.0,
            Self::Purity => t.purity,
            Self::LiquidHeat => t.liquid_heat.0,
            Self::PortionHeat => t.portion_heat.0,
            Self::WaterHeat => t.water_heat.0,
            Self::SoluteHeat => t.solute_heat.0,
            Self::SideHeat => t.side_heat.0,
            Self::Dilution => t.dilution_error.0,
            Self::PortionConcentration => match charge {
                AmountBy::Portion { concentration, .. } => concentration.0,
                _ => 0.0,
            },
            Self::LiquidConcentration => match named {
                Some(AmountBy::Liquid { concentration, .. }) => concentration.0,
                _ => 0.0,
            },
            Self::ReagentMolarMass => match named {
                Some(AmountBy::Stock { molar_mass, .. } | AmountBy::Weighed { molar_mass, .. }) => {
                    molar_mass.0
                }
                _ => 0.0,
            },
            Self::ReagentPurity => match named {
                Some(AmountBy::Stock { purity, .. } | AmountBy::Weighed { purity, .. }) => purity,
                _ => 0.0,
            },
            Self::Flask => match named {
                Some(AmountBy::Stock { flask, .. }) => flask.0,
                _ => 0.0,
            },
            Self::Voltage | Self::Current | Self::HeatingTime => match (t.kind, self) {
                (HeatKind::Electrical(h), Self::Voltage) => h.voltage.0,
                (HeatKind::Electrical(h), Self::Current) => h.current.0,
                (HeatKind::Electrical(h), _) => h.time.0,
                _ => 0.0,
            },
        }
    }

    /// Where that is; `None` if the leg has no such thing.
    pub(super) fn place(self, t: &mut LegTables) -> Option<&mut f64> {
        use TableEntry as T;
        Some(match self {
            T::Enthalpy => &mut t.enthalpy.0,
            T::Slope => &mut t.slope.0,
            T::MolarMass => &mut t.molar_mass.0,
            T::Purity => &mut t.purity,
            T::LiquidHeat => &mut t.liquid_heat.0,
            T::PortionHeat => &mut t.portion_heat.0,
            T::WaterHeat => &mut t.water_heat.0,
            T::SoluteHeat => &mut t.solute_heat.0,
            T::SideHeat => &mut t.side_heat.0,
            T::Dilution => &mut t.dilution_error.0,
            T::PortionConcentration => match &mut t.charge {
                AmountBy::Portion { concentration, .. } => &mut concentration.0,
                _ => return None,
            },
            T::LiquidConcentration => match &mut t.named {
                Some(AmountBy::Liquid { concentration, .. }) => &mut concentration.0,
                _ => return None,
            },
            T::ReagentMolarMass => match &mut t.named {
                Some(AmountBy::Stock { molar_mass, .. } | AmountBy::Weighed { molar_mass, .. }) => {
                    &mut molar_mass.0
                }
                _ => return None,
            },
            T::ReagentPurity => match &mut t.named {
                Some(AmountBy::Stock { purity, .. } | AmountBy::Weighed { purity, .. }) => purity,
                _ => return None,
            },
            T::Flask => match &mut t.named {
                Some(AmountBy::Stock { flask, .. }) => &mut flask.0,
                _ => return None,
            },
            T::Voltage | T::Current | T::HeatingTime => {
                let HeatKind::Electrical(h) = &mut t.kind else {
                    return None;
                };
                match self {
                    T::Voltage => &mut h.voltage.0,
                    T::Current => &mut h.current.0,
                    _ => &mut h.time.0,
                }
            }
        })
    }
}
