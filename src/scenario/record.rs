//! What is recorded, and how it becomes one change of temperature.

use crate::quantity::Second;

/// How a record becomes one change of temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Way {
    /// A reading before and a reading after.
    TwoReadings,
    /// The last reading before, and the highest or lowest after.
    Extreme,
    /// Both lines carried back to the moment of mixing.
    BackToMixing,
    /// Both lines taken when 63 % of the rise is reached.
    SixtyThree,
    /// Both lines taken where the areas on either side are equal.
    EqualAreas,
    /// Corrected by the heat exchanged between, after Regnault and Pfaundler.
    RegnaultPfaundler,
}

impl Way {
    /// All of them.
    pub const ALL: [Self; 6] = [
        Self::TwoReadings,
        Self::Extreme,
        Self::BackToMixing,
        Self::SixtyThree,
        Self::EqualAreas,
        Self::RegnaultPfaundler,
    ];

    /// Its word in a scenario.
    pub fn word(self) -> &'static str {
        match self {
            Self::TwoReadings => "two readings",
            Self::Extreme => "extreme",
            Self::BackToMixing => "back to mixing",
            Self::SixtyThree => "63 percent",
            Self::EqualAreas => "equal areas",
            Self::RegnaultPfaundler => "regnault-pfaundler",
        }
    }

    /// For people.
    pub fn title(self) -> &'static str {
        match self {
            Self::TwoReadings => "two readings",
            Self::Extreme => "extreme reading",
            Self::BackToMixing => "lines back to mixing",
            Self::SixtyThree => "lines at 63 % of the rise",
            Self::EqualAreas => "lines at equal areas",
            Self::RegnaultPfaundler => "Regnault-Pfaundler",
        }
    }

    /// Whether the change of temperature is a fixed weighted sum of the readings.
    pub fn is_linear(self) -> bool {
        matches!(self, Self::TwoReadings | Self::BackToMixing)
    }
}

/// What the lab records of a run; times count from the moment of mixing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Record {
    /// One reading before, one after.
    TwoReadings {
        /// The first is taken this long before mixing.
        before: Second,
        /// The second is taken this long after.
        read_at: Second,
    },
    /// Readings at a fixed interval through both periods and the time between.
    Trace {
        /// Time between readings.
        interval: Second,
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
