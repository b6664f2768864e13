//! Do the runs agree with each other, and with the accepted value?
//!
//! Runs of one kind: with u_i the standard uncertainty that the instruments leave to each run alone and m their mean weighted
//! by 1 / u_i^2, `chi^2 = sum (x_i - m)^2 / u_i^2` has n - 1 degrees of freedom if nothing else scatters; the Birge ratio
//! is `sqrt(chi^2 / (n - 1))` (EURACHEM/CITAC CG 4; Birge 1932). The most distant run is judged by Grubbs' statistic
//! `G = max |x_i - x| / s` (ISO 5725-2): `t^2 = n (n - 2) G^2 / ((n - 1)^2 - n G^2)` and `p = 2 n P(T_{n-2} > t)` at most.
//!
//! Accepted value: `E_n = |x - l| / sqrt(U^2 + U_l^2)` and `zeta = (x - l) / sqrt(u^2 + u_l^2)` (ISO 13528), with a
//! probability from Student t of the effective degrees of freedom of the difference.

use crate::random::special::{student_cdf, student_quantile};
use statrs::distribution::{ChiSquared, ContinuousCDF};

/// How runs of one kind agree.
#[derive(Debug, Clone, PartialEq)]
pub struct Consistency {
    /// Number of runs.
    pub n: usize,
    /// Their mean.
    pub mean: f64,
    /// Standard deviation that is observed (n - 1).
    pub observed: f64,
    /// Standard deviation that the instruments explain: the root of the mean of u_i^2.
    pub explained: f64,
    /// Sum of the squared deviations over u_i^2.
    pub chi_square: f64,
    /// Share of groups whose runs would agree better, if the instruments explain all scatter.
    pub percentile: f64,
    /// Root of chi^2 over its degrees of freedom.
    pub birge: f64,
    /// The most distant run, of three or more.
    pub outlier: Option<Outlier>,
}

/// The most distant run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outlier {
    /// Which.
    pub at: usize,
    /// Grubbs' statistic.
    pub g: f64,
    /// Bound of the probability that the most distant of n normal values lies so far out.
    pub p: f64,
}

impl Consistency {
    /// Of results with the standard uncertainty of each alone; `None` for fewer than two, or where nothing errs from run to run.
    pub fn of(results: &[f64], u: &[f64]) -> Option<Self> {
        let n = results.len();
        if n < 2 || u.iter().any(|u| u.is_nan() || *u <= 0.0) {
            return None;
        }
        let count = n as f64;
        let mean = results.iter().sum::<f64>() / count;
        let squares: f64 = results.iter().map(|x| (x - mean) * (x - mean)).sum();
        let weights: f64 = u.iter().map(|u| 1.0 / (u * u)).sum();
        let weighted = results.iter().zip(u).map(|(x, u)| x / (u * u)).sum::<f64>() / weights;
        let chi_square = results
            .iter()
            .zip(u)
            .map(|(x, u)| ((x - weighted) / u) * ((x - weighted) / u))
            .sum::<f64>();
        let dof = count - 1.0;
        let observed = (squares / dof).sqrt();
        Some(Self {
            n,
            mean,
            observed,
            explained: (u.iter().map(|u| u * u).sum::<f64>() / count).sqrt(),
            chi_square,
            percentile: ChiSquared::new(dof).map_or(f64::NAN, |d| d.cdf(chi_square)),
            birge: (chi_square / dof).sqrt(),
            outlier: Outlier::of(results, mean, observed),
        })
    }
}

impl Outlier {
    fn of(results: &[f64], mean: f64, sd: f64) -> Option<Self> {
        let n = results.len() as f64;
        if results.len() < 3 || sd <= 0.0 {
            return None;
        }
        let (at, far) = results
            .iter()
            .map(|x| (x - mean).abs())
            .enumerate()
            .max_by(|a, b| a.1.total_cmp(&b.1))?;
        let g = far / sd;
        let left = (n - 1.0) * (n - 1.0) - n * g * g;
        let p = if left <= 0.0 {
            0.0
        } else {
            let t = (n * (n - 2.0) * g * g / left).sqrt();
            (2.0 * n * student_cdf(-t, n - 2.0)).min(1.0)
        };
        Some(Self { at, g, p })
    }
}

/// How a result agrees with the accepted value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Agreement {
    /// Accepted value, J/mol.
    pub accepted: f64,
    /// Its standard uncertainty; `None` where none is stated.
    pub accepted_u: Option<f64>,
    /// Result less accepted value.
    pub difference: f64,
    /// Standard uncertainty of that difference.
    pub u: f64,
    /// Its degrees of freedom.
    pub dof: f64,
    /// The difference over its expanded uncertainty, both of 95 %; `None` without a stated uncertainty.
    pub normalised: Option<f64>,
    /// The difference over its standard uncertainty.
    pub zeta: f64,
    /// Probability of a difference at least this large, if nothing but what is stated errs.
    pub probability: f64,
    /// The least difference that would be significant at 5 %.
    pub significant: f64,
}

impl Agreement {
    /// Of a result with its expanded uncertainty and degrees of freedom; `u` is that of the difference.
    pub fn of(
        (result, expanded, dof): (f64, f64, f64),
        (accepted, accepted_u): (f64, Option<f64>),
        u: f64,
    ) -> Self {
        let difference = result - accepted;
        // Welch and Satterthwaite, the accepted value with infinitely many degrees of freedom.
        let own = u * u - accepted_u.map_or(0.0, |l| l * l);
        let dof = if own > 0.0 {
            dof * (u * u / own) * (u * u / own)
        } else {
            f64::INFINITY
        };
        let zeta = difference / u;
        let of_accepted = |l: f64| difference.abs() / expanded.hypot(2.0 * l);
        Self {
            accepted,
            accepted_u,
            difference,
            u,
            dof,
            normalised: accepted_u.map(of_accepted),
            zeta,
            probability: 2.0 * student_cdf(-zeta.abs(), dof),
            significant: u * student_quantile(0.975, dof),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn grubbs_statistic_reaches_its_critical_values() {
        // ISO 5725-2, Table 5 (upper 5 % of one-sided tests: two-sided 10 %): n = 5: 1.672; from memory two-sided 5 %: n = 3: 1.155,
        // n = 5: 1.715, n = 10: 2.290.
        for (n, critical) in [(5usize, 1.715), (10, 2.290)] {
            let count = n as f64;
            let left = (count - 1.0) * (count - 1.0) - count * critical * critical;
            let t = (count * (count - 2.0) * critical * critical / left).sqrt();
            let p = 2.0 * count * student_cdf(-t, count - 2.0);
            assert!((p - 0.05).abs() < 0.001, "{n}: {p}");
        }
        let found = Outlier::of(&[10.0, 10.1, 9.9, 10.0, 14.0], 10.8, 1.790_251_379_4).unwrap();
        assert_eq!(found.at, 4);
        assert!(found.p < 0.05);
        let three = Consistency::of(&[1.0, 1.0, 2.0], &[0.5; 3]).unwrap();
        assert!(three.outlier.unwrap().g <= 1.1548);
    }

    #[test]
    fn scatter_that_the_instruments_explain_lies_anywhere() {
        // chi^2 of 3 degrees of freedom: 50 % at 2.366, 95 % at 7.815 (any statistical table).
        let runs = |a: f64| Consistency::of(&[-a, a, -a, a], &[1.0; 4]).unwrap();
        let at = |chi: f64| runs((chi / 4.0).sqrt());
        assert!((at(2.366).percentile - 0.5).abs() < 1e-4);
        assert!((at(7.815).percentile - 0.95).abs() < 1e-4);
        assert!((at(3.0).birge - 1.0).abs() < 1e-12);
        assert!(Consistency::of(&[1.0], &[1.0]).is_none());
    }

    #[test]
    fn a_difference_is_significant_where_its_probability_is_5_percent() {
        let a = Agreement::of((10.0, 2.0, 4.0), (8.0, None), 1.0);
        assert_eq!(a.normalised, None);
        // NIST TN 1297, Table B.1: t of 4 degrees of freedom at 95 %.
        assert!((a.significant - 2.78).abs() < 0.005);
        let at = Agreement::of((8.0 + a.significant, 2.0, 4.0), (8.0, None), 1.0);
        assert!((at.probability - 0.05).abs() < 1e-9);
        let with = Agreement::of((10.0, 2.0, f64::INFINITY), (7.0, Some(1.0)), 2f64.sqrt());
        assert!((with.normalised.unwrap() - 3.0 / 8f64.sqrt()).abs() < 1e-12);
        assert!((with.zeta - 3.0 / 2f64.sqrt()).abs() < 1e-12);
    }
}
