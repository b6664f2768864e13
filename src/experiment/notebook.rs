//! What the lab writes down of one leg, for a block of trials.

use crate::lab::{Reduction, RunSeen};
use crate::nature::{Group, Run, weigh};
use crate::quantity::{Celsius, Gram, GramPerMillilitre, JoulePerKelvin, Kelvin};
use crate::random::{Column, Draws};
use crate::scenario::{LiquidBy, MassUsed, Scenario};

/// Density of air that a correction assumes (the conventional value of OIML D 28).
const CONVENTIONAL_AIR: GramPerMillilitre = GramPerMillilitre(1.2e-3);

/// Density that a correction assumes for a liquid.
const LIQUID: GramPerMillilitre = GramPerMillilitre(1.0);

/// One run's page.
#[derive(Debug, Clone)]
pub struct Page {
    solid: Column<Gram>,
    liquid: Column<Gram>,
    rise: Column<Kelvin>,
    mixing: Column<Celsius>,
}

/// The pages of one leg.
#[derive(Debug, Clone)]
pub struct Notebook(Vec<Page>);

impl Notebook {
    /// The pages of one trial of the block.
    pub fn trial(&self, i: usize) -> impl Iterator<Item = RunSeen> + '_ {
        self.0.iter().map(move |page| RunSeen {
            solid: page.solid[i],
            liquid: page.liquid[i],
            rise: page.rise[i],
            mixing: page.mixing[i],
            extra: JoulePerKelvin(0.0),
        })
    }
}

/// Carries out the runs of a leg and writes them down.
pub fn notebook<'a>(
    scenario: &Scenario,
    leg: &'a crate::scenario::Leg,
    group: &'a Group<'a>,
    reduction: &Reduction,
    draws: Draws<'a>,
) -> Notebook {
    let correction = |of| {
        if scenario.lab.corrects_buoyancy {
            1.0 / weigh::buoyancy(CONVENTIONAL_AIR, of)
        } else {
            1.0
        }
    };
    let pages = (0..leg.runs).map(|number| {
        let run = Run::new(group, draws, number, 0);
        let reduced = reduction.reduce(|reading, t| run.reading(reading, t));
        let solid = match scenario.lab.mass {
            MassUsed::Nominal => Column::splat(leg.mass),
            MassUsed::Recorded => {
                let factor = correction(leg.reaction.density);
                Column::from_fn(|i| run.recorded_solid[i] * factor)
            }
        };
        let liquid = match (&run.recorded_liquid, leg.liquid_by) {
            (Some(recorded), _) => {
                let factor = correction(LIQUID);
                Column::from_fn(|i| recorded[i] * factor)
            }
            (None, LiquidBy::Volume { .. } | LiquidBy::Weighed { .. }) => {
                Column::splat(leg.nominal_liquid(&scenario.room))
            }
        };
        Page {
            solid,
            liquid,
            rise: reduced.rise,
            mixing: reduced.mixing,
        }
    });
    Notebook(pages.collect())
}
