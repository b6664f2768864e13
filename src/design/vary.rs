//! A number of the scenario that a study varies, and the values that it takes.
//!
//! Written `PATH = LOW to HIGH`, with `by STEP` or `in N` points behind it if wished:
//! `determination.charge.mass = 0.30 g to 0.60 g by 0.05 g`, `calibration.runs = 1 to 6`. `runs` stands for the
//! runs of all legs, `u(PATH)` for the standard uncertainty of what a key states.

use super::parameter::Parameter;
use super::parameter_error::ParameterError;
use crate::quantity::{
    Dimension, QuantityError, decimal, parse_quantity, parse_quantity_as, parse_window, size_of,
    write_in,
};
use crate::scenario::Scenario;
use thiserror::Error;

/// Points of a sweep unless asked otherwise.
const POINTS: usize = 11;

/// Most points along one number.
pub const MOST: usize = 500;

/// A number with the values that it takes, ascending, in base units.
#[derive(Debug, Clone)]
pub struct Vary {
    /// Which number.
    pub parameter: Parameter,
    /// Its values.
    pub values: Vec<f64>,
    /// The upper end of the range, where no step ends on it.
    pub missed: Option<f64>,
    /// Unit that the range is written in; `None` for a count.
    unit: Option<String>,
}

/// Why a text does not say what to vary.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum VaryError {
    /// Not `PATH = LOW to HIGH`.
    #[error(
        "`{0}` does not say what to vary: write `PATH = LOW to HIGH`, for example `determination.charge.mass = 0.3 g to 0.6 g`"
    )]
    Form(String),
    /// The path.
    #[error(transparent)]
    Parameter(#[from] ParameterError),
    /// The ends or the step.
    #[error("{path}: {message}")]
    Ends {
        /// Whose.
        path: String,
        /// What is wrong.
        message: String,
    },
}

impl Vary {
    /// Reads what to vary.
    ///
    /// # Errors
    /// If the path is no number of the scenario, or the range is no range of that number.
    pub fn parse(text: &str, scenario: &Scenario) -> Result<Self, VaryError> {
        let form = || VaryError::Form(text.trim().to_owned());
        let (path, range) = text.split_once('=').ok_or_else(form)?;
        let parameter = Parameter::of(scenario, path.trim())?;
        let wrong = |message: String| VaryError::Ends {
            path: path.trim().to_owned(),
            message,
        };
        let (ends, by, points) = match (range.split_once(" by "), range.rsplit_once(" in ")) {
            (Some((ends, by)), _) => (ends, Some(by), None),
            (None, Some((ends, n))) => (ends, None, Some(n)),
            (None, None) => (range, None, None),
        };
        let (low, high) = read_ends(ends.trim(), &parameter).map_err(&wrong)?;
        if low > high {
            return Err(wrong(upside_down(ends)));
        }
        if low < 0.0 && parameter.is_size() {
            return Err(wrong(format!(
                "the range `{}` begins below zero, where there is nothing",
                ends.trim()
            )));
        }
        let step = match by {
            Some(by) => Some(size(by, &parameter).map_err(&wrong)?),
            None if parameter.is_count() && points.is_none() && high - low < 16.0 => Some(1.0),
            None => None,
        };
        let values = match (step, points) {
            (Some(step), _) if step.is_nan() || step <= 0.0 => {
                return Err(wrong("a step must be above zero".to_owned()));
            }
            (Some(step), _) if step > (high - low) * (1.0 + 1e-9) && high > low => {
                return Err(wrong(format!(
                    "a step of `{}` is larger than the whole range `{}`",
                    by.unwrap_or_default().trim(),
                    ends.trim()
                )));
            }
            (Some(step), _) => stepped(low, high, step),
            (None, points) => {
                let n = match points.map(|n| n.trim().parse::<usize>()) {
                    None => POINTS,
                    Some(Ok(n)) if n >= 2 || n == 1 && low == high => n,
                    Some(_) => {
                        return Err(wrong(
                            "`in` is followed by a number of points, two or more, for example `in 9`"
                                .to_owned(),
                        ));
                    }
                };
                even(low, high, n.min(MOST + 1), parameter.is_count())
            }
        };
        if values.len() > MOST {
            return Err(wrong(format!("more than {MOST} points")));
        }
        let last = values.last().copied().unwrap_or(high);
        Ok(Self {
            missed: (high - last > 1e-9 * high.abs()).then_some(high),
            unit: parameter.dimension().and_then(|d| unit_of(ends, d)),
            parameter,
            values,
        })
    }

    /// Whether two numbers set the same keys: the second would undo the first.
    pub fn overlaps(&self, other: &Self) -> bool {
        self.parameter.overlaps(&other.parameter)
    }

    /// Counts from `low` to `high`.
    ///
    /// # Errors
    /// If there is no such number.
    pub fn counts(
        scenario: &Scenario,
        path: &str,
        low: u32,
        high: u32,
    ) -> Result<Self, ParameterError> {
        Ok(Self {
            parameter: Parameter::of(scenario, path)?,
            values: (low..=high).map(f64::from).collect(),
            missed: None,
            unit: None,
        })
    }

    /// The unit of an axis, in which values are written: that of the range, as far as it is one of the table.
    fn unit(&self) -> String {
        let largest = self.values.iter().fold(0.0f64, |m, v| m.max(v.abs()));
        let usual = || self.parameter.usual_unit(largest).to_owned();
        self.unit.clone().unwrap_or_else(usual)
    }

    /// A value for people, with its unit.
    pub fn words(&self, value: f64) -> String {
        match self.unit().as_str() {
            "" => format!("{value:.0}"),
            unit => format!("{} {}", self.on_axis(value), shown(unit)),
        }
    }

    /// One value in the unit of [`Vary::axis`], without digits that nobody reads.
    pub fn on_axis(&self, value: f64) -> f64 {
        let unit = self.unit();
        let shown = decimal(value / size_of(&unit));
        format!("{shown:.*e}", SHOWN - 1).parse().unwrap_or(shown)
    }

    /// Values in the unit of an axis, and that unit (empty for a count).
    pub fn axis(&self) -> (Vec<f64>, String) {
        let values = self.values.iter().map(|v| self.on_axis(*v));
        (values.collect(), shown(&self.unit()).to_owned())
    }
}

/// A unit as people write it, who need not type it.
fn shown(unit: &str) -> &str {
    if unit == "C" { "°C" } else { unit }
}

/// Digits of a value on an axis.
const SHOWN: usize = 6;

/// The unit behind the last number of a range, if values can be written in it.
fn unit_of(range: &str, d: Dimension) -> Option<String> {
    let last = range.rsplit(" to ").next()?.trim();
    let number = |c: char| c.is_ascii_digit() || "+-.eE".contains(c);
    let unit = last.trim_start_matches(number).trim();
    let there_and_back = parse_quantity_as(&write_in(size_of(unit), unit), d);
    let same = |x: f64| (x / size_of(unit) - 1.0).abs() < 1e-9;
    // Scales with another zero point are no units to divide by.
    let scale = d == Dimension::Temperature;
    (!unit.is_empty() && !scale && there_and_back.is_ok_and(same)).then(|| unit.to_owned())
}

fn upside_down(text: &str) -> String {
    format!(
        "the range `{}` is upside down: its lower end comes first",
        text.trim()
    )
}

fn read_ends(text: &str, parameter: &Parameter) -> Result<(f64, f64), String> {
    match parameter.dimension() {
        Some(d) => {
            if !text.contains(" to ") {
                let one = size(text, parameter)?;
                return Ok((one, one));
            }
            parse_window(text, d).map_err(|e| match e {
                // Of a range, not of a window.
                QuantityError::UpsideDown(_) => upside_down(text),
                e => e.to_string(),
            })
        }
        None => {
            let (low, high) = text.split_once(" to ").unwrap_or((text, text));
            Ok((size(low, parameter)?, size(high, parameter)?))
        }
    }
}

fn size(text: &str, parameter: &Parameter) -> Result<f64, String> {
    match parameter.dimension() {
        Some(d) => match parse_quantity(text) {
            // A step between temperatures is a difference.
            Ok(q) if q.dimension == d || d.difference() == q.dimension => Ok(q.value),
            Ok(_) => Err(format!("`{}` is not {}", text.trim(), d.name())),
            Err(e) => Err(e.to_string()),
        },
        None => match text.trim().parse::<u32>() {
            Ok(n) => Ok(f64::from(n)),
            Err(_) => Err(format!("`{}` is not a whole number", text.trim())),
        },
    }
}

/// From `low` in steps, as far as `high`. Each value is a decimal of its own, so that ranges which share one share
/// all its bits.
fn stepped(low: f64, high: f64, step: f64) -> Vec<f64> {
    let n = ((high - low) / step * (1.0 + 1e-9)).floor() as usize;
    (0..=n.min(MOST))
        .map(|i| decimal(low + i as f64 * step))
        .collect()
}

fn even(low: f64, high: f64, n: usize, whole: bool) -> Vec<f64> {
    if n < 2 || low == high {
        return vec![low];
    }
    let at = |i: usize| low + (high - low) * i as f64 / (n - 1) as f64;
    let mut values: Vec<f64> = (0..n)
        .map(|i| if whole { at(i).round() } else { decimal(at(i)) })
        .collect();
    values.dedup();
    values
}
