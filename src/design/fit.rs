//! Variance against numbers of runs: V = F + sum of A_i / n_i.
//!
//! What runs of one kind draw anew is averaged over them, what they share is not; so the variance of the result of
//! a linear chain has this form exactly, with the floor F that no number of runs passes (the variance model of
//! ISO 5725-2 with a shared systematic part). The coefficients are found by least squares over the points of a
//! study; their errors, by leaving out one batch of trials after the other.

use crate::stats::{Estimate, Moments, jackknife, left_out};

/// Batches of trials that are left out in turn.
const BATCHES: usize = 32;

/// A fitted variance.
#[derive(Debug, Clone, PartialEq)]
pub struct VarianceFit {
    /// Spread that infinitely many runs would leave: the root of F, in the unit of the column. Never above
    /// the least spread of the points that it is fitted to.
    pub floor: Estimate,
    /// A_i, in that unit squared, one for each kind of run.
    pub parts: Vec<f64>,
    /// Largest relative distance of a point's spread from the fit.
    pub misfit: f64,
    /// F and A_i: of all trials, and without each batch.
    found: Vec<f64>,
    left: Vec<Vec<f64>>,
}

impl VarianceFit {
    /// A function of the coefficients F, A_1, A_2 ... with its standard error, which is NaN where there are too
    /// few trials, or where the function does not exist without some batch.
    pub fn of(&self, f: impl Fn(&[f64]) -> f64) -> Estimate {
        let without: Vec<f64> = self.left.iter().map(|c| f(c)).collect();
        Estimate::new(f(&self.found), jackknife(&without))
    }
}

/// Fits the columns of a study's points, `columns[i]` for the numbers of runs `runs[i]`; `None` if there are not
/// more points than coefficients, or the numbers of runs do not tell them apart.
pub fn fit(runs: &[Vec<f64>], columns: &[&[f64]]) -> Option<VarianceFit> {
    let kinds = runs.first()?.len();
    if runs.len() <= kinds + 1 {
        return None;
    }
    let rows: Vec<Vec<f64>> = runs
        .iter()
        .map(|n| {
            std::iter::once(1.0)
                .chain(n.iter().map(|n| 1.0 / n))
                .collect()
        })
        .collect();
    let variance = |moments: &Moments| {
        let sd = moments.sd().value;
        sd * sd
    };
    let all: Vec<f64> = columns.iter().map(|c| variance(&Moments::of(c))).collect();
    let found = least_squares(&rows, &all)?;
    let without: Option<Vec<Vec<Moments>>> = columns.iter().map(|c| left_out(c, BATCHES)).collect();
    let mut left = Vec::new();
    if let Some(without) = without {
        for batch in 0..BATCHES {
            let v: Vec<f64> = without.iter().map(|c| variance(&c[batch])).collect();
            left.push(least_squares(&rows, &v)?);
        }
    }
    let misfit = rows.iter().zip(&all).map(|(row, v)| {
        let fitted: f64 = row.iter().zip(&found).map(|(x, c)| x * c).sum();
        (v.sqrt() / fitted.max(0.0).sqrt() - 1.0).abs()
    });
    let mut fit = VarianceFit {
        floor: Estimate::undefined(),
        misfit: misfit.fold(0.0, f64::max),
        parts: found[1..].to_vec(),
        found,
        left,
    };
    let least = all.iter().copied().fold(f64::INFINITY, f64::min);
    fit.floor = fit.of(|c| c[0].min(least)).root();
    Some(fit)
}

/// Least squares by the normal equations: a handful of coefficients, well apart. Rows are weighted by the inverse
/// of the variance that they say, since the error of a variance is in proportion to it.
fn least_squares(rows: &[Vec<f64>], values: &[f64]) -> Option<Vec<f64>> {
    let n = rows.first()?.len();
    let mut m = vec![vec![0.0; n + 1]; n];
    for (row, v) in rows.iter().zip(values) {
        let weight = 1.0 / (v * v);
        if !weight.is_finite() {
            return None;
        }
        for i in 0..n {
            for j in 0..n {
                m[i][j] += weight * row[i] * row[j];
            }
            m[i][n] += weight * row[i] * v;
        }
    }
    for i in 0..n {
        let pivot = (i..n).max_by(|a, b| m[*a][i].abs().total_cmp(&m[*b][i].abs()))?;
        m.swap(i, pivot);
        let size: f64 = rows
            .iter()
            .zip(values)
            .map(|(r, v)| r[i] * r[i] / (v * v))
            .sum();
        if m[i][i].abs() <= 1e-9 * size {
            return None;
        }
        for k in 0..n {
            if k != i {
                let factor = m[k][i] / m[i][i];
                let above = m[i].clone();
                for (x, a) in m[k].iter_mut().zip(above).skip(i) {
                    *x -= factor * a;
                }
            }
        }
    }
    Some((0..n).map(|i| m[i][n] / m[i][i]).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn coefficients_of_an_exact_variance_are_found_and_degenerate_points_refused() {
        let rows: Vec<Vec<f64>> = (1..6).map(|n| vec![1.0, 1.0 / f64::from(n)]).collect();
        let v: Vec<f64> = rows.iter().map(|r| 0.25 + 0.64 * r[1]).collect();
        let found = least_squares(&rows, &v).unwrap();
        assert!((found[0] - 0.25).abs() < 1e-12 && (found[1] - 0.64).abs() < 1e-12);
        let same = vec![vec![1.0, 0.5]; 4];
        assert!(least_squares(&same, &[1.0, 1.1, 0.9, 1.0]).is_none());
    }

    /// Columns of `trials` results with these variances, as good as independent, and not normal.
    fn columns(variances: &[f64], trials: u64) -> Vec<Vec<f64>> {
        let number = |i: u64| {
            let z = (i + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15);
            let z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
            let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
            (z >> 11) as f64 / (1u64 << 53) as f64
        };
        let of = |(point, v): (usize, &f64)| {
            let at = |t: u64| (12.0 * v).sqrt() * number(trials * point as u64 + t);
            (0..trials).map(at).collect()
        };
        variances.iter().enumerate().map(of).collect()
    }

    #[test]
    fn a_floor_is_never_above_the_spread_that_it_is_the_floor_of() {
        // Nothing is averaged: the floor is the spread itself, and chance puts a fit above the least of them.
        let runs: Vec<Vec<f64>> = (1..6).map(|n| vec![f64::from(n)]).collect();
        let mut above = 0;
        for shift in 0..20 {
            let all = columns(&vec![1.0; 5 + shift], 3_200).split_off(shift);
            let slices: Vec<&[f64]> = all.iter().map(Vec::as_slice).collect();
            let found = fit(&runs, &slices).unwrap();
            let spreads = slices.iter().map(|c| Moments::of(c).sd().value);
            let least = spreads.fold(f64::INFINITY, f64::min);
            assert!(found.floor.value <= least);
            above += u32::from(found.of(|c| c[0]).value.sqrt() > least);
        }
        assert!(above > 0, "the unclamped floor must have passed a spread");
    }

    #[test]
    fn the_ratio_of_the_best_split_has_an_honest_error() {
        // V = 1 + 4/n + 1/m: twice as many of the first as of the second, at the same price.
        let runs: Vec<Vec<f64>> = [(1, 1), (1, 4), (2, 2), (4, 1), (4, 4), (8, 8)]
            .iter()
            .map(|(n, m)| vec![f64::from(*n), f64::from(*m)])
            .collect();
        let v: Vec<f64> = runs.iter().map(|r| 1.0 + 4.0 / r[0] + 1.0 / r[1]).collect();
        let ratio = |c: &[f64]| (c[1] / c[2]).sqrt();
        let (mut seen, mut stated, mut floors) = (Moments::new(), Moments::new(), Moments::new());
        for shift in 0..60 {
            let all = columns(&[vec![1.0; shift], v.clone()].concat(), 10_240).split_off(shift);
            let found = fit(&runs, &all.iter().map(Vec::as_slice).collect::<Vec<_>>()).unwrap();
            let of = found.of(ratio);
            seen.push(of.value);
            stated.push(of.se);
            floors.push(found.floor.value);
        }
        assert!((seen.mean().value - 2.0).abs() < 5.0 * seen.mean().se);
        assert!((floors.mean().value - 1.0).abs() < 5.0 * floors.mean().se);
        let honest = stated.mean().value / seen.sd().value;
        assert!((honest - 1.0).abs() < 5.0 / 120_f64.sqrt(), "{honest}");
    }

    #[test]
    fn too_few_trials_have_a_fit_without_errors() {
        let runs: Vec<Vec<f64>> = (1..6).map(|n| vec![f64::from(n)]).collect();
        let all = columns(&[2.0, 1.5, 1.3, 1.2, 1.1], 200);
        let found = fit(&runs, &all.iter().map(Vec::as_slice).collect::<Vec<_>>()).unwrap();
        assert!(found.floor.value > 0.0 && found.floor.se.is_nan());
    }
}
