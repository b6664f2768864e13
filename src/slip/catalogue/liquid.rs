//! Mistakes with liquids and what measures them out.

use super::super::acts::Act;
use super::super::size::{Size, Unit};
use super::charge::in_stocks;
use super::*;
use crate::random::Dist;
use crate::scenario::LiquidBy;
use SourceId as S;

/// Nominal volumes of one-mark pipettes and flasks, mL (ISO 648, ISO 1042).
const NOMINAL: [f64; 13] = [
    0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 25.0, 50.0, 100.0, 200.0, 250.0, 500.0, 1000.0,
];

mistakes! {
    MISTAKES:
    "wet-vessel", "rinse water left in the vessel"; Size::of_volume([0.01, 0.001, 0.05]), EACH, any,
        Act::Happens(|leg, x| leg.let_be(S::Rinse, x));
        "more heat capacity than is counted: the change of temperature is smaller";
        "weigh the vessel before filling, or dry it: a minute a run";
    "liquid-short", "liquid short: spilt, not drained, misread"; Size::of_volume([0.01, 0.001, 0.1]).both_ways(), EACH, any,
        Act::Happens(|leg, x| leg.let_be(S::Shortfall, x));
        "less heat capacity than is counted, and less of a reagent that is dissolved in it";
        "weigh the vessel after filling: a minute a run";
    "filling-forgotten", "one filling of the pipette forgotten"; Size::NONE, EACH, filled_often,
        Act::Happens(|leg, _| {
            let filling = filling(leg);
            leg.let_be(S::Shortfall, filling);
        });
        "less heat capacity than is counted, and less of a reagent that is dissolved in it";
        "mark each filling on paper; look at the level: costs nothing";
    "smaller-pipette", "one filling with the next smaller pipette"; Size::NONE, EACH, has_smaller,
        Act::Happens(|leg, _| {
            let filling = filling(leg);
            leg.let_be(S::Shortfall, filling - next_smaller(filling).unwrap_or(filling));
        });
        "less heat capacity than is counted, and less of a reagent that is dissolved in it";
        "read the mark on the pipette; look at the level: costs nothing";
    "smaller-flask", "stock made up in the next smaller flask"; Size::NONE, EACH,
        |s, leg| stock(s, leg) && flasks(leg).all(|v| next_smaller(v).is_some()),
        Act::Happens(|leg, _| {
            in_stocks(leg, S::Tolerance, |stock| next_smaller(stock.volume.0).unwrap_or(stock.volume.0) - stock.volume.0);
        });
        "more of the reagent in an aliquot than computed with";
        "read the mark on the flask: costs nothing";
    "portion-short", "portion short (% of it)"; Size::percent(2.0, 0.2, 20.0).both_ways(), EACH, portion,
        Act::Happens(|leg, x| {
            let volume = leg.portion_volume().0;
            if let Some(portion) = &mut leg.portion {
                let fillings = f64::from(portion.by.fillings().max(1));
                portion.bindings[S::Tolerance as usize].input.dist = Dist::constant(-x * volume / fillings);
            }
        });
        "less of what the portion holds, and less heat capacity than is counted";
        "weigh the portion: a minute a run";
    "portion-warm", "portion warmer than the vessel"; Size::of(Unit::Kelvin, [0.5, 0.05, 5.0]).both_ways(), EACH, portion,
        Act::Happens(|leg, x| leg.let_be(S::StartDifference, x));
        "heat that the portion brings along";
        "measure its temperature before the release: a minute a run";
    "weak-portion", "reagent of the portion weaker than its label (%)"; Size::percent(2.0, 0.2, 20.0), EACH,
        reagent_portion,
        Act::Happens(|leg, x| times(leg, S::PortionConcentration, 1.0 - x));
        "less reacts than computed with, if it is what limits";
        "titrate it: half an hour";
    "weak-acid", "reagent in the vessel weaker than its label (%)"; Size::percent(20.0, 1.0, 60.0), EACH,
        reagent_liquid,
        Act::Happens(|leg, x| {
            for reagent in &mut leg.reagents {
                if let Supply::InLiquid { binding, .. } = &mut reagent.supply {
                    binding.input.dist = binding.input.dist.scaled(1.0 - x);
                }
            }
        });
        "nothing while it is in excess; less reacts where it runs out";
        "titrate it, or test the solution after the run: some minutes";
}

/// Volume of one filling of what measures the vessel's liquid out.
fn filling(leg: &Leg) -> f64 {
    match leg.liquid_by {
        LiquidBy::Volume {
            nominal, fillings, ..
        } => nominal.0 / f64::from(fillings.max(1)),
        LiquidBy::Weighed { .. } => 0.0,
    }
}

fn filled_often(s: &Scenario, leg: &Leg) -> bool {
    any(s, leg) && leg.liquid_by.fillings() > 1
}

fn has_smaller(s: &Scenario, leg: &Leg) -> bool {
    any(s, leg) && leg.liquid_by.fillings() > 0 && next_smaller(filling(leg)).is_some()
}

fn next_smaller(volume: f64) -> Option<f64> {
    let at = NOMINAL.iter().position(|v| (v - volume).abs() < 1e-9)?;
    at.checked_sub(1).map(|smaller| NOMINAL[smaller])
}

fn flasks(leg: &Leg) -> impl Iterator<Item = f64> {
    leg.reagents.iter().filter_map(|r| match &r.supply {
        Supply::InStock(stock) => Some(stock.volume.0),
        _ => None,
    })
}
