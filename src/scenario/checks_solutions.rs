//! Solutions as a scenario states them against what there is of them.

use super::build::Builder;
use super::chemistry::Supply;
use super::leg::Leg;
use super::model::Room;
use super::problem::Concern;
use super::source::SourceId;
use super::wording::short;

/// A strength that is off by more than this share of the tabulated one is another solution: at 1 mol/L of an acid or a salt a
/// quarter changes the heat capacity by some 1.5 %.
const FAR: f64 = 0.25;

/// Checks of a leg that is complete.
pub(super) fn check(b: &mut Builder, room: &Room, leg: &Leg) {
    let portion = leg.portion.as_ref().map(|p| p.liquid.key.as_str());
    let liquid = Some(leg.liquid.key.as_str());
    for (key, id, site) in [
        (liquid, SourceId::LiquidConcentration, "liquid"),
        (portion, SourceId::PortionConcentration, "charge"),
    ] {
        if let Some(key) = key {
            strength(b, leg, key, (id, site));
        }
    }
    aliquot(b, room, leg);
}

/// Warns of a strength that is not that of the tables.
fn strength(b: &mut Builder, leg: &Leg, key: &str, (id, site): (SourceId, &str)) {
    let stated = leg.binding(id).input.dist.quantile(0.5);
    let entry = b.library.liquids.get(key);
    let Some(tabulated) = entry.and_then(|l| l.concentration) else {
        return;
    };
    let found = b.find(&leg.name, site, "concentration");
    let Some(found) = found.filter(|_| (stated / tabulated - 1.0).abs() > FAR) else {
        return;
    };
    let message = format!(
        "{} mol/L is far from the {} mol/L of `{key}`, whose density and heat capacity are used",
        short(stated),
        short(tabulated)
    );
    let hint = "name a liquid of about that strength, or add one to the scenario";
    b.warn(found, Concern::Strength, message, hint);
}

/// A run cannot take more of a stock than there is.
fn aliquot(b: &mut Builder, room: &Room, leg: &Leg) {
    let stocks = leg.reagents.iter().filter_map(|r| match &r.supply {
        Supply::InStock(stock) => Some(stock.volume.0),
        _ => None,
    });
    let taken = leg.nominal_volume(room).0;
    let Some(least) = stocks.filter(|v| *v < taken).reduce(f64::min) else {
        return;
    };
    let Some(found) = b.find(&leg.name, "stock", "volume") else {
        return;
    };
    let message = format!(
        "a run takes {} mL of the stock, of which there are {} mL",
        short(taken),
        short(least)
    );
    b.refuse(found, message, "more stock, or less liquid in a run");
}
