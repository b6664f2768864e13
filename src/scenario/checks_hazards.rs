//! What must not be simulated, because nobody must do it.

use super::build::Builder;
use super::chemistry::{Charge, Heat, Supply};
use super::leg::Leg;
use super::problem::{Concern, Problem};
use super::source::SourceId;
use super::wording::short;
use crate::library::{Liquid, Substance};

/// A liquid denser than this that is an acid by its name is a concentrated one, g/mL.
const DENSE: f64 = 1.5;

/// Sulfuric acid stronger than this is no dilute one, mol/L: well below the strength (some 12 mol/L) from which on it takes
/// water out of permanganate.
const STRONG: f64 = 6.0;

/// Alternating voltage from which on touching bare leads is a danger even in dry places, V (IEC 60364-4-41, from memory).
const LOW_VOLTAGE: f64 = 25.0;

/// Warns of a heater that nobody should hold.
pub(super) fn heater(b: &mut Builder, leg: &Leg) {
    let Heat::Electrical(heater) = leg.heat else {
        return;
    };
    let found = b.find(&leg.name, "electrical", "voltage");
    let Some(found) = found.filter(|_| heater.voltage.0 > LOW_VOLTAGE) else {
        return;
    };
    let message = format!(
        "a heater of {} V: above {} V bare leads are a danger to touch",
        short(heater.voltage.0),
        short(LOW_VOLTAGE)
    );
    let hint =
        "low voltage only; local rules, the maker's instructions and a qualified supervisor decide";
    b.warn(found, Concern::Hazard, message, hint);
}

/// Refuses scenarios in which a solid meets a liquid that it must never meet.
pub(super) fn check(b: &mut Builder, legs: &[&Leg]) {
    for leg in legs.iter().filter(|leg| leg.heat == Heat::Reaction) {
        for (substance, liquid, strength) in meetings(b, leg) {
            let Some(danger) = danger(substance, liquid, strength) else {
                continue;
            };
            let stated = match strength > STRONG && liquid.concentration < Some(STRONG) {
                true => format!(", stated as {} mol/L", short(strength)),
                false => String::new(),
            };
            let message = format!(
                "refused: {} must never meet {danger} ({}{stated})",
                substance.title, liquid.title
            );
            let hint = "it can explode; a dilute acid serves, and local rules, the safety data sheet \
                        and a qualified supervisor decide";
            let found = [
                ("charge", "portion_liquid"),
                ("liquid", "use"),
                ("reaction", "use"),
            ]
            .into_iter()
            .find_map(|(site, name)| b.find(&leg.name, site, name));
            let (path, span) = found.map_or((leg.name.clone(), None), |f| (f.path, f.entry.span));
            b.problem(Problem::error(&path, message).hint(hint).at(span));
        }
    }
}

/// Every solid of a leg with every liquid that it may meet, and the strength that is stated for that, mol/L.
fn meetings<'l>(b: &Builder<'l>, leg: &Leg) -> Vec<(&'l Substance, &'l Liquid, f64)> {
    let lib = b.library;
    let mut solids: Vec<&str> = Vec::new();
    if let Some(r) = lib.reactions.get(&leg.reaction.key)
        && !matches!(leg.charge, Charge::Liquid { .. })
    {
        solids.push(&r.substance);
    }
    for reagent in &leg.reagents {
        match &reagent.supply {
            Supply::InStock(s) => solids.push(&s.solid.key),
            Supply::Weighed(w) => solids.push(&w.solid.key),
            Supply::InLiquid { .. } => {}
        }
    }
    let strength = |id: SourceId| leg.binding(id).input.dist.quantile(0.5);
    let mut liquids = vec![(
        leg.liquid.key.as_str(),
        strength(SourceId::LiquidConcentration),
    )];
    let portion = leg.portion.as_ref().map(|p| p.liquid.key.as_str());
    liquids.extend(portion.map(|key| (key, strength(SourceId::PortionConcentration))));
    let mut all = Vec::new();
    for s in solids.iter().filter_map(|key| lib.substances.get(*key)) {
        all.extend(
            liquids
                .iter()
                .filter_map(|(key, strength)| Some((s, lib.liquids.get(*key)?, *strength))),
        );
    }
    all
}

/// What of a substance's list a liquid is: by its entry; or, for an entry of the user's own, by its
/// name, its density and its strength.
fn danger<'s>(substance: &'s Substance, liquid: &Liquid, strength: f64) -> Option<&'s str> {
    let name = format!("{} {}", liquid.key, liquid.title).to_lowercase();
    let sulfuric = ["sulfuric", "sulphuric", "h2so4", "oleum"]
        .iter()
        .any(|w| name.contains(w));
    let strong = ["conc", "oleum", "fuming"].iter().any(|w| name.contains(w))
        || liquid.density.at(25.0) > DENSE
        || strength > STRONG;
    let found = substance.never_with.iter().find(|danger| {
        liquid.is.contains(*danger) || (danger.contains("sulfuric") && sulfuric && strong)
    });
    found.map(String::as_str)
}
