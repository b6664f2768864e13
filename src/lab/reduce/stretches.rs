//! Readings of a line that may be summed at once instead of one by one.

use super::{Reading, Reduction, Sums};
use crate::quantity::{Celsius, Second};
use crate::random::Column;

/// Readings at one interval that are worth summing at once, and how often it is looked whether they can be.
const MANY: u32 = 8;

/// Number of readings from each on that lie at one interval in one line, none of them looked at by itself.
pub(super) fn even(readings: &[Reading]) -> Vec<u32> {
    let mut all = vec![1u32; readings.len()];
    for at in (0..readings.len().saturating_sub(1)).rev() {
        let [this, next] = [&readings[at], &readings[at + 1]];
        let together = this.line().is_some() && this.line() == next.line();
        if !together || this.kept || next.kept {
            continue;
        }
        let gap = (next.time - this.time).0;
        let same = match readings.get(at + 2) {
            Some(after) if all[at + 1] > 1 => {
                ((after.time - next.time).0 - gap).abs() <= 1e-9 * gap
            }
            _ => true,
        };
        all[at] = if same { all[at + 1] + 1 } else { 2 };
    }
    all
}

impl Reduction {
    /// The same where many readings of a line at one interval may be summed at once: `stretch` gives for a first time, an
    /// interval and a number of readings the sums of what they show above the first reading of the record, and of that times
    /// their number from 0; none where they must be taken one by one.
    pub fn sums_by_stretches<T>(
        &self,
        taker: &mut T,
        reading: impl Fn(&mut T, u32, Second, &mut Column<Celsius>),
        stretch: impl Fn(&mut T, Second, (Second, u32), &Column<Celsius>) -> Option<[Column<f64>; 2]>,
    ) -> Sums {
        let mut sums = self.nothing();
        let mut shown = Column::splat(Celsius(0.0));
        let mut at = 0;
        while let Some(r) = self.readings.get(at) {
            if at > 0
                && let Some((line, interval, n)) = self.even_from(at)
                && let Some([sum, by_number]) = stretch(taker, r.time, (interval, n), &sums.first)
            {
                let from_mean = r.time.0 - self.lines[line].mean;
                sums.add(line, &sum, [1.0, from_mean]);
                sums.add(line, &by_number, [0.0, interval.0]);
                at += n as usize;
                continue;
            }
            reading(taker, r.number, r.time, &mut shown);
            self.take(at, &shown, &mut sums);
            at += 1;
        }
        sums
    }

    /// Line, interval and number of the readings from one on to the end of its line, if they are many, at one interval, and
    /// none of them is looked at by itself.
    fn even_from(&self, at: usize) -> Option<(usize, Second, u32)> {
        let n = self.even[at];
        // Lines end where they end: only now and then is it worth looking again whether the rest is quiet.
        let whole = at == 1 || self.even[at - 1] != n + 1;
        if n < MANY || !(whole || n.is_multiple_of(MANY)) {
            return None;
        }
        let interval = self.readings[at + 1].time - self.readings[at].time;
        Some((self.readings[at].line()?, interval, n))
    }
}
