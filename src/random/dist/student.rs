//! Scaled and shifted Student t: centre + scale times t with nu degrees of freedom.
//! JCGM 101:2008, 6.4.9; its standard deviation is scale sqrt(nu / (nu - 2)), infinite for nu <= 2.

use super::super::special::{student_cdf, student_quantile};
use super::{DistError, Distribution, finite};

/// Student t about a centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StudentT {
    centre: f64,
    scale: f64,
    dof: f64,
}

impl StudentT {
    /// Centre, scale (for a mean of n readings s / sqrt n) and degrees of freedom.
    ///
    /// # Errors
    /// If a parameter is not finite, the scale negative or `dof` not positive.
    pub fn new(centre: f64, scale: f64, dof: f64) -> Result<Self, DistError> {
        finite(&[centre, scale, dof])?;
        if scale < 0.0 {
            return Err(DistError::NegativeWidth(scale));
        }
        if dof <= 0.0 {
            return Err(DistError::NotPositive(dof));
        }
        Ok(Self { centre, scale, dof })
    }

    /// Degrees of freedom.
    pub fn dof(&self) -> f64 {
        self.dof
    }

    /// Scale.
    pub fn scale(&self) -> f64 {
        self.scale
    }

    pub(super) fn scaled(&self, f: f64) -> Self {
        Self {
            centre: self.centre * f,
            scale: self.scale * f,
            dof: self.dof,
        }
    }
}

impl Distribution for StudentT {
    fn quantile(&self, u: f64) -> f64 {
        self.centre + self.scale * student_quantile(u, self.dof)
    }
    fn cdf(&self, x: f64) -> f64 {
        student_cdf((x - self.centre) / self.scale, self.dof)
    }
    fn above(&self, x: f64) -> f64 {
        student_cdf((self.centre - x) / self.scale, self.dof)
    }
    fn upper_quantile(&self, v: f64) -> f64 {
        self.centre - self.scale * student_quantile(v, self.dof)
    }
    fn mean(&self) -> f64 {
        if self.dof > 1.0 {
            self.centre
        } else {
            f64::NAN
        }
    }
    fn sd(&self) -> f64 {
        if self.dof > 2.0 {
            self.scale * (self.dof / (self.dof - 2.0)).sqrt()
        } else {
            f64::INFINITY
        }
    }
}
