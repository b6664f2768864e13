//! Distributions: a standard form ([`Form`]), moved and stretched.

mod cut;
mod form;

use super::name::Cell;
use cut::Cut;
pub use form::Form;
use thiserror::Error;

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

type Found = Result<Dist, DistError>;

/// A distribution of `at + by z`, where z has a standard form. The draws of z are the same whatever `at` and `by` are,
/// so that common random numbers stay common when a width changes.
#[derive(Debug, Clone, PartialEq)]
pub struct Dist {
    at: f64,
    by: f64,
    form: Form,
}

/// Constructors fail if a parameter is not finite or does not fit, with the reason.
#[allow(clippy::missing_errors_doc)]
impl Dist {
    fn new(at: f64, by: f64, form: Form) -> Found {
        if !(at.is_finite() && by.is_finite() && form.is_finite()) {
            Err(DistError::NotFinite)
        } else if by < 0.0 {
            Err(DistError::NegativeWidth(by))
        } else {
            Ok(Self { at, by, form })
        }
    }

    fn between(low: f64, high: f64, at: f64, by: f64, form: Form) -> Found {
        if low > high {
            return Err(DistError::UpsideDown(low, high));
        }
        Self::new(at, by, form)
    }

    /// Always `value`, which may be infinite.
    pub fn constant(value: f64) -> Self {
        let (by, form) = (0.0, Form::Exact);
        Self {
            at: value,
            by,
            form,
        }
    }

    /// Normal.
    pub fn normal(mean: f64, sd: f64) -> Found {
        Self::new(mean, sd, Form::Normal)
    }

    /// Equally likely everywhere between two ends.
    pub fn rectangular(low: f64, high: f64) -> Found {
        Self::between(
            low,
            high,
            0.5 * (low + high),
            0.5 * (high - low),
            Form::Rectangular,
        )
    }

    /// Equally likely everywhere within a half-width about a centre.
    pub fn within(centre: f64, half_width: f64) -> Found {
        Self::new(centre, half_width, Form::Rectangular)
    }

    /// A triangle between two ends, with its top at `mode`; one with the top at an end is a one-sided error.
    pub fn triangular(low: f64, mode: f64, high: f64) -> Found {
        if mode < low || mode > high {
            return Err(DistError::UpsideDown(low, high));
        }
        let width = high - low;
        let top = if width > 0.0 {
            (mode - low) / width
        } else {
            0.5
        };
        Self::between(low, high, low, width, Form::Triangular(top))
    }

    /// A symmetric triangle about a centre.
    pub fn triangular_within(centre: f64, half_width: f64) -> Found {
        Self::new(centre - half_width, 2.0 * half_width, Form::Triangular(0.5))
    }

    /// A symmetric trapezoid: centre, half-width of the base, and the top's share of the base in [0, 1].
    pub fn trapezoid(centre: f64, half_width: f64, top: f64) -> Found {
        if !(0.0..=1.0).contains(&top) && !top.is_nan() {
            return Err(DistError::Shape(top, 0.0, 1.0));
        }
        Self::new(centre, half_width, Form::Trapezoid(top))
    }

    /// Rectangular with ends that are each known to +-`inexactness` only (0 < inexactness < half the width).
    pub fn curvilinear(low: f64, high: f64, inexactness: f64) -> Found {
        let half = 0.5 * (high - low);
        if half >= 0.0 && !(inexactness > 0.0 && inexactness < half) && inexactness.is_finite() {
            return Err(DistError::Shape(inexactness, 0.0, half));
        }
        Self::between(
            low,
            high,
            0.5 * (low + high),
            half,
            Form::Curvilinear(inexactness / half),
        )
    }

    /// U-shaped: something that cycles with this amplitude.
    pub fn arcsine(centre: f64, amplitude: f64) -> Found {
        Self::new(centre, amplitude, Form::Arcsine)
    }

    /// Student t with a centre, a scale (for a mean of n readings s / sqrt n) and degrees of freedom.
    pub fn student(centre: f64, scale: f64, dof: f64) -> Found {
        if dof <= 0.0 {
            return Err(DistError::NotPositive(dof));
        }
        Self::new(centre, scale, Form::StudentT(dof))
    }

    /// Log-normal by its median and the standard deviation of the logarithm, what people call the relative spread of a
    /// rate from run to run.
    pub fn log_normal(median: f64, sigma: f64) -> Found {
        if median <= 0.0 {
            return Err(DistError::NotPositive(median));
        }
        if sigma < 0.0 {
            return Err(DistError::NegativeWidth(sigma));
        }
        Self::new(0.0, median, Form::LogNormal(sigma))
    }

    /// Exponential, from a start upwards with this mean excess.
    pub fn exponential(start: f64, mean_excess: f64) -> Found {
        Self::new(start, mean_excess, Form::Exponential)
    }

    /// Beta with the shape parameters a and b between two ends.
    pub fn beta(a: f64, b: f64, low: f64, high: f64) -> Found {
        if a <= 0.0 || b <= 0.0 {
            return Err(DistError::NotPositive(a.min(b)));
        }
        Self::between(low, high, low, high - low, Form::Beta(a, b))
    }

    /// The absolute value of a quantity that is symmetric about zero: a one-sided error such as a loss, stated by the
    /// spread that it would have if it went both ways.
    pub fn folded(self) -> Found {
        let median = self.quantile(0.5);
        if median != 0.0 {
            return Err(DistError::Shape(median, 0.0, 0.0));
        }
        Self::new(
            0.0,
            1.0,
            Form::Folded(Box::new(Cut::new(self, 0.0, f64::INFINITY)?)),
        )
    }

    /// The quantity, given that it lies within limits, which may be infinite. Fails if they hold no probability, or so
    /// little that it cannot be told what lies between them (for a normal, beyond 37 standard deviations).
    pub fn cut(self, low: f64, high: f64) -> Found {
        Self::new(0.0, 1.0, Form::Cut(Box::new(Cut::new(self, low, high)?)))
    }

    /// Its form.
    pub fn form(&self) -> &Form {
        &self.form
    }

    /// A short name in words.
    pub fn shape(&self) -> &'static str {
        self.form.name()
    }

    /// The value, if it is always the same.
    pub fn exactly(&self) -> Option<f64> {
        (self.form == Form::Exact).then_some(self.at)
    }

    /// Degrees of freedom of the standard deviation it states; infinite unless it is a Student t.
    pub fn dof(&self) -> f64 {
        if let Form::StudentT(dof) = self.form {
            dof
        } else {
            f64::INFINITY
        }
    }

    /// Whether the moment of this order exists. A Student t with so many degrees of freedom, or fewer, has none: no
    /// expectation (1), no variance (2: a result that it enters has no standard deviation either, only intervals), no
    /// kurtosis (4: the standard deviation of a sample has no standard error). Nor has one that is cut off on one side.
    pub fn has_moment(&self, order: f64) -> bool {
        match &self.form {
            Form::StudentT(dof) => *dof > order,
            Form::Folded(d) | Form::Cut(d) => d.has_moment(order),
            _ => true,
        }
    }

    /// The standard uncertainty that the law of propagation uses: the standard deviation, but the
    /// scale of a Student t (its degrees of freedom speak for themselves).
    pub fn standard_uncertainty(&self) -> f64 {
        if self.dof().is_finite() {
            self.by
        } else {
            self.sd()
        }
    }

    /// The same distribution of `factor` times the quantity. `factor` must be positive.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        let (at, by, form) = (self.at * factor, self.by * factor, self.form.clone());
        Self { at, by, form }
    }

    /// The same distribution of the quantity and this much more.
    #[must_use]
    pub fn shifted(&self, more: f64) -> Self {
        Self {
            at: self.at + more,
            ..self.clone()
        }
    }

    /// Inverse distribution function at `u` in (0, 1).
    #[inline]
    pub fn quantile(&self, u: f64) -> f64 {
        self.at + self.by * self.form.quantile(u)
    }

    /// The value with the probability `v` above it, in (0, 1); with the digits of a small `v`.
    pub fn upper_quantile(&self, v: f64) -> f64 {
        self.at + self.by * self.form.upper_quantile(v)
    }

    /// Distribution function.
    pub fn cdf(&self, x: f64) -> f64 {
        if self.by == 0.0 {
            return if x < self.at { 0.0 } else { 1.0 };
        }
        self.form.cdf((x - self.at) / self.by)
    }

    /// Probability above `x`; distributions without an upper end keep its digits however small it is.
    pub fn above(&self, x: f64) -> f64 {
        if self.by == 0.0 {
            return 1.0 - self.cdf(x);
        }
        self.form.above((x - self.at) / self.by)
    }

    /// Expectation; NaN where there is none.
    pub fn mean(&self) -> f64 {
        self.at + self.by * self.form.mean()
    }

    /// Standard deviation; infinite where there is none.
    pub fn sd(&self) -> f64 {
        if self.by == 0.0 {
            0.0
        } else {
            self.by * self.form.sd()
        }
    }

    /// Draws one after another, from the start of a cell.
    #[inline]
    pub fn fill(&self, cell: &mut Cell, out: &mut [f64]) {
        let own = |z: f64| self.at + self.by * z;
        match self.form {
            Form::Normal => form::normals(&mut cell.0, out, own),
            Form::Exponential => form::exponentials(&mut cell.0, out, own),
            Form::Rectangular => form::rectangular(&mut cell.0, out, own),
            _ => {
                self.form.fill(cell, out);
                self.place(out);
            }
        }
    }

    /// Makes standard draws of its form its own.
    #[inline]
    pub(super) fn place(&self, standard: &mut [f64]) {
        for x in standard {
            *x = self.at + self.by * *x;
        }
    }
}
