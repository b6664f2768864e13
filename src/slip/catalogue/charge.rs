//! Mistakes with what is weighed, and with what becomes of it.

use super::super::acts::{Act, add};
use super::super::size::{Size, Unit};
use super::*;
use crate::lab::{AmountBy, Entry};
use crate::quantity::GramPerMole;
use crate::scenario::{MassUsed, Per};
use SourceId as S;

/// Molar mass of water, g/mol (IUPAC abridged standard atomic weights).
const WATER: f64 = 18.015;

mistakes! {
    MISTAKES:
    "undissolved", "solid left undissolved (% of it)"; Size::percent(2.0, 0.2, 10.0), EACH, solid,
        Act::Happens(|leg, x| leg.let_be(S::Leftover, x));
        "less reacts than is computed with; what has become of it may have a heat of its own";
        "look at the bottom of the vessel before you empty it: costs nothing";
    "spilt-after", "solid spilt after weighing (% of it)"; Size::percent(2.0, 0.2, 10.0), EACH, solid,
        Act::Happens(|leg, x| leg.let_be(S::Spill, of_mass(leg, x)));
        "less reaches the vessel than the balance said";
        "look around the opening; weigh the boat back: a minute";
    "spilt-before", "solid spilt before weighing (% of it)"; Size::percent(2.0, 0.2, 20.0), EACH, solid,
        Act::Happens(|leg, x| {
            let window = &mut leg.bindings[S::Window as usize].input;
            window.dist = window.dist.shifted(-leg.mass.0 * x);
        });
        "the balance says what is left, so nothing is wrong but the change of temperature is smaller";
        "none is needed";
    "in-the-boat", "solid left in the weighing boat (% of it)"; Size::percent(1.0, 0.1, 5.0), EACH, solid,
        Act::Happens(|leg, x| leg.let_be(S::TransferLoss, of_mass(leg, x)));
        "less reaches the vessel than the balance said";
        "weigh the boat back: a minute";
    "damp", "solid not dried (% of water in it)"; Size::percent(1.0, 0.1, 5.0), EACH,
        |s, leg| solid(s, leg) && !hydrate(s, leg),
        Act::Happens(|leg, x| {
            let label = leg.label_purity;
            leg.let_be(S::Purity, label * (1.0 - x));
        });
        "less of the substance in a gram than computed with";
        "dry a part to constant mass: an hour in the oven";
    "effloresced", "hydrate that has lost water (% of its mass)"; Size::percent(2.0, 0.2, 10.0), EACH, hydrate,
        Act::Happens(|leg, x| leg.let_be(S::WaterLost, x));
        "more of the salt in a gram, and part of it dissolves as the anhydrous salt, with that one's heat";
        "dry a part to constant mass, or take a fresh bottle: an hour";
    "hydrate-formula", "molar mass of the wrong hydrate used"; Size::NONE, EACH, formula_has_another,
        Act::LookedUp(|tables, leg| {
            match (&mut tables.named, leg.per) {
                (Some(AmountBy::Stock { molar_mass, .. } | AmountBy::Weighed { molar_mass, .. }), Per::Reagent(at)) => {
                    molar_mass.0 -= WATER * waters(leg, at);
                }
                _ => tables.molar_mass = GramPerMole(other_formula(leg)),
            }
        });
        "the amount computed from the mass";
        "read the label again: costs nothing";
    "mass-misread", "a mass written down too large"; Size::of_mass([0.05, 0.002, 0.2]).both_ways(), EACH, mass_is_noted,
        Act::Noted(|page, leg, x| add(page, weighed(leg), x));
        "the amount computed from the mass";
        "compare with the target mass and with the other runs: costs nothing";
    "not-zeroed", "balance not zeroed before the gross mass"; Size::of(Unit::Gram, [0.02, 0.002, 0.2]).both_ways(), EACH,
        mass_is_noted,
        Act::Noted(|page, leg, x| add(page, weighed(leg), x));
        "all masses are off by the same, small ones by more per cent";
        "look at the empty balance after the last weighing: costs nothing";
    "held-back", "charge not released whole (% that stays back)"; Size::percent(10.0, 1.0, 50.0), EACH,
        |s, leg| solid(s, leg) && (matches!(leg.charge, Charge::Beforehand { .. }) || leg.incomplete_release > 0.0),
        Act::Happens(|leg, x| {
            leg.incomplete_release = 1.0;
            leg.let_be(S::Release, 1.0);
            leg.let_be(S::HeldBack, x);
        });
        "less reacts than is computed with, and its liquid is missing too";
        "open the holder and look after the run: a minute";
    "unfinished", "reaction slower than usual (times)"; Size::of(Unit::Times, [4.0, 1.5, 20.0]), EACH, slow,
        Act::Happens(|leg, x| times(leg, S::DissolvingTime, x));
        "heat still comes when the line behind has begun, or after the last reading";
        "look at the line behind: it must be straight; wait longer: some minutes a run";
    "oxidised", "stock partly oxidised by air (% of it)"; Size::percent(2.0, 0.2, 20.0), EACH, stock,
        Act::Happens(|leg, x| in_stocks(leg, S::Oxidised, |_| x));
        "less of the reagent in an aliquot than computed with";
        "prepare it fresh, or titrate an aliquot: half an hour";
    "stock-dry", "solid of the stock had lost water (% of its mass)"; Size::percent(2.0, 0.2, 10.0), EACH,
        |s, leg| stock(s, leg) && of_stocks(leg, |stock| stock.solid.waters > 0.0),
        Act::Happens(|leg, x| in_stocks(leg, S::StockWaterLost, |_| x));
        "more of the reagent in an aliquot than computed with";
        "take a fresh bottle, or titrate an aliquot: half an hour";
}

/// Whether the lab writes down a mass that it computes with.
fn mass_is_noted(s: &Scenario, leg: &Leg) -> bool {
    let noted = match weighed(leg) {
        Entry::Solid => leg.mass.0 > 0.0 && s.lab.mass == MassUsed::Recorded,
        _ => true,
    };
    any(s, leg) && leg.heat == Heat::Reaction && noted && leg.reaction.molar_mass.0 > 0.0
}

/// The mass that the amount of the result is computed from.
fn weighed(leg: &Leg) -> Entry {
    match crate::experiment::reagent_density(leg) {
        Some(_) => Entry::Reagent,
        None => Entry::Solid,
    }
}

fn of_stocks(leg: &Leg, is: impl Fn(&crate::scenario::Stock) -> bool) -> bool {
    leg.reagents.iter().any(|r| match &r.supply {
        Supply::InStock(stock) => is(stock),
        _ => false,
    })
}

/// Lets a source of all stocks be what it is in none of them.
pub(super) fn in_stocks(leg: &mut Leg, id: S, value: impl Fn(&crate::scenario::Stock) -> f64) {
    for reagent in &mut leg.reagents {
        if let Supply::InStock(stock) = &mut reagent.supply {
            let value = value(stock);
            stock.bindings[id as usize].input.dist = crate::random::Dist::constant(value);
        }
    }
}

/// Whether what is computed from a mass is a hydrate, or has one.
fn formula_has_another(s: &Scenario, leg: &Leg) -> bool {
    match leg.per {
        Per::Charge => solid(s, leg) && other_formula(leg) != leg.reaction.molar_mass.0,
        Per::Reagent(at) => any(s, leg) && waters(leg, at) > 0.0,
    }
}

/// Molar mass of the charge without its water, or of its hydrate.
fn other_formula(leg: &Leg) -> f64 {
    let own = leg.reaction.molar_mass.0;
    match leg.reaction.hydrate {
        Some(hydrate) => own * hydrate.mass_ratio,
        None => own - WATER * leg.reaction.waters,
    }
}

/// Water of crystallisation of a further reagent.
fn waters(leg: &Leg, at: usize) -> f64 {
    match &leg.reagents[at].supply {
        Supply::InStock(stock) => stock.solid.waters,
        Supply::Weighed(w) => w.solid.waters,
        Supply::InLiquid { .. } => 0.0,
    }
}
