//! What labs have written down, for a block of trials at once.

use super::evaluate::{LegSeen, RunSeen, Seen};
use super::reduce::Reduction;
use super::tables::LegTables;
use crate::quantity::{Celsius, Gram, Joule, JoulePerKelvin, Kelvin};
use crate::random::Column;
use std::rc::Rc;

/// What a run's page holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Entry {
    /// g of solid.
    Solid,
    /// g of liquid.
    Liquid,
    /// g of the portion.
    Portion,
    /// g of another reagent's solid.
    Reagent,
    /// K of the change of temperature.
    Change,
    /// K of the temperature of mixing.
    Mixing,
    /// K of the hot water.
    Hot,
    /// g of uncounted water.
    Rinse,
    /// J/K of uncounted heat capacity.
    Extra,
    /// J of uncounted heat.
    Heat,
}

/// Number of entries.
pub const ENTRIES: usize = 10;

impl RunSeen {
    /// Where an entry stands.
    pub(super) fn entry_mut(&mut self, entry: Entry) -> &mut f64 {
        match entry {
            Entry::Solid => &mut self.solid.0,
            Entry::Liquid => &mut self.liquid.0,
            Entry::Portion => &mut self.portion.0,
            Entry::Reagent => &mut self.reagent.0,
            Entry::Change => &mut self.change.0,
            Entry::Mixing => &mut self.mixing.0,
            Entry::Hot => &mut self.hot.0,
            Entry::Rinse => &mut self.rinse.0,
            Entry::Extra => &mut self.extra.0,
            Entry::Heat => &mut self.heat.0,
        }
    }
}

/// One run's page.
#[derive(Debug, Clone)]
pub struct Page {
    /// By entry, without the uncounted ones.
    values: Vec<Column<f64>>,
    /// Rinse, extra and heat, which no notebook has: 0, or the same in all trials.
    uncounted: (Gram, JoulePerKelvin, Joule),
    /// Moment that the weights of the record's readings go by, s.
    pub weighed_at: Column<f64>,
    /// 1 where the run counts, 0 where it is dropped.
    pub counts: Column<f64>,
}

impl Page {
    /// Of the values in the order of [`Entry`].
    pub fn new(values: [Column<f64>; 7], weighed_at: Column<f64>) -> Self {
        Self {
            values: values.into(),
            uncounted: Default::default(),
            weighed_at,
            counts: Column::splat(1.0),
        }
    }

    /// The same run in every trial.
    fn of(run: &RunSeen) -> Self {
        let values = [
            run.solid.0,
            run.liquid.0,
            run.portion.0,
            run.reagent.0,
            run.change.0,
            run.mixing.0,
            run.hot.0,
        ];
        Self {
            uncounted: (run.rinse, run.extra, run.heat),
            ..Self::new(values.map(Column::splat), Column::splat(run.weighed_at))
        }
    }

    /// The values of an entry.
    pub fn entry(&self, entry: Entry) -> Option<&Column<f64>> {
        self.values.get(entry as usize)
    }

    /// The same, to be changed.
    pub fn entry_mut(&mut self, entry: Entry) -> Option<&mut Column<f64>> {
        self.values.get_mut(entry as usize)
    }

    /// Takes over one trial's values.
    pub fn take(&mut self, trial: usize, from: &Self) {
        for (own, other) in self.values.iter_mut().zip(&from.values) {
            own[trial] = other[trial];
        }
        self.weighed_at[trial] = from.weighed_at[trial];
    }

    /// One trial's page.
    #[inline]
    pub fn run(&self, i: usize) -> RunSeen {
        let v = |entry: Entry| self.values[entry as usize][i];
        let (rinse, extra, heat) = self.uncounted;
        RunSeen {
            solid: Gram(v(Entry::Solid)),
            liquid: Gram(v(Entry::Liquid)),
            portion: Gram(v(Entry::Portion)),
            reagent: Gram(v(Entry::Reagent)),
            change: Kelvin(v(Entry::Change)),
            mixing: Celsius(v(Entry::Mixing)),
            hot: Celsius(v(Entry::Hot)),
            weighed_at: self.weighed_at[i],
            rinse,
            extra,
            heat,
        }
    }
}

/// The pages of one leg.
#[derive(Debug, Clone)]
pub struct LegPages {
    /// By run.
    pub runs: Vec<Page>,
    /// Its tables.
    pub tables: LegTables,
}

impl LegPages {
    /// Runs that count.
    pub fn number(&self) -> Column<f64> {
        self.sum(|page| &page.counts)
    }

    /// Mean of an entry over the runs that count; NaN where none does.
    pub fn mean(&self, entry: Entry) -> Column<f64> {
        self.mean_of(|r| self.runs[r].entry(entry).expect("in the pages"))
    }

    /// Mean of something that each run has, likewise.
    pub fn mean_of<'c>(&self, of: impl Fn(usize) -> &'c Column<f64>) -> Column<f64> {
        let mut sum = Column::splat(0.0);
        for (r, page) in self.runs.iter().enumerate() {
            let own = of(r);
            for i in 0..sum.0.len() {
                // What does not count may be anything, infinite too.
                sum[i] += if page.counts[i] > 0.0 { own[i] } else { 0.0 };
            }
        }
        let n = self.number();
        Column::from_fn(|i| sum[i] / n[i])
    }

    fn sum(&self, of: impl Fn(&Page) -> &Column<f64>) -> Column<f64> {
        let mut sum = Column::splat(0.0);
        for page in &self.runs {
            let own = of(page);
            for i in 0..sum.0.len() {
                sum[i] += own[i];
            }
        }
        sum
    }

    fn of(leg: &LegSeen) -> Self {
        Self {
            runs: leg.runs.iter().map(Page::of).collect(),
            tables: leg.tables.clone(),
        }
    }

    fn seen(&self, i: usize) -> LegSeen {
        let counted = self.runs.iter().filter(|page| page.counts[i] > 0.0);
        LegSeen {
            runs: counted.map(|page| page.run(i)).collect(),
            tables: self.tables.clone(),
        }
    }
}

/// Everything that labs evaluate: by leg, the calibration first.
#[derive(Debug, Clone)]
pub struct Pages {
    /// The legs.
    pub legs: Vec<Rc<LegPages>>,
}

impl Pages {
    /// One notebook, the same in all trials.
    pub fn of(seen: &Seen) -> Self {
        let legs = std::iter::once(&seen.calibration).chain(&seen.legs);
        Self {
            legs: legs.map(|leg| Rc::new(LegPages::of(leg))).collect(),
        }
    }

    /// The notebook of one trial.
    pub fn seen(&self, i: usize) -> Seen {
        Seen {
            calibration: self.legs[0].seen(i),
            legs: self.legs[1..].iter().map(|leg| leg.seen(i)).collect(),
        }
    }
}

/// How the record of a run is reduced, where all runs have one reduction or each its own.
#[inline]
pub(super) fn own_reduction(all: &[Reduction], run: usize) -> &Reduction {
    &all[run.min(all.len() - 1)]
}
