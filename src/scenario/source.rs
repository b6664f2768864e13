//! The error sources: one entry of one table each.
//!
//! An entry here makes the source appear in the scenario keys with what is read there, what is usual and what is possible,
//! in the draws, the ranking, the budget, `show` and the documentation. What it does to a run is coded in `nature` where its
//! identifier is drawn; what the lab knows of it, in `lab::link`.

pub use super::columns::{Family, Known, Part, Perfect, Scope, Sharing, Statement, Usual, Written};
use crate::quantity::Dimension as D;
use crate::random::Tag;

/// One error source.
#[derive(Debug)]
pub struct Source {
    /// Identifier.
    pub id: SourceId,
    /// `site.name`: the scenario key, in the table of its site.
    pub key: &'static str,
    /// Symbol in a budget: that of the formulas in `nature`, where they have one.
    pub symbol: &'static str,
    /// Family.
    pub family: Family,
    /// Scope.
    pub scope: Scope,
    /// Sharing between legs.
    pub sharing: Sharing,
    /// How it is stated.
    pub statement: Statement,
    /// What it measures.
    pub dimension: D,
    /// Whether it can only go one way.
    pub one_sided: bool,
    /// Whether the lab's linear budget has a term for it.
    pub budget: bool,
    /// What it is.
    pub doc: &'static str,
    /// Where it enters the chain.
    pub enters: &'static str,
    /// Where its description comes from.
    pub reference: &'static str,
    /// What laboratories have, `low to high`: of an error its magnitude, else the value.
    pub usual: &'static str,
    /// What is possible at all, likewise.
    pub possible: &'static str,
    /// What it is where the scenario does not say.
    pub library: Usual,
    /// How its key states it.
    pub written: Written,
    /// Its value without error.
    pub perfect: Perfect,
    /// What it takes part of.
    pub part: Part,
    /// Whether a rare draw beyond what is possible says that the statement is rough, not that it is wrong.
    pub rough: bool,
    /// Whether it is uncertain where the lab takes it from a table for its calibration, and exact where it is what is sought.
    pub of_reference: bool,
    /// Its value where nothing of its kind takes part.
    pub absent: f64,
}

impl Source {
    /// The tag of its draws.
    pub const fn tag(&self) -> Tag {
        Tag::of(self.key)
    }

    /// The table its key stands in.
    pub fn site(&self) -> &'static str {
        self.key.split_once('.').map_or("", |(site, _)| site)
    }

    /// The key inside that table.
    pub fn name(&self) -> &'static str {
        self.key.split_once('.').map_or(self.key, |(_, name)| name)
    }
}

/// Columns as most sources have them.
const PLAIN: Source = Source {
    id: SourceId::Readability,
    key: "",
    symbol: "",
    family: Family::Balance,
    scope: Scope::Reading,
    sharing: Sharing::Leg,
    statement: Statement::Error,
    dimension: D::Fraction,
    one_sided: false,
    budget: false,
    doc: "",
    enters: "",
    reference: "",
    usual: "",
    possible: "",
    library: Usual::Nothing,
    written: Written::Plainly,
    perfect: Perfect::ByStatement,
    part: Part::OfNothing,
    rough: false,
    of_reference: false,
    absent: 0.0,
};

macro_rules! sources {
    ($($id:ident: $key:literal, $symbol:literal, $family:ident, $scope:ident, $sharing:ident, $statement:ident,
        $dimension:ident, $one_sided:literal, $budget:literal, $doc:literal, $enters:literal, $reference:literal,
        $usual:literal, $possible:literal $(, { $($column:ident: $value:expr),* })?;)*) => {
        /// Identifies a source.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        #[allow(missing_docs)] // The table's own texts document each.
        pub enum SourceId { $($id,)* }

        /// All sources.
        pub const SOURCES: &[Source] = &[$(Source {
            id: SourceId::$id, key: $key, symbol: $symbol, family: Family::$family, scope: Scope::$scope,
            sharing: Sharing::$sharing, statement: Statement::$statement, dimension: D::$dimension,
            one_sided: $one_sided, budget: $budget, doc: $doc, enters: $enters, reference: $reference,
            usual: $usual, possible: $possible, $($($column: $value,)*)? ..PLAIN
        },)*];
    };
}

sources! {
    // id: key, symbol, family, scope, sharing, statement, dimension, one-sided, in the lab's budget,
    //     what it is, where it enters, reference,
    //     what laboratories have (magnitude of an error, else the value), what is possible, { columns that are not plain }
    Readability: "balance.readability", "δm_d", Balance, Reading, Instrument, Disturbance, Mass, false, true,
        "the last digit of the balance",
        "each of the two weighings is rounded to it", "EURACHEM/CITAC CG 4, A1",
        "0 g to 0.1 g", "0 g to 10 g", { library: Usual::Balance(|i| Known::Fact(&i.readability)) };
    Repeatability: "balance.repeatability", "δm_r", Balance, Reading, Instrument, Error, Mass, false, true,
        "scatter of the balance when the same load is weighed again",
        "each of the two weighings", "EURACHEM/CITAC CG 4, A1",
        "0 g to 0.1 g", "0 g to 10 g", { library: Usual::Balance(|i| Known::Error(&i.repeatability)) };
    Linearity: "balance.linearity", "λ", Balance, Group, Instrument, Error, Mass, false, true,
        "deviation of the balance from a straight line at one place of its range",
        "one draw for each place: tare and gross of each substance", "EURACHEM/CITAC CG 4, A1",
        "0 g to 0.2 g", "0 g to 10 g", { library: Usual::Balance(|i| Known::Error(&i.linearity)) };
    BalanceGain: "balance.gain", "g", Balance, Group, Instrument, Error, Fraction, false, true,
        "error of the balance's sensitivity",
        "all masses in the same proportion", "EURACHEM/CITAC CG 4, A1",
        "0 % to 1 %", "0 % to 20 %", { library: Usual::Balance(|i| Known::Error(&i.gain)) };
    AirDensity: "balance.air_density", "ρ_a", Balance, Group, Instrument, Disturbance, Density, true, true,
        "buoyancy of the air on the sample (and on the steel that adjusted the balance)",
        "each mass, by the density of what is weighed", "OIML D 28",
        "0.9 kg/m3 to 1.4 kg/m3", "0 kg/m3 to 10 kg/m3",
        { library: Usual::Weighing("1.2 kg/m3, u = 0.02 kg/m3"), perfect: Perfect::ConventionalAir };
    Window: "charge.window", "δm_w", Technique, Run, Leg, Error, Mass, false, false,
        "how far from the target mass the solid is weighed in",
        "the mass of solid; recorded, so harmless unless the lab computes with the nominal mass", "the procedure",
        "0 g to 100 g", "0 g to 1 kg", { written: Written::Window };
    TransferLoss: "charge.transfer_loss", "δm_t", Technique, Run, Leg, Error, Mass, true, true,
        "solid that is weighed but never reaches the vessel",
        "the amount that dissolves is less than recorded", "the procedure",
        "0 g to 0.5 g", "0 g to 100 g", { part: Part::Loss };
    Purity: "charge.purity", "p", Reagent, Course, Substance, Value, Fraction, false, true,
        "share of the solid that is the substance on the label",
        "the amount in a gram", "label of the bottle",
        "50 % to 105 %", "0.1 % to 120 %",
        { library: Usual::Substance(|i| Known::Fact(&i.assay)), perfect: Perfect::Label };
    MolarMass: "charge.molar_mass", "M", Reference, Course, Substance, Value, MolarMass, false, true,
        "molar mass from the standard atomic weights",
        "the amount in a gram", "IUPAC abridged standard atomic weights",
        "1 g/mol to 1000 g/mol", "1 g/mol to 10000 g/mol",
        { library: Usual::MolarMass, written: Written::Nowhere, absent: 1.0 };
    Tolerance: "liquid.tolerance", "δV", Delivery, Group, Device, Error, Volume, false, true,
        "error of the volume mark of the delivering device, the same in each of its fillings: three fillings err three times as much",
        "the mass of liquid, once for each filling", "ISO 648, ISO 4788",
        "0 mL to 20 mL", "0 mL to 500 mL",
        { library: Usual::Device(|i| Known::Error(&i.tolerance)), part: Part::Error };
    Filling: "liquid.repeatability", "ε_V", Delivery, Run, Leg, Error, Volume, false, true,
        "scatter of filling to the mark and of draining, each filling",
        "the mass of liquid", "EURACHEM/CITAC CG 4, A1",
        "0 mL to 20 mL", "0 mL to 500 mL",
        { library: Usual::Device(|i| Known::Error(&i.repeatability)), part: Part::Error };
    RoomTemperature: "room.temperature", "T_room", Delivery, Group, Instrument, Value, Temperature, false, true,
        "the liquid and glass are not at the temperature the procedure states",
        "density of the liquid, volume of the glass, temperature at the start", "EURACHEM/CITAC CG 4, A1",
        "10 C to 35 C", "5 C to 45 C";
    Rinse: "liquid.rinse", "V_r", Technique, Run, Leg, Error, Volume, true, true,
        "rinse water left in the vessel",
        "more heat capacity than the lab counts", "the procedure",
        "0 mL to 5 mL", "0 mL to 500 mL", { part: Part::Loss };
    LiquidHeat: "liquid.heat_capacity_error", "ε_c", Reference, Course, Liquid, Error, Fraction, false, true,
        "error of the tabulated specific heat capacity of the liquid",
        "the true heat capacity of the contents differs from the table", "tables of the library",
        "0 % to 5 %", "0 % to 50 %", { library: Usual::Liquid(|i| Known::Error(&i.cp.error)) };
    LiquidDensity: "liquid.density_error", "ε_ρ", Reference, Course, Liquid, Error, Fraction, false, true,
        "error of the tabulated density of the liquid",
        "the true mass of a liquid that is measured out by volume", "tables of the library",
        "0 % to 5 %", "0 % to 50 %", { library: Usual::Liquid(|i| Known::Error(&i.density.error)) };
    Shortfall: "liquid.shortfall", "V_s", Technique, Run, Leg, Error, Volume, true, true,
        "volume of the vessel's liquid that is missing in all, however many fillings there are (spilt, not drained, misread)",
        "less mass of liquid than the lab counts", "the procedure",
        "0 mL to 10 mL", "0 mL to 500 mL", { part: Part::Loss };
    SoluteHeat: "reaction.solute_heat_capacity", "c_s", Reference, Course, Reaction, Value, SpecificHeat, false, true,
        "what a gram of dissolved solid adds to the heat capacity",
        "the heat capacity of the contents", "tables of the library",
        "-8 J/(g K) to 8 J/(g K)", "-20 J/(g K) to 20 J/(g K)",
        { library: Usual::Reaction(|i| Known::Fact(&i.solute_cp)) };
    Offset: "thermometer.offset", "δT_0", Thermometer, Group, Instrument, Error, TemperatureDifference, false, true,
        "the thermometer reads high or low by a constant",
        "cancels in a difference; not in the temperature at which tabulated values are taken", "IEC 60751",
        "0 K to 2 K", "0 K to 20 K", { library: Usual::Thermometer(|i| Known::Error(&i.offset)) };
    ThermometerGain: "thermometer.gain", "ε_T", Thermometer, Group, Instrument, Error, Fraction, false, true,
        "the scale of the thermometer is long or short",
        "every difference of temperatures; cancels between calibration and determination", "IEC 60751",
        "0 % to 5 %", "0 % to 50 %", { library: Usual::Thermometer(|i| Known::Error(&i.gain)) };
    Drift: "thermometer.drift", "δT'", Thermometer, Run, Instrument, Error, TemperatureRate, false, true,
        "the reading creeps during a run",
        "a difference between readings far apart; straight lines remove it", "the instrument",
        "0 mK/min to 100 mK/min", "0 mK/min to 2000 mK/min",
        { library: Usual::Thermometer(|i| Known::Error(&i.drift)) };
    Noise: "thermometer.noise", "δT_n", Thermometer, Reading, Instrument, Error, TemperatureDifference, false, true,
        "scatter of one reading",
        "every reading", "the instrument",
        "0 K to 0.5 K", "0 K to 10 K", { library: Usual::Thermometer(|i| Known::Error(&i.noise)) };
    Resolution: "thermometer.resolution", "δT_d", Thermometer, Reading, Instrument, Disturbance, TemperatureDifference,
        false, true,
        "the last digit of the display",
        "every reading is rounded to it", "JCGM 100:2008, F.2.2.1",
        "0 K to 1 K", "0 K to 10 K", { library: Usual::Thermometer(|i| Known::Fact(&i.resolution)) };
    Lag: "thermometer.lag", "τ", Thermometer, Group, Instrument, Disturbance, Time, true, false,
        "the thermometer follows the contents with this time constant",
        "all readings come late; a difference between two lines keeps its size", "the instrument",
        "0 s to 120 s", "0 s to 1 h", { library: Usual::Thermometer(|i| Known::Fact(&i.lag)) };
    VesselHeat: "vessel.heat_capacity", "C_v", Vessel, Group, Instrument, Value, HeatCapacity, false, false,
        "true heat capacity of the empty vessel with stirrer and probe",
        "found by the calibration, so it matters little unless nothing is calibrated", "the instrument",
        "0 J/K to 2000 J/K", "0 J/K to 100000 J/K",
        { library: Usual::Vessel(|i| Known::Fact(&i.heat_capacity)), perfect: Perfect::Assumed, rough: true };
    VesselChange: "vessel.run_to_run", "η", Vessel, Run, Instrument, Error, Fraction, false, true,
        "how much of the vessel takes part differs from run to run (filling height, wet walls, lid)",
        "the heat capacity of that run", "the procedure",
        "0 % to 20 %", "0 % to 100 %", { library: Usual::Vessel(|i| Known::Error(&i.run_to_run)), rough: true };
    Leak: "vessel.leak", "k", Vessel, Group, Instrument, Disturbance, Rate, true, false,
        "heat exchange with the surroundings, as a rate constant",
        "the temperature on its way from the break to the reading", "Newton's law of cooling",
        "0 /s to 0.01 /s", "0 /s to 1 /s", { library: Usual::Vessel(|i| Known::Fact(&i.leak)) };
    Stirring: "vessel.stirring", "P", Vessel, Group, Instrument, Disturbance, Power, true, false,
        "heat from stirring",
        "a slow rise all along; straight lines remove it", "the instrument",
        "0 W to 1 W", "0 W to 50 W", { library: Usual::Vessel(|i| Known::Fact(&i.stirring)) };
    Disequilibrium: "vessel.start_difference", "δT_s", Vessel, Run, Instrument, Error, TemperatureDifference,
        false, false,
        "the contents start warmer or colder than the surroundings",
        "a slope of both periods, through the leak", "the procedure",
        "0 K to 5 K", "0 K to 60 K";
    AmbientDrift: "vessel.ambient_drift", "w", Vessel, Run, Instrument, Error, TemperatureRate, false, false,
        "the surroundings warm or cool during a run",
        "a bend of both periods, through the leak", "the procedure",
        "0 mK/min to 200 mK/min", "0 mK/min to 2000 mK/min";
    DissolvingTime: "dissolving.time", "t_d", Dissolving, Run, Leg, Disturbance, Time, true, false,
        "how long the solid takes to dissolve, with its run-to-run spread (grain, stirring)",
        "heat that comes late or after the last reading", "Hixson and Crowell 1931; Noyes and Whitney 1897",
        "0.1 s to 2 h", "0 s to 24 h", { written: Written::TimeOrRate };
    Leftover: "dissolving.leftover", "f", Dissolving, Run, Leg, Error, Fraction, true, false,
        "share of the solid that never dissolves (crust, stuck to the wall)",
        "heat that never comes", "the procedure",
        "0 % to 20 %", "0 % to 100 %";
    MixingTime: "dissolving.mixing_time", "t_m", Dissolving, Run, Leg, Disturbance, Time, true, false,
        "how long what is dissolved already takes to mix, as a time constant",
        "heat that comes a little late", "the procedure",
        "0 s to 120 s", "0 s to 1 h";
    WaterLost: "charge.water_lost", "w_h", Reagent, Course, Substance, Disturbance, Fraction, true, false,
        "share of its mass that a hydrate has lost as water in its bottle",
        "more of the salt in a gram; and part of it as the anhydrous salt, with that one's heat", "the bottle",
        "0 % to 20 %", "0 % to 99.9 %";
    Spill: "charge.spill", "δm_s", Technique, Run, Leg, Error, Mass, true, true,
        "solid spilt while filling a narrow opening, after it was weighed",
        "the amount that dissolves is less than recorded", "the procedure",
        "0 g to 0.5 g", "0 g to 100 g", { part: Part::Loss };
    Release: "charge.release", "p_r", Technique, Run, Leg, Disturbance, Fraction, true, false,
        "chance that the charge is not released whole",
        "decides whether part of the charge is held back", "the procedure",
        "0 % to 100 %", "0 % to 100 %", { written: Written::Chance };
    HeldBack: "charge.held_back", "f_h", Technique, Run, Leg, Disturbance, Fraction, true, false,
        "share of the charge that stays back when its release is not complete",
        "heat that never comes, and contents that are never there", "the procedure",
        "0 % to 80 %", "0 % to 99.9 %";
    StartDifference: "charge.start_difference", "δT_p", Technique, Run, Leg, Error, TemperatureDifference, false, true,
        "the portion is warmer or colder than the vessel when it is released",
        "heat that the portion brings along", "the procedure",
        "0 K to 5 K", "0 K to 60 K";
    PortionConcentration: "charge.concentration", "c_B", Reagent, Course, Substance, Value, Concentration, false, true,
        "concentration of the reagent in its portion",
        "the amount that reacts", "label of the bottle",
        "0.5 mmol/L to 20 mol/L", "0.000001 mol/L to 40 mol/L",
        { library: Usual::PortionLiquid(|i| Known::Exact(i.concentration.unwrap_or(0.0))) };
    LiquidConcentration: "liquid.concentration", "c_A", Reagent, Course, Liquid, Value, Concentration, false, true,
        "concentration of the reagent in the liquid of the vessel",
        "the amount of that reagent: how much it is in excess, or how much reacts", "label of the bottle",
        "0.5 mmol/L to 20 mol/L", "0.000001 mol/L to 40 mol/L",
        { library: Usual::Liquid(|i| Known::Exact(i.concentration.unwrap_or(0.0))) };
    ReactantConcentration: "reactant.concentration", "c_R", Reagent, Course, Leg, Value, Concentration, false, true,
        "concentration of a further reagent in the liquid of the vessel",
        "the amount of that reagent: how much it is in excess, or how much reacts", "label of the bottle",
        "0.5 mmol/L to 20 mol/L", "0.000001 mol/L to 40 mol/L";
    Oxidised: "stock.oxidised", "x", Reagent, Course, Leg, Disturbance, Fraction, true, false,
        "share of a prepared stock's substance that has reacted in storage",
        "less of it in the aliquot", "the bottle",
        "0 % to 30 %", "0 % to 99.9 %";
    StockWaterLost: "stock.water_lost", "w_s", Reagent, Course, Leg, Disturbance, Fraction, true, false,
        "share of its mass that the solid of a stock has lost as water before it was weighed",
        "more of it in the aliquot; its heat per mole stays that of the solution", "the bottle",
        "0 % to 20 %", "0 % to 99.9 %";
    SideDilution: "side.dilution", "Q_dil", Reagent, Course, Leg, Value, Energy, false, true,
        "heat of diluting a liquid into the other one, released in each run",
        "heat beside that of the reaction", "tables of heats of dilution",
        "-1000 J to 1000 J", "-100000 J to 100000 J";
    SideWetting: "side.wetting", "Q_wet", Technique, Run, Leg, Value, Energy, false, true,
        "heat of wetting, of breaking a seal, of a solid reagent's own dissolving, released in each run",
        "heat beside that of the reaction", "the procedure",
        "-1000 J to 1000 J", "-100000 J to 100000 J";
    MediumShift: "reaction.medium_shift", "δh", Reference, Course, Leg, Value, MolarEnthalpy, false, false,
        "what the medium adds to the tabulated enthalpy (acid that is not fully ionised, complexes)",
        "the reaction's own heat in this medium: the tabulated standard value does not apply as it is", "the procedure",
        "-200 kJ/mol to 200 kJ/mol", "-2000 kJ/mol to 2000 kJ/mol";
    Voltage: "electrical.voltage", "U", Reference, Group, Leg, Value, Voltage, false, true,
        "voltage of the heater, about what the meter says",
        "the heat of an electrical calibration, in proportion", "the meter",
        "0.1 V to 250 V", "0.001 V to 1000 V";
    Current: "electrical.current", "I", Reference, Group, Leg, Value, Current, false, true,
        "current of the heater, about what the meter says",
        "the heat of an electrical calibration, in proportion", "the meter",
        "10 mA to 20 A", "1 mA to 200 A";
    HeatingTime: "electrical.time", "t_h", Technique, Run, Leg, Value, Time, false, true,
        "how long the heater is on, about what the watch says",
        "the heat of an electrical calibration, in proportion", "the watch",
        "1 s to 1 h", "0.1 s to 10 h";
    LeadLoss: "electrical.lead_loss", "f_l", Technique, Group, Leg, Disturbance, Fraction, true, false,
        "share of the electrical heat that is made in leads outside the liquid",
        "less heat than reckoned", "the heater",
        "0 % to 10 %", "0 % to 99.9 %";
    HotWater: "water.hot", "T_hot", Technique, Run, Leg, Value, Temperature, false, false,
        "temperature of the hot water; it is read, so it is no error",
        "the heat that hot water brings", "the procedure",
        "25 C to 95 C", "0 C to 100 C";
    ColdWater: "water.cold", "T_cold", Technique, Run, Leg, Value, Temperature, false, false,
        "temperature of the vessel and its cold water; it is read, so it is no error",
        "the temperature at the start", "the procedure",
        "0 C to 40 C", "0 C to 100 C";
    PouringLoss: "water.pouring_loss", "δT_w", Technique, Run, Leg, Error, TemperatureDifference, true, true,
        "temperature that hot water loses between its last reading and the vessel",
        "less heat than reckoned", "the procedure",
        "0 K to 5 K", "0 K to 60 K";
    Known: "cycle.known", "h_k", Reference, Course, Leg, Value, MolarEnthalpy, false, true,
        "an enthalpy of the cycle that is taken from a table",
        "the result of the cycle, directly", "tables",
        "-3000 kJ/mol to 3000 kJ/mol", "-20000 kJ/mol to 20000 kJ/mol";
    Noticing: "inspection.chance", "p_n", Technique, Run, Leg, Disturbance, Fraction, true, false,
        "chance of noticing solid that is left over",
        "decides whether an incomplete run is repeated", "the procedure",
        "0 % to 100 %", "0 % to 100 %", { library: Usual::Chance, written: Written::Nowhere };
    ReactionEnthalpy: "reaction.enthalpy", "h", Reference, Course, Reaction, Value, MolarEnthalpy, false, true,
        "uncertainty of the tabulated enthalpy of the reference reaction",
        "the calibration constant, in proportion", "certificates and tables of the library",
        "-1500 kJ/mol to 1500 kJ/mol", "-10000 kJ/mol to 10000 kJ/mol",
        { library: Usual::Reaction(|i| Known::Fact(&i.enthalpy)), of_reference: true };
    ReactionSlope: "reaction.slope", "ΔC_p", Reference, Course, Reaction, Value, MolarHeatCapacity, false, true,
        "uncertainty of the temperature slope of a tabulated enthalpy",
        "tabulated values away from 25 °C", "certificates and tables of the library",
        "-2000 J/(mol K) to 2000 J/(mol K)", "-20000 J/(mol K) to 20000 J/(mol K)",
        { library: Usual::Reaction(|i| Known::Fact(&i.slope)) };
    DilutionError: "reaction.dilution_error", "δL", Reference, Course, Dilution, Error, MolarEnthalpy, false, true,
        "error of the tabulated heat of dilution between the run's molality and the tabulated state, per mole of the charge",
        "the lab subtracts the tabulated heat of dilution, nature has the true one", "tables of the library",
        "0 kJ/mol to 20 kJ/mol", "0 kJ/mol to 200 kJ/mol";
}

impl SourceId {
    /// Its entry.
    pub fn source(self) -> &'static Source {
        &SOURCES[self as usize]
    }
}

/// The source with this key.
pub fn find(key: &str) -> Option<&'static Source> {
    SOURCES.iter().find(|s| s.key == key)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_source_is_complete_and_keys_are_unique() {
        for (i, s) in SOURCES.iter().enumerate() {
            assert_eq!(s.id as usize, i);
            assert!(s.key.split('.').count() == 2, "{}", s.key);
            assert!(!s.doc.is_empty() && !s.enters.is_empty() && !s.reference.is_empty());
            assert!(
                SOURCES[..i]
                    .iter()
                    .all(|o| o.key != s.key && o.tag() != s.tag() && o.symbol != s.symbol)
            );
            assert!((1..=6).contains(&s.symbol.chars().count()), "{}", s.symbol);
        }
    }
}
