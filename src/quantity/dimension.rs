//! The dimensions that occur in a solution-calorimetry experiment, and the units people write.

use super::texts::texts;

texts! {
    /// What kind of quantity a number is. A temperature (a point on the Celsius scale) and a
    /// temperature difference are two dimensions, so that they cannot be swapped.
    Dimension::name:
    /// Mass; base unit g.
    Mass = "a mass",
    /// Volume; base unit mL.
    Volume = "a volume",
    /// A point on the Celsius scale; base unit °C.
    Temperature = "a temperature",
    /// A difference of temperatures; base unit K.
    TemperatureDifference = "a temperature difference",
    /// Time; base unit s.
    Time = "a time",
    /// Rate constant; base unit 1/s.
    Rate = "a rate",
    /// Drift of a temperature; base unit K/s.
    TemperatureRate = "a temperature drift",
    /// Energy; base unit J.
    Energy = "an energy",
    /// Power; base unit W.
    Power = "a power",
    /// Heat capacity of a thing; base unit J/K.
    HeatCapacity = "a heat capacity",
    /// Heat capacity per mass; base unit J/(g K).
    SpecificHeat = "a specific heat capacity",
    /// Volume per mass; base unit mL/g.
    SpecificVolume = "a volume per mass",
    /// Enthalpy per mass; base unit J/g.
    MassEnthalpy = "an enthalpy per mass",
    /// Enthalpy per amount; base unit J/mol.
    MolarEnthalpy = "a molar enthalpy",
    /// Heat capacity per amount; base unit J/(mol K).
    MolarHeatCapacity = "a molar heat capacity",
    /// Amount of substance; base unit mol.
    Amount = "an amount of substance",
    /// Molar mass; base unit g/mol.
    MolarMass = "a molar mass",
    /// Density; base unit g/mL.
    Density = "a density",
    /// Amount concentration; base unit mol/L.
    Concentration = "an amount concentration",
    /// Molality; base unit mol/kg.
    Molality = "a molality",
    /// Relative expansion per kelvin; base unit 1/K.
    Expansion = "an expansion coefficient",
    /// A pure number, written as a fraction or in %; base unit 1.
    Fraction = "a fraction",
    /// Voltage; base unit V.
    Voltage = "a voltage",
    /// Electric current; base unit A.
    Current = "a current",
    /// Electric resistance; base unit ohm.
    Resistance = "a resistance",
    /// Money, in whatever currency the scenario uses; base unit "money".
    Price = "a price",
}

/// One way to write a unit.
#[derive(Debug, Clone, Copy)]
pub struct Unit {
    /// Normalised spelling (no `·`, single blanks, `u` for micro).
    pub symbol: &'static str,
    /// What it measures.
    pub dimension: Dimension,
    /// Base units in one of this unit.
    pub factor: f64,
}

const fn unit(symbol: &'static str, dimension: Dimension, factor: f64) -> Unit {
    Unit {
        symbol,
        dimension,
        factor,
    }
}

use Dimension as D;

/// Joules in a thermochemical calorie (ISO 31-4, from memory).
const CALORIE: f64 = 4.184;

/// Every spelling that is understood; the first one of a dimension is its base unit.
pub const UNITS: &[Unit] = &[
    unit("g", D::Mass, 1.0),
    unit("mg", D::Mass, 1e-3),
    unit("ug", D::Mass, 1e-6),
    unit("kg", D::Mass, 1e3),
    unit("mL", D::Volume, 1.0),
    unit("ml", D::Volume, 1.0),
    unit("cm3", D::Volume, 1.0),
    unit("uL", D::Volume, 1e-3),
    unit("L", D::Volume, 1e3),
    unit("l", D::Volume, 1e3),
    unit("dm3", D::Volume, 1e3),
    unit("C", D::Temperature, 1.0),
    unit("degC", D::Temperature, 1.0),
    unit("K", D::TemperatureDifference, 1.0),
    unit("mK", D::TemperatureDifference, 1e-3),
    unit("s", D::Time, 1.0),
    unit("min", D::Time, 60.0),
    unit("h", D::Time, 3600.0),
    unit("sec", D::Time, 1.0),
    unit("second", D::Time, 1.0),
    unit("seconds", D::Time, 1.0),
    unit("minute", D::Time, 60.0),
    unit("minutes", D::Time, 60.0),
    unit("hour", D::Time, 3600.0),
    unit("hours", D::Time, 3600.0),
    unit("ms", D::Time, 1e-3),
    unit("/s", D::Rate, 1.0),
    unit("1/s", D::Rate, 1.0),
    unit("s-1", D::Rate, 1.0),
    unit("/min", D::Rate, 1.0 / 60.0),
    unit("1/min", D::Rate, 1.0 / 60.0),
    unit("/h", D::Rate, 1.0 / 3600.0),
    unit("K/s", D::TemperatureRate, 1.0),
    unit("mK/s", D::TemperatureRate, 1e-3),
    unit("K/min", D::TemperatureRate, 1.0 / 60.0),
    unit("mK/min", D::TemperatureRate, 1e-3 / 60.0),
    unit("K/h", D::TemperatureRate, 1.0 / 3600.0),
    unit("J", D::Energy, 1.0),
    unit("kJ", D::Energy, 1e3),
    unit("cal", D::Energy, CALORIE),
    unit("kcal", D::Energy, 1e3 * CALORIE),
    unit("W", D::Power, 1.0),
    unit("mW", D::Power, 1e-3),
    unit("J/K", D::HeatCapacity, 1.0),
    unit("cal/K", D::HeatCapacity, CALORIE),
    unit("kJ/K", D::HeatCapacity, 1e3),
    unit("mL/g", D::SpecificVolume, 1.0),
    unit("cm3/g", D::SpecificVolume, 1.0),
    unit("J/(g K)", D::SpecificHeat, 1.0),
    unit("J/g/K", D::SpecificHeat, 1.0),
    unit("cal/(g K)", D::SpecificHeat, CALORIE),
    unit("J g-1 K-1", D::SpecificHeat, 1.0),
    unit("kJ/(kg K)", D::SpecificHeat, 1.0),
    unit("J/g", D::MassEnthalpy, 1.0),
    unit("kJ/g", D::MassEnthalpy, 1e3),
    unit("kJ/kg", D::MassEnthalpy, 1.0),
    unit("cal/g", D::MassEnthalpy, CALORIE),
    unit("kcal/g", D::MassEnthalpy, 1e3 * CALORIE),
    unit("J/mol", D::MolarEnthalpy, 1.0),
    unit("kJ/mol", D::MolarEnthalpy, 1e3),
    unit("cal/mol", D::MolarEnthalpy, CALORIE),
    unit("kcal/mol", D::MolarEnthalpy, 1e3 * CALORIE),
    unit("J/(mol K)", D::MolarHeatCapacity, 1.0),
    unit("J/mol/K", D::MolarHeatCapacity, 1.0),
    unit("kJ/(mol K)", D::MolarHeatCapacity, 1e3),
    unit("mol", D::Amount, 1.0),
    unit("mmol", D::Amount, 1e-3),
    unit("g/mol", D::MolarMass, 1.0),
    unit("g/mL", D::Density, 1.0),
    unit("g/cm3", D::Density, 1.0),
    unit("kg/m3", D::Density, 1e-3),
    unit("kg/L", D::Density, 1.0),
    unit("g/L", D::Density, 1e-3),
    unit("mol/L", D::Concentration, 1.0),
    unit("mol/dm3", D::Concentration, 1.0),
    unit("M", D::Concentration, 1.0),
    unit("mM", D::Concentration, 1e-3),
    unit("mmol/L", D::Concentration, 1e-3),
    unit("mol/kg", D::Molality, 1.0),
    unit("mmol/kg", D::Molality, 1e-3),
    unit("1/K", D::Expansion, 1.0),
    unit("/K", D::Expansion, 1.0),
    unit("ppm/K", D::Expansion, 1e-6),
    unit("1", D::Fraction, 1.0),
    unit("%", D::Fraction, 1e-2),
    unit("ppm", D::Fraction, 1e-6),
    unit("V", D::Voltage, 1.0),
    unit("mV", D::Voltage, 1e-3),
    unit("A", D::Current, 1.0),
    unit("mA", D::Current, 1e-3),
    unit("ohm", D::Resistance, 1.0),
    unit("mohm", D::Resistance, 1e-3),
    unit("money", D::Price, 1.0),
];

impl Dimension {
    /// The unit in which the crate computes and stores this dimension.
    pub fn base_unit(self) -> &'static str {
        match self {
            D::Temperature => "°C",
            D::Fraction => "1",
            D::Rate => "1/s",
            _ => UNITS
                .iter()
                .find(|u| u.dimension == self)
                .map_or("1", |u| u.symbol),
        }
    }

    /// What a difference of two such values measures: of two temperatures, a difference of temperatures.
    #[must_use]
    pub fn difference(self) -> Self {
        match self {
            D::Temperature => D::TemperatureDifference,
            d => d,
        }
    }

    /// An example of how to write one, for messages.
    pub fn example(self) -> &'static str {
        match self {
            D::Mass => "0.40 g",
            D::Volume => "50 mL",
            D::Temperature => "21.5 C",
            D::TemperatureDifference => "0.01 K",
            D::Time => "90 s",
            D::Rate => "0.02 /s",
            D::TemperatureRate => "0.5 mK/min",
            D::Energy => "120 J",
            D::Power => "5 mW",
            D::HeatCapacity => "45 J/K",
            D::SpecificHeat => "4.18 J/(g K)",
            D::SpecificVolume => "0.39 mL/g",
            D::MassEnthalpy => "240 J/g",
            D::MolarEnthalpy => "14.8 kJ/mol",
            D::MolarHeatCapacity => "-140 J/(mol K)",
            D::Amount => "5 mmol",
            D::MolarMass => "53.49 g/mol",
            D::Density => "0.998 g/mL",
            D::Concentration => "0.1 mol/L",
            D::Molality => "0.1 mol/kg",
            D::Expansion => "9.9e-6 1/K",
            D::Fraction => "0.5 %",
            D::Voltage => "6 V",
            D::Current => "1.2 A",
            D::Resistance => "10 mohm",
            D::Price => "12 money",
        }
    }
}
