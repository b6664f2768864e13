//! What the lab writes down of one leg, for a block of trials.

use crate::lab::{Reduced, Reduction, RunSeen};
use crate::nature::{Group, Run, weigh};
use crate::quantity::{Celsius, Gram, GramPerMillilitre, JoulePerKelvin, Kelvin};
use crate::random::dist::{Distribution, Normal};
use crate::random::{BLOCK, Column, Dist, Draws, Input, Name, Tag};
use crate::scenario::{At, Leg, LiquidBy, MassUsed, Scenario, SourceId};

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

/// A record's noise may be drawn once for its reduction, instead of reading by reading, where the
/// reduction is a fixed weighted sum and the noise is normal and at least this many last digits: then
/// rounding acts like one more independent error of d / sqrt 12, and the sum of both is exactly
/// normal but for that rounding. Decided once for a study.
const NOISE_OVER_DIGIT: f64 = 0.7;

/// Whether a leg's noise is drawn in one.
pub(super) fn may_collapse(leg: &Leg) -> bool {
    let noise = &leg.binding(SourceId::Noise).input.dist;
    let digit = leg.binding(SourceId::Resolution).input.dist.mean();
    leg.way.is_linear()
        && matches!(noise, Dist::Normal(_))
        && noise.sd() > 0.0
        && noise.sd() >= NOISE_OVER_DIGIT * digit
}

/// Numbers of the draws that stand for a whole record's noise.
const WHOLE_RECORD: [u32; 2] = [1 << 28, (1 << 28) + 1];

/// The reduction of a smooth record, with the noise that its readings would have given it: two
/// correlated normal errors, of the change of temperature and of the temperature of mixing.
fn reduce_at_once(
    run: &Run,
    leg: &Leg,
    reduction: &Reduction,
    draws: &Draws,
    number: u32,
) -> Reduced {
    let mut reduced = reduction.reduce(|_, t| run.smooth_reading(t));
    let [rise, both, mixing] = reduction.noise_squares();
    let along = rise.sqrt();
    let across = (mixing - both * both / rise).max(0.0).sqrt();
    let at = |reading: u32| At {
        run: number,
        attempt: 0,
        reading,
    };
    let noise = WHOLE_RECORD.map(|w| leg.draw::<Kelvin>(draws, SourceId::Noise, at(w)));
    let digit: Column<Kelvin> = leg.draw(draws, SourceId::Resolution, at(WHOLE_RECORD[0]));
    let rounding = WHOLE_RECORD.map(|w| {
        let unit = Input::error(Normal::new(0.0, 1.0 / 12f64.sqrt()).expect("valid").into());
        let identity = leg.binding(SourceId::Resolution).identity;
        let name = Name::run(Tag::of("rounding of a whole record"), identity, number, 0);
        draws.column::<f64>(name, w, &unit)
    });
    for i in 0..BLOCK {
        let [first, second] = [0, 1].map(|w| noise[w][i] + digit[i] * rounding[w][i]);
        reduced.rise[i] = reduced.rise[i] + first * along;
        reduced.mixing[i] = reduced.mixing[i] + first * (both / along) + second * across;
    }
    reduced
}

/// Carries out the runs of a leg and writes them down.
pub fn notebook<'a>(
    scenario: &Scenario,
    group: &'a Group<'a>,
    reduction: &Reduction,
    collapsed: bool,
    draws: Draws<'a>,
) -> Notebook {
    let leg = group.leg();
    let correction = |of| {
        if scenario.lab.corrects_buoyancy {
            1.0 / weigh::buoyancy(CONVENTIONAL_AIR, of)
        } else {
            1.0
        }
    };
    let pages = (0..leg.runs).map(|number| {
        let run = Run::new(group, draws, number, 0);
        let reduced = if collapsed {
            reduce_at_once(&run, leg, reduction, &draws, number)
        } else {
            reduction.reduce(|reading, t| run.reading(reading, t))
        };
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
            (None, LiquidBy::Volume { nominal, .. }) if scenario.lab.volume_as_mass => {
                Column::splat(Gram(nominal.0))
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
