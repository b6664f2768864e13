//! Mistakes with the evaluation.

use super::super::acts::Act;
use super::super::size::Size;
use super::*;
use crate::lab::LegPages;
use crate::quantity::JoulePerKelvin;
use crate::scenario::{Contents, MassUsed};
use std::rc::Rc;

mistakes! {
    MISTAKES:
    "water-heat", "heat capacity of water taken for the solution"; Size::NONE, EACH, any,
        Act::Evaluates(|s| s.lab.water_heat = true);
        "the heat capacity of the contents";
        "look it up for the solution: some minutes";
    "millilitres", "millilitres of liquid taken as grams"; Size::NONE, EACH, any,
        Act::Evaluates(|s| s.lab.volume_as_mass = true);
        "the mass of the contents";
        "multiply by the density: costs nothing";
    "without-solid", "mass of the solid left out of the contents"; Size::NONE, EACH, solid,
        Act::Evaluates(|s| s.lab.solid_in_mass = false);
        "the mass of the contents";
        "read the formula again: costs nothing";
    "mean-temperature", "tables read at the mean temperature instead of that of mixing"; Size::NONE, EACH, any,
        Act::Evaluates(|s| s.lab.mean_temperature = true);
        "tabulated values against temperature";
        "read the convention again: costs nothing";
    "nominal-mass", "mass of the instructions used instead of the weighed one"; Size::NONE, EACH, solid,
        Act::Evaluates(|s| s.lab.mass = MassUsed::Nominal);
        "the amount computed from the mass: by chance, as far as the window allows";
        "use what the notebook says: costs nothing";
    "reference-at-25", "enthalpy of the reference taken at 25 °C"; Size::NONE, CALIBRATION,
        |s, leg| any(s, leg) && leg.calibrates() && leg.heat == Heat::Reaction && s.lab.reference_slope,
        Act::Method(|m| m.reference_slope = false);
        "the heat of the calibration";
        "use the slope of the table: costs nothing";
    "result-not-at-25", "result not brought to the quoted temperature"; Size::NONE, DETERMINATIONS,
        |s, leg| any(s, leg) && !leg.calibrates() && s.lab.result_slope,
        Act::Method(|m| m.result_slope = false);
        "the last step of the evaluation";
        "say the temperature with the result, or use the slope: costs nothing";
    "contents-alike", "different contents of both kinds of run not allowed for"; Size::NONE, WHOLE,
        |s, leg| any(s, leg) && s.lab.contents == Contents::Swapped && s.lab.assumed_vessel.is_none(),
        Act::Method(|m| m.contents = Contents::Same);
        "the heat capacity of the determinations";
        "compare what is in the vessel: costs nothing";
    "vessel-ignored", "heat capacity of the vessel left out"; Size::NONE, WHOLE,
        |s, leg| any(s, leg) && s.lab.assumed_vessel != Some(JoulePerKelvin(0.0)),
        Act::Method(|m| m.assumed_vessel = Some(JoulePerKelvin(0.0)));
        "the vessel takes up heat that is not counted";
        "count the vessel, or use the calibration: costs nothing";
    "one-calibration", "first calibration run used alone"; Size::NONE, CALIBRATION,
        |s, leg| any(s, leg) && leg.calibrates() && leg.runs > 1 && s.lab.assumed_vessel.is_none(),
        Act::Runs(first_calibration);
        "no bias, but more spread";
        "use all of them: costs nothing";
    "not-per-mole", "division by the amount forgotten"; Size::NONE, WHOLE, any,
        Act::Value(amount);
        "the last step: J instead of J/mol";
        "look at the unit: costs nothing";
    "grams-for-moles", "division by grams instead of moles"; Size::NONE, WHOLE, solid,
        Act::Value(|s| 1.0 / s.determination.reaction.molar_mass.0);
        "the last step: J/g instead of J/mol";
        "look at the unit: costs nothing";
    "sign-lost", "sign of the result lost"; Size::NONE, WHOLE, any,
        Act::Value(|_| -1.0);
        "the last step: the sign of an enthalpy is that of what the contents take up";
        "did the vessel become warmer or colder?: costs nothing";
    "calories", "result in calories taken for joules"; Size::NONE, WHOLE, any,
        Act::Value(|_| 1.0 / 4.184);
        "the last step: a calorie is 4.184 J";
        "look at the unit: costs nothing";
    "factor-1000", "joule written as kilojoule"; Size::NONE, WHOLE, any,
        Act::Value(|_| 1000.0);
        "the result is a thousand times too large";
        "compare with the table: costs nothing";
}

/// Only the first run calibrates.
fn first_calibration(legs: &mut [Rc<LegPages>]) {
    Rc::make_mut(&mut legs[0]).runs.truncate(1);
}

/// Planned moles of what the result is stated for.
fn amount(s: &Scenario) -> f64 {
    let leg = &s.determination;
    match leg.per {
        crate::scenario::Per::Charge => leg.nominal_charge().0,
        crate::scenario::Per::Reagent(at) => leg.reagents[at].nominal(leg.nominal_volume(&s.room)),
    }
}
