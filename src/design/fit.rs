//! Variance against numbers of runs: V = F + sum of A_i / n_i.
//!
//! What runs of one kind draw anew is averaged over them, what they share is not; so the variance of the result of
//! a linear chain has this form exactly, with the floor F that no number of runs passes (the variance model of
//! ISO 5725-2 with a shared systematic part). The coefficients are found by least squares over the points of a
//! study; their errors by doing so batch by batch.

use crate::stats::{Estimate, Moments};

/// Batches of trials whose spread gives the errors.
const BATCHES: usize = 32;

/// A fitted variance.
#[derive(Debug, Clone, PartialEq)]
pub struct VarianceFit {
    /// Spread that infinitely many runs would leave: the root of F, in the unit of the column.
    pub floor: Estimate,
    /// A_i, in that unit squared, one for each kind of run.
    pub parts: Vec<f64>,
    /// Largest relative distance of a point's spread from the fit.
    pub misfit: f64,
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
    let variance = |values: &[f64]| {
        let sd = Moments::of(values).sd().value;
        sd * sd
    };
    let solve = |v: &[f64]| least_squares(&rows, v);
    let all: Vec<f64> = columns.iter().map(|c| variance(c)).collect();
    let found = solve(&all)?;
    let mut floors = Moments::new();
    for batch in 0..BATCHES {
        let part = |c: &&[f64]| {
            let edge = |i: usize| i * c.len() / BATCHES;
            variance(&c[edge(batch)..edge(batch + 1)])
        };
        let v: Vec<f64> = columns.iter().map(part).collect();
        floors.push(solve(&v)?[0]);
    }
    let root = found[0].max(0.0).sqrt();
    let misfit = rows.iter().zip(&all).map(|(row, v)| {
        let fitted: f64 = row.iter().zip(&found).map(|(x, c)| x * c).sum();
        (v.sqrt() / fitted.max(0.0).sqrt() - 1.0).abs()
    });
    Some(VarianceFit {
        floor: Estimate::new(
            root,
            floors.mean().se / (2.0 * root.max(floors.mean().se.sqrt())),
        ),
        misfit: misfit.fold(0.0, f64::max),
        parts: found[1..].to_vec(),
    })
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
}
