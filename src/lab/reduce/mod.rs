//! From a record to one change of temperature and the temperature of mixing.
//!
//! Two readings and lines carried back to mixing are linear in the readings,
//! Delta T = sum w_j T_j; the other ways ([`ways`]) need the record between as well. Readings lie on
//! their grid, counted from mixing both ways, and each has a number of its own.

mod grid;
mod lines;
mod stretches;
mod sums;
mod ways;

use crate::quantity::{Celsius, Kelvin, Second};
use crate::random::Column;
use crate::scenario::{Leg, Record, ReductionMethod};
use grid::Grid;
pub use lines::Line;
use lines::{Span, fit};
use stretches::even;
pub use sums::Sums;
use sums::add;
use ways::{LinesSeen, RecordsSeen, take};

/// A record's readings, and what is made of them.
#[derive(Debug, Clone)]
pub struct Reduction {
    way: ReductionMethod,
    readings: Vec<Reading>,
    /// How many readings from each on belong to its line, are not looked at by themselves and lie at one interval.
    even: Vec<u32>,
    start: Second,
    /// The line before and the line behind.
    lines: [Span; 2],
    /// Readings before and after that the change of temperature is taken from.
    spans: [Span; 2],
    /// Where the lab takes the moment of mixing to be, from where it is.
    taken_at: Second,
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
    /// Whether the way looks at it by itself.
    kept: bool,
}

/// What a record comes to.
#[derive(Debug, Clone)]
pub struct Reduced {
    /// Change of temperature.
    pub change: Column<Kelvin>,
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
        Self::with(&leg.record, leg.way)
    }

    /// A reduction of a record in a given way.
    pub fn with(record: &Record, way: ReductionMethod) -> Self {
        match record {
            Record::TwoReadings { before, read_at } => {
                Self::of_two((0, -*before), (AFTER, *read_at), -*before)
            }
            Record::Trace { .. } => Self::of_trace(record, way),
        }
    }

    /// One reading before and one after.
    fn of_two(first: (u32, Second), second: (u32, Second), start: Second) -> Self {
        let spans = [first.1, second.1].map(|t| Span::of(&[t]));
        Self {
            way: ReductionMethod::TwoReadings,
            start,
            readings: vec![
                Reading::new(first.0, first.1, Part::Fore),
                Reading::new(second.0, second.1, Part::After),
            ],
            even: vec![1, 1],
            lines: spans,
            spans,
            taken_at: Second(0.0),
        }
    }

    fn of_trace(record: &Record, way: ReductionMethod) -> Self {
        let Grid {
            before,
            after,
            settled,
            read_at,
        } = Grid::of(record);
        let start = before[0];
        let last = before[before.len() - 1];
        let later = |j: usize, part| Reading::new(AFTER + 1 + j as u32, after[j], part);
        if way == ReductionMethod::TwoReadings {
            let second = later(read_at, Part::After);
            return Self::of_two((0, last), (second.number, second.time), start);
        }
        // Counted backwards from mixing, so that an earlier start adds readings.
        let numbers = (0..before.len() as u32).rev();
        let mut readings: Vec<Reading> = numbers
            .zip(&before)
            .map(|(number, t)| Reading::new(number, *t, Part::Fore))
            .collect();
        if way != ReductionMethod::BackToMixing {
            readings.extend((0..settled).map(|j| later(j, Part::Main)));
        }
        readings.extend((settled..after.len()).map(|j| later(j, Part::After)));
        // What a way looks at beside the main period.
        for r in &mut readings {
            r.kept |= match way {
                ReductionMethod::TwoReadings | ReductionMethod::BackToMixing => false,
                ReductionMethod::Extreme => r.part == Part::After || r.time == last,
                _ => r.part == Part::After && r.time == after[settled],
            };
        }
        let lines = [Span::of(&before), Span::of(&after[settled..])];
        let spans = match way {
            // The last reading before, and whichever is the extreme.
            ReductionMethod::Extreme => [last, after[settled]].map(|t| Span::of(&[t])),
            _ => lines,
        };
        Self {
            way,
            even: even(&readings),
            readings,
            start,
            lines,
            spans,
            taken_at: Second(0.0),
        }
    }

    /// The same by a lab that takes the moment of mixing for so much later than it is: lines that are carried back to it end
    /// there, and the other ways, which find their moment in the record, read the temperature of mixing there.
    #[must_use]
    pub fn taken_at(mut self, later: Second) -> Self {
        if self.way != ReductionMethod::TwoReadings {
            self.taken_at = later;
        }
        self
    }

    /// The way.
    pub fn way(&self) -> ReductionMethod {
        self.way
    }

    /// Takes the readings and reduces them: `reading` puts that of a number and a time into the column.
    pub fn reduce(&self, reading: impl FnMut(u32, Second, &mut Column<Celsius>)) -> Reduced {
        self.finish(&self.sums(reading))
    }

    /// What is linear in the readings, which are asked for in the order of their times. Of a sum of records it is the sum.
    pub fn sums(&self, mut reading: impl FnMut(u32, Second, &mut Column<Celsius>)) -> Sums {
        let mut sums = self.nothing();
        let mut shown = Column::splat(Celsius(0.0));
        for (at, r) in self.readings.iter().enumerate() {
            reading(r.number, r.time, &mut shown);
            self.take(at, &shown, &mut sums);
        }
        sums
    }

    fn nothing(&self) -> Sums {
        Sums::with_room(self.readings.iter().filter(|r| r.kept).count())
    }

    /// Takes one reading in.
    fn take(&self, at: usize, shown: &Column<Celsius>, sums: &mut Sums) {
        let r = &self.readings[at];
        // Differences from the first reading: the weights of a change sum to zero, and the
        // rounding of that sum must not be multiplied by 25 °C.
        if at == 0 {
            sums.first = shown.clone();
        }
        if r.kept {
            sums.keep(shown);
        }
        if let Some(line) = r.line() {
            let from_mean = r.time.0 - self.lines[line].mean;
            let [sum, moment] = &mut sums.lines[line];
            add(shown, &sums.first, from_mean, (sum, moment));
        }
    }

    /// Whether the way looks at the reading of this number by itself.
    pub fn keeps(&self, number: u32) -> bool {
        self.readings.iter().any(|r| r.number == number && r.kept)
    }

    /// The same of independent errors of the readings with one normal distribution: `single` draws that of a reading,
    /// `whole` the same distribution for a line, of numbers 0 to 3; without `single` it is left out for readings that are
    /// looked at one by one. Those of the n readings of a line that are looked at
    /// in the line only add, with c their times from the mean of its times, sum e with variance n, sum c e with variance
    /// sum c^2 and the covariance of both, sum c.
    pub fn noise(
        &self,
        mut whole: impl FnMut(u32) -> Column<f64>,
        single: Option<&dyn Fn(u32) -> Column<f64>>,
    ) -> Sums {
        let mut sums = self.nothing();
        for (r, single) in self
            .readings
            .iter()
            .filter(|r| r.kept)
            .zip(single.iter().cycle())
        {
            let error = single(r.number);
            if let Some(line) = r.line() {
                let from_mean = r.time.0 - self.lines[line].mean;
                sums.add(line, &error, [1.0, from_mean]);
            }
            sums.kept.push(error);
        }
        for (number, line) in [(0, 0), (2, 1)] {
            let rest = self
                .readings
                .iter()
                .filter(|r| r.line() == Some(line) && !r.kept);
            let from_mean = rest.map(|r| r.time.0 - self.lines[line].mean);
            let [n, both, square] = from_mean.fold([0.0; 3], |[n, sum, square], c| {
                [n + 1.0, sum + c, square + c * c]
            });
            if n > 0.0 {
                let along = f64::sqrt(n);
                sums.add(line, &whole(number), [along, both / along]);
                let across = (square - both * both / n).max(0.0).sqrt();
                if across > 0.0 {
                    sums.add(line, &whole(number + 1), [0.0, across]);
                }
            }
        }
        sums
    }

    /// The change of temperature and the temperature of mixing.
    pub fn finish(&self, sums: &Sums) -> Reduced {
        let [fore, after] = [0, 1].map(|l| LinesSeen::of(&self.lines[l], &sums.lines[l]));
        let t = self.taken_at.0;
        let mut mixing = Column::from_fn(|i| sums.first[i] + Kelvin(fore.at(i, t)));
        if self.way.is_linear() {
            return Reduced {
                change: Column::from_fn(|i| Kelvin(after.at(i, t) - fore.at(i, t))),
                mixing,
                moment: Column::splat(0.0),
                weighed_at: Column::splat(0.0),
            };
        }
        let kept = self.readings.iter().filter(|r| r.kept);
        let times: Vec<f64> = kept.map(|r| r.time.0).collect();
        let behind = times.iter().filter(|t| **t <= self.first_behind()).count();
        let seen = RecordsSeen {
            fore: &fore,
            after: &after,
            times: &times,
            main: &sums.kept,
            behind,
        };
        let taken = take(self.way, &seen);
        if self.way == ReductionMethod::Extreme {
            mixing = Column::from_fn(|i| sums.first[i] + Kelvin(sums.kept[0][i]));
        }
        Reduced {
            change: Column::from_fn(|i| Kelvin(taken.change[i])),
            mixing,
            moment: taken.moment,
            weighed_at: taken.weighed_at,
        }
    }

    /// Time of the first reading of the line behind.
    fn first_behind(&self) -> f64 {
        let mut after = self.readings.iter().filter(|r| r.part == Part::After);
        after.next().map_or(0.0, |r| r.time.0)
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
            ReductionMethod::Extreme => weighed_at,
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
pub fn all_readings(record: &Record) -> Vec<(u32, Second)> {
    let way = match record {
        Record::TwoReadings { .. } => ReductionMethod::TwoReadings,
        Record::Trace { .. } => ReductionMethod::RegnaultPfaundler,
    };
    Reduction::with(record, way).readings().collect()
}

impl Reading {
    fn new(number: u32, time: Second, part: Part) -> Self {
        let kept = part == Part::Main;
        Self {
            number,
            time,
            part,
            kept,
        }
    }

    /// Number of the line that it belongs to.
    fn line(&self) -> Option<usize> {
        match self.part {
            Part::Fore => Some(0),
            Part::After => Some(1),
            Part::Main => None,
        }
    }
}

#[cfg(test)]
mod tests;
