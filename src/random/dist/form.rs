//! Standard forms: what they look like, and how they are drawn. Sources: JCGM 101:2008, 6.4.2 to 6.4.10.

use super::super::elementary::{exp, exp_each, exp_m1, ln};
use super::super::name::Cell;
use super::super::special::{
    beta_inc, beta_inc_inverse, normal_cdf, normal_quantile, student_cdf, student_quantile,
};
use super::cut::{Cut, LAST};
use rand::distr::{Distribution, Open01};
use rand::rngs::Xoshiro256PlusPlus;
use rand_distr::{Exp1, StandardNormal};
use std::f64::consts::{FRAC_1_SQRT_2, PI};

/// The distribution of a standard quantity z.
#[derive(Debug, Clone, PartialEq)]
pub enum Form {
    /// Always 0.
    Exact,
    /// Density exp(-z²/2) / √(2π).
    Normal,
    /// Density 1/2 between -1 and 1.
    Rectangular,
    /// Between 0 and 1 the density rises to this mode and falls.
    Triangular(f64),
    /// Between -1 and 1, flat over the inner part that this is of the width; variance (1 + top²)/6.
    Trapezoid(f64),
    /// A rectangle whose half-width 1 is itself known only to ±d. With c = 1 + d the density is ln(c/|z|)/(4d) for
    /// 1 - d <= |z| <= c and flat inside; the tail beyond is (c - z - z ln(c/z))/(4d), the variance 1/3 + d²/9.
    Curvilinear(f64),
    /// The sine of a random phase: density 1/(π √(1 - z²)).
    Arcsine,
    /// Student t with these degrees of freedom ν; standard deviation √(ν/(ν - 2)), infinite for ν <= 2.
    StudentT(f64),
    /// The exponential of a normal with this standard deviation.
    LogNormal(f64),
    /// Density exp(-z) for z >= 0.
    Exponential,
    /// Density proportional to z^(a-1) (1 - z)^(b-1) between 0 and 1.
    Beta(f64, f64),
    /// The upper half of one that is symmetric about zero.
    Folded(Box<Cut>),
    /// Any other one between limits.
    Cut(Box<Cut>),
}

impl Form {
    pub(super) fn name(&self) -> &'static str {
        match self {
            Self::Exact => "exact",
            Self::Normal => "normal",
            Self::Rectangular => "rectangular",
            Self::Triangular(_) => "triangular",
            Self::Trapezoid(_) => "trapezoid",
            Self::Curvilinear(_) => "curvilinear trapezoid",
            Self::Arcsine => "arcsine",
            Self::StudentT(_) => "Student t",
            Self::LogNormal(_) => "log-normal",
            Self::Exponential => "exponential",
            Self::Beta(..) => "beta",
            Self::Folded(_) => "one-sided",
            Self::Cut(_) => "truncated",
        }
    }

    pub(super) fn is_finite(&self) -> bool {
        match self {
            Self::Triangular(p) | Self::Trapezoid(p) | Self::Curvilinear(p) => p.is_finite(),
            Self::StudentT(p) | Self::LogNormal(p) => p.is_finite(),
            Self::Beta(a, b) => a.is_finite() && b.is_finite(),
            _ => true,
        }
    }

    #[inline]
    pub(super) fn quantile(&self, u: f64) -> f64 {
        let q = u - 0.5;
        match self {
            Self::Exact => 0.0,
            Self::Normal => normal_quantile(u),
            Self::Rectangular => 2.0 * q,
            Self::Triangular(mode) if u < *mode => (u * mode).sqrt(),
            Self::Triangular(mode) => 1.0 - ((1.0 - u) * (1.0 - mode)).sqrt(),
            Self::Trapezoid(top) if q.abs() <= top / (1.0 + top) => q * (1.0 + top),
            Self::Trapezoid(top) => {
                (1.0 - (2.0 * (0.5 - q.abs()) * (1.0 - top * top)).sqrt()).copysign(q)
            }
            Self::Curvilinear(d) => curvilinear_quantile(*d, q.abs()).copysign(q),
            Self::Arcsine => libm::sin(PI * q),
            Self::StudentT(dof) => student_quantile(u, *dof),
            Self::LogNormal(sigma) => exp(sigma * normal_quantile(u)),
            Self::Exponential => -ln(1.0 - u),
            Self::Beta(a, b) => beta_inc_inverse(*a, *b, u),
            Self::Folded(d) | Self::Cut(d) => d.quantile(u),
        }
    }

    pub(super) fn upper_quantile(&self, v: f64) -> f64 {
        match self {
            Self::LogNormal(sigma) => exp(-sigma * normal_quantile(v)),
            Self::Exponential => -ln(v),
            Self::Triangular(_) | Self::Beta(..) => self.quantile((1.0 - v).min(LAST)),
            Self::Folded(d) | Self::Cut(d) => d.upper_quantile(v),
            // Symmetric about zero.
            _ => -self.quantile(v),
        }
    }

    pub(super) fn cdf(&self, z: f64) -> f64 {
        let upper = |tail: f64| if z < 0.0 { tail } else { 1.0 - tail };
        match self {
            Self::Exact => f64::from(u8::from(z >= 0.0)),
            Self::Normal => normal_cdf(z),
            Self::Rectangular => (0.5 * (z + 1.0)).clamp(0.0, 1.0),
            Self::Triangular(mode) => match z.clamp(0.0, 1.0) {
                z if z < *mode => z * z / mode,
                1.0 => 1.0,
                z => 1.0 - (1.0 - z) * (1.0 - z) / (1.0 - mode),
            },
            Self::Trapezoid(top) => match z.abs().min(1.0) {
                size if size <= *top => upper(0.5 - size / (1.0 + top)),
                size => upper((1.0 - size) * (1.0 - size) / (2.0 * (1.0 - top * top))),
            },
            Self::Curvilinear(d) => upper(curvilinear_tail(*d, z.abs())),
            Self::Arcsine => 0.5 + libm::asin(z.clamp(-1.0, 1.0)) / PI,
            Self::StudentT(dof) => student_cdf(z, *dof),
            Self::LogNormal(sigma) if z > 0.0 => normal_cdf(ln(z) / sigma),
            Self::Exponential if z > 0.0 => -exp_m1(-z),
            Self::LogNormal(_) | Self::Exponential => 0.0,
            Self::Beta(a, b) => beta_inc(*a, *b, z),
            Self::Folded(d) | Self::Cut(d) => d.cdf(z),
        }
    }

    pub(super) fn above(&self, z: f64) -> f64 {
        match self {
            Self::LogNormal(sigma) if z > 0.0 => normal_cdf(-ln(z) / sigma),
            Self::Exponential => exp((-z).min(0.0)),
            Self::Exact | Self::Triangular(_) | Self::LogNormal(_) | Self::Beta(..) => {
                1.0 - self.cdf(z)
            }
            Self::Folded(d) | Self::Cut(d) => d.above(z),
            // Symmetric about zero.
            _ => self.cdf(-z),
        }
    }

    pub(super) fn mean(&self) -> f64 {
        match self {
            Self::Triangular(mode) => (mode + 1.0) / 3.0,
            Self::StudentT(dof) if *dof <= 1.0 => f64::NAN,
            Self::LogNormal(sigma) => exp(0.5 * sigma * sigma),
            Self::Exponential => 1.0,
            Self::Beta(a, b) => a / (a + b),
            Self::Folded(d) | Self::Cut(d) => d.mean(),
            _ => 0.0,
        }
    }

    pub(super) fn sd(&self) -> f64 {
        match self {
            Self::Exact => 0.0,
            Self::Normal | Self::Exponential => 1.0,
            Self::Rectangular => 1.0 / 3f64.sqrt(),
            Self::Triangular(mode) => ((1.0 - mode * (1.0 - mode)) / 18.0).sqrt(),
            Self::Trapezoid(top) => ((1.0 + top * top) / 6.0).sqrt(),
            Self::Curvilinear(d) => (1.0 / 3.0 + d * d / 9.0).sqrt(),
            Self::Arcsine => FRAC_1_SQRT_2,
            Self::StudentT(dof) if *dof > 2.0 => (dof / (dof - 2.0)).sqrt(),
            Self::StudentT(_) => f64::INFINITY,
            Self::LogNormal(sigma) => (exp_m1(sigma * sigma) * exp(sigma * sigma)).sqrt(),
            Self::Beta(a, b) => (a * b / (a + b + 1.0)).sqrt() / (a + b),
            // The mean square is that of the base.
            Self::Folded(d) => match (d.base().sd(), d.mean()) {
                (whole, mean) if whole.is_finite() => (whole * whole - mean * mean).sqrt(),
                (whole, _) => whole,
            },
            Self::Cut(d) => d.sd(),
        }
    }

    /// Draws by the sampler of `rand_distr`, or one uniform number through the inverse where that is one line.
    #[inline]
    pub(in super::super) fn fill(&self, cell: &mut Cell, out: &mut [f64]) {
        fn each(cell: &mut Cell, out: &mut [f64], law: &impl Distribution<f64>) {
            out.fill_with(|| law.sample(&mut cell.0));
        }
        match self {
            Self::Exact => out.fill(0.0),
            Self::Normal => normals(&mut cell.0, out, |z| z),
            Self::Exponential => exponentials(&mut cell.0, out, |z| z),
            Self::Rectangular => rectangular(&mut cell.0, out, |z| z),
            Self::StudentT(dof) => {
                each(
                    cell,
                    out,
                    &rand_distr::StudentT::new(*dof).expect("positive"),
                );
            }
            Self::Beta(a, b) => {
                each(cell, out, &rand_distr::Beta::new(*a, *b).expect("positive"));
            }
            Self::LogNormal(sigma) => {
                normals(&mut cell.0, out, |z| sigma * z);
                exp_each(out);
            }
            // As the standard says: a uniform number within a half-width that is uniform itself.
            Self::Curvilinear(d) => {
                let mut even = || 2.0 * (Distribution::<f64>::sample(&Open01, &mut cell.0) - 0.5);
                out.fill_with(|| (1.0 + d * even()) * even());
            }
            Self::Folded(half) => {
                half.base().fill(cell, out);
                out.iter_mut().for_each(|z| *z = z.abs());
            }
            _ => {
                each(cell, out, &Open01);
                out.iter_mut().for_each(|u| *u = self.quantile(*u));
            }
        }
    }
}

// The samplers that matter most, each in a loop of its own with what is made of its draws: asked through a reference of a
// reference, which nobody else does, they are compiled into it.

#[inline]
pub(super) fn normals(mut rng: &mut Xoshiro256PlusPlus, out: &mut [f64], of: impl Fn(f64) -> f64) {
    out.fill_with(|| of(StandardNormal.sample(&mut rng)));
}

#[inline]
pub(super) fn exponentials(
    mut rng: &mut Xoshiro256PlusPlus,
    out: &mut [f64],
    of: impl Fn(f64) -> f64,
) {
    out.fill_with(|| of(Exp1.sample(&mut rng)));
}

#[inline]
pub(super) fn rectangular(rng: &mut Xoshiro256PlusPlus, out: &mut [f64], of: impl Fn(f64) -> f64) {
    out.fill_with(|| of(2.0 * (Distribution::<f64>::sample(&Open01, rng) - 0.5)));
}

/// Probability beyond a distance from the centre, on one side.
fn curvilinear_tail(d: f64, z: f64) -> f64 {
    let c = 1.0 + d;
    if z >= c {
        0.0
    } else if z >= 1.0 - d {
        ((c - z) - z * ln(c / z)) / (4.0 * d)
    } else {
        0.5 - z * ln(c / (1.0 - d)) / (4.0 * d)
    }
}

/// The distance from the centre within which lies the probability `q` on one side: the flat part, or by bisection.
fn curvilinear_quantile(d: f64, q: f64) -> f64 {
    let flat = q * 4.0 * d / ln((1.0 + d) / (1.0 - d));
    if flat <= 1.0 - d {
        return flat;
    }
    let (mut low, mut high) = (1.0 - d, 1.0 + d);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if curvilinear_tail(d, middle) > 0.5 - q {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}
