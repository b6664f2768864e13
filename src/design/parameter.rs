//! One number of a scenario, and what has to be set to change it.

use super::parameter_error::ParameterError;
use super::parameter_places::{errors_apart, leg_of, legs_of, places};
use super::parameter_text::{base, half_width, moved_window, said, window, with_value};
use crate::quantity::{Dimension, parse_measured, usual_unit, write_in};
use crate::scenario::schema::{self, Shape};
use crate::scenario::{
    Document, Leg, Raw, Scenario, Source, scaled_statement, source, statement_size,
};

/// The path that stands for the runs of all legs.
pub const ALL_RUNS: &str = "runs";

/// How a value is set.
#[derive(Debug, Clone)]
enum SetBy {
    /// A whole number.
    Count,
    /// A quantity by itself.
    Size,
    /// A value; whatever its statement says of its error stays.
    Value,
    /// The size of an error whose shape stays, or its standard uncertainty.
    Error { source: &'static Source, by_u: bool },
    /// Half-width of a window about the target mass.
    Window,
}

/// One number of a scenario.
#[derive(Debug, Clone)]
pub struct Parameter {
    /// As written.
    pub path: String,
    /// Keys that are set.
    keys: Vec<String>,
    set_by: SetBy,
    dimension: Option<Dimension>,
    /// What the scenario says now, in the base unit; NaN if it says nothing, or not the same of all legs.
    pub now: f64,
    /// Whether it belongs to one of several determinations.
    pub others: bool,
}

impl Parameter {
    /// The number that a path names.
    ///
    /// # Errors
    /// If the path names no number.
    pub fn of(scenario: &Scenario, path: &str) -> Result<Self, ParameterError> {
        if path == ALL_RUNS {
            let used = scenario.legs().into_iter().filter(|l| l.runs > 0);
            let legs: Vec<&Leg> = used.collect();
            let alike = legs.windows(2).all(|pair| pair[0].runs == pair[1].runs);
            let now = f64::from(scenario.determination.runs);
            let keys = legs.into_iter();
            return Ok(Self {
                path: path.to_owned(),
                keys: keys.map(|l| format!("{}.runs", l.name)).collect(),
                set_by: SetBy::Count,
                dimension: None,
                now: if alike { now } else { f64::NAN },
                others: false,
            });
        }
        let bare = path
            .strip_prefix("u(")
            .and_then(|rest| rest.strip_suffix(')'))
            .map(str::trim);
        let key = bare.unwrap_or(path);
        if key == ALL_RUNS {
            return Err(ParameterError::NoError(path.to_owned()));
        }
        let Some(entry) = schema::find(key) else {
            return Err(unknown(scenario, key));
        };
        let doc = scenario.document();
        let keys = places(scenario, &doc, key, entry.place);
        let (leg_name, tail) = schema::in_leg(key);
        let others = scenario.is_cycle() && leg_name != "calibration" && !leg_name.is_empty();
        let leg = leg_of(scenario, leg_name);
        let of_source = source::find(tail);
        let (set_by, dimension) = match (entry.shape, of_source) {
            (_, Some(source)) if bare.is_some() => {
                (SetBy::Error { source, by_u: true }, source.dimension)
            }
            _ if bare.is_some() => return Err(ParameterError::NoError(path.to_owned())),
            (Shape::Count(..), _) => {
                return Ok(Self {
                    path: path.to_owned(),
                    now: count_now(scenario, &doc, &keys),
                    keys,
                    set_by: SetBy::Count,
                    dimension: None,
                    others,
                });
            }
            (Shape::Error(d), Some(source)) => (
                SetBy::Error {
                    source,
                    by_u: false,
                },
                d,
            ),
            (Shape::Size(d) | Shape::Sizes(d), _) => (SetBy::Size, d),
            (Shape::Measured(d), _) => (SetBy::Value, d),
            (Shape::Window(d), _) => (SetBy::Window, d),
            _ => return Err(ParameterError::NoNumber(path.to_owned())),
        };
        let dimension = if matches!(set_by, SetBy::Error { .. }) {
            dimension.difference()
        } else {
            dimension
        };
        let keys = match &set_by {
            SetBy::Error { source, .. } if leg_name.is_empty() => {
                errors_apart(scenario, source, keys)
            }
            _ => keys,
        };
        let now = match &set_by {
            SetBy::Error { source, by_u } => {
                let dist = &leg.binding(source.id).input.dist;
                let now = if *by_u {
                    dist.standard_uncertainty()
                } else {
                    statement_size(source, dist)
                };
                if *by_u && now == 0.0 && dist.mean() > 0.0 {
                    return Err(ParameterError::NoSpread(path.to_owned(), key.to_owned()));
                }
                if now.is_nan() || now <= 0.0 || now.is_infinite() {
                    return Err(ParameterError::NoShape(path.to_owned()));
                }
                now
            }
            SetBy::Window => alike(legs_of(scenario, key).map(half_width)),
            SetBy::Value if let Some(s) = of_source => {
                let middle = |leg: &Leg| leg.binding(s.id).input.dist.quantile(0.5);
                alike(
                    legs_of(scenario, key)
                        .filter(|l| l.asks_for(s.id))
                        .map(middle),
                )
            }
            SetBy::Value | SetBy::Size | SetBy::Count => alike(stated(&doc, &keys, dimension)),
        };
        Ok(Self {
            path: path.to_owned(),
            keys,
            set_by,
            dimension: Some(dimension),
            now,
            others,
        })
    }

    /// Whether only whole numbers make sense.
    pub fn is_count(&self) -> bool {
        matches!(self.set_by, SetBy::Count)
    }

    /// Whether it is the size of an error that can only go one set_by: then that size is its mean.
    pub fn is_loss(&self) -> bool {
        matches!(self.set_by, SetBy::Error { source, .. } if source.one_sided)
    }

    /// What it measures; `None` for a count.
    pub fn dimension(&self) -> Option<Dimension> {
        self.dimension
    }

    /// Whether it cannot be below zero: a mass, a time, a volume, the size of an error.
    pub fn is_size(&self) -> bool {
        let of_temperature = matches!(
            self.dimension,
            Some(Dimension::Temperature | Dimension::TemperatureDifference)
        );
        let sized = matches!(self.set_by, SetBy::Size) && !of_temperature;
        sized || matches!(self.set_by, SetBy::Error { .. } | SetBy::Window)
    }

    /// Whether it sets a key that another sets too.
    pub fn overlaps(&self, other: &Self) -> bool {
        self.keys.iter().any(|key| other.keys.contains(key))
    }

    /// Whether it sets one key alone.
    pub fn is_single(&self) -> bool {
        self.keys() == 1
    }

    /// Number of keys that it sets: of a number of runs, so many legs.
    pub fn keys(&self) -> usize {
        self.keys.len()
    }

    /// The leg that it belongs to; empty for all.
    pub fn leg(&self) -> &str {
        schema::in_leg(self.path.trim_start_matches("u(")).0
    }

    /// Whether it sets this key of a leg.
    pub fn sets(&self, leg: &str, tail: &str) -> bool {
        self.keys.iter().any(|key| *key == format!("{leg}.{tail}"))
    }

    /// Whether it is the target mass of a charge, which takes its window along.
    fn is_mass(&self) -> bool {
        matches!(self.set_by, SetBy::Size) && schema::in_leg(&self.path).1 == "charge.mass"
    }

    /// A value for people; `largest` of those it stands beside chooses the unit.
    pub fn words(&self, value: f64, largest: f64) -> String {
        match self.dimension {
            Some(d) => write_in(value, usual_unit(largest, d)),
            None => format!("{value:.0}"),
        }
    }

    /// The unit that people would choose for values up to this; none for a count.
    pub fn usual_unit(&self, largest: f64) -> &'static str {
        self.dimension.map_or("", |d| usual_unit(largest, d))
    }

    /// What to set for a value, in the base unit. A text is written in the base unit, whatever the range that
    /// the value comes from: the same value always gives the same bits.
    fn own_changes(&self, scenario: &Scenario, doc: &Document, value: f64) -> Vec<(String, Raw)> {
        let raw = |key: &String| match (&self.set_by, self.dimension) {
            (SetBy::Count, _) | (_, None) => Raw::Whole(value as i64),
            (SetBy::Size, Some(d)) => Raw::Text(base(value, d)),
            (SetBy::Value, Some(d)) => Raw::Text(with_value(&said(scenario, doc, key), value, d)),
            (SetBy::Error { source, .. }, Some(_)) => {
                let leg = leg_of(scenario, schema::in_leg(key).0);
                let own = leg.binding(source.id);
                let text = scaled_statement(source.id, own, leg.mass.0, value / self.now);
                Raw::Text(text.unwrap_or_default())
            }
            (SetBy::Window, Some(d)) => {
                let mass = leg_of(scenario, schema::in_leg(key).0).mass.0;
                Raw::Text(window(mass, value, d))
            }
        };
        self.keys
            .iter()
            .map(|key| (key.clone(), raw(key)))
            .collect()
    }
}

/// What to set so that each number has its value: a window moves with its target mass, in proportion, unless it is
/// varied itself.
pub fn changes(scenario: &Scenario, parameters: &[(&Parameter, f64)]) -> Vec<(String, Raw)> {
    let doc = scenario.document();
    let mut all: Vec<(String, Raw)> = parameters
        .iter()
        .flat_map(|(parameter, value)| parameter.own_changes(scenario, &doc, *value))
        .collect();
    for (parameter, mass) in parameters
        .iter()
        .filter(|(parameter, _)| parameter.is_mass())
    {
        for leg in legs_of(scenario, &parameter.path) {
            let path = format!("{}.charge.window", leg.name);
            let half = parameters.iter().find_map(|(k, half)| {
                let own = matches!(k.set_by, SetBy::Window)
                    && legs_of(scenario, &k.path).any(|l| l.name == leg.name);
                own.then_some(*half)
            });
            let text = match half {
                Some(half) => Some(window(*mass, half, Dimension::Mass)),
                None => moved_window(leg, *mass),
            };
            if let Some(text) = text {
                all.retain(|(key, _)| *key != path);
                all.push((path, Raw::Text(text)));
            }
        }
    }
    all
}

fn stated(doc: &Document, keys: &[String], d: Dimension) -> impl Iterator<Item = f64> {
    keys.iter()
        .filter_map(move |key| match &doc.entries.get(key)?.raw {
            Raw::Text(text) => parse_measured(text, d).ok().map(|m| m.value),
            _ => None,
        })
}

/// What all of some numbers are; NaN if they differ, or if there is none.
fn alike(mut all: impl Iterator<Item = f64>) -> f64 {
    let first = all.next().unwrap_or(f64::NAN);
    if all.all(|x| x == first) {
        first
    } else {
        f64::NAN
    }
}

fn count_now(scenario: &Scenario, doc: &Document, keys: &[String]) -> f64 {
    let of = |key: &String| match doc.entries.get(key).map(|e| &e.raw) {
        Some(Raw::Whole(n)) => Some(*n as f64),
        _ => None,
    };
    let runs = |key: &String| {
        let (leg, tail) = schema::in_leg(key);
        (tail == "runs").then(|| f64::from(leg_of(scenario, leg).runs))
    };
    keys.iter()
        .find_map(|k| of(k).or_else(|| runs(k)))
        .unwrap_or(f64::NAN)
}

/// What the reader says of a key that there is not.
fn unknown(scenario: &Scenario, path: &str) -> ParameterError {
    let said = scenario
        .changed(&[(path.to_owned(), Raw::Text(String::new()))])
        .err();
    let own = said.and_then(|p| p.0.into_iter().find(|p| p.path == path));
    ParameterError::Unknown {
        path: path.to_owned(),
        message: own
            .as_ref()
            .map_or_else(|| "unknown key".to_owned(), |p| p.message.clone()),
        hint: own.and_then(|p| p.hint),
    }
}
