//! The interval that the lab states with its result.
//!
//! (a) Scatter: value +- t s / sqrt n over the determinations, t with n - 1 degrees of freedom; of a
//! cycle the squares of (coefficient x s / sqrt n) of its legs are summed, with the effective degrees
//! of freedom after Welch and Satterthwaite.
//! (b) Linear: result +- k u_c from the linear budget of that very result, k from Student t with
//! the effective degrees of freedom.

use super::budget::LinearBudget;
use super::evaluate::{Evaluation, Method, Seen};
use super::gradient::{Gradient, gradient};
use super::link::{Links, standard_deviation};
use crate::random::special::student_quantile;

/// Claims about one result; a half-width is NaN where there is no such claim.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Claims {
    /// Half-width of claim (a), J/mol.
    pub scatter: f64,
    /// Half-width of claim (b), J/mol.
    pub linear: f64,
    /// Standard deviation over the determinations of the first leg, J/mol; NaN for a single one.
    pub determination_sd: f64,
    /// The budget behind claim (b).
    pub budget: LinearBudget,
}

impl Claims {
    /// States both claims.
    pub fn state(
        seen: &Seen,
        method: &Method,
        value: &Evaluation,
        links: &Links,
        factor: &CoverageFactor,
        scratch: &mut Gradient,
    ) -> Self {
        let n = |leg: &Vec<f64>| leg.len() as f64;
        let legs = || value.enthalpies.iter().zip(&method.coefficients);
        let variance = |(leg, coefficient): (&Vec<f64>, &f64)| {
            let s = standard_deviation(leg);
            coefficient * coefficient * s * s / n(leg)
        };
        let square: f64 = legs().map(variance).sum();
        let spread: f64 = legs()
            .map(|own| {
                let v = variance(own);
                v * v / (n(own.0) - 1.0)
            })
            .sum();
        // A single leg has its own degrees of freedom, whatever its scatter; without any scatter no factor makes an interval.
        let dof = match value.enthalpies.as_slice() {
            [only] => n(only) - 1.0,
            _ if square == 0.0 => f64::INFINITY,
            _ => square * square / spread,
        };
        gradient(seen, method, value, links.wanted(), scratch);
        let budget = links.budget(seen, value, scratch);
        Self {
            scatter: factor.of(dof) * square.sqrt(),
            linear: factor.of(budget.dof) * budget.u,
            determination_sd: value
                .enthalpies
                .first()
                .map_or(f64::NAN, |l| standard_deviation(l)),
            budget,
        }
    }
}

/// Two-sided coverage factor of Student t against degrees of freedom, from a table.
///
/// The quantile is smooth in 1/nu; between 513 nodes on [0, 1] a cubic through four of them is good
/// to 1e-9. Below one degree of freedom it is computed directly.
#[derive(Debug, Clone)]
pub struct CoverageFactor {
    p: f64,
    nodes: Vec<f64>,
}

const STEPS: usize = 512;

impl CoverageFactor {
    /// For a coverage probability such as 0.95.
    pub fn new(probability: f64) -> Self {
        let p = 0.5 + 0.5 * probability;
        let nodes = (0..=STEPS)
            .map(|i| student_quantile(p, STEPS as f64 / i as f64))
            .collect();
        Self { p, nodes }
    }

    /// The factor for `dof` degrees of freedom; NaN for none.
    pub fn of(&self, dof: f64) -> f64 {
        if dof.is_nan() || dof <= 0.0 {
            return f64::NAN;
        }
        if dof < 1.0 {
            return student_quantile(self.p, dof);
        }
        let x = STEPS as f64 / dof;
        let first = (x.floor() as usize).saturating_sub(1).min(STEPS - 3);
        let mut sum = 0.0;
        for i in 0..4 {
            let mut weight = self.nodes[first + i];
            for j in (0..4).filter(|j| *j != i) {
                weight *= (x - (first + j) as f64) / (i as f64 - j as f64);
            }
            sum += weight;
        }
        sum
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn coverage_factors_are_those_of_the_table() {
        // NIST TN 1297, Table B.1.
        let k = CoverageFactor::new(0.95);
        for (dof, t) in [
            (1.0, 12.71),
            (2.0, 4.30),
            (4.0, 2.78),
            (9.0, 2.26),
            (19.0, 2.09),
        ] {
            assert!((k.of(dof) - t).abs() < 0.006, "{dof}: {}", k.of(dof));
        }
        for dof in [1.37, 2.5, 7.9, 16.76, 133.0, 1e6, f64::INFINITY] {
            let exact = student_quantile(0.975, dof);
            assert!((k.of(dof) / exact - 1.0).abs() < 2e-8, "{dof}");
        }
        assert!(k.of(0.0).is_nan());
    }
}
