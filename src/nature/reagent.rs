//! Amounts of the reagents that the charge meets.
//!
//! In the liquid of the vessel at concentration c: n = c V, with V the true volume.
//! In an aliquot V of a stock: n = N V / V_f, N = m p (1 - x) / (M (1 - w)),
//!   with mass m and purity p of the solid, share x reacted in storage, share w of its mass lost as
//!   water before it was weighed (a gram then holds more of the salt), and the true volume V_f of the
//!   flask, V_f = V_nom (1 + alpha (t - 20 °C)) + delta + eps.
//! Weighed on its own: n = m p / M.
//!
//! A hydrate's lost water changes the heat of a mole only if the solid itself dissolves in the vessel
//! ([`salt`]).

use super::deliver;
use super::share::{shares, shares_but_not_all};
use super::weigh::{Place, Rounding, by_difference};
use crate::quantity::{Celsius, Gram, GramPerMole, Millilitre, Mole, MolePerLitre};
use crate::random::{Column, Draws};
use crate::scenario::{At, Binding, Reagent, SourceId, Stock, Supply, WeighedReagent, draw_bound};

/// Molar mass of water, g/mol.
const WATER: f64 = 18.015;

/// A reagent as a group has it for its session.
#[derive(Debug, Clone)]
pub struct ReagentOfGroup {
    /// Moles of it for a mole of the charge.
    pub nu: f64,
    supply: SupplyOfGroup,
}

#[derive(Debug, Clone)]
enum SupplyOfGroup {
    /// Dissolved in the liquid of the vessel.
    Dissolved(Box<Dissolved>),
    /// Weighed in each run; the number tells its weighings apart.
    Weighed(Box<WeighedReagent>, u32),
}

#[derive(Debug, Clone)]
struct Dissolved {
    /// mol in a mL of the liquid.
    in_a_millilitre: Column<f64>,
    /// What the balance said of a stock's solid.
    recorded: Option<Column<Gram>>,
}

impl ReagentOfGroup {
    /// Prepares a reagent: the `number`-th of its leg.
    pub fn new(
        reagent: &Reagent,
        number: u32,
        draws: &Draws,
        temperature: &Column<Celsius>,
        (leg_place, rounding): (u32, Rounding),
    ) -> Self {
        let supply = match &reagent.supply {
            Supply::InLiquid {
                source, binding, ..
            } => {
                let c: Column<MolePerLitre> = draw_bound(binding, draws, *source, At::default());
                SupplyOfGroup::Dissolved(Box::new(Dissolved {
                    in_a_millilitre: Column::from_fn(|i| (c[i] * Millilitre(1.0)).0),
                    recorded: None,
                }))
            }
            Supply::InStock(stock) => {
                let place = Place::further(number, leg_place, rounding);
                let recorded = weighed(&stock.bindings, draws, place, stock.mass, &stock.solid);
                SupplyOfGroup::Dissolved(Box::new(Dissolved {
                    in_a_millilitre: in_stock(stock, draws, temperature),
                    recorded: Some(recorded),
                }))
            }
            Supply::Weighed(w) => SupplyOfGroup::Weighed(w.clone(), number),
        };
        Self {
            nu: reagent.nu,
            supply,
        }
    }

    /// Amount in one run, from the volume of liquid in the vessel.
    pub fn amount(&self, volume: &Column<Millilitre>, draws: &Draws) -> Column<Mole> {
        match &self.supply {
            SupplyOfGroup::Dissolved(d) => {
                Column::from_fn(|i| Mole(d.in_a_millilitre[i] * volume[i].0))
            }
            SupplyOfGroup::Weighed(w, _) => {
                let at = At::default();
                let p: Column<f64> = of(&w.bindings, draws, SourceId::Purity, at);
                let m: Column<GramPerMole> = of(&w.bindings, draws, SourceId::MolarMass, at);
                Column::from_fn(|i| w.mass * p[i] / m[i])
            }
        }
    }

    /// What the balance said of it: of the stock's solid once for the session, of a further solid
    /// in this run; `None` for a liquid.
    pub fn recorded(
        &self,
        draws: &Draws,
        (leg_place, rounding): (u32, Rounding),
        at: At,
    ) -> Option<Column<Gram>> {
        match &self.supply {
            SupplyOfGroup::Dissolved(d) => d.recorded.clone(),
            SupplyOfGroup::Weighed(w, number) => {
                let place = Place {
                    at,
                    ..Place::further(*number, leg_place, rounding)
                };
                Some(weighed(&w.bindings, draws, place, w.mass, &w.solid))
            }
        }
    }
}

fn of<T: Copy + From<f64>>(bindings: &[Binding], draws: &Draws, id: SourceId, at: At) -> Column<T> {
    draw_bound(&bindings[id as usize], draws, id, at)
}

/// Boats for further solids; their mass matters for rounding only.
const BOAT: Gram = Gram(2.5);

fn weighed(
    bindings: &[Binding],
    draws: &Draws,
    place: Place,
    mass: Gram,
    solid: &crate::scenario::SolidFacts,
) -> Column<Gram> {
    by_difference(
        bindings,
        draws,
        place,
        &Column::splat(mass),
        solid.density,
        BOAT,
    )
}

/// mol in a mL of a stock.
fn in_stock(stock: &Stock, draws: &Draws, temperature: &Column<Celsius>) -> Column<f64> {
    use SourceId as S;
    let at = At::default();
    let b = &stock.bindings;
    let purity: Column<f64> = of(b, draws, S::Purity, at);
    let molar_mass: Column<GramPerMole> = of(b, draws, S::MolarMass, at);
    let oxidised = shares(of(b, draws, S::Oxidised, at));
    let lost = shares_but_not_all(of(b, draws, S::StockWaterLost, at));
    let mark: Column<Millilitre> = of(b, draws, S::Tolerance, at);
    let filling: Column<Millilitre> = of(b, draws, S::Filling, at);
    Column::from_fn(|i| {
        let t = temperature[i];
        let flask = deliver::volume(stock.volume, stock.expansion, t, mark[i], filling[i]);
        let amount =
            stock.mass * purity[i] / molar_mass[i] * ((1.0 - oxidised[i]) / (1.0 - lost[i]));
        amount.0 / flask.0
    })
}

/// What a gram of a hydrate holds after it has lost a share `w` of its mass as water: moles of salt
/// over those of the fresh hydrate, 1 / (1 - w); and the share of that salt which is anhydrous,
/// w M / (z M_water) for z moles of water in a mole of molar mass M.
#[inline]
pub fn salt(w: f64, molar_mass: GramPerMole, waters: f64) -> (f64, f64) {
    (
        1.0 / (1.0 - w),
        (w * molar_mass.0 / (waters * WATER)).min(1.0),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hydrate_that_lost_water_holds_more_salt_and_some_of_it_anhydrous() {
        // MgSO4.7H2O, 246.47 g/mol, 2 % of its mass lost: 0.02 x 246.47 / 18.015 = 0.2736 of 7 waters.
        let (more, anhydrous) = salt(0.02, GramPerMole(246.47), 7.0);
        assert!((more - 1.020_408).abs() < 1e-6);
        assert!((anhydrous - 0.039_089).abs() < 1e-6);
    }
}
