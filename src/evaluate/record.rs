//! From a measured record to the change of temperature that the lab's reduction makes of it.
//!
//! Times count from the moment of mixing: as it is told, as a mark in the record, or, found, the middle between the two
//! readings between which the temperature changes fastest. The lab's reduction then works with the readings that are there,
//! however they are spaced.

use crate::lab::{Line, Reduction};
use crate::measured::{FileProblem, MeasuredRecord};
use crate::quantity::{Celsius, Second};
use crate::random::Column;
use crate::scenario::{Leg, Pace, Record, ReductionMethod};

/// Where the moment of mixing is known from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MixedAt {
    /// The table or the command line says it.
    Told,
    /// The record marks it.
    Marked,
    /// Where the temperature changes fastest.
    Found,
}

/// A measured record and what the lab's reduction makes of it.
#[derive(Debug, Clone)]
pub struct ReducedRecord {
    /// Times from mixing, s, and temperatures, °C.
    pub readings: Vec<(f64, f64)>,
    /// The moment of mixing in the record's own time, s, and where it is known from.
    pub mixed_at: (f64, MixedAt),
    /// How it was reduced.
    pub reduction: Reduction,
    /// The record as the reduction has it.
    pub record: Record,
    /// Change of temperature, K.
    pub change: f64,
    /// Temperature of mixing, °C.
    pub mixing: f64,
    /// Moment that the weights of the readings go by, s.
    pub weighed_at: f64,
    /// Moment at which lines were taken, s; NaN where there is none.
    pub moment: f64,
}

impl ReducedRecord {
    /// Line before and line behind, where the reduction has them.
    pub fn lines(&self) -> Vec<Line> {
        self.reduction.lines(|_, t| reading_at(&self.readings, t))
    }
}

/// The reading of a time.
fn reading_at(readings: &[(f64, f64)], t: Second) -> Celsius {
    let place = readings.partition_point(|(time, _)| *time < t.0);
    Celsius(readings[place.min(readings.len() - 1)].1)
}

/// Least readings of a line.
const OF_A_LINE: usize = 2;

/// Reduces a record as the leg's lab does.
///
/// # Errors
/// If readings that the reduction needs are not there.
pub fn reduce(
    leg: &Leg,
    measured: &MeasuredRecord,
    mixed_at: Option<f64>,
) -> Result<ReducedRecord, Vec<FileProblem>> {
    let mixed = moment_of_mixing(measured, mixed_at);
    reduced(leg, measured, mixed, leg.way)
}

/// The same in another way.
///
/// # Errors
/// As [`reduce`].
pub fn reduced(
    leg: &Leg,
    measured: &MeasuredRecord,
    (zero, how): (f64, MixedAt),
    way: ReductionMethod,
) -> Result<ReducedRecord, Vec<FileProblem>> {
    let problem = |message: String, hint: &str| {
        Err(vec![FileProblem {
            file: measured.file.clone(),
            line: None,
            column: None,
            message,
            hint: Some(hint.to_owned()),
        }])
    };
    let all = measured.times.iter().zip(&measured.temperatures);
    // A reading at the very moment belongs to neither side.
    let readings: Vec<(f64, f64)> = all
        .map(|(t, temperature)| (t - zero, *temperature))
        .filter(|(t, _)| *t != 0.0)
        .collect();
    let Some(record) = record(leg, &readings) else {
        return problem(
            format!("no reading before and after the moment of mixing at {zero} s"),
            "say the moment in the column `mixed_at`, in the record's own time",
        );
    };
    if let Record::Trace { settle, .. } = &record {
        let [before, after] = record.times();
        let settled = after.iter().filter(|t| t.0 >= settle.0).count();
        let needs_lines = !matches!(way, ReductionMethod::TwoReadings | ReductionMethod::Extreme);
        if needs_lines && (before.len() < OF_A_LINE || settled < OF_A_LINE) {
            return problem(
                format!(
                    "{} readings before mixing and {settled} from {} s after it on: each line needs two",
                    before.len(),
                    settle.0
                ),
                "record longer, or read more often; `record.settle` says where the line behind begins",
            );
        }
    }
    let reduction = Reduction::with(&record, way);
    let taken = reduction.reduce(|_, t, out| *out = Column::splat(reading_at(&readings, t)));
    let (change, mixing) = (taken.change[0].0, taken.mixing[0].0);
    if !(change.is_finite() && mixing.is_finite()) {
        return problem(
            format!(
                "{} find no change of temperature in this record",
                way.title()
            ),
            "look at its picture: is the moment of mixing right, is there a step?",
        );
    }
    Ok(ReducedRecord {
        change,
        mixing,
        weighed_at: taken.weighed_at[0],
        moment: taken.moment[0],
        mixed_at: (zero, how),
        reduction,
        record,
        readings,
    })
}

/// The moment of mixing: told, marked, or found.
pub fn moment_of_mixing(measured: &MeasuredRecord, told: Option<f64>) -> (f64, MixedAt) {
    if let Some(at) = told {
        return (at, MixedAt::Told);
    }
    if let Some(at) = measured.mixed_at {
        return (at, MixedAt::Marked);
    }
    let pairs = measured
        .times
        .windows(2)
        .zip(measured.temperatures.windows(2));
    let steepest = pairs
        .map(|(t, y)| (((y[1] - y[0]) / (t[1] - t[0])).abs(), 0.5 * (t[0] + t[1])))
        .max_by(|a, b| a.0.total_cmp(&b.0));
    (steepest.map_or(f64::NAN, |s| s.1), MixedAt::Found)
}

/// The readings as the leg's record has them: its windows, at the times that were measured; `None` without readings on
/// both sides.
fn record(leg: &Leg, readings: &[(f64, f64)]) -> Option<Record> {
    let times = |from: f64, to: f64| -> Vec<Second> {
        let within = readings.iter().filter(|(t, _)| (from..=to).contains(t));
        within.map(|(t, _)| Second(*t)).collect()
    };
    let nearest = |due: f64, side: f64| {
        let of_side = readings.iter().filter(|(t, _)| t * side > 0.0);
        let by = |a: &&(f64, f64), b: &&(f64, f64)| (a.0 - due).abs().total_cmp(&(b.0 - due).abs());
        of_side.min_by(by).map(|(t, _)| *t)
    };
    match &leg.record {
        Record::TwoReadings { before, read_at } => Some(Record::TwoReadings {
            before: Second(-nearest(-before.0, -1.0)?),
            read_at: Second(nearest(read_at.0, 1.0)?),
        }),
        Record::Trace {
            fore,
            after,
            settle,
            read_at,
            ..
        } => {
            let slack = 1e-9 * (fore.0 + after.0);
            let taken = times(-fore.0 - slack, after.0 + slack);
            let both = taken.first()?.0 < 0.0 && taken.last()?.0 > 0.0;
            both.then(|| Record::Trace {
                pace: Pace::At(taken.into()),
                fore: *fore,
                after: *after,
                settle: *settle,
                read_at: *read_at,
            })
        }
    }
}
