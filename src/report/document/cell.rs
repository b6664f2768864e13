//! One cell of a table: a number with what is known about its digits, words, or the reason why there is nothing.

use super::number::{by_uncertainty, figures};
use super::table::{Kind, Unit};
use crate::report::records::number;
use crate::stats::{Estimate, quote};

/// How many digits of a number are shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Digits {
    /// So many figures.
    Figures(u32),
    /// As far as an uncertainty reaches, in the unit of the number, of which so many digits count.
    By(f64, u32),
    /// All that were given.
    Given,
}

/// One cell.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Words, a key, or a number as somebody wrote it.
    Text(String),
    /// A number.
    Number {
        /// In the unit of the result (not the one that the column shows).
        value: f64,
        /// Standard error, if it has one.
        se: Option<f64>,
        /// Digits that are shown.
        digits: Digits,
    },
    /// An interval.
    Interval {
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
        /// Digits that are shown.
        digits: Digits,
    },
    /// Nothing, and why.
    Missing(&'static str),
}

impl Cell {
    /// Words.
    pub fn text(words: impl Into<String>) -> Self {
        Self::Text(words.into())
    }

    /// A number with so many figures.
    pub fn figures(value: f64, figures: u32) -> Self {
        Self::Number {
            value,
            se: None,
            digits: Digits::Figures(figures),
        }
    }

    /// A number rounded as far as an uncertainty of it reaches, two digits of which count.
    pub fn by(value: f64, u: f64) -> Self {
        Self::Number {
            value,
            se: None,
            digits: Digits::By(u, 2),
        }
    }

    /// A number as it was given.
    pub fn given(value: f64) -> Self {
        Self::Number {
            value,
            se: None,
            digits: Digits::Given,
        }
    }

    /// A number with its standard error, which is shown.
    pub fn estimate(e: Estimate) -> Self {
        if !e.is_defined() {
            return Self::Missing("not defined");
        }
        Self::Number {
            value: e.value,
            se: (e.se >= 0.0).then_some(e.se),
            digits: match e.se {
                se if se > 0.0 => Digits::By(se, 1),
                se if se.is_nan() => Digits::Figures(2),
                _ => Digits::Figures(6),
            },
        }
    }

    /// All that is known of an estimate, for files.
    pub fn all_of(e: Estimate) -> Self {
        Self::Number {
            value: e.value,
            se: Some(e.se),
            digits: Digits::Given,
        }
    }

    /// The same without its error on the screen.
    pub fn value_of(e: Estimate, figures: u32) -> Self {
        match Self::estimate(e) {
            Self::Number { value, se, .. } => Self::Number {
                value,
                se,
                digits: Digits::Figures(figures),
            },
            other => other,
        }
    }

    /// What a reader sees.
    pub fn shown(&self, kind: Kind, unit: &Unit) -> String {
        match *self {
            Self::Text(ref words) => words.clone(),
            Self::Missing(_) => "-".to_owned(),
            Self::Number { value, se, digits } => {
                let number = written(value, digits, unit);
                match (se, digits) {
                    (Some(se), Digits::By(..)) if kind == Kind::Estimate => {
                        let [x, u] = [value, se].map(|x| x / unit.per);
                        // Both with a power of ten, or none.
                        let (number, u) = match number.contains('e') {
                            true if u < 1e-4 => (number, figures(u, 1)),
                            true => (quote(x, u, 1).value, quote(x, u, 1).u),
                            false => (number, quote(x, u, 1).u),
                        };
                        format!("{number}\u{a0}±\u{a0}{u}")
                    }
                    _ => number,
                }
            }
            Self::Interval { low, high, digits } => {
                let [low, high] = [low, high].map(|x| written(x, digits, unit));
                format!("{low}\u{a0}to\u{a0}{high}")
            }
        }
    }

    /// Numbers or words for a program, in the unit of the result: one, or two for an estimate and an interval.
    pub fn raw(&self, kind: Kind) -> Vec<String> {
        let mut parts = match self {
            Self::Number { value, se, .. } => {
                vec![number(*value), se.map_or(String::new(), number)]
            }
            Self::Interval { low, high, .. } => vec![number(*low), number(*high)],
            Self::Text(words) => vec![words.clone(), String::new()],
            Self::Missing(_) => vec![String::new(); 2],
        };
        parts.truncate(kind.parts());
        parts
    }
}

/// A number in the unit that is shown.
fn written(value: f64, digits: Digits, unit: &Unit) -> String {
    let x = value / unit.per;
    if !x.is_finite() {
        return "-".to_owned();
    }
    match digits {
        Digits::Figures(n) => figures(x, n),
        Digits::By(u, n) => by_uncertainty(x, u / unit.per, n),
        // What was divided must not grow digits.
        Digits::Given => format!("{}", crate::quantity::decimal(x)),
    }
}

#[cfg(test)]
mod tests {
    use super::super::table::{KJ_PER_MOL, NONE, PERCENT};
    use super::*;

    #[test]
    fn an_estimate_is_rounded_by_its_error_and_keeps_all_digits_for_programs() {
        let e = Cell::estimate(Estimate::new(-12_345.678, 23.4));
        assert_eq!(
            e.shown(Kind::Estimate, &KJ_PER_MOL),
            "-12.35\u{a0}±\u{a0}0.02"
        );
        assert_eq!(e.raw(Kind::Estimate), ["-12345.678", "23.4"]);
        let little = Cell::estimate(Estimate::new(-9e-4, 8.6e-4));
        assert_eq!(
            little.shown(Kind::Estimate, &NONE),
            "-0.0009\u{a0}±\u{a0}0.0009"
        );
        let exact = Cell::estimate(Estimate::new(2.0, 0.0));
        assert_eq!(exact.raw(Kind::Estimate), ["2", "0"]);
        let unknown = Cell::estimate(Estimate::new(1.991_43, f64::NAN));
        assert_eq!(unknown.raw(Kind::Estimate), ["1.99143", ""]);
        assert_eq!(unknown.shown(Kind::Estimate, &NONE), "2.0");
        let none = Cell::estimate(Estimate::undefined());
        assert_eq!(none.shown(Kind::Estimate, &NONE), "-");
        assert_eq!(none.raw(Kind::Estimate), ["", ""]);
        let all = Cell::all_of(Estimate::new(2.0, 0.0));
        assert_eq!(all.raw(Kind::Estimate), ["2", "0"]);
    }

    #[test]
    fn an_interval_shows_both_ends_with_the_same_digits() {
        let ends = Cell::Interval {
            low: 0.4161,
            high: 0.4473,
            digits: Digits::By(0.008, 1),
        };
        assert_eq!(
            ends.shown(Kind::Interval, &PERCENT),
            "41.6\u{a0}to\u{a0}44.7"
        );
    }
}
