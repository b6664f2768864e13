//! Normal distribution: density exp(-(x - m)^2 / 2 s^2) / (s sqrt(2 pi)). JCGM 101:2008, 6.4.7.

use super::super::special::{
    normal_cdf, normal_quantile, normal_quantile_central, normal_quantile_tails,
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
    fn above(&self, x: f64) -> f64 {
        normal_cdf((self.mean - x) / self.sd)
    }
    fn upper_quantile(&self, v: f64) -> f64 {
        self.mean - self.sd * normal_quantile(v)
    }
    fn mean(&self) -> f64 {
        self.mean
    }
    fn sd(&self) -> f64 {
        self.sd
    }
    fn transform(&self, column: &mut [f64; BLOCK]) {
        // The central formula runs over all (no branch, so it vectorises); the 15 % in the tails,
        // put aside before, are then done together. The bits are those of `quantile`.
        let mut tail = [0.0; BLOCK];
        let mut place = [0u8; BLOCK];
        let mut n = 0;
        for (i, u) in column.iter().enumerate() {
            // Always written and only sometimes kept: a branch here would be guessed wrongly.
            tail[n] = *u;
            place[n] = i as u8;
            n += usize::from((*u - 0.5).abs() > 0.425);
        }
        for u in column.iter_mut() {
            *u = self.mean + self.sd * normal_quantile_central(*u - 0.5);
        }
        normal_quantile_tails(&mut tail[..n]);
        for (z, i) in tail[..n].iter().zip(place) {
            column[usize::from(i)] = self.mean + self.sd * z;
        }
    }
}
