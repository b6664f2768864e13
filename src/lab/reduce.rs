//! From a record to one change of temperature and the temperature of mixing.
//!
//! Both records of this version are linear in their readings: Delta T = sum w_j T_j. Two readings
//! have weights -1 and 1. For a trace, a straight line is fitted to each period by least squares
//! and both are extended to the moment of mixing, t = 0. The value of a line at 0 is
//! sum_j T_j [1/n - t_mean (t_j - t_mean) / S], S = sum (t_j - t_mean)^2 (ordinary least squares).

use crate::quantity::{Celsius, Kelvin, Second};
use crate::random::{BLOCK, Column};
use crate::scenario::Record;

/// A record's readings and their weights.
#[derive(Debug, Clone)]
pub struct Reduction {
    readings: Vec<Weighted>,
    start: Second,
}

#[derive(Debug, Clone, Copy)]
struct Weighted {
    /// Identity of the reading within its run.
    number: u32,
    time: Second,
    /// Weight in the change of temperature.
    rise: f64,
    /// Weight in the temperature of mixing.
    mixing: f64,
}

/// What a record comes to.
#[derive(Debug, Clone)]
pub struct Reduced {
    /// Change of temperature at the moment of mixing.
    pub rise: Column<Kelvin>,
    /// Temperature of mixing.
    pub mixing: Column<Celsius>,
}

/// A fitted line, for a picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// First reading it is fitted to.
    pub from: Second,
    /// Last reading it is fitted to.
    pub to: Second,
    /// Its value at the moment of mixing.
    pub at_mixing: Celsius,
    /// Its slope, K/s.
    pub slope: f64,
}

/// Numbers of readings before and after mixing never meet, so that a longer period before does not
/// renumber the readings after.
const AFTER: u32 = 1 << 20;

impl Reduction {
    /// The reduction that a record asks for.
    pub fn of(record: Record) -> Self {
        match record {
            Record::TwoReadings { before, read_at } => Self {
                start: -before,
                readings: vec![
                    Weighted {
                        number: 0,
                        time: -before,
                        rise: -1.0,
                        mixing: 1.0,
                    },
                    Weighted {
                        number: AFTER,
                        time: read_at,
                        rise: 1.0,
                        mixing: 0.0,
                    },
                ],
            },
            Record::Trace { .. } => {
                let (fore, after) = periods(record);
                let before = weights_at_mixing(&fore);
                let behind = weights_at_mixing(&after);
                let mut readings = Vec::new();
                for (j, (t, w)) in fore.iter().zip(before).enumerate() {
                    readings.push(Weighted {
                        // Counted backwards from mixing, so that an earlier start adds readings.
                        number: (fore.len() - 1 - j) as u32,
                        time: *t,
                        rise: -w,
                        mixing: w,
                    });
                }
                for (j, (t, w)) in after.iter().zip(behind).enumerate() {
                    readings.push(Weighted {
                        number: AFTER + j as u32,
                        time: *t,
                        rise: w,
                        mixing: 0.0,
                    });
                }
                Self {
                    start: fore[0],
                    readings,
                }
            }
        }
    }

    /// Takes the readings and reduces them.
    pub fn reduce(&self, mut reading: impl FnMut(u32, Second) -> Column<Celsius>) -> Reduced {
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
        }
    }

    /// Factor from the standard deviation of one reading to that of the change of temperature.
    pub fn noise_factor(&self) -> f64 {
        self.readings
            .iter()
            .map(|r| r.rise * r.rise)
            .sum::<f64>()
            .sqrt()
    }

    /// Change of temperature that a creep of 1 K/s from the start of the record makes.
    pub fn creep(&self) -> Second {
        self.creep_with(|r| r.rise)
    }

    /// The same for the temperature of mixing.
    pub fn mixing_creep(&self) -> Second {
        self.creep_with(|r| r.mixing)
    }

    fn creep_with(&self, weight: impl Fn(&Weighted) -> f64) -> Second {
        let sum = self
            .readings
            .iter()
            .map(|r| weight(r) * (r.time - self.start).0)
            .sum();
        Second(sum)
    }

    /// Number and time of each reading.
    pub fn readings(&self) -> impl Iterator<Item = (u32, Second)> {
        self.readings.iter().map(|r| (r.number, r.time))
    }

    /// The two lines of one trial's record; none for two readings.
    pub fn lines(&self, mut shown: impl FnMut(u32, Second) -> Celsius) -> Vec<Line> {
        if self.readings.len() == 2 {
            return Vec::new();
        }
        [false, true]
            .into_iter()
            .map(|behind| {
                let points: Vec<(Second, Celsius)> = self
                    .readings
                    .iter()
                    .filter(|r| (r.number >= AFTER) == behind)
                    .map(|r| (r.time, shown(r.number, r.time)))
                    .collect();
                fit(&points)
            })
            .collect()
    }
}

/// Times of the readings of both lines.
fn periods(record: Record) -> (Vec<Second>, Vec<Second>) {
    let Record::Trace {
        interval,
        fore,
        after,
        settle,
    } = record
    else {
        return (Vec::new(), Vec::new());
    };
    // A reading that is due within a millionth of an interval of an end counts.
    let count = |span: Second| (span / interval + 1e-6).floor() as u32;
    let fore = (1..=count(fore))
        .rev()
        .map(|j| -(interval * f64::from(j)))
        .collect();
    let after = (0..=count(after - settle))
        .map(|j| settle + interval * f64::from(j))
        .collect();
    (fore, after)
}

fn weights_at_mixing(times: &[Second]) -> Vec<f64> {
    let n = times.len() as f64;
    let mean = times.iter().map(|t| t.0).sum::<f64>() / n;
    let square: f64 = times.iter().map(|t| (t.0 - mean) * (t.0 - mean)).sum();
    times
        .iter()
        .map(|t| 1.0 / n - mean * (t.0 - mean) / square)
        .collect()
}

fn fit(points: &[(Second, Celsius)]) -> Line {
    let n = points.len() as f64;
    let mean_t = points.iter().map(|p| p.0.0).sum::<f64>() / n;
    let mean = points.iter().map(|p| p.1.0).sum::<f64>() / n;
    let square: f64 = points
        .iter()
        .map(|p| (p.0.0 - mean_t) * (p.0.0 - mean_t))
        .sum();
    let slope = points
        .iter()
        .map(|p| (p.0.0 - mean_t) * (p.1.0 - mean))
        .sum::<f64>()
        / square;
    Line {
        from: points[0].0,
        to: points[points.len() - 1].0,
        at_mixing: Celsius(mean - slope * mean_t),
        slope,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TRACE: Record = Record::Trace {
        interval: Second(5.0),
        fore: Second(60.0),
        after: Second(120.0),
        settle: Second(40.0),
    };

    #[test]
    fn two_straight_lines_give_back_their_step() {
        let reduction = Reduction::of(TRACE);
        let shown = |t: Second| {
            let step = if t.0 < 0.0 { 0.0 } else { 0.75 + 3e-4 * t.0 };
            Celsius(21.0 - 2e-4 * t.0 + step)
        };
        let reduced = reduction.reduce(|_, t| Column::splat(shown(t)));
        assert!((reduced.rise[0].0 - 0.75).abs() < 1e-12);
        assert!((reduced.mixing[0].0 - 21.0).abs() < 1e-12);
        let lines = reduction.lines(|_, t| shown(t));
        assert!((lines[1].at_mixing.0 - 21.75).abs() < 1e-12);
        assert!((lines[0].slope + 2e-4).abs() < 1e-15);
    }

    #[test]
    fn a_constant_creep_is_removed_by_lines_and_not_by_two_readings() {
        assert!(Reduction::of(TRACE).creep().0.abs() < 1e-9);
        let two = Record::TwoReadings {
            before: Second(10.0),
            read_at: Second(170.0),
        };
        assert_eq!(Reduction::of(two).creep(), Second(180.0));
    }

    #[test]
    fn a_longer_period_keeps_the_numbers_of_the_readings_it_had() {
        let longer = Record::Trace {
            interval: Second(5.0),
            fore: Second(90.0),
            after: Second(200.0),
            settle: Second(40.0),
        };
        let short: Vec<_> = Reduction::of(TRACE).readings().collect();
        let long: Vec<_> = Reduction::of(longer).readings().collect();
        assert!(short.iter().all(|r| long.contains(r)));
        assert_eq!(short.len(), 12 + 17);
    }
}
