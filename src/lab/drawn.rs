//! What may have been true of a leg's runs, readings and tables, for a block of draws (`knowledge`).

use super::effect::Effect;
use super::evaluate::RunSeen;
use super::reduce::Reduction;
use super::table_entry::TableEntry;
use super::tables::LegTables;
use crate::quantity::Kelvin;
use crate::random::{BLOCK, Column, Dist, Draws, Input, Name, Tag};
use crate::scenario::{ReductionMethod, SourceId};

/// What is known of the readings of a leg's records.
#[derive(Debug, Clone)]
pub(super) struct Readings {
    pub(super) identity: Tag,
    pub(super) noise: Input,
    /// Last digit, K.
    pub(super) digit: f64,
    /// Whether the temperature of hot water is read too.
    pub(super) of_hot_water: bool,
}

/// What may have been true of a leg, for a block.
pub(super) struct LegDrawn {
    pub(super) runs: Vec<Box<[RunSeen; BLOCK]>>,
    /// What is added to an entry of the tables.
    pub(super) tables: Vec<(TableEntry, f64, Column<f64>)>,
    /// Error of the mean over its runs.
    pub(super) mean_error: Column<f64>,
}

impl LegDrawn {
    pub(super) fn falsify_table(
        &mut self,
        effect: Effect,
        tables: &LegTables,
        error: &Column<f64>,
    ) {
        let (entry, per) = match effect {
            Effect::Table(entry, per) => (entry, per),
            Effect::TableProportion(entry, per) => (entry, per * entry.value(tables)),
            _ => return,
        };
        match self.tables.iter_mut().find(|(own, ..)| *own == entry) {
            Some((.., sum)) => (0..BLOCK).for_each(|i| sum[i] += per * error[i]),
            None => {
                let own = Column::from_fn(|i| per * error[i]);
                self.tables.push((entry, entry.value(tables), own));
            }
        }
    }

    /// Sets the tables of a trial.
    pub(super) fn put_tables(&self, tables: &mut LegTables, i: usize) {
        for (entry, seen, error) in &self.tables {
            if let Some(place) = entry.place(tables) {
                *place = seen + error[i];
            }
        }
    }
}

impl Readings {
    /// Takes noise and last digits off a run's change of temperature, temperature of mixing and, where there is one, hot
    /// reading. Of two readings each has its own, as it is distributed; of lines the sums are normal, and of a reduction that
    /// is not linear they count to first order.
    pub(super) fn falsify(
        &self,
        draws: &Draws,
        (number, run): (u32, &RunSeen),
        reduction: &Reduction,
        out: &mut [RunSeen; BLOCK],
    ) {
        let name = |source: SourceId| Name::run(source.source().tag(), self.identity, number, 0);
        let half = 0.5 * self.digit;
        let digit = Dist::rectangular(-half, half).ok().filter(|_| half > 0.0);
        let single = |reading: u32| -> Column<f64> {
            let mut error: Column<f64> = draws.column(name(SourceId::Noise), reading, &self.noise);
            if let Some(dist) = &digit {
                let input = Input::error(dist.clone());
                let own: Column<f64> = draws.column(name(SourceId::Resolution), reading, &input);
                (0..BLOCK).for_each(|i| error[i] += own[i]);
            }
            error
        };
        let sd = self.noise.dist.sd().hypot(self.digit / 12f64.sqrt());
        let normal = Input::error(Dist::normal(0.0, 1.0).expect("valid"));
        let whole = |line: u32| -> Column<f64> {
            let own: Column<f64> = draws.column(name(SourceId::Noise), WHOLE + line, &normal);
            Column::from_fn(|i| sd * own[i])
        };
        let [change, mixing]: [Column<f64>; 2] = if reduction.way() == ReductionMethod::TwoReadings
        {
            let [first, second] = [single(0), single(1)];
            [Column::from_fn(|i| second[i] - first[i]), first]
        } else {
            // Cholesky's factor of the covariance of both.
            let [a, b, c] = reduction.noise_squares(run.weighed_at);
            let along = a.sqrt();
            let across = (c - b * b / a).max(0.0).sqrt();
            let [x, y] = [whole(0), whole(1)];
            [
                Column::from_fn(|i| along * x[i]),
                Column::from_fn(|i| b / along * x[i] + across * y[i]),
            ]
        };
        for i in 0..BLOCK {
            out[i].change = out[i].change - Kelvin(change[i]);
            out[i].mixing = out[i].mixing - Kelvin(mixing[i]);
        }
        if self.of_hot_water {
            let hot = single(HOT);
            for i in 0..BLOCK {
                out[i].hot = out[i].hot - Kelvin(hot[i]);
            }
        }
    }
}

/// Number of the first of the draws for whole lines, and of that for the hot reading.
const WHOLE: u32 = 1 << 28;
const HOT: u32 = 1 << 27;
