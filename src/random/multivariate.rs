//! Multivariate normal: correlated inputs drawn together. JCGM 101:2008, 6.4.8.

use super::column::{BLOCK, Column};
use super::dist::Dist;
use super::draws::{Draws, Input};
use super::name::Name;
use thiserror::Error;

/// Why a covariance matrix cannot be used.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum MultivariateError {
    /// Not square, or of another size than the means.
    #[error("the covariance matrix must be {0} by {0}")]
    Size(usize),
    /// Not symmetric.
    #[error("the covariance matrix is not symmetric at ({0}, {1})")]
    NotSymmetric(usize, usize),
    /// A combination of inputs would have negative variance.
    #[error("the covariance matrix is not positive semidefinite (row {0})")]
    NotPositive(usize),
}

/// Normal inputs with a covariance matrix: mean + L z, with L the Cholesky factor.
#[derive(Debug, Clone, PartialEq)]
pub struct MultivariateNormal {
    mean: Vec<f64>,
    factor: Vec<Vec<f64>>,
}

impl MultivariateNormal {
    /// Means and covariance matrix (rows). A zero pivot is allowed (a fixed combination).
    ///
    /// # Errors
    /// If the matrix is not square, symmetric and positive semidefinite.
    pub fn new(mean: Vec<f64>, covariance: &[Vec<f64>]) -> Result<Self, MultivariateError> {
        let n = mean.len();
        if covariance.len() != n || covariance.iter().any(|row| row.len() != n) {
            return Err(MultivariateError::Size(n));
        }
        let mut factor = vec![vec![0.0; n]; n];
        for i in 0..n {
            for j in 0..=i {
                let scale = (covariance[i][i] * covariance[j][j]).sqrt();
                if (covariance[i][j] - covariance[j][i]).abs() > 1e-12 * scale {
                    return Err(MultivariateError::NotSymmetric(i, j));
                }
                let sum: f64 = (0..j).map(|k| factor[i][k] * factor[j][k]).sum();
                let rest = covariance[i][j] - sum;
                if i == j {
                    let slack = 1e-12 * covariance[i][i].abs();
                    if rest.is_nan() || rest < -slack {
                        return Err(MultivariateError::NotPositive(i));
                    }
                    factor[i][i] = rest.max(0.0).sqrt();
                } else {
                    // An input that adds nothing of its own cannot have a covariance of its own.
                    if factor[j][j] > 0.0 {
                        factor[i][j] = rest / factor[j][j];
                    } else if rest.is_nan() || rest.abs() > 1e-12 * scale {
                        return Err(MultivariateError::NotPositive(i));
                    }
                }
            }
        }
        Ok(Self { mean, factor })
    }

    /// One column per input. The whole set is one source: its members are told apart by the run
    /// number of the name, so that it is held or replaced together.
    pub fn draw(&self, draws: &Draws, name: Name) -> Vec<Column<f64>> {
        let standard = Input::error(Dist::normal(0.0, 1.0).expect("valid"));
        let z: Vec<Column<f64>> = (0..self.mean.len())
            .map(|i| {
                let member = Name {
                    run: i as u32,
                    ..name
                };
                draws.column(member, 0, &standard)
            })
            .collect();
        (0..self.mean.len())
            .map(|i| {
                let mut x = Column::splat(self.mean[i]);
                for (k, z) in z.iter().enumerate().take(i + 1) {
                    for t in 0..BLOCK {
                        x[t] += self.factor[i][k] * z[t];
                    }
                }
                x
            })
            .collect()
    }
}
