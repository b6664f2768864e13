//! From a record to one change of temperature and the temperature of mixing.
//!
//! Two readings and lines carried back to mixing are linear in the readings,
//! Delta T = sum w_j T_j; the other ways ([`ways`]) need the record between as well. Readings lie on
//! one grid, -j and +j intervals from mixing, and each has a number of its own.

mod lines;
mod ways;

use crate::quantity::{Celsius, Kelvin, Second};
use crate::random::{BLOCK, Column};
use crate::scenario::{Leg, Record, Way};
pub use lines::Line;
use lines::{LineWeights, Span, fit, weights};
use ways::{Extremes, LineSeen, RecordSeen, take};

/// A record's readings, and what is made of them.
#[derive(Debug, Clone)]
pub struct Reduction {
    way: Way,
    readings: Vec<Reading>,
    start: Second,
    /// Readings before and after that the change of temperature is taken from.
    spans: [Span; 2],
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    Fore,
    Main,
    After,
}

#[derive(Debug, Clone, Copy)]
struct Reading {
    /// Identity of the reading within its run.
    number: u32,
    time: Second,
    part: Part,
    line: LineWeights,
    /// Weight in the change of temperature, for ways that are linear.
    rise: f64,
    /// Weight in the temperature of mixing.
    mixing: f64,
}

/// What a record comes to.
#[derive(Debug, Clone)]
pub struct Reduced {
    /// Change of temperature.
    pub rise: Column<Kelvin>,
    /// Temperature of mixing.
    pub mixing: Column<Celsius>,
    /// Moment at which the lines were taken, s; NaN where there is none.
    pub moment: Column<f64>,
    /// Moment that the weights of the readings go by to first order, s: that one, or the time of an extreme reading.
    pub weighed_at: Column<f64>,
}

/// Numbers of readings before and after mixing never meet, so that a longer period before does not
/// renumber the readings after.
const AFTER: u32 = 1 << 20;

impl Reduction {
    /// The reduction that a leg asks for.
    pub fn of(leg: &Leg) -> Self {
        Self::with(leg.record, leg.way)
    }

    /// A reduction of a record in a given way.
    pub fn with(record: Record, way: Way) -> Self {
        match record {
            Record::TwoReadings { before, read_at } => {
                Self::of_two((0, -before), (AFTER, read_at), -before)
            }
            Record::Trace { .. } => Self::of_trace(record, way),
        }
    }

    /// One reading before and one after.
    fn of_two(first: (u32, Second), second: (u32, Second), start: Second) -> Self {
        Self {
            way: Way::TwoReadings,
            start,
            readings: vec![
                single(first.0, first.1, Part::Fore, -1.0, 1.0),
                single(second.0, second.1, Part::After, 1.0, 0.0),
            ],
            spans: [first.1, second.1].map(|t| Span::of(&[t])),
        }
    }

    fn of_trace(record: Record, way: Way) -> Self {
        let Grid {
            fore,
            after,
            settled,
            read_at,
            interval,
        } = Grid::of(record);
        let at = |j: u32| interval * f64::from(j);
        let start = -at(fore);
        if way == Way::TwoReadings {
            return Self::of_two((0, -at(1)), (AFTER + read_at, at(read_at)), start);
        }
        let fore_times: Vec<Second> = (1..=fore).rev().map(|j| -at(j)).collect();
        let after_times: Vec<Second> = (settled..=after).map(at).collect();
        let mut readings = Vec::new();
        for (i, (t, line)) in fore_times.iter().zip(weights(&fore_times)).enumerate() {
            readings.push(Reading {
                // Counted backwards from mixing, so that an earlier start adds readings.
                number: (fore_times.len() - 1 - i) as u32,
                time: *t,
                part: Part::Fore,
                line,
                rise: -line.at_zero,
                mixing: line.at_zero,
            });
        }
        if way != Way::BackToMixing {
            let main = (1..settled).map(|j| single(AFTER + j, at(j), Part::Main, 0.0, 0.0));
            readings.extend(main);
        }
        for (j, line) in (settled..).zip(weights(&after_times)) {
            readings.push(Reading {
                line,
                ..single(AFTER + j, at(j), Part::After, line.at_zero, 0.0)
            });
        }
        let spans = match way {
            // The last reading before, and whichever is the extreme.
            Way::Extreme => [-at(1), at(settled)].map(|t| Span::of(&[t])),
            _ => [Span::of(&fore_times), Span::of(&after_times)],
        };
        Self {
            way,
            readings,
            start,
            spans,
        }
    }

    /// The way.
    pub fn way(&self) -> Way {
        self.way
    }

    /// Takes the readings and reduces them.
    pub fn reduce(&self, reading: impl FnMut(u32, Second) -> Column<Celsius>) -> Reduced {
        if self.way.is_linear() {
            self.reduce_linear(reading)
        } else {
            self.reduce_record(reading)
        }
    }

    fn reduce_linear(&self, mut reading: impl FnMut(u32, Second) -> Column<Celsius>) -> Reduced {
        let mut rise = Column::splat(Kelvin(0.0));
        let mut above = Column::splat(Kelvin(0.0));
        let mut first: Option<Column<Celsius>> = None;
        for r in &self.readings {
            let shown = reading(r.number, r.time);
            // Differences from the first reading: the weights of a rise sum to zero, and the
            // rounding of that sum must not be multiplied by 25 °C.
            let zero = first.get_or_insert_with(|| shown.clone());
            for i in 0..BLOCK {
                let d = shown[i] - zero[i];
                rise[i] = rise[i] + d * r.rise;
                above[i] = above[i] + d * r.mixing;
            }
        }
        let zero = first.unwrap_or_else(|| Column::splat(Celsius(0.0)));
        Reduced {
            rise,
            mixing: Column::from_fn(|i| zero[i] + above[i]),
            moment: Column::splat(0.0),
            weighed_at: Column::splat(0.0),
        }
    }

    fn reduce_record(&self, mut reading: impl FnMut(u32, Second) -> Column<Celsius>) -> Reduced {
        let empty = Column::splat(LineSeen::default());
        let (mut fore, mut after) = (empty.clone(), empty);
        let mut times = Vec::new();
        let mut main: Vec<Column<f64>> = Vec::new();
        let mut last_before = Column::splat(0.0);
        let mut extremes = Column::splat(Extremes::NONE);
        let mut first: Option<Column<Celsius>> = None;
        let mut settled = false;
        for r in &self.readings {
            let shown = reading(r.number, r.time);
            let zero = first.get_or_insert_with(|| shown.clone());
            let d = Column::from_fn(|i| (shown[i] - zero[i]).0);
            let line = match r.part {
                Part::Fore => Some(&mut fore),
                Part::After => Some(&mut after),
                Part::Main => None,
            };
            if let Some(line) = line {
                for i in 0..BLOCK {
                    line[i].at_zero += r.line.at_zero * d[i];
                    line[i].slope += r.line.slope * d[i];
                    line[i].mean += r.line.mean * d[i];
                }
            }
            if r.part == Part::Fore {
                last_before = d;
                continue;
            }
            for i in 0..BLOCK {
                let before = (!settled).then_some(fore[i]);
                extremes[i].see(r.time.0, d[i], before);
            }
            if !settled {
                times.push(r.time.0);
                main.push(d);
                settled = r.part == Part::After;
            }
        }
        let zero = first.unwrap_or_else(|| Column::splat(Celsius(0.0)));
        let mut out = Reduced {
            rise: Column::splat(Kelvin(0.0)),
            mixing: Column::splat(Celsius(0.0)),
            moment: Column::splat(f64::NAN),
            weighed_at: Column::splat(0.0),
        };
        let mut own = vec![0.0; main.len()];
        for i in 0..BLOCK {
            for (x, column) in own.iter_mut().zip(&main) {
                *x = column[i];
            }
            let seen = RecordSeen {
                fore: fore[i],
                after: after[i],
                times: &times,
                main: &own,
                last_before: last_before[i],
                extremes: extremes[i],
            };
            let taken = take(self.way, &seen);
            let mixing = if self.way == Way::Extreme {
                last_before[i]
            } else {
                fore[i].at_zero
            };
            out.rise[i] = Kelvin(taken.rise);
            out.mixing[i] = zero[i] + Kelvin(mixing);
            out.moment[i] = taken.moment;
            out.weighed_at[i] = taken.weighed_at;
        }
        out
    }

    /// Sums of squares and products of the readings' weights, to first order in a record whose weights go by this moment:
    /// change of temperature, both, temperature of mixing. What one reading's variance becomes.
    ///
    /// That the moment itself moves with the readings is of second order: it counts by the difference of two slopes.
    pub fn noise_squares(&self, weighed_at: f64) -> [f64; 3] {
        let [fore, after] = self.spans;
        let (t, back) = (weighed_at, 0.0);
        [
            fore.covariance(t, t) + after.covariance(t, t),
            -fore.covariance(t, back),
            fore.covariance(back, back),
        ]
    }

    /// What a creep of 1 K/s from the start of the record makes of the change of temperature and of the temperature of
    /// mixing, likewise.
    pub fn creep(&self, weighed_at: f64) -> [Second; 2] {
        let [fore, after] = self.spans;
        let last = match self.way {
            Way::Extreme => weighed_at,
            _ => after.follows(weighed_at),
        };
        [
            Second(last - fore.follows(weighed_at)),
            Second(fore.follows(0.0)) - self.start,
        ]
    }

    /// Number and time of each reading that is used.
    pub fn readings(&self) -> impl Iterator<Item = (u32, Second)> {
        self.readings.iter().map(|r| (r.number, r.time))
    }

    /// The two lines of one trial's record; none where there are none.
    pub fn lines(&self, mut shown: impl FnMut(u32, Second) -> Celsius) -> Vec<Line> {
        let mut of = |part: Part| -> Vec<(Second, Celsius)> {
            self.readings
                .iter()
                .filter(|r| r.part == part)
                .map(|r| (r.time, shown(r.number, r.time)))
                .collect()
        };
        let (fore, after) = (of(Part::Fore), of(Part::After));
        if fore.len() < 2 || after.len() < 2 {
            return Vec::new();
        }
        vec![fit(&fore), fit(&after)]
    }
}

/// Number and time of every reading of a record, used or not.
pub fn all_readings(record: Record) -> Vec<(u32, Second)> {
    let way = match record {
        Record::TwoReadings { .. } => Way::TwoReadings,
        Record::Trace { .. } => Way::RegnaultPfaundler,
    };
    Reduction::with(record, way).readings().collect()
}

fn single(number: u32, time: Second, part: Part, rise: f64, mixing: f64) -> Reading {
    Reading {
        number,
        time,
        part,
        line: LineWeights::default(),
        rise,
        mixing,
    }
}

/// A trace in whole intervals from mixing.
struct Grid {
    interval: Second,
    fore: u32,
    after: u32,
    settled: u32,
    read_at: u32,
}

impl Grid {
    fn of(record: Record) -> Self {
        let Record::Trace {
            interval,
            fore,
            after,
            settle,
            read_at,
        } = record
        else {
            unreachable!("only a trace has a grid");
        };
        // A reading that is due within a millionth of an interval of an end counts.
        let until = |span: Second| (span / interval + 1e-6).floor() as u32;
        let from = |span: Second| ((span / interval - 1e-6).ceil() as u32).max(1);
        Self {
            interval,
            fore: until(fore),
            after: until(after),
            settled: from(settle).min(until(after).saturating_sub(1).max(1)),
            read_at: from(read_at).min(until(after)),
        }
    }
}

#[cfg(test)]
mod tests;
