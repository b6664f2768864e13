//! The same procedure with another reaction on one side: mass, window and liquid go along.
//!
//! The mass of the new charge is that at which the temperature changes by as much as before, so that the
//! thermometer has the same task; only then is a comparison one of reactions and not of sizes.

use super::bounds::{Bound, OutOfBounds, cap, refused};
use super::compare::Contender;
use super::compare_mass::{figures, mass_for, next_below};
use super::parameter::{Parameter, changes};
use crate::library::{Kind, Library, LibraryError, Reaction};
use crate::scenario::{Charge, Heat, Leg, Raw, Room, Scenario, SourceId, Supply, library_of};

/// Which reaction is exchanged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// That of the calibration.
    Reference,
    /// That of the determination.
    Unknown,
}

/// The mass is looked for from this share of an estimate on: there nothing is too much to dissolve.
const SMALL: f64 = 0.01;

/// What a leg may state of its old substance, its old reaction or the mixture of both.
const OF_THE_OLD: [&str; 10] = [
    "reaction.enthalpy",
    "reaction.slope",
    "reaction.solute_heat_capacity",
    "reaction.per",
    "reaction.medium_shift",
    "charge.purity",
    "charge.label_purity",
    "charge.water_lost",
    "side.dilution",
    "side.wetting",
];

/// What it may state of its old liquid.
const OF_ITS_LIQUID: [&str; 2] = ["liquid.concentration", "liquid.heat_capacity_error"];

/// The library of a scenario with its own entries, which are good if it has been read.
fn own_library(scenario: &Scenario) -> Library {
    library_of(&scenario.text, &scenario.library)
        .unwrap_or_else(|_| scenario.library.as_ref().clone())
}

/// Keys of the reactions that are recommended as references, but the one in use.
pub fn other_references(scenario: &Scenario) -> Vec<String> {
    let library = own_library(scenario);
    let own = &scenario.calibration.reaction.key;
    let others = library.reactions.values();
    others
        .filter(|r| r.reference && r.key != *own)
        .map(|r| r.key.clone())
        .collect()
}

/// A scenario with the reaction of one side exchanged; where that cannot be, the contender says why.
///
/// # Errors
/// If no reaction has this key.
pub fn exchange(scenario: &Scenario, side: Side, key: &str) -> Result<Contender, LibraryError> {
    let library = own_library(scenario);
    let unknown = |_| LibraryError::UnknownKey {
        kind: Kind::Reaction,
        key: key.to_owned(),
        nearest: library.nearest(Kind::Reaction, key),
    };
    let reaction = library.reaction(key).map_err(unknown)?;
    let (leg, verb, name) = match side {
        Side::Reference => (&scenario.calibration, "calibrated by", format!("by {key}")),
        Side::Unknown => (&scenario.determination, "determining", format!("of {key}")),
    };
    let title = format!("A, {verb} {}", reaction.title);
    let substance = library.substances.get(&reaction.substance);
    let molar_mass = substance.map_or(f64::NAN, |s| s.molar_mass.value);
    let (what, scenario) = match exchanged(scenario, leg, reaction, molar_mass) {
        Ok((changed, how)) => (format!("{title}: {how}"), Ok(changed)),
        Err(zone) => (title, Err(zone)),
    };
    Ok(Contender {
        name,
        what,
        derived: true,
        scenario,
    })
}

fn impossible(leg: &Leg, words: String) -> OutOfBounds {
    OutOfBounds {
        bound: Bound::Impossible,
        leg: leg.name.clone(),
        words,
    }
}

/// Why the reaction of a leg cannot simply be exchanged, if so.
fn tied(scenario: &Scenario, leg: &Leg) -> Option<String> {
    let other = leg.reagents.iter().find(|r| {
        !matches!(
            r.supply,
            Supply::InLiquid {
                source: SourceId::LiquidConcentration,
                ..
            }
        )
    });
    let title = leg.title();
    if leg.runs == 0 || leg.heat != Heat::Reaction {
        Some(format!("no reaction makes the heat of the {title}"))
    } else if !leg.calibrates() && scenario.is_cycle() {
        Some("the determination is part of a cycle, whose sum belongs to its reactions".to_owned())
    } else if leg.charge != Charge::Dropped {
        Some(format!(
            "the charge of the {title} is not simply dropped in; write the exchange out in a scenario of its own"
        ))
    } else {
        other.map(|r| {
            format!(
                "what the {title} states of `{}` belongs to its present reaction; write the exchange out in a \
                 scenario of its own",
                r.name
            )
        })
    }
}

/// The changed scenario, and in words what was changed besides the reaction.
fn exchanged(
    scenario: &Scenario,
    leg: &Leg,
    reaction: &Reaction,
    molar_mass: f64,
) -> Result<(Scenario, String), OutOfBounds> {
    if let Some(why) = tied(scenario, leg) {
        return Err(impossible(leg, why));
    }
    if reaction.in_solution {
        // A solid dropped in would be another reaction, with the heat of its dissolving.
        let words = format!(
            "`{}` starts from a substance in solution, and the charge of the {} is a solid; write the exchange out in a \
             scenario of its own",
            reaction.key,
            leg.title()
        );
        return Err(impossible(leg, words));
    }
    let room = &scenario.room;
    let due = leg.nominal_change(room).0.abs();
    let (set, dropped) = replaced(scenario, leg, reaction);
    let path = format!("{}.charge.mass", leg.name);
    let parameter = Parameter::of(scenario, &path).map_err(|e| impossible(leg, e.to_string()))?;
    let read = |mass: f64| {
        let all = [set.as_slice(), &changes(scenario, &[(&parameter, mass)])].concat();
        scenario.changed(&all).map_err(|p| refused(&p))
    };
    let enthalpy =
        reaction.enthalpy.value + reaction.slope.value * (room.temperature.0 - reaction.at);
    let guess = SMALL * leg.nominal_heat(room).0.abs() / enthalpy.abs() * molar_mass;
    if !(1e-9..1e6).contains(&guess) {
        let words = format!("`{}` gives no heat to speak of", reaction.key);
        return Err(impossible(leg, words));
    }
    let tried = read(guess)?;
    let new = same_leg(&tried, leg);
    missing(new, reaction)?;
    let Some(mass) = mass_for(new, room, due) else {
        return Err(OutOfBounds {
            bound: Bound::Excess,
            leg: leg.name.clone(),
            words: format!(
                "no mass of it changes the temperature of the {} by {} K: what should be in excess runs out \
                 before",
                leg.title(),
                figures(due, 3)
            ),
        });
    };
    let (cap, mut mass) = (cap(scenario), figures(mass, 3));
    let mut changed = read(mass)?;
    // Rounding must not lift the heaviest mass of the window above the cap.
    while same_leg(&changed, leg).largest_change(room).0 > cap * (1.0 + 1e-12) {
        mass = next_below(mass);
        changed = read(mass)?;
    }
    let how = words(
        leg,
        same_leg(&changed, leg),
        room,
        &dropped,
        scenario.calibration.runs == 0,
    );
    Ok((changed, how))
}

/// Keys that are set or taken back with the reaction, but for the mass; and which of them the scenario states.
fn replaced(
    scenario: &Scenario,
    leg: &Leg,
    reaction: &Reaction,
) -> (Vec<(String, Raw)>, Vec<&'static str>) {
    let key = |tail: &str| format!("{}.{tail}", leg.name);
    let mut set = vec![(key("reaction.use"), Raw::Text(reaction.key.clone()))];
    let mut old = OF_THE_OLD.to_vec();
    if leg.liquid.key != reaction.medium {
        set.push((key("liquid.use"), Raw::Text(reaction.medium.clone())));
        old.extend(OF_ITS_LIQUID);
    }
    let stated = scenario.document().entries;
    old.retain(|tail| stated.contains_key(&key(tail)));
    set.extend(old.iter().map(|tail| (key(tail), Raw::Unsaid)));
    (set, old)
}

/// The leg of that name in a changed scenario.
fn same_leg<'s>(scenario: &'s Scenario, leg: &Leg) -> &'s Leg {
    if leg.calibrates() {
        &scenario.calibration
    } else {
        &scenario.determination
    }
}

/// A reagent that the library's liquid does not bring along makes the reaction impossible.
fn missing(leg: &Leg, reaction: &Reaction) -> Result<(), OutOfBounds> {
    let lacks = |name: &str| !leg.reagents.iter().any(|r| r.name == name);
    let Some(other) = reaction.others.iter().find(|o| lacks(&o.name)) else {
        return Ok(());
    };
    Err(impossible(
        leg,
        format!(
            "`{}` needs `{}` too, and nothing says how much of it there is",
            reaction.key, other.name
        ),
    ))
}

/// What was done besides the exchange.
fn words(old: &Leg, new: &Leg, room: &Room, dropped: &[&str], uncalibrated: bool) -> String {
    let [before, after] = [old, new].map(|leg| leg.nominal_change(room).0);
    let way = match (before > 0.0, after > 0.0) {
        (true, false) => ", falling instead of rising",
        (false, true) => ", rising instead of falling",
        _ => "",
    };
    let mut out = format!(
        "{} g in place of {} g, so that the temperature nominally changes by {:.3} K as before{way}",
        new.mass.0,
        old.mass.0,
        after.abs()
    );
    if !new.binding(SourceId::Window).input.is_exact() {
        out.push_str("; its window in proportion");
    }
    if new.liquid.key != old.liquid.key {
        out.push_str(&format!(
            "; in {} instead of {}",
            new.liquid.title, old.liquid.title
        ));
    }
    if !dropped.is_empty() {
        out.push_str(&format!("; {} by the library", dropped.join(", ")));
    }
    if uncalibrated {
        out.push_str("; the heat capacity of the vessel as it was assumed");
    }
    out.push_str("; dissolving and handling as stated for the old charge");
    out
}
