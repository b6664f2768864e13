//! What must not be simulated, because nobody must do it.

use super::build::Builder;
use super::chemistry::{Charge, Heat, Supply};
use super::leg::Leg;
use super::problem::Problem;
use crate::library::{Liquid, Substance};

/// A liquid denser than this that is an acid by its name is a concentrated one, g/mL.
const DENSE: f64 = 1.5;

/// Refuses scenarios in which a solid meets a liquid that it must never meet.
pub(super) fn check(b: &mut Builder, legs: &[&Leg]) {
    for leg in legs.iter().filter(|leg| leg.heat == Heat::Reaction) {
        for (substance, liquid) in meetings(b, leg) {
            let Some(danger) = danger(substance, liquid) else {
                continue;
            };
            let message = format!(
                "refused: {} must never meet {danger} ({})",
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

/// Every solid of a leg with every liquid that it may meet.
fn meetings<'l>(b: &Builder<'l>, leg: &Leg) -> Vec<(&'l Substance, &'l Liquid)> {
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
    let mut liquids = vec![leg.liquid.key.as_str()];
    liquids.extend(leg.portion.as_ref().map(|p| p.liquid.key.as_str()));
    let mut all = Vec::new();
    for s in solids.iter().filter_map(|key| lib.substances.get(*key)) {
        all.extend(
            liquids
                .iter()
                .filter_map(|key| Some((s, lib.liquids.get(*key)?))),
        );
    }
    all
}

/// What of a substance's list a liquid is: by its entry; or, for an entry of the user's own, by its
/// name and its density.
fn danger<'s>(substance: &'s Substance, liquid: &Liquid) -> Option<&'s str> {
    let name = format!("{} {}", liquid.key, liquid.title).to_lowercase();
    let sulfuric = ["sulfuric", "sulphuric", "h2so4", "oleum"]
        .iter()
        .any(|w| name.contains(w));
    let strong = ["conc", "oleum", "fuming"].iter().any(|w| name.contains(w))
        || liquid.density.at(25.0) > DENSE;
    let found = substance.never_with.iter().find(|danger| {
        liquid.is.contains(*danger) || (danger.contains("sulfuric") && sulfuric && strong)
    });
    found.map(String::as_str)
}
