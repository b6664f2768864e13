//! What a leg's heat comes from: which reagents meet, how they get into the vessel, how much of
//! each there is.

use super::facts::LiquidFacts;
use super::leg::{Binding, LiquidBy};
use super::source::SourceId;
use crate::quantity::{
    Ampere, Celsius, Gram, GramPerMillilitre, GramPerMole, Millilitre, MolePerLitre, PerKelvin,
    Second, Volt,
};

/// Where the heat of a run comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Heat {
    /// A reaction.
    Reaction,
    /// A heater.
    Electrical(Heater),
    /// Hot water poured into the cold water of the vessel.
    HotWater {
        /// Temperature of the hot water as the procedure states it.
        hot: Celsius,
        /// Temperature of the vessel and its cold water.
        cold: Celsius,
    },
}

/// What the lab's meters say of a heater.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heater {
    /// Voltage.
    pub voltage: Volt,
    /// Current.
    pub current: Ampere,
    /// How long it is on.
    pub time: Second,
}

/// How the reagent enters the vessel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Charge {
    /// As a solid, at mixing.
    Dropped,
    /// As a solid that was put into a small portion of liquid this long before.
    Beforehand {
        /// Waiting time.
        wait: Second,
    },
    /// Dissolved in a liquid of this concentration by its label.
    Liquid {
        /// Label.
        concentration: MolePerLitre,
    },
    /// As a metal of which more is there than can react.
    Metal,
}

/// A liquid that enters with the reagent, or hot water.
#[derive(Debug, Clone)]
pub struct Portion {
    /// How it is measured out.
    pub by: LiquidBy,
    /// What it is.
    pub liquid: LiquidFacts,
    /// Its sources by [`SourceId`]: those of its device and its liquid are its own, the others are
    /// the leg's.
    pub bindings: Vec<Binding>,
}

/// A reagent that the charge meets.
#[derive(Debug, Clone)]
pub struct Reagent {
    /// Its name in the reaction.
    pub name: String,
    /// Moles of it for a mole of the charge.
    pub nu: f64,
    /// Where it comes from.
    pub supply: Supply,
}

/// Where a reagent comes from.
#[derive(Debug, Clone)]
pub enum Supply {
    /// Dissolved in the liquid of the vessel at a stated concentration.
    InLiquid {
        /// Label.
        concentration: MolePerLitre,
        /// Whose concentration it is.
        source: SourceId,
        /// True concentration.
        binding: Binding,
    },
    /// The liquid of the vessel is an aliquot of a stock.
    InStock(Box<Stock>),
    /// Weighed on its own and in the vessel before mixing.
    Weighed(Box<WeighedReagent>),
}

/// A solid weighed into a flask and made up to its mark.
#[derive(Debug, Clone)]
pub struct Stock {
    /// What is weighed in.
    pub solid: SolidFacts,
    /// Target mass.
    pub mass: Gram,
    /// Nominal volume.
    pub volume: Millilitre,
    /// Cubic expansion of the flask.
    pub expansion: PerKelvin,
    /// Its sources by [`SourceId`]: balance, purity, flask, storage.
    pub bindings: Vec<Binding>,
}

/// A further solid.
#[derive(Debug, Clone)]
pub struct WeighedReagent {
    /// What it is.
    pub solid: SolidFacts,
    /// Target mass.
    pub mass: Gram,
    /// Its sources by [`SourceId`]: balance, purity.
    pub bindings: Vec<Binding>,
}

/// A solid as the lab knows it.
#[derive(Debug, Clone)]
pub struct SolidFacts {
    /// Library key.
    pub key: String,
    /// Molar mass.
    pub molar_mass: GramPerMole,
    /// Density, for buoyancy.
    pub density: GramPerMillilitre,
    /// Molecules of water of crystallisation in its formula.
    pub waters: f64,
    /// Purity by its label.
    pub label_purity: f64,
}

/// What the result is stated per mole of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Per {
    /// The substance of the charge.
    Charge,
    /// The reagent with this number in [`super::Leg::reagents`].
    Reagent(usize),
}

/// What has become of solid that is left over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LeftoverState {
    /// As it was: no heat.
    Unreacted,
    /// A crust of its hydrate: the heat of forming it, without that of dissolving it.
    Hydrate,
    /// It never reached the vessel: no heat, and no part in the contents.
    NeverReleased,
}

impl Reagent {
    /// Amount by labels and targets, in moles.
    pub fn nominal(&self, liquid: Millilitre) -> f64 {
        match &self.supply {
            Supply::InLiquid { concentration, .. } => concentration.0 * liquid.0 * 1e-3,
            Supply::InStock(s) => {
                s.mass.0 * s.solid.label_purity / s.solid.molar_mass.0 * (liquid / s.volume)
            }
            Supply::Weighed(w) => w.mass.0 * w.solid.label_purity / w.solid.molar_mass.0,
        }
    }
}
