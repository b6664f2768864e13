//! How often the interval that a lab states holds nature's value.

use crate::experiment::ResultColumn;
use crate::stats::Estimate;

/// Coverage probability of the claims.
const STATED: f64 = 0.95;

/// One kind of claim over all trials.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, schemars::JsonSchema)]
pub struct ClaimCoverage {
    /// Coverage probability that the groups state.
    pub stated_probability: f64,
    /// Share of groups whose interval holds the true value.
    pub coverage: Estimate,
    /// Mean half-width, J/mol.
    #[serde(rename = "mean_half_width_J_per_mol")]
    pub half_width: Estimate,
    /// Groups that it is counted over: those of the kept trials that state such a claim.
    pub groups: u64,
}

/// Running counts of one claim.
#[derive(Debug, Clone, Copy)]
pub(super) struct ClaimCount {
    column: ResultColumn,
    stated: u64,
    held: u64,
    sum: f64,
    square: f64,
}

impl ClaimCount {
    pub(super) fn new(column: ResultColumn) -> Self {
        Self {
            column,
            stated: 0,
            held: 0,
            sum: 0.0,
            square: 0.0,
        }
    }

    /// Adds trials: errors and half-widths by column.
    pub(super) fn add(&mut self, columns: &[&[f64]]) {
        let errors = columns[ResultColumn::Error as usize];
        let halves = columns[self.column as usize];
        for (e, h) in errors.iter().zip(halves) {
            if e.is_finite() && h.is_finite() {
                self.stated += 1;
                self.held += u64::from(e.abs() <= *h);
                self.sum += h;
                self.square += h * h;
            }
        }
    }

    /// The coverage, if any claim was stated. Its standard error counts two more hits and misses
    /// than there were, so that 0 or 100 % do not pretend to be exact.
    pub(super) fn coverage(&self) -> Option<ClaimCoverage> {
        if self.stated == 0 {
            return None;
        }
        let n = self.stated as f64;
        let p = self.held as f64 / n;
        let guarded = (self.held as f64 + 2.0) / (n + 4.0);
        let mean = self.sum / n;
        let variance = (self.square / n - mean * mean).max(0.0);
        Some(ClaimCoverage {
            stated_probability: STATED,
            coverage: Estimate::new(p, (guarded * (1.0 - guarded) / (n + 4.0)).sqrt()),
            half_width: Estimate::new(mean, (variance / n).sqrt()),
            groups: self.stated,
        })
    }
}
