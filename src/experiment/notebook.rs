//! What the lab writes down of one leg, for a block of trials.

use super::repeat::{Attempt, PerTrial, Settled, settle};
use crate::lab::{Reduced, Reduction, RunSeen};
use crate::nature::sensor::ROUNDING;
use crate::nature::{Group, Run, weigh};
use crate::quantity::{Celsius, Gram, GramPerMillilitre, Kelvin};
use crate::random::dist::{Distribution, Normal};
use crate::random::{BLOCK, Column, Dist, Draws, Input, Name};
use crate::scenario::{
    At, Heat, Inspection, Leg, LiquidBy, MassUsed, Per, Scenario, SourceId, Supply,
};

/// Density of air that a correction assumes (the conventional value of OIML D 28).
const CONVENTIONAL_AIR: GramPerMillilitre = GramPerMillilitre(1.2e-3);

/// Density that a correction assumes for a liquid.
const LIQUID: GramPerMillilitre = GramPerMillilitre(1.0);

/// One run's page.
#[derive(Debug, Clone)]
pub struct Page {
    solid: Column<Gram>,
    liquid: Column<Gram>,
    portion: Gram,
    reagent: Column<Gram>,
    rise: Column<Kelvin>,
    mixing: Column<Celsius>,
    weighed_at: Column<f64>,
    hot: Column<Celsius>,
    margin: Column<f64>,
}

impl PerTrial for Page {
    fn take(&mut self, trial: usize, from: &Self) {
        self.solid.take(trial, &from.solid);
        self.liquid.take(trial, &from.liquid);
        self.reagent.take(trial, &from.reagent);
        self.hot.take(trial, &from.hot);
        self.margin.take(trial, &from.margin);
        self.rise.take(trial, &from.rise);
        self.mixing.take(trial, &from.mixing);
        self.weighed_at.take(trial, &from.weighed_at);
    }
}

/// The pages of one leg, after its repeats.
#[derive(Debug, Clone)]
pub struct Notebook {
    runs: Vec<Settled<Page>>,
    drop: bool,
    mass: Gram,
}

impl Notebook {
    /// The pages of one trial of the block that the lab evaluates.
    pub fn trial(&self, i: usize) -> impl Iterator<Item = RunSeen> + '_ {
        self.runs
            .iter()
            .filter(move |run| !self.dropped(run, i))
            .map(move |run| RunSeen {
                solid: run.last.page.solid[i],
                liquid: run.last.page.liquid[i],
                portion: run.last.page.portion,
                reagent: run.last.page.reagent[i],
                hot: run.last.page.hot[i],
                rise: run.last.page.rise[i],
                mixing: run.last.page.mixing[i],
                weighed_at: run.last.page.weighed_at[i],
                ..RunSeen::default()
            })
    }

    fn dropped(&self, run: &Settled<Page>, i: usize) -> bool {
        self.drop && run.last.noticed[i]
    }

    /// Runs of one trial that were carried out again, counted each time.
    pub fn repeats(&self, i: usize) -> u32 {
        self.runs.iter().map(|run| run.attempts[i] - 1).sum()
    }

    /// Mean of something over the runs of one trial that count.
    fn mean(&self, i: usize, of: impl Fn(&Settled<Page>) -> f64) -> f64 {
        let used = self.runs.iter().filter(|run| !self.dropped(run, i));
        let (sum, n) = used.fold((0.0, 0.0), |(sum, n), run| (sum + of(run), n + 1.0));
        sum / n
    }

    /// Mean share of the solid that was left over in the runs of one trial that count.
    pub fn residue_share(&self, i: usize) -> f64 {
        if self.mass.0 <= 0.0 {
            return 0.0;
        }
        self.mean(i, |run| run.last.residue[i] / self.mass)
    }

    /// Share of the runs of one trial that count although more than [`NOT_WORTH_SEEING`] of their
    /// solid is left over.
    pub fn incomplete_share(&self, i: usize) -> f64 {
        let least = self.mass * NOT_WORTH_SEEING;
        self.mean(i, |run| f64::from(u8::from(run.last.residue[i] > least)))
    }

    /// Share of the runs of one trial that count in which what should be in excess ran out.
    pub fn ran_out_share(&self, i: usize) -> f64 {
        self.mean(i, |run| f64::from(u8::from(run.last.page.margin[i] < 0.0)))
    }

    /// Mean margin of what should be in excess over the runs of one trial that count.
    pub fn margin(&self, i: usize) -> f64 {
        self.mean(i, |run| run.last.page.margin[i])
    }
}

/// Share of the solid that makes a run incomplete when it is left over.
pub const NOT_WORTH_SEEING: f64 = 1e-3;

/// A record's noise may be drawn once for its reduction, instead of reading by reading, where the
/// reduction is a fixed weighted sum and the noise is normal and at least this many last digits: then
/// rounding acts like one more independent error of d / sqrt 12, and the sum of both is exactly
/// normal but for that rounding. Decided once for a study.
const NOISE_OVER_DIGIT: f64 = 0.7;

/// How a leg's readings are drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Readings {
    /// Each on its own, rounded to the display's last digit.
    Each,
    /// Each on its own, the last digit as an independent error.
    RoundingApart,
    /// A record's noise and rounding in one.
    AtOnce,
}

/// How a leg's readings are drawn: in one where that is exact but for the rounding.
pub(super) fn usual(leg: &Leg) -> Readings {
    let noise = leg.binding(SourceId::Noise).input.dist.sd();
    let digit = leg.binding(SourceId::Resolution).input.dist.mean();
    if noise >= NOISE_OVER_DIGIT * digit {
        rounding_apart(leg, Readings::Each)
    } else {
        Readings::Each
    }
}

/// How they are drawn where rounding is an error of its own: in one where the reduction is linear and the
/// noise normal, else as `else_so`.
pub(super) fn rounding_apart(leg: &Leg, else_so: Readings) -> Readings {
    let noise = &leg.binding(SourceId::Noise).input.dist;
    if leg.way.is_linear() && matches!(noise, Dist::Normal(_)) && noise.sd() > 0.0 {
        Readings::AtOnce
    } else {
        else_so
    }
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
    (number, attempt): (u32, u32),
) -> Reduced {
    let mut reduced = reduction.reduce(|_, t| run.smooth_reading(t));
    let [rise, both, mixing] = reduction.noise_squares(0.0);
    let along = rise.sqrt();
    let across = (mixing - both * both / rise).max(0.0).sqrt();
    let at = |reading: u32| At {
        run: number,
        attempt,
        reading,
    };
    let noise = WHOLE_RECORD.map(|w| leg.draw::<Kelvin>(draws, SourceId::Noise, at(w)));
    let digit: Column<Kelvin> = leg.draw(draws, SourceId::Resolution, at(WHOLE_RECORD[0]));
    let rounding = WHOLE_RECORD.map(|w| {
        let unit = Input::error(Normal::new(0.0, 1.0 / 12f64.sqrt()).expect("valid").into());
        let identity = leg.binding(SourceId::Resolution).identity;
        let name = Name::run(ROUNDING, identity, number, attempt);
        draws.column::<f64>(name, w, &unit)
    });
    for i in 0..BLOCK {
        let [first, second] = [0, 1].map(|w| noise[w][i] + digit[i] * rounding[w][i]);
        reduced.rise[i] = reduced.rise[i] + first * along;
        reduced.mixing[i] = reduced.mixing[i] + first * (both / along) + second * across;
    }
    reduced
}

/// What the lab computes with of the reagent that the result is stated for, if it is another solid
/// than the charge.
fn reagent(leg: &Leg, run: &Run, correction: impl Fn(GramPerMillilitre) -> f64) -> Column<Gram> {
    let density = match leg.per {
        Per::Charge => None,
        Per::Reagent(at) => match &leg.reagents[at].supply {
            Supply::InStock(s) => Some(s.solid.density),
            Supply::Weighed(w) => Some(w.solid.density),
            Supply::InLiquid { .. } => None,
        },
    };
    match (&run.recorded_reagent, density) {
        (Some(recorded), Some(density)) => {
            let factor = correction(density);
            Column::from_fn(|i| recorded[i] * factor)
        }
        _ => Column::splat(Gram(0.0)),
    }
}

/// Carries out the runs of a leg and writes them down.
pub fn notebook<'a>(
    scenario: &Scenario,
    group: &'a Group<'a>,
    reduction: &Reduction,
    readings: Readings,
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
    let most = if leg.inspection == Inspection::None {
        0
    } else {
        scenario.repeat.most
    };
    let page = |run: &Run, number: u32, attempt: u32| {
        let reduced = match readings {
            Readings::AtOnce => reduce_at_once(run, leg, reduction, &draws, (number, attempt)),
            Readings::Each => reduction.reduce(|reading, t| run.reading(reading, t)),
            Readings::RoundingApart => {
                reduction.reduce(|reading, t| run.reading_with_rounding_apart(reading, t))
            }
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
            portion: if scenario.lab.volume_as_mass {
                Gram(leg.portion_volume().0)
            } else {
                leg.nominal_portion(&scenario.room)
            },
            reagent: reagent(leg, run, correction),
            rise: reduced.rise,
            mixing: reduced.mixing,
            weighed_at: reduced.weighed_at,
            hot: match leg.heat {
                Heat::HotWater { .. } => run.hot_reading(),
                Heat::Reaction | Heat::Electrical(_) => Column::splat(Celsius(0.0)),
            },
            margin: run.margin.clone(),
        }
    };
    let runs = (0..leg.runs).map(|number| {
        settle(most, |attempt| {
            let run = Run::new(group, draws, number, attempt);
            let noticed = if leg.inspection == Inspection::None {
                Column::splat(false)
            } else {
                run.noticed()
            };
            Attempt {
                page: page(&run, number, attempt),
                residue: run.residue,
                noticed,
            }
        })
    });
    Notebook {
        runs: runs.collect(),
        drop: scenario.repeat.drop,
        mass: leg.mass,
    }
}
