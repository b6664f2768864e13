//! The interval that the lab states with its result.
//!
//! (a) Scatter: value +- t s / sqrt n over the determinations, t with n - 1 degrees of freedom; of a
//! cycle the squares of (coefficient x s / sqrt n) of its legs are summed, with the effective degrees
//! of freedom after Welch and Satterthwaite.
//! (b) Linear: result +- k u_c from the linear budget of that very result, k from Student t with
//! the effective degrees of freedom.

use super::budget::LinearBudget;
use super::evaluate::{Evaluation, Method, Seen, Values, evaluate};
use super::gradient::gradient;
use super::link::{Links, standard_deviation};
use super::page::Pages;
use crate::random::special::student_quantile;
use crate::random::{BLOCK, Column};

/// What labs state with their results, for a block of trials; a half-width is NaN where there is no such claim.
#[derive(Debug, Clone)]
pub struct Stated {
    /// Half-width of claim (a), J/mol.
    pub scatter: Column<f64>,
    /// Half-width of claim (b), J/mol.
    pub linear: Column<f64>,
    /// Standard deviation over the determinations of the first leg, J/mol; NaN for a single one.
    pub determination_sd: Column<f64>,
    /// Combined standard uncertainty of the linear budget, J/mol.
    pub u: Column<f64>,
    /// Its effective degrees of freedom.
    pub dof: Column<f64>,
}

/// Claims about one result, with the budget behind claim (b).
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

impl Stated {
    /// States both claims.
    pub fn of(
        pages: &Pages,
        method: &Method,
        values: &Values,
        links: &Links,
        factor: &CoverageFactor,
    ) -> Self {
        let net = links.net(
            pages,
            values,
            &gradient(pages, method, values, links.wanted()),
        );
        Self::with(pages, method, values, factor, links.combined(&net))
    }

    fn with(
        pages: &Pages,
        method: &Method,
        values: &Values,
        factor: &CoverageFactor,
        [u, dof]: [Column<f64>; 2],
    ) -> Self {
        // Squares of (coefficient s / sqrt n), their sum, and what Welch and Satterthwaite divide it by.
        let (mut square, mut spread) = (Column::splat(0.0), Column::splat(0.0));
        let mut only = Column::splat(0.0);
        let mut sd = Column::splat(f64::NAN);
        let legs = pages.legs[1..].iter().zip(&values.enthalpies);
        for (at, ((leg, own), coefficient)) in legs.zip(&method.coefficients).enumerate() {
            let n = leg.number();
            let s = standard_deviation(leg, own);
            for i in 0..BLOCK {
                let v = coefficient * coefficient * s[i] * s[i] / n[i];
                square[i] += v;
                spread[i] += v * v / (n[i] - 1.0);
                only[i] = n[i] - 1.0;
            }
            if at == 0 {
                sd = s;
            }
        }
        // A single leg has its own degrees of freedom, whatever its scatter; without any scatter no factor makes an interval.
        let single = values.enthalpies.len() == 1;
        let mut last = (f64::NAN, f64::NAN);
        let scatter = Column::from_fn(|i| {
            let dof = if single {
                only[i]
            } else if square[i] == 0.0 {
                f64::INFINITY
            } else {
                square[i] * square[i] / spread[i]
            };
            factor.again(dof, &mut last) * square[i].sqrt()
        });
        Self {
            scatter,
            linear: Column::from_fn(|i| factor.again(dof[i], &mut last) * u[i]),
            determination_sd: sd,
            u,
            dof,
        }
    }
}

impl Claims {
    /// Of one trial of a block.
    pub fn of_trial(
        pages: &Pages,
        method: &Method,
        values: &Values,
        (links, factor): (&Links, &CoverageFactor),
        trial: usize,
    ) -> Self {
        let net = links.net(
            pages,
            values,
            &gradient(pages, method, values, links.wanted()),
        );
        let stated = Stated::with(pages, method, values, factor, links.combined(&net));
        Self {
            scatter: stated.scatter[trial],
            linear: stated.linear[trial],
            determination_sd: stated.determination_sd[trial],
            budget: links.budget(&net, values, trial),
        }
    }

    /// Of one notebook.
    pub fn of(
        seen: &Seen,
        method: &Method,
        links: &Links,
        factor: &CoverageFactor,
    ) -> (Evaluation, Self) {
        let pages = Pages::of(seen);
        let values = evaluate(&pages, method);
        let claims = Self::of_trial(&pages, method, &values, (links, factor), 0);
        (values.of_trial(&pages, 0), claims)
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

    /// The factor, not worked out again for the degrees of freedom that were asked for last.
    #[inline]
    fn again(&self, dof: f64, last: &mut (f64, f64)) -> f64 {
        if dof != last.0 {
            *last = (dof, self.of(dof));
        }
        last.1
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
