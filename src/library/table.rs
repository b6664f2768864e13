//! A property of a liquid as a table over temperature.

use super::error::{LibraryError, Problem};
use super::fact::{ErrorFact, RawError, Reader, Status};
use crate::quantity::Dimension;
use serde::Deserialize;

/// Values over temperature, with the relative error that they share.
#[derive(Debug, Clone)]
pub struct TempTable {
    /// Temperature in °C and value, temperatures rising.
    pub points: Vec<(f64, f64)>,
    /// Relative error of the whole table, as a fraction. One error for all temperatures: what is
    /// wrong with such a table is mostly common to neighbouring points.
    pub error: ErrorFact,
    /// Full citation.
    pub source: String,
    /// How it came here.
    pub status: Status,
    /// What a reader should know about it.
    pub note: Option<String>,
}

/// A table in a data file.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawTable {
    points: Vec<(f64, f64)>,
    error: String,
    source: String,
    status: String,
    note: Option<String>,
}

impl RawTable {
    /// Values of a liquid lie within `possible`, in the unit of the table.
    pub fn read(
        &self,
        field: &str,
        reader: &Reader,
        possible: (f64, f64, &'static str),
    ) -> Result<TempTable, LibraryError> {
        if self.points.is_empty() {
            return Err(reader.wrong(field, Problem::Empty));
        }
        for (i, &(t, v)) in self.points.iter().enumerate() {
            let rises = i == 0 || t > self.points[i - 1].0;
            if !(t.is_finite() && v.is_finite() && v > 0.0 && rises) {
                return Err(reader.wrong(field, Problem::Point(i + 1)));
            }
            let (least, most, range) = possible;
            if !(least..=most).contains(&v) {
                let problem = Problem::Outside(format!("point {}, {v},", i + 1), range);
                return Err(reader.wrong(field, problem));
            }
        }
        let raw = RawError {
            error: self.error.clone(),
            source: self.source.clone(),
            status: self.status.clone(),
            note: self.note.clone(),
        };
        let error = reader.error(field, &raw, Dimension::Fraction)?;
        Ok(TempTable {
            points: self.points.clone(),
            source: error.source.clone(),
            status: error.status,
            note: error.note.clone(),
            error,
        })
    }
}

impl TempTable {
    /// First and last temperature, °C.
    pub fn range(&self) -> (f64, f64) {
        let first = self.points.first().map_or(f64::NAN, |p| p.0);
        let last = self.points.last().map_or(f64::NAN, |p| p.0);
        (first, last)
    }

    /// The (up to) four points around `t`.
    fn around(&self, t: f64) -> &[(f64, f64)] {
        let n = self.points.len();
        let above = self.points.partition_point(|p| p.0 <= t);
        let start = above.saturating_sub(2).min(n.saturating_sub(4));
        &self.points[start..n.min(start + 4)]
    }

    /// Value at `celsius`: the cubic through the four points around it. Beyond the table the value
    /// at its end is given, because a cubic runs away there.
    pub fn at(&self, celsius: f64) -> f64 {
        let (low, high) = self.range();
        let t = celsius.clamp(low, high);
        let near = self.around(t);
        // By divided differences where there are four, which is nearly always: half the work of the sum below.
        if let [(t0, v0), (t1, v1), (t2, v2), (t3, v3)] = *near {
            let [a, b, c] = [
                (v1 - v0) / (t1 - t0),
                (v2 - v1) / (t2 - t1),
                (v3 - v2) / (t3 - t2),
            ];
            let [d, e] = [(b - a) / (t2 - t0), (c - b) / (t3 - t1)];
            let f = (e - d) / (t3 - t0);
            return v0 + (t - t0) * (a + (t - t1) * (d + (t - t2) * f));
        }
        near.iter()
            .enumerate()
            .map(|(i, &(ti, vi))| {
                let others = near.iter().enumerate().filter(|(j, _)| *j != i);
                let [over, under] = others.fold([vi, 1.0], |[over, under], (_, &(tj, _))| {
                    [over * (t - tj), under * (ti - tj)]
                });
                over / under
            })
            .sum()
    }

    /// Derivative with respect to temperature at `celsius`, per kelvin; inside the table.
    pub fn slope(&self, celsius: f64) -> f64 {
        let (low, high) = self.range();
        if high <= low {
            return 0.0;
        }
        // A kelvin wide: far above rounding, far below the spacing of the points.
        let mid = celsius.clamp(low, high);
        let (a, b) = ((mid - 0.5).max(low), (mid + 0.5).min(high));
        (self.at(b) - self.at(a)) / (b - a)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::Dist;

    fn table(points: &[(f64, f64)]) -> TempTable {
        TempTable {
            points: points.to_vec(),
            error: ErrorFact {
                dist: Dist::constant(0.0),
                text: "none".into(),
                source: String::new(),
                status: Status::Derived,
                note: None,
                dimension: Dimension::Fraction,
            },
            source: String::new(),
            status: Status::Derived,
            note: None,
        }
    }

    #[test]
    fn a_cubic_is_reproduced_inside_and_held_outside() {
        let f = |t: f64| 2.0 + 0.1 * t - 0.02 * t * t + 0.001 * t.powi(3);
        let points: Vec<_> = [0.0, 4.0, 10.0, 13.0, 20.0, 30.0].map(|t| (t, f(t))).into();
        let t = table(&points);
        for x in [0.0, 1.5, 4.0, 9.0, 12.0, 17.0, 29.0, 30.0] {
            assert!((t.at(x) - f(x)).abs() < 1e-10, "{x}: {}", t.at(x));
        }
        assert_eq!((t.at(-5.0), t.at(40.0)), (t.at(0.0), t.at(30.0)));
        assert!((t.slope(12.0) - (0.1 - 0.48 + 0.432)).abs() < 1e-3);
    }

    #[test]
    fn short_tables_work_too() {
        assert_eq!(table(&[(25.0, 4.2)]).at(10.0), 4.2);
        assert_eq!(table(&[(25.0, 4.2)]).slope(25.0), 0.0);
        assert!((table(&[(20.0, 4.0), (30.0, 5.0)]).at(22.0) - 4.2).abs() < 1e-12);
    }
}
