//! Whether a scenario stays where the tables of the library say something.

use super::build::{Builder, Found};
use super::chemistry::{Charge, Heat};
use super::leg::Leg;
use super::model::{Contents, Lab, Room};
use super::problem::{Concern, Problem};
use super::wording::short;

/// Molality from which a missing heat of dilution matters, mol/kg: it is commonly some percent of
/// an enthalpy of solution there.
const MUCH: f64 = 0.2;

/// A solution so many times as strong, or as weak, as the one that a value was measured in is another one.
const FAR: f64 = 1.5;

/// Contents that differ by more than this are not alike.
const ALIKE: f64 = 0.005;

/// Checks of a leg that is complete.
pub(super) fn check(b: &mut Builder, room: &Room, leg: &Leg) {
    // What does not even dissolve has no place in any table.
    if b.reported(&format!("{}.charge.mass", leg.name)) || b.reported("charge.mass") {
        return;
    }
    dilution(b, room, leg);
    range(b, room, leg);
}

fn warn(b: &mut Builder, found: Option<Found>, message: String, hint: impl Into<String>) {
    let Some(found) = found else { return };
    let problem = Problem::warning(&found.path, message).hint(hint);
    b.problem(problem.at(found.entry.span));
}

fn dilution(b: &mut Builder, room: &Room, leg: &Leg) {
    let Some(reaction) = b.library.reactions.get(&leg.reaction.key) else {
        return;
    };
    // A metal in excess is no solute.
    if leg.charge == Charge::Metal {
        return;
    }
    let molality = leg.nominal_molality(room);
    let found = b.find(&leg.name, "charge", "mass");
    match reaction.dilution.last() {
        Some(last) if molality > last.molality => {
            let [m, end] = [molality, last.molality].map(short);
            let message = format!(
                "the solution has {m} mol/kg, but heats of dilution are tabulated to {end} mol/kg"
            );
            let hint = "the last of them is used from there on: less solid, more liquid, or an \
                        entry of your own with further points";
            warn(b, found, message, hint);
        }
        None if is_far(molality, reaction.state_molality()) => {
            let [m, due] = [molality, reaction.state_molality()].map(short);
            let message = format!(
                "the solution has {m} mol/kg, but the value of `{}` was measured at {due} mol/kg, and no heat of dilution \
                 is tabulated",
                leg.reaction.key
            );
            let hint = "about that much solid for the liquid; the value is used as it is";
            warn(b, found, message, hint);
        }
        None if molality > MUCH => {
            let message = format!(
                "the solution has {} mol/kg, and no heat of dilution is tabulated for `{}`",
                short(molality),
                leg.reaction.key
            );
            let hint = format!(
                "the enthalpy for {} is used as it is: less solid, more liquid, or an entry of \
                 your own with `dilution`",
                leg.reaction.state.trim_start_matches("at ")
            );
            warn(b, found, message, hint);
        }
        _ => {}
    }
}

/// Whether a solution is much stronger or weaker than the one that a value was measured in, if it was in one.
fn is_far(molality: f64, measured: f64) -> bool {
    measured > 0.0 && (molality > FAR * measured || FAR * molality < measured)
}

fn range(b: &mut Builder, room: &Room, leg: &Leg) {
    let Some(reaction) = b.library.reactions.get(&leg.reaction.key) else {
        return;
    };
    let (low, high) = reaction.range;
    let before = room.temperature.0;
    let after = before + leg.nominal_change(room).0;
    let inside = |t: &f64| (low..=high).contains(t);
    if [before, after].iter().all(inside) {
        return;
    }
    let [low, high, before, after] = [low, high, before, after].map(short);
    let message = format!(
        "the tabulated change with temperature is stated from {low} to {high} °C, but a run goes \
         from {before} to {after} °C"
    );
    let found = b.find(&leg.name, "reaction", "use");
    warn(
        b,
        found,
        message,
        "outside it is carried on as a straight line",
    );
}

/// Contents that are taken as alike must be alike.
pub(super) fn contents(b: &mut Builder, room: &Room, lab: &Lab, legs: &[&Leg]) {
    let all: Vec<f64> = legs
        .iter()
        .map(|leg| leg.nominal_contents(room).0)
        .collect();
    let [one, others @ ..] = all.as_slice() else {
        return;
    };
    let apart = others
        .iter()
        .map(|other| ((one - other) / other).abs())
        .fold(0.0, f64::max);
    if lab.contents != Contents::Same || !(apart > ALIKE && apart.is_finite()) {
        return;
    }
    let message = format!(
        "the contents of both kinds of run differ by {:.1} %: taken as alike they bias the result \
         by about as much",
        100.0 * apart
    );
    let found = b.find("", "lab", "contents");
    let hint = "contents = \"swapped\" exchanges them by tabulated heat capacities";
    warn(b, found, message, hint);
}

/// Whether a determination is of the very reaction that calibrates.
pub(super) fn same_reaction(reference: &Leg, leg: &Leg) -> bool {
    let (one, other) = (&leg.reaction, &reference.reaction);
    let alike = one.substance == other.substance && one.equation == other.equation;
    reference.runs > 0 && reference.heat == Heat::Reaction && (one.key == other.key || alike)
}

/// A calibration by the very reaction that is determined finds the value that it started from, whatever is true.
pub(super) fn circular(b: &mut Builder, legs: &[&Leg]) {
    let [reference, others @ ..] = legs else {
        return;
    };
    let Some(leg) = others.iter().find(|leg| same_reaction(reference, leg)) else {
        return;
    };
    let Some(found) = b.find(&leg.name, "reaction", "use") else {
        return;
    };
    let message = format!(
        "`{}` is what calibrates: the result is the tabulated value, whatever is true",
        leg.reaction.key
    );
    let hint = "a check of the handling at best; to find something out, choose another reference";
    b.warn(found, Concern::Circular, message, hint);
}
