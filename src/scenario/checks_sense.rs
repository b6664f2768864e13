//! Physical sense of a typical run and of its corners: the lightest and heaviest mass, a vessel of little or much heat
//! capacity. What is looked at needs no trial; what trials show is counted in `forecast`.

use super::build::Builder;
use super::checks::amount;
use super::chemistry::{Charge, Heat};
use super::leg::Leg;
use super::model::{Room, Scenario};
use super::problem::{Concern, Problem};
use super::source::SourceId;
use super::wording::short;
use crate::random::Dist;
use crate::random::elementary::exp;

/// Below the first a dilute solution freezes, above the second it boils, °C.
const LIQUID: [f64; 2] = [0.0, 100.0];

/// Below the first no aqueous solution of a teaching laboratory is liquid, above the second none, °C.
const EVER: [f64; 2] = [-20.0, 110.0];

/// Share of a mass that its weighing may be uncertain by before it is asked about.
const BLURRED: f64 = 0.1;

/// Share of an enthalpy that a medium may shift it by before it is asked about.
const SHIFTED: f64 = 0.5;

/// A solution this many times as strong as the one that a value is for is another one.
const STRONGER: f64 = 5.0;

/// Checks of a leg that is complete.
pub(super) fn check(b: &mut Builder, room: &Room, leg: &Leg) {
    reached(b, room, leg);
    leaking(b, leg);
    beside(b, room, leg);
    if leg.heat == Heat::Reaction {
        weighing(b, leg);
        reagents(b, leg);
        medium(b, leg);
        assumed(b, leg);
        restated(b, leg);
    }
}

/// The largest magnitude that a distribution typically has.
fn magnitude(dist: &Dist) -> f64 {
    dist.quantile(0.975).abs().max(dist.quantile(0.025).abs())
}

/// The temperature that a run reaches.
fn reached(b: &mut Builder, room: &Room, leg: &Leg) {
    let before = room.temperature.0;
    let corners = [leg.clone(), leg.lightest(), leg.heaviest()];
    let ends = corners
        .iter()
        .flat_map(|l| [0.025, 0.5, 0.975].map(|p| before + l.nominal_change_at(room, p).0));
    let outside = |t: f64, [low, high]: [f64; 2]| (low - t).max(t - high);
    let worst = ends.max_by(|a, c| outside(*a, LIQUID).total_cmp(&outside(*c, LIQUID)));
    let Some(after) = worst.filter(|t| t.is_nan() || outside(*t, LIQUID) > 0.0) else {
        return;
    };
    let Some(found) = amount(b, leg) else { return };
    let what = if after < LIQUID[0] {
        "freezes"
    } else {
        "boils"
    };
    let [before, reached] = [before, after].map(short);
    let message = format!("a run goes from {before} to {reached} °C, where its solution {what}");
    let hint = "less solid, more liquid; or a number with a slipped power of ten in the entry of the reaction";
    if outside(after, EVER) > 0.0 || after.is_nan() {
        b.refuse(found, message, hint);
    } else {
        b.warn(found, Concern::Phase, message, hint);
    }
}

/// Share of a change of temperature that may be gone before it is read, in units of the leak's time.
const GONE: f64 = 0.3;

/// A vessel must hold its temperature until it is read.
fn leaking(b: &mut Builder, leg: &Leg) {
    let leak = leg.binding(SourceId::Leak).input.dist.quantile(0.5);
    let read = leg.read_from().0;
    let Some(found) = b
        .find(&leg.name, "vessel", "leak")
        .filter(|_| leak * read > GONE)
    else {
        return;
    };
    let gone = short((100.0 * (1.0 - exp(-leak * read))).round());
    let message = format!(
        "{gone} % of the change of temperature is gone when readings begin to count, at {} s",
        short(read)
    );
    let hint = "a better vessel, or read sooner; straight lines do not follow such a curve";
    b.warn(found, None, message, hint);
}

/// Share of a run's heat that comes from beside the reaction and is asked about.
const BESIDE: f64 = 0.2;

/// Heat beside that of the reaction is a correction, no main part.
fn beside(b: &mut Builder, room: &Room, leg: &Leg) {
    let own = leg.nominal_heat(room).0.abs();
    for id in [SourceId::SideDilution, SourceId::SideWetting] {
        let source = id.source();
        let most = magnitude(&leg.binding(id).input.dist);
        let found = b.find(&leg.name, source.site(), source.name());
        let Some(found) = found.filter(|_| most > BESIDE * own) else {
            continue;
        };
        let [most, own] = [most, own].map(short);
        let message = format!("{most} J beside the {own} J of the run itself: is that meant?");
        let hint = "heat of the reaction itself belongs to its enthalpy";
        b.warn(found, None, message, hint);
    }
}

/// A balance must be able to weigh the charge.
fn weighing(b: &mut Builder, leg: &Leg) {
    if matches!(leg.charge, Charge::Liquid { .. }) {
        return;
    }
    let u = |id: SourceId| leg.binding(id).input.dist.standard_uncertainty();
    let digit = leg.binding(SourceId::Readability).input.dist.mean() / 12f64.sqrt();
    let one = u(SourceId::Repeatability)
        .hypot(u(SourceId::Linearity))
        .hypot(digit);
    let both = one * std::f64::consts::SQRT_2;
    let Some(found) = b.find(&leg.name, "charge", "mass") else {
        return;
    };
    if both <= BLURRED * leg.mass.0 {
        return;
    }
    let [u, mass] = [both, leg.mass.0].map(short);
    let message = format!("the balance weighs {mass} g with a standard uncertainty of {u} g");
    let hint = "a finer balance, or more solid";
    b.warn(found, None, message, hint);
}

/// What the reaction needs and nobody states.
fn reagents(b: &mut Builder, leg: &Leg) {
    let Some(reaction) = b.library.reactions.get(&leg.reaction.key) else {
        return;
    };
    let known = |name: &String| leg.reagents.iter().any(|r| &r.name == name);
    let lacking: Vec<String> = (reaction.others.iter())
        .filter(|o| !o.plenty && !known(&o.name))
        .map(|o| format!("`{}`", o.name))
        .collect();
    let Some(found) = b
        .find(&leg.name, "reaction", "use")
        .filter(|_| !lacking.is_empty())
    else {
        return;
    };
    let message = format!(
        "nothing says how much {} there is: it is taken as enough",
        lacking.join(" and ")
    );
    let hint = format!(
        "state the [{0}.stock] it comes from, [{0}.reactant.NAME], or a liquid that has it",
        leg.name
    );
    b.warn(found, Concern::Excess, message, &hint);
}

/// Whether the liquid is the one that the tabulated enthalpy is for, and of about the strength.
fn medium(b: &mut Builder, leg: &Leg) {
    let lib = b.library;
    let Some(reaction) = lib.reactions.get(&leg.reaction.key) else {
        return;
    };
    if reaction.shifted_by_medium && b.find(&leg.name, "reaction", "medium_shift").is_none() {
        let table = format!("{}.reaction", leg.name);
        let span = b.doc.tables.get(&table).cloned();
        let message = format!(
            "the medium shifts the enthalpy of `{}`, which is one at infinite dilution, by up to tens of per cent",
            reaction.key
        );
        let hint = "state how far it may be off: `medium_shift = \"0 kJ/mol, u = 60 kJ/mol\"`";
        let path = format!("{table}.medium_shift");
        b.problem(Problem::warning(&path, message).hint(hint).at(span));
    }
    let most = magnitude(&leg.binding(SourceId::MediumShift).input.dist);
    let whole = leg.charge_enthalpy().0.abs();
    if let Some(found) = b
        .find(&leg.name, "reaction", "medium_shift")
        .filter(|_| most > SHIFTED * whole)
    {
        let [most, whole] = [most, whole].map(|x| short(x / 1e3));
        let message =
            format!("{most} kJ/mol beside the {whole} kJ/mol of the reaction: is that meant?");
        let hint =
            "per mole of the charge; a medium shifts an enthalpy by tens of per cent at most";
        b.warn(found, None, message, hint);
    }
    let strength = |key: &str| lib.liquids.get(key).and_then(|l| l.concentration);
    let Some(due) = strength(&reaction.medium) else {
        return;
    };
    let there = strength(&leg.liquid.key).unwrap_or(0.0);
    let times = (there / due).max(due / there);
    let Some(found) = b
        .find(&leg.name, "liquid", "use")
        .filter(|_| times >= STRONGER)
    else {
        return;
    };
    let message = format!(
        "`{}` has {} mol/L, but the enthalpy of `{}` is for `{}` with {} mol/L",
        leg.liquid.key,
        short(there),
        reaction.key,
        reaction.medium,
        short(due)
    );
    let hint = "the liquid of the reaction is used if none is named";
    b.warn(found, Concern::Strength, message, hint);
}

/// What is not known of the reaction, and the default that is used.
fn assumed(b: &mut Builder, leg: &Leg) {
    let Some(reaction) = b.library.reactions.get(&leg.reaction.key) else {
        return;
    };
    for (field, key, fact) in [
        ("slope", "slope", &reaction.slope),
        ("solute_cp", "solute_heat_capacity", &reaction.solute_cp),
    ] {
        if !reaction.assumed.contains(&field) || b.find(&leg.name, "reaction", key).is_some() {
            continue;
        }
        let Some(found) = b.find(&leg.name, "reaction", "use") else {
            return;
        };
        let message = format!(
            "`{field}` of `{}` is not known: {} is used",
            reaction.key, fact.text
        );
        let hint = format!("state it in the entry, or as `{key}` in the leg's reaction");
        b.warn(found, None, message, &hint);
    }
}

/// Part of a tabulated enthalpy that a scenario may say otherwise, and be uncertain by, before it is asked about.
const OTHERWISE: f64 = 0.2;

/// An enthalpy that a scenario states for a reaction of the library must be about that of the library.
fn restated(b: &mut Builder, leg: &Leg) {
    let Some(reaction) = b.library.reactions.get(&leg.reaction.key) else {
        return;
    };
    let tabulated = reaction.enthalpy.value;
    let [own, u] = [leg.reaction.enthalpy.0, leg.reaction.enthalpy_u.0];
    let apart = (own / tabulated - 1.0).abs() > OTHERWISE;
    let found = b.find(&leg.name, "reaction", "enthalpy");
    let Some(found) = found.filter(|_| apart || u > OTHERWISE * own.abs()) else {
        return;
    };
    let [own, u, tabulated] = [own, u, tabulated].map(|x| short(x / 1e3));
    let message = format!(
        "{own} kJ/mol with u = {u} kJ/mol, where the library has {tabulated} kJ/mol for `{}`",
        leg.reaction.key
    );
    let hint = "check sign, power of ten and uncertainty; it is simulated as stated";
    b.warn(found, None, message, hint);
}

/// What a session takes against how long it is.
pub(super) fn session(b: &mut Builder, s: &Scenario) {
    let Some(session) = s.times.session else {
        return;
    };
    let mut taken = s.times.set_up.map_or(0.0, |t| t.0);
    for leg in s.legs() {
        let stated = s.times.run[usize::from(leg.place > 0)].map(|t| t.0);
        taken += f64::from(leg.runs) * stated.unwrap_or_else(|| leg.nominal_length().0);
    }
    let Some(found) = b.find("", "times", "session").filter(|_| taken > session.0) else {
        return;
    };
    let [taken, session] = [taken, session.0].map(|t| short(t / 60.0));
    let message = format!("the runs take {taken} min, and the session has {session} min");
    let hint = "fewer runs, or a longer session; nothing of it changes a result";
    b.warn(found, None, message, hint);
}
