//! What is recorded, and how it becomes one change of temperature.

use crate::quantity::{Second, texts};
use std::sync::Arc;

texts! {
    /// How a record becomes one change of temperature.
    ReductionMethod::word:
    /// A reading before and a reading after.
    TwoReadings = "two readings",
    /// The last reading before, and the highest or lowest after.
    Extreme = "extreme",
    /// Both lines carried back to the moment of mixing.
    BackToMixing = "back to mixing",
    /// Both lines taken when 63 % of the change is reached.
    SixtyThree = "63 percent",
    /// Both lines taken where the areas on either side are equal.
    EqualAreas = "equal areas",
    /// Corrected by the heat exchanged between, after Regnault and Pfaundler.
    RegnaultPfaundler = "regnault-pfaundler",
}

impl ReductionMethod {
    /// For people.
    pub fn title(self) -> &'static str {
        match self {
            Self::TwoReadings => "two readings",
            Self::Extreme => "extreme reading",
            Self::BackToMixing => "lines back to mixing",
            Self::SixtyThree => "lines at 63 % of the change",
            Self::EqualAreas => "lines at equal areas",
            Self::RegnaultPfaundler => "Regnault-Pfaundler",
        }
    }

    /// Whether the change of temperature is a fixed weighted sum of the readings.
    pub fn is_linear(self) -> bool {
        matches!(self, Self::TwoReadings | Self::BackToMixing)
    }
}

/// When a trace is read.
#[derive(Debug, Clone, PartialEq)]
pub enum Pace {
    /// Every so often, counted from mixing both ways.
    Even(Second),
    /// At these times, rising; none of them is the moment of mixing.
    At(Arc<[Second]>),
}

/// What the lab records of a run; times count from the moment of mixing.
#[derive(Debug, Clone, PartialEq)]
pub enum Record {
    /// One reading before, one after.
    TwoReadings {
        /// The first is taken this long before mixing.
        before: Second,
        /// The second is taken this long after.
        read_at: Second,
    },
    /// Readings through both periods and the time between.
    Trace {
        /// When they are taken.
        pace: Pace,
        /// Length of the period before.
        fore: Second,
        /// Length of the period after.
        after: Second,
        /// Readings from here on belong to the line behind.
        settle: Second,
        /// The late one of two readings, where only two are used.
        read_at: Second,
    },
}

impl Record {
    /// Times of all readings before mixing and of all after it, rising. One that is due within a millionth of an interval
    /// of an end counts.
    pub fn times(&self) -> [Vec<Second>; 2] {
        match self {
            Self::TwoReadings { before, read_at } => [vec![-*before], vec![*read_at]],
            Self::Trace {
                pace: Pace::Even(interval),
                fore,
                after,
                ..
            } => {
                let at = |j: u32| *interval * f64::from(j);
                let until = |span: Second| (span / *interval + 1e-6).floor() as u32;
                [
                    (1..=until(*fore)).rev().map(|j| -at(j)).collect(),
                    (1..=until(*after)).map(at).collect(),
                ]
            }
            Self::Trace {
                pace: Pace::At(times),
                ..
            } => {
                let (before, after) = times.split_at(times.partition_point(|t| t.0 < 0.0));
                [before.to_vec(), after.to_vec()]
            }
        }
    }
}
