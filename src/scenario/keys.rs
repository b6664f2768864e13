//! The structural keys of scenario format 1, one line each.

use super::schema::Key;
use super::schema::Place::{self, Both, Leg, Top};
use super::schema::Shape::{
    self, Choice, Count, Error, Flag, Library, List, Measured, Open, Size, Sizes, Text, Texts,
    Window,
};
use crate::quantity::Dimension as D;

const fn key(
    place: Place,
    site: &'static str,
    name: &'static str,
    shape: Shape,
    doc: &'static str,
) -> Key {
    Key {
        site,
        name,
        shape,
        place,
        usual: "",
        possible: "",
        doc,
    }
}

impl Key {
    /// The same key with what is usual and what is possible at all.
    const fn within(self, usual: &'static str, possible: &'static str) -> Self {
        Self {
            usual,
            possible,
            ..self
        }
    }
}

/// The structural keys; [`super::schema::all_keys`] adds those of the error sources.
#[rustfmt::skip] // a table: one line, one key
pub const KEYS: &[Key] = &[
    key(Top, "", "format", Count(1, 1), "format of this file; always 1"),
    key(Top, "", "title", Text, "one line: what is done with what"),
    key(Top, "", "summary", Text, "a few sentences for the reader"),
    key(Top, "", "library_file", Text, "file with further entries of the library, beside this one"),
    // what is asked of the result
    key(Top, "target", "band", Size(D::Fraction), "fair band about the accepted value, for the share of groups inside it").within("0.1 % to 100 %", "0 % to 1000 %"),
    key(Top, "target", "uncertainty", Size(D::Fraction), "spread that the procedure should reach; exit code 1 when it is missed").within("0.01 % to 100 %", "0 % to 1000 %"),
    key(Top, "target", "quote_at", Size(D::Temperature), "temperature that the result is quoted at; 25 °C if not stated"),
    key(Top, "target", "display_steps", Count(1, 10_000), "fewest steps of the display (or widths of its noise) that a change of temperature should have; 20 if not stated"),
    // instruments
    key(Both, "balance", "use", Library("balance"), "balance of the library"),
    key(Both, "balance", "boat", Size(D::Mass), "mass of the weighing boat; 2.5 g if not stated").within("0.01 g to 100 g", "0 g to 1 kg"),
    key(Both, "thermometer", "use", Library("thermometer"), "thermometer of the library"),
    key(Both, "vessel", "use", Library("vessel"), "vessel of the library"),
    // what is recorded
    key(Both, "record", "kind", Choice(&["two readings", "trace"]), "two readings, or a temperature-time record; must be stated"),
    key(Both, "record", "before", Size(D::Time), "two readings: the first is taken this long before mixing; 10 s if not stated").within("0 s to 10 min", "0 s to 10 h"),
    key(Both, "record", "read_at", Size(D::Time), "two readings: the second is taken this long after mixing").within("5 s to 2 h", "0 s to 24 h"),
    key(Both, "record", "interval", Size(D::Time), "trace: time between readings").within("0.1 s to 5 min", "0.001 s to 1 h"),
    key(Both, "record", "fine_interval", Size(D::Time), "trace: shorter time between readings around the change of temperature").within("0.1 s to 5 min", "0.001 s to 1 h"),
    key(Both, "record", "fine_before", Size(D::Time), "trace: from this long before mixing readings come at the shorter interval; from mixing on if not stated").within("0 s to 1 h", "0 s to 24 h"),
    key(Both, "record", "fine_until", Size(D::Time), "trace: until this long after mixing they do; until `settle` if not stated").within("1 s to 2 h", "0 s to 24 h"),
    key(Both, "record", "times", List(D::Time), "trace: times of all readings from mixing, negative before it, instead of `interval`, `fore` and `after`"),
    key(Both, "record", "fore", Size(D::Time), "trace: length of the period before mixing").within("10 s to 1 h", "0 s to 24 h"),
    key(Both, "record", "after", Size(D::Time), "trace: length of the period after mixing").within("10 s to 2 h", "0 s to 24 h"),
    key(Both, "record", "settle", Size(D::Time), "trace: readings from this time after mixing belong to the line behind").within("0 s to 1 h", "0 s to 24 h"),
    key(Both, "record", "reduction", Choice(&["two readings", "extreme", "back to mixing", "63 percent", "equal areas", "regnault-pfaundler"]), "trace: how it becomes one change of temperature; \"back to mixing\" if not stated"),
    // legs
    key(Leg, "", "runs", Count(1, 1000), "number of runs"),
    key(Leg, "", "kind", Choice(&["reaction", "electrical", "hot and cold water", "none"]), "how the vessel is calibrated; \"reaction\" if not stated"),
    key(Leg, "", "assumed_vessel", Size(D::HeatCapacity), "kind \"none\": heat capacity of the vessel that the lab assumes; none if not stated").within("0 J/K to 2000 J/K", "0 J/K to 100000 J/K"),
    key(Leg, "reaction", "use", Library("reaction"), "reaction of the library"),
    key(Leg, "reaction", "per", Text, "reagent that the result is stated per mole of; the charge if not stated"),
    key(Both, "reactant", "nu", Count(1, 100), "moles of it for a mole of the charge; those of the library if not stated"),
    key(Both, "reactant", "substance", Library("substance"), "a further solid that is weighed in"),
    key(Both, "reactant", "mass", Size(D::Mass), "target mass of that solid").within("1 mg to 100 g", "0 g to 10 kg"),
    key(Both, "reactant", "purity", Measured(D::Fraction), "share of that solid that is the substance on its label").within("50 % to 105 %", "0.1 % to 120 %"),
    key(Both, "charge", "mass", Sizes(D::Mass), "target mass of the solid; a list has one for each run").within("1 mg to 100 g", "0 g to 10 kg"),
    key(Both, "charge", "window", Window(D::Mass), "masses that the procedure allows"),
    key(Both, "charge", "label_purity", Size(D::Fraction), "purity that the lab computes with; if not stated the middle of the assay, or of `purity`").within("50 % to 105 %", "0.1 % to 120 %"),
    key(Both, "charge", "kind", Choice(&["dropped solid", "dissolved beforehand", "liquid portion", "metal in excess"]), "how the reagent enters the vessel; \"dropped solid\" if not stated"),
    key(Both, "charge", "portion", Size(D::Volume), "volume of the liquid in which a solid is dissolved beforehand, or of the reagent itself").within("0.5 mL to 1 L", "0 mL to 100 L"),
    key(Both, "charge", "portion_liquid", Library("liquid"), "what that liquid is; that of the vessel if not stated"),
    key(Both, "charge", "portion_device", Library("glassware"), "what measures that liquid out"),
    key(Both, "charge", "portion_tolerance", Error(D::Volume), "error of that device's volume mark, instead of the library's"),
    key(Both, "charge", "portion_repeatability", Error(D::Volume), "scatter of that device's fillings, instead of the library's"),
    key(Both, "charge", "wait", Size(D::Time), "dissolved beforehand: waiting time before the release; 10 min if not stated").within("1 s to 24 h", "0 s to 1000 h"),
    key(Both, "charge", "incomplete_release", Size(D::Fraction), "chance that the charge is not released whole; 0 if not stated"),
    key(Both, "liquid", "use", Library("liquid"), "what the liquid is; that of the reaction if not stated, water without a reaction"),
    key(Both, "liquid", "volume", Size(D::Volume), "volume of liquid in the vessel").within("5 mL to 3 L", "0 mL to 100 L"),
    key(Both, "liquid", "mass", Size(D::Mass), "mass of liquid, if it is weighed in").within("5 g to 3 kg", "0 g to 100 kg"),
    key(Both, "liquid", "device", Library("glassware"), "what delivers it"),
    key(Both, "liquid", "balance", Library("balance"), "what weighs it, if it is weighed"),
    key(Both, "liquid", "expansion", Size(D::Expansion), "cubic expansion of the glass of all devices of a leg; that of the library if not stated").within("0 1/K to 0.0005 1/K", "0 1/K to 0.01 1/K"),
    key(Both, "dissolving", "leftover_state", Choice(&["unreacted", "hydrate formed", "never released"]), "what has become of solid that is left over; \"unreacted\" if not stated"),
    key(Both, "dissolving", "law", Choice(&["instant", "first order", "cube root"]), "law of dissolving; \"instant\" if not stated"),
    key(Both, "dissolving", "rate", Measured(D::Rate), "first order: rate constant, instead of a time").within("0.0001 /s to 10 /s", "0 /s to 1000 /s"),
    // what the lab does
    key(Top, "lab", "contents", Choice(&["same", "swapped"]), "contents of both kinds of run taken as alike, or exchanged by tabulated heat capacities; \"swapped\" if not stated"),
    key(Top, "lab", "mass", Choice(&["recorded", "nominal"]), "mass of solid that is computed with; \"recorded\" if not stated"),
    key(Top, "lab", "buoyancy", Choice(&["ignored", "corrected"]), "buoyancy of the air on weighed solids; \"ignored\" if not stated"),
    key(Top, "lab", "reference_slope", Choice(&["applied", "ignored"]), "tabulated reference enthalpy taken at the mixing temperature, or at 25 °C whatever the temperature; \"applied\" if not stated"),
    key(Top, "lab", "result_slope", Choice(&["applied", "ignored"]), "result brought to the quoted temperature, or left; \"applied\" if not stated"),
    key(Top, "lab", "run_effects", Choice(&["stated", "scatter"]), "run-to-run effects enter the linear budget by the instruments' statements, or by the observed scatter; \"stated\" if not stated"),
    key(Top, "lab", "tables_at", Choice(&["mixing", "mean"]), "tabulated values taken at the temperature of mixing, or half-way through the change; \"mixing\" if not stated"),
    key(Top, "lab", "solid_in_mass", Flag, "whether the solid counts in the mass of the contents; true if not stated"),
    key(Top, "lab", "heat_capacity", Choice(&["solution", "water"]), "contents reckoned with the solution's specific heat capacity, or water's; \"solution\" if not stated"),
    key(Top, "lab", "volume_as_mass", Flag, "whether millilitres of liquid are taken as grams; false if not stated"),
    key(Top, "lab", "side_heats", Choice(&["ignored", "subtracted"]), "heats that `side` states; \"ignored\" if not stated"),
    // inspection, repeats, time and money
    key(Both, "inspection", "kind", Choice(&["none", "logistic", "exponential", "step"]), "how the chance to notice a residue grows with its mass; logistic: with its logarithm, so that no residue is never noticed"),
    key(Both, "inspection", "just_visible", Size(D::Mass), "residue noticed in 5 % of cases; for a step, from which it is noticed").within("0.01 mg to 1 g", "0 g to 100 g"),
    key(Both, "inspection", "surely_visible", Size(D::Mass), "residue noticed in 95 % of cases").within("0.01 mg to 1 g", "0 g to 100 g"),
    key(Both, "inspection", "scale", Size(D::Mass), "scale of an exponential inspection").within("0.01 mg to 1 g", "0 g to 100 g"),
    key(Top, "repeat", "most", Count(0, 20), "how often a run whose residue was noticed may be repeated; 1 if not stated, 0 for never"),
    key(Top, "repeat", "then", Choice(&["accept", "drop"]), "what happens to the last one"),
    key(Top, "times", "session", Size(D::Time), "length of the session").within("10 min to 24 h", "0 s to 1000 h"),
    key(Top, "times", "set_up", Size(D::Time), "before the first run").within("0 s to 5 h", "0 s to 1000 h"),
    key(Top, "times", "calibration_run", Size(D::Time), "one calibration run with cleaning").within("1 min to 5 h", "0 s to 1000 h"),
    key(Top, "times", "determination_run", Size(D::Time), "one determination with cleaning").within("1 min to 5 h", "0 s to 1000 h"),
    key(Top, "prices", "calibration_run", Size(D::Price), "material of one calibration run"),
    key(Top, "prices", "determination_run", Size(D::Price), "material of one determination"),
    key(Both, "stock", "solid", Library("substance"), "what a prepared stock is made of"),
    key(Both, "stock", "mass", Size(D::Mass), "mass weighed into it").within("0.01 g to 500 g", "0 g to 100 kg"),
    key(Both, "stock", "volume", Size(D::Volume), "volume it is made up to").within("5 mL to 5 L", "0 mL to 100 L"),
    key(Both, "stock", "liquid", Library("liquid"), "what it is made up with"),
    key(Both, "stock", "flask", Library("glassware"), "flask it is made up in"),
    key(Both, "stock", "tolerance", Error(D::Volume), "error of the flask's volume mark, instead of the library's"),
    key(Both, "stock", "repeatability", Error(D::Volume), "scatter of filling the flask, instead of the library's"),
    key(Both, "stock", "reactant", Text, "reagent of the reaction that it provides; the only one if not stated"),
    key(Both, "stock", "purity", Measured(D::Fraction), "share of the solid that is the substance on its label").within("50 % to 105 %", "0.1 % to 120 %"),
    key(Both, "stock", "label_purity", Size(D::Fraction), "purity that the lab computes with").within("50 % to 105 %", "0.1 % to 120 %"),
    key(Leg, "water", "volume", Size(D::Volume), "volume of the hot water, measured out before it is heated").within("5 mL to 3 L", "0 mL to 100 L"),
    key(Leg, "water", "device", Library("glassware"), "what measures it out"),
    key(Leg, "water", "tolerance", Error(D::Volume), "error of that device's volume mark, instead of the library's"),
    key(Leg, "water", "repeatability", Error(D::Volume), "scatter of that device's fillings, instead of the library's"),
    key(Top, "cycle", "result", Text, "combination of determinations by name, and of `known`, for example \"determination - oxide + known\""),
    key(Top, "slips", "", Open, "own mistakes by name, each as changes of this scenario, for example spilt = \"determination.charge.spill = exactly 40 mg\""),
    key(Top, "library", "", Open, "own entries in the library's grammar, for example [library.vessels.our-cup]"),
    key(Top, "columns", "", Open, "what files of measured runs call our columns and legs, for example kind = \"what\""),
    key(Top, "hazards", "notes", Texts, "cautions of this procedure"),
];
