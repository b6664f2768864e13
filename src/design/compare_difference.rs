//! Differences between contenders, and what may be said of them.

use crate::quantity::texts;
use crate::stats::Estimate;

/// Standard errors from zero on which a difference counts as seen.
pub(super) const SEEN: f64 = 3.0;

texts! {
    /// What a difference says.
    Verdict::words:
    /// Smaller than the other's.
    Better = "better",
    /// Larger.
    Worse = "worse",
    /// These trials do not tell them apart.
    NotToldApart = "not told apart",
    /// No difference at all in any trial.
    Same = "the same",
}

/// One statistic less another's, as a fraction of the result.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Difference(pub Estimate);

impl Difference {
    /// Whether it is seen, and which way it goes. What has no error is not told apart.
    pub fn verdict(self) -> Verdict {
        let Self(e) = self;
        if e.value == 0.0 && e.se == 0.0 {
            Verdict::Same
        } else if e.value.abs() > SEEN * e.se {
            if e.value < 0.0 {
                Verdict::Better
            } else {
                Verdict::Worse
            }
        } else {
            Verdict::NotToldApart
        }
    }
}

/// Differences of one contender against another; all fractions of the results.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Differences {
    /// Of the bias, with its sign (minus: towards too small a magnitude). Its verdict is none.
    pub bias: Difference,
    /// Of the size of the bias.
    pub off: Difference,
    /// Of the spread.
    pub spread: Difference,
    /// Of the distance that 95 % of results stay within.
    pub within: Difference,
    /// Of the RMS error.
    pub rms: Difference,
}
