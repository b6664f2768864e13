//! What the lab writes down of one leg, for a block of trials.

use super::kept::Records;
use super::repeat::{Attempt, PerTrial, Settled, settle};
use crate::lab::{CONVENTIONAL_AIR, LegPages, LegTables, Page, Reduction, Sums};
use crate::nature::{Group, Recorder, Run, weigh};
use crate::quantity::{Celsius, Gram, GramPerMillilitre};
use crate::random::{BLOCK, Column, Dist, Draws, Form};
use crate::scenario::{
    Heat, Inspection, Leg, LiquidBy, MassUsed, Per, ReductionMethod, Scenario, SourceId, Supply,
};
use std::rc::Rc;

/// What the lab multiplies the indication of something of this density by.
pub fn buoyancy_correction(scenario: &Scenario, of: GramPerMillilitre) -> f64 {
    if scenario.lab.corrects_buoyancy {
        1.0 / weigh::buoyancy(CONVENTIONAL_AIR, of)
    } else {
        1.0
    }
}

/// Density that a correction assumes for a liquid.
pub const LIQUID: GramPerMillilitre = GramPerMillilitre(1.0);

/// One run as it is noted, with what nobody notes.
#[derive(Debug, Clone)]
pub struct Noted {
    page: Page,
    /// How much more there is of what should be in excess.
    margin: Column<f64>,
}

impl PerTrial for Noted {
    fn take(&mut self, trial: usize, from: &Self) {
        self.page.take(trial, &from.page);
        self.margin.take(trial, &from.margin);
    }
}

/// The pages of one leg, after its repeats.
#[derive(Debug, Clone)]
pub struct Notebook {
    /// What the lab evaluates.
    pub pages: Rc<LegPages>,
    residues: Vec<Column<Gram>>,
    margins: Vec<Column<f64>>,
    /// Runs that were carried out again, counted each time.
    pub repeats: Column<f64>,
    /// Target mass of each run.
    masses: Vec<Gram>,
}

impl Notebook {
    fn new(runs: Vec<Settled<Noted>>, tables: LegTables, drop: bool, masses: Vec<Gram>) -> Self {
        let mut pages = Vec::new();
        let (mut residues, mut margins) = (Vec::new(), Vec::new());
        let mut repeats = Column::splat(0.0);
        for Settled { last, attempts } in runs {
            let mut page = last.page.page;
            for i in 0..BLOCK {
                repeats[i] += f64::from(attempts[i] - 1);
                if drop && last.noticed[i] {
                    page.counts[i] = 0.0;
                }
            }
            pages.push(page);
            residues.push(last.residue);
            margins.push(last.page.margin);
        }
        Self {
            pages: Rc::new(LegPages {
                runs: pages,
                tables,
            }),
            residues,
            margins,
            repeats,
            masses,
        }
    }

    /// Mean over the runs that count of something that each has.
    fn mean(&self, of: impl Fn(usize, usize) -> f64) -> Column<f64> {
        let runs = 0..self.residues.len();
        let all: Vec<Column<f64>> = runs.map(|r| Column::from_fn(|i| of(r, i))).collect();
        self.pages.mean_of(|r| &all[r])
    }

    /// Mean share of the solid that was left over in the runs that count.
    pub fn residue_share(&self) -> Column<f64> {
        if self.masses.iter().any(|m| m.0 <= 0.0) {
            return Column::splat(0.0);
        }
        self.mean(|r, i| self.residues[r][i] / self.masses[r])
    }

    /// Share of the runs that count although more than [`NOT_WORTH_SEEING`] of their solid is left over.
    pub fn incomplete_share(&self) -> Column<f64> {
        self.mean(|r, i| {
            let least = self.masses[r] * NOT_WORTH_SEEING;
            f64::from(u8::from(self.residues[r][i] > least))
        })
    }

    /// Share of the runs that count in which what should be in excess ran out.
    pub fn ran_out_share(&self) -> Column<f64> {
        self.mean(|r, i| f64::from(u8::from(self.margins[r][i] < 0.0)))
    }

    /// Mean margin of what should be in excess over the runs that count.
    pub fn margin(&self) -> Column<f64> {
        self.pages.mean_of(|r| &self.margins[r])
    }
}

/// Share of the solid that makes a run incomplete when it is left over.
pub const NOT_WORTH_SEEING: f64 = 1e-3;

/// What noise does to the two lines of a record may be drawn at once, instead of reading by reading, where it is normal
/// and at least this many last digits: then rounding acts like one more independent error of d / sqrt 12, and the sum of
/// both is exactly normal but for that rounding. What is left of the staircase is (d / pi) e^(-2 pi^2 (s/d)^2): 2e-5 d of a
/// reading by itself, and 2e-3 d of each of many on a slope, where they cancel. Decided once for a study.
const NOISE_OVER_DIGIT: [f64; 2] = [0.7, 0.5];

/// How a leg's readings are drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Readings {
    /// Each on its own, rounded to the display's last digit.
    Each,
    /// Each on its own, the last digit as an independent error.
    RoundingApart,
    /// What noise and rounding do to a line in one; readings that a way looks at one by one each on its own, rounded.
    AtOnce,
    /// The same, the last digit of those readings as an independent error too.
    AtOnceApart,
}

/// How a leg's readings are drawn: at once where that is exact but for the rounding.
pub(super) fn usual(leg: &Leg) -> Readings {
    let noise = leg.binding(SourceId::Noise).input.dist.sd();
    let digit = leg.binding(SourceId::Resolution).input.dist.mean();
    let [alone, on_a_line] = NOISE_OVER_DIGIT;
    let least = match leg.way {
        ReductionMethod::TwoReadings => alone,
        _ => on_a_line,
    };
    // The extreme of what is shown is one of the readings: nothing is drawn at once.
    if noise >= least * digit && is_normal(leg) && leg.way != ReductionMethod::Extreme {
        Readings::AtOnce
    } else {
        Readings::Each
    }
}

/// How they are drawn where rounding is an error of its own: at once where the noise is normal.
pub(super) fn rounding_apart(leg: &Leg) -> Readings {
    if is_normal(leg) {
        Readings::AtOnceApart
    } else {
        Readings::RoundingApart
    }
}

fn is_normal(leg: &Leg) -> bool {
    let noise = &leg.binding(SourceId::Noise).input.dist;
    *noise.form() == Form::Normal && noise.sd() > 0.0
}

/// Number of the first of the draws that stand for the noise of whole lines.
const WHOLE_LINES: u32 = 1 << 28;

/// The noise of one record, last digits included, which is linear in its readings.
fn noise(run: &Run, reduction: &Reduction, readings: Readings, noises: &Records) -> Rc<Sums> {
    let single = |number: u32| run.noise_and_digit(number, Dist::rectangular(-0.5, 0.5));
    let digit = || Dist::normal(0.0, 1.0 / 12f64.sqrt());
    let whole = |line: u32| run.noise_and_digit(WHOLE_LINES + line, digit());
    noises.of(run.number(), || match readings {
        Readings::AtOnceApart => reduction.noise(whole, Some(&single)),
        Readings::AtOnce => reduction.noise(whole, None),
        Readings::RoundingApart | Readings::Each => reduction.sums(|number, _, out| {
            let error = single(number);
            *out = Column::from_fn(|i| Celsius(error[i]));
        }),
    })
}

/// Density of the solid of the reagent that the result is stated for, if it is another one than the charge.
pub fn reagent_density(leg: &Leg) -> Option<GramPerMillilitre> {
    match leg.per {
        Per::Charge => None,
        Per::Reagent(at) => match &leg.reagents[at].supply {
            Supply::InStock(s) => Some(s.solid.density),
            Supply::Weighed(w) => Some(w.solid.density),
            Supply::InLiquid { .. } => None,
        },
    }
}

/// What the lab computes with of that solid.
fn reagent(leg: &Leg, run: &Run, correction: impl Fn(GramPerMillilitre) -> f64) -> Column<Gram> {
    match (&run.recorded_reagent, reagent_density(leg)) {
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
    (draws, [noises, smooth]): (Draws<'a>, [Rc<Records>; 2]),
) -> Notebook {
    let leg = group.leg();
    let correction = |of| buoyancy_correction(scenario, of);
    let most = if leg.inspection == Inspection::None {
        0
    } else {
        scenario.repeat.most
    };
    let page = |run: &Run| {
        let mut recorder = run.recorder();
        let reduced = match readings {
            Readings::Each => reduction.reduce(|n, t, out| recorder.reading(n, t, out)),
            Readings::RoundingApart | Readings::AtOnce | Readings::AtOnceApart => {
                let mut take = || {
                    reduction.sums_by_stretches(
                        &mut recorder,
                        |recorder, number, t, out| {
                            if readings == Readings::AtOnce && reduction.keeps(number) {
                                recorder.reading(number, t, out);
                            } else {
                                recorder.smooth_reading(t, out);
                            }
                        },
                        Recorder::smooth_stretch,
                    )
                };
                // Readings that are drawn each on its own have their noise in them.
                let mut sums = match readings {
                    Readings::AtOnce => take(),
                    _ => Sums::clone(&smooth.of(run.number(), take)),
                };
                sums.plus(&noise(run, reduction, readings, &noises));
                reduction.finish(&sums)
            }
        };
        let solid = match scenario.lab.mass {
            MassUsed::Nominal => Column::splat(leg.mass_of(run.number().0)),
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
        let portion = if scenario.lab.volume_as_mass {
            Gram(leg.portion_volume().0)
        } else {
            leg.nominal_portion(&scenario.room)
        };
        let hot = match leg.heat {
            Heat::HotWater { .. } => run.hot_reading(),
            Heat::Reaction | Heat::Electrical(_) => Column::splat(Celsius(0.0)),
        };
        let values = [
            numbers(&solid),
            numbers(&liquid),
            Column::splat(portion.0),
            numbers(&reagent(leg, run, correction)),
            numbers(&reduced.change),
            numbers(&reduced.mixing),
            numbers(&hot),
        ];
        Noted {
            page: Page::new(values, reduced.weighed_at),
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
                page: page(&run),
                residue: run.residue,
                noticed,
            }
        })
    });
    let tables = LegTables::of(scenario, leg);
    let masses = (0..leg.runs).map(|r| leg.mass_of(r)).collect();
    Notebook::new(runs.collect(), tables, scenario.repeat.drop, masses)
}

/// The numbers of typed quantities.
fn numbers<T: Copy + Into<f64>>(values: &Column<T>) -> Column<f64> {
    Column::from_fn(|i| values[i].into())
}
