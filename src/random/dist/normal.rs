//! Normal distribution: density exp(-(x - m)^2 / 2 s^2) / (s sqrt(2 pi)). JCGM 101:2008, 6.4.7.

use super::super::special::{
    normal_cdf, normal_quantile, normal_quantile_central, normal_quantile_tail,
};
use super::{BLOCK, DistError, Distribution, finite};

/// Normal with a mean and a standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Normal {
    mean: f64,
    sd: f64,
}

impl Normal {
    /// Mean and standard deviation; the latter may be 0.
    ///
    /// # Errors
    /// If a parameter is not finite or `sd` is negative.
    pub fn new(mean: f64, sd: f64) -> Result<Self, DistError> {
        finite(&[mean, sd])?;
        if sd < 0.0 {
            return Err(DistError::NegativeWidth(sd));
        }
        Ok(Self { mean, sd })
    }

    pub(super) fn scaled(&self, f: f64) -> Self {
        Self {
            mean: self.mean * f,
            sd: self.sd * f,
        }
    }
}

impl Distribution for Normal {
    #[inline]
    fn quantile(&self, u: f64) -> f64 {
        self.mean + self.sd * normal_quantile(u)
    }
    fn cdf(&self, x: f64) -> f64 {
        normal_cdf((x - self.mean) / self.sd)
    }
    fn mean(&self) -> f64 {
        self.mean
    }
    fn sd(&self) -> f64 {
        self.sd
    }
    fn transform(&self, column: &mut [f64; BLOCK]) {
        // The central formula for all (no branch, so it vectorises), then the 15 % in the tails
        // again with theirs. The bits are those of `quantile`.
        let mut z = [0.0; BLOCK];
        for (z, u) in z.iter_mut().zip(column.iter()) {
            *z = self.mean + self.sd * normal_quantile_central(*u - 0.5);
        }
        for (z, u) in z.iter_mut().zip(column.iter()) {
            let q = *u - 0.5;
            if q.abs() > 0.425 {
                *z = self.mean + self.sd * normal_quantile_tail(*u, q);
            }
        }
        *column = z;
    }
}
