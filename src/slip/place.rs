//! In which runs a mistake is made.

use crate::quantity::texts;

texts! {
    /// In which runs a mistake is made.
    Place::words:
    /// In all determinations.
    Determinations = "determination",
    /// In all calibration runs.
    Calibration = "calibration",
    /// In all runs.
    Both = "all runs",
    /// In the first determination alone.
    OneRun = "one run",
}

impl Place {
    /// As a sentence says where.
    pub fn phrase(self) -> &'static str {
        match self {
            Self::Determinations => "in the determinations",
            Self::Calibration => "in the calibration",
            Self::Both => "in all runs",
            Self::OneRun => "in the first determination",
        }
    }
}
