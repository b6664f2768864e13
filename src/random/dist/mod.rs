//! Distributions: each scalar is one uniform number through the inverse distribution function.
//!
//! The inverse is monotone, so common random numbers stay common when a parameter changes, and
//! consumption is fixed: no draw of one source can shift the draws of another. Each file holds one
//! distribution: its density, its reference, a validated constructor, quantile, distribution
//! function, mean and standard deviation.

mod arcsine;
mod beta;
mod constant;
mod curvilinear;
mod exponential;
mod folded;
mod log_normal;
mod normal;
mod rectangular;
mod student;
mod trapezoid;
mod triangular;
mod truncated;

use super::column::BLOCK;
use thiserror::Error;

pub use arcsine::Arcsine;
pub use beta::Beta;
pub use constant::Constant;
pub use curvilinear::CurvilinearTrapezoid;
pub use exponential::Exponential;
pub use folded::Folded;
pub use log_normal::LogNormal;
pub use normal::Normal;
pub use rectangular::Rectangular;
pub use student::StudentT;
pub use trapezoid::Trapezoid;
pub use triangular::Triangular;
pub use truncated::Truncated;

/// Why a distribution cannot exist.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum DistError {
    /// A parameter is NaN or infinite.
    #[error("a parameter of the distribution is not finite")]
    NotFinite,
    /// A width or standard deviation is negative.
    #[error("the width {0} is negative")]
    NegativeWidth(f64),
    /// A parameter that must be positive is not.
    #[error("the parameter {0} must be positive")]
    NotPositive(f64),
    /// The lower end lies above the upper one.
    #[error("the ends {0} and {1} are upside down")]
    UpsideDown(f64, f64),
    /// A shape parameter lies outside its range.
    #[error("the shape parameter {0} lies outside {1} to {2}")]
    Shape(f64, f64, f64),
    /// No probability is left inside the limits.
    #[error("nothing of the distribution lies between {0} and {1}")]
    Empty(f64, f64),
}

pub(super) fn finite(values: &[f64]) -> Result<(), DistError> {
    if values.iter().all(|v| v.is_finite()) {
        Ok(())
    } else {
        Err(DistError::NotFinite)
    }
}

/// The greatest number below 1. A probability computed from a uniform number near 1 may round up to
/// 1 itself, whose quantile is infinite or undefined; those that can do so stop here.
const LAST: f64 = 1.0 - f64::EPSILON / 2.0;

/// What every distribution can do.
pub trait Distribution {
    /// Inverse distribution function at `u` in (0, 1).
    fn quantile(&self, u: f64) -> f64;
    /// Distribution function.
    fn cdf(&self, x: f64) -> f64;
    /// Probability above `x`; distributions without an upper end keep its digits however small it is.
    fn above(&self, x: f64) -> f64 {
        1.0 - self.cdf(x)
    }
    /// The value with the probability `v` above it, in (0, 1); with the digits of a small `v`.
    fn upper_quantile(&self, v: f64) -> f64 {
        self.quantile((1.0 - v).min(LAST))
    }
    /// Expectation.
    fn mean(&self) -> f64;
    /// Standard deviation; infinite where there is none.
    fn sd(&self) -> f64;
    /// Quantiles of a whole column, in place.
    fn transform(&self, column: &mut [f64; BLOCK]) {
        for u in column {
            *u = self.quantile(*u);
        }
    }
}

macro_rules! dist_enum {
    ($($(#[$doc:meta])* $name:ident($inner:ty),)*) => {
        /// Any of the distributions.
        #[derive(Debug, Clone, PartialEq)]
        pub enum Dist { $($(#[$doc])* $name($inner),)* }

        impl Distribution for Dist {
            #[inline]
            fn quantile(&self, u: f64) -> f64 { match self { $(Self::$name(d) => d.quantile(u),)* } }
            fn cdf(&self, x: f64) -> f64 { match self { $(Self::$name(d) => d.cdf(x),)* } }
            fn above(&self, x: f64) -> f64 { match self { $(Self::$name(d) => d.above(x),)* } }
            fn upper_quantile(&self, v: f64) -> f64 { match self { $(Self::$name(d) => d.upper_quantile(v),)* } }
            fn mean(&self) -> f64 { match self { $(Self::$name(d) => d.mean(),)* } }
            fn sd(&self) -> f64 { match self { $(Self::$name(d) => d.sd(),)* } }
            fn transform(&self, column: &mut [f64; BLOCK]) { match self { $(Self::$name(d) => d.transform(column),)* } }
        }

        $(impl From<$inner> for Dist { fn from(d: $inner) -> Self { Self::$name(d) } })*
    };
}

dist_enum! {
    /// Always the same value.
    Constant(Constant),
    /// Normal.
    Normal(Normal),
    /// Rectangular (uniform).
    Rectangular(Rectangular),
    /// Triangular.
    Triangular(Triangular),
    /// Symmetric trapezoid.
    Trapezoid(Trapezoid),
    /// Rectangular with inexactly known ends.
    CurvilinearTrapezoid(CurvilinearTrapezoid),
    /// Arcsine (U-shaped).
    Arcsine(Arcsine),
    /// Scaled and shifted Student t.
    StudentT(StudentT),
    /// Log-normal.
    LogNormal(LogNormal),
    /// Exponential, one-sided.
    Exponential(Exponential),
    /// Beta between two ends.
    Beta(Beta),
    /// Absolute value of a symmetric one.
    Folded(Folded),
    /// Cut off at limits.
    Truncated(Truncated),
}

impl Dist {
    /// Always `value`; `value` must be finite or infinite, not NaN.
    pub fn constant(value: f64) -> Self {
        Constant::new(value).into()
    }

    /// A short name in words.
    pub fn shape(&self) -> &'static str {
        match self {
            Self::Constant(_) => "exact",
            Self::Normal(_) => "normal",
            Self::Rectangular(_) => "rectangular",
            Self::Triangular(_) => "triangular",
            Self::Trapezoid(_) => "trapezoid",
            Self::CurvilinearTrapezoid(_) => "curvilinear trapezoid",
            Self::Arcsine(_) => "arcsine",
            Self::StudentT(_) => "Student t",
            Self::LogNormal(_) => "log-normal",
            Self::Exponential(_) => "exponential",
            Self::Beta(_) => "beta",
            Self::Folded(_) => "one-sided",
            Self::Truncated(_) => "truncated",
        }
    }

    /// Degrees of freedom of the standard deviation it states; infinite unless it is a Student t.
    pub fn dof(&self) -> f64 {
        match self {
            Self::StudentT(t) => t.dof(),
            _ => f64::INFINITY,
        }
    }

    /// Moments of an order below this exist: the degrees of freedom of a Student t, folded or cut off on
    /// one side too; infinite for all others.
    fn fewest_moments(&self) -> f64 {
        match self {
            Self::StudentT(t) => t.dof(),
            Self::Folded(d) => d.base().fewest_moments(),
            Self::Truncated(d) if !d.is_bounded() => d.base().fewest_moments(),
            _ => f64::INFINITY,
        }
    }

    /// Whether there is an expectation: not of a Student t with one degree of freedom or less.
    pub fn has_mean(&self) -> bool {
        self.fewest_moments() > 1.0
    }

    /// Whether the variance is finite: not of a Student t with two degrees of freedom or less. A result
    /// that such an error enters has no standard deviation either, only intervals.
    pub fn has_variance(&self) -> bool {
        self.fewest_moments() > 2.0
    }

    /// Whether the kurtosis is finite: not of a Student t with four degrees of freedom or less. Without
    /// it the standard deviation of a sample has no standard error.
    pub fn has_kurtosis(&self) -> bool {
        self.fewest_moments() > 4.0
    }

    /// The standard uncertainty that the law of propagation uses: the standard deviation, but the
    /// scale of a Student t (its degrees of freedom speak for themselves).
    pub fn standard_uncertainty(&self) -> f64 {
        match self {
            Self::StudentT(t) => t.scale(),
            d => d.sd(),
        }
    }

    /// The same distribution of `factor` times the quantity. `factor` must be positive.
    pub fn scaled(&self, factor: f64) -> Self {
        match self {
            Self::Constant(d) => Self::constant(d.value() * factor),
            Self::Normal(d) => Self::Normal(d.scaled(factor)),
            Self::Rectangular(d) => Self::Rectangular(d.scaled(factor)),
            Self::Triangular(d) => Self::Triangular(d.scaled(factor)),
            Self::Trapezoid(d) => Self::Trapezoid(d.scaled(factor)),
            Self::CurvilinearTrapezoid(d) => Self::CurvilinearTrapezoid(d.scaled(factor)),
            Self::Arcsine(d) => Self::Arcsine(d.scaled(factor)),
            Self::StudentT(d) => Self::StudentT(d.scaled(factor)),
            Self::LogNormal(d) => Self::LogNormal(d.scaled(factor)),
            Self::Exponential(d) => Self::Exponential(d.scaled(factor)),
            Self::Beta(d) => Self::Beta(d.scaled(factor)),
            Self::Folded(d) => Self::Folded(d.scaled(factor)),
            Self::Truncated(d) => Self::Truncated(d.scaled(factor)),
        }
    }
}
