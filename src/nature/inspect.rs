//! Looking for solid that is left over.
//!
//! P(noticed | residue m):
//! logistic in ln m, 5 % at the just visible mass a and 95 % at the surely visible mass b, so that
//!   P(0) = 0: P = 1 / (1 + (m / sqrt(a b))^(-beta)), beta = 2 ln 19 / ln(b / a);
//! exponential: P = 1 - e^(-m / scale);
//! step: noticed from the just visible mass on.

use crate::quantity::Gram;
use crate::random::elementary::{exp_m1, ln, pow};
use crate::scenario::Inspection;

/// Chance to notice a residue.
#[inline]
pub fn chance(inspection: Inspection, residue: Gram) -> f64 {
    if residue.0 <= 0.0 {
        return 0.0;
    }
    match inspection {
        Inspection::None => 0.0,
        Inspection::Logistic {
            just_visible,
            surely_visible,
        } => {
            let middle = (just_visible.0 * surely_visible.0).sqrt();
            let beta = 2.0 * ln(19.0) / ln(surely_visible / just_visible);
            1.0 / (1.0 + pow(residue.0 / middle, -beta))
        }
        Inspection::Exponential { scale } => -exp_m1(-(residue / scale)),
        Inspection::Step { from } => f64::from(u8::from(residue >= from)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_logistic_inspection_notices_as_stated_and_nothing_of_nothing() {
        let i = Inspection::Logistic {
            just_visible: Gram(0.002),
            surely_visible: Gram(0.02),
        };
        assert!((chance(i, Gram(0.002)) - 0.05).abs() < 1e-12);
        assert!((chance(i, Gram(0.02)) - 0.95).abs() < 1e-12);
        assert_eq!(chance(i, Gram(0.0)), 0.0);
        assert!(chance(i, Gram(1e-9)) < 1e-6);
        let step = Inspection::Step { from: Gram(0.01) };
        assert_eq!(
            (chance(step, Gram(0.0099)), chance(step, Gram(0.01))),
            (0.0, 1.0)
        );
        let exponential = Inspection::Exponential { scale: Gram(0.01) };
        assert!((chance(exponential, Gram(0.01)) - (1.0 - (-1f64).exp())).abs() < 1e-15);
    }
}
