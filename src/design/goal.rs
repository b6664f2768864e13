//! What a procedure is asked to reach.

use super::outcome::Outcome;
use crate::scenario::Scenario;
use crate::stats::{Estimate, share_within};

/// A target of a design study. All fractions; lengths are relative to the result.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Goal {
    /// Standard deviation of the results, at most.
    Spread(f64),
    /// Distance from the true value within which 95 % of the results lie, at most: it knows the bias too.
    Within(f64),
    /// Share of results in the fair band, at least.
    Pass(f64),
}

impl Goal {
    /// The target that the scenario states for itself, if it does.
    pub fn of(scenario: &Scenario) -> Option<Self> {
        scenario.target.uncertainty.map(Self::Spread)
    }

    /// The number that is compared with the target; NaN for a share without a band.
    pub fn measure(self, outcome: &Outcome) -> Estimate {
        match self {
            Self::Spread(_) => outcome.relative(outcome.errors.spread),
            Self::Within(_) => outcome.relative(outcome.errors.within),
            Self::Pass(_) => outcome.in_band.unwrap_or(Estimate::undefined()),
        }
    }

    /// The target itself.
    pub fn target(self) -> f64 {
        match self {
            Self::Spread(x) | Self::Within(x) | Self::Pass(x) => x,
        }
    }

    /// Whether a number meets it. What is no number meets nothing.
    pub fn met(self, measure: f64) -> bool {
        match self {
            Self::Pass(least) => measure >= least,
            Self::Spread(most) | Self::Within(most) => measure <= most,
        }
    }

    /// Whether a number lies so close to the target that its standard error leaves open whether it is met.
    pub fn is_open(self, measure: Estimate) -> bool {
        self.excess(measure.value).abs() < 2.0 * measure.se
    }

    /// How far a number lies beyond the target: above zero where it is missed.
    pub fn excess(self, measure: f64) -> f64 {
        match self {
            Self::Pass(least) => least - measure,
            Self::Spread(most) | Self::Within(most) => measure - most,
        }
    }

    /// How much further from the target a change of the number leads.
    pub fn worse_by(self, change: f64) -> f64 {
        match self {
            Self::Pass(_) => -change,
            Self::Spread(_) | Self::Within(_) => change,
        }
    }

    /// The same number from a column of errors in J/mol, with the result and the band to go by.
    pub fn measure_of(self, values: &[f64], result: f64, band: Option<f64>) -> f64 {
        match self {
            Self::Spread(_) => crate::stats::Moments::of(values).sd().value / result.abs(),
            Self::Within(_) => {
                let sizes: Vec<f64> = values.iter().map(|e| e.abs()).collect();
                crate::stats::Sorted::from_vec(sizes).quantile(0.95).value / result.abs()
            }
            Self::Pass(_) => {
                let half = band.unwrap_or(f64::NAN) * result.abs();
                share_within(values, -half, half).value
            }
        }
    }

    /// In words, as in "reaches ...".
    pub fn words(self) -> String {
        let percent = |x: f64| format!("{} %", crate::quantity::decimal(100.0 * x));
        match self {
            Self::Spread(x) => format!("a relative spread of {} at most", percent(x)),
            Self::Within(x) => format!(
                "95 % of the results within {} of the true value",
                percent(x)
            ),
            Self::Pass(x) => format!("{} of the results in the fair band", percent(x)),
        }
    }

    /// What it measures, in words.
    pub fn name(self) -> &'static str {
        match self {
            Self::Spread(_) => "relative spread",
            Self::Within(_) => "distance that 95 % stay within",
            Self::Pass(_) => "share in the fair band",
        }
    }
}
