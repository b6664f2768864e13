//! Every distribution of the crate with the reference that each is judged by.
//!
//! References are the crate `statrs` where it has the distribution, and otherwise a recipe that
//! makes the same variable from simpler ones of `rand` and `rand_distr`, never the formulas of the
//! crate under test. The recipes for the trapezoid (6.4.4.2), the curvilinear trapezoid (6.4.3.3) and
//! the arcsine (6.4.6.3) are those of JCGM 101:2008.

use joulecast::random::Dist;
use rand::RngExt;
use rand::rngs::Xoshiro256PlusPlus;
use rand_distr::Distribution as _;
use statrs::distribution as reference;
use statrs::distribution::{Continuous, ContinuousCDF};
use std::f64::consts::PI;

/// The independent description of a distribution.
pub enum Truth {
    /// Its distribution function.
    Cdf(Box<dyn Fn(f64) -> f64>),
    /// A way to draw from it.
    Recipe(Box<dyn Fn(&mut Xoshiro256PlusPlus) -> f64>),
}

/// One distribution and what is independently known of it.
pub struct Case {
    pub name: &'static str,
    pub dist: Dist,
    pub truth: Truth,
    pub mean: f64,
    pub sd: f64,
}

fn by_cdf(
    name: &'static str,
    dist: Dist,
    known: impl ContinuousCDF<f64, f64> + 'static,
    (mean, sd): (f64, f64),
) -> Case {
    Case {
        name,
        dist,
        truth: Truth::Cdf(Box::new(move |x| known.cdf(x))),
        mean,
        sd,
    }
}

fn by_recipe(
    name: &'static str,
    dist: Dist,
    recipe: impl Fn(&mut Xoshiro256PlusPlus) -> f64 + 'static,
    (mean, sd): (f64, f64),
) -> Case {
    Case {
        name,
        dist,
        truth: Truth::Recipe(Box::new(recipe)),
        mean,
        sd,
    }
}

fn unit(rng: &mut Xoshiro256PlusPlus) -> f64 {
    rng.random::<f64>()
}

/// A recipe for a normal variable.
fn gauss(mean: f64, sd: f64) -> impl Fn(&mut Xoshiro256PlusPlus) -> f64 {
    let d = rand_distr::Normal::new(mean, sd).expect("valid");
    move |g| d.sample(g)
}

/// Draws until one lies inside: what a truncated distribution means.
fn within(
    low: f64,
    high: f64,
    draw: impl Fn(&mut Xoshiro256PlusPlus) -> f64,
) -> impl Fn(&mut Xoshiro256PlusPlus) -> f64 {
    move |rng| loop {
        let x = draw(rng);
        if (low..=high).contains(&x) {
            return x;
        }
    }
}

/// Mean and deviation of a normal cut to [low, high]; Johnson, Kotz and Balakrishnan, Continuous
/// Univariate Distributions 1 (1994), 13.10.1.
fn cut_normal(mean: f64, sd: f64, low: f64, high: f64) -> (f64, f64) {
    let z = reference::Normal::standard();
    let (a, b) = ((low - mean) / sd, (high - mean) / sd);
    let edge = |x: f64| if x.is_finite() { x * z.pdf(x) } else { 0.0 };
    let mass = z.cdf(b) - z.cdf(a);
    let shift = (z.pdf(a) - z.pdf(b)) / mass;
    let variance = 1.0 + (edge(a) - edge(b)) / mass - shift * shift;
    (mean + sd * shift, sd * variance.sqrt())
}

/// A trapezoid is the sum of two rectangular variables whose half-widths add up to its own.
fn trapezoid(name: &'static str, centre: f64, half: f64, top: f64) -> Case {
    let (wide, slim) = (half * (1.0 + top) / 2.0, half * (1.0 - top) / 2.0);
    let sd = ((wide * wide + slim * slim) / 3.0).sqrt();
    by_recipe(
        name,
        Dist::trapezoid(centre, half, top).expect("valid"),
        move |g| centre + wide * (2.0 * unit(g) - 1.0) + slim * (2.0 * unit(g) - 1.0),
        (centre, sd),
    )
}

/// A curvilinear trapezoid is a rectangle whose lower end is itself rectangular, the upper one
/// opposite to it; its variance by the law of total variance.
fn curvilinear(name: &'static str, low: f64, high: f64, d: f64) -> Case {
    let w = (high - low) / 2.0;
    by_recipe(
        name,
        Dist::curvilinear(low, high, d).expect("valid"),
        move |g| {
            let end = low - d + 2.0 * d * unit(g);
            end + (low + high - 2.0 * end) * unit(g)
        },
        ((low + high) / 2.0, ((w * w + d * d / 3.0) / 3.0).sqrt()),
    )
}

fn student(name: &'static str, centre: f64, scale: f64, dof: f64) -> Case {
    let sd = if dof > 2.0 {
        scale * (dof / (dof - 2.0)).sqrt()
    } else {
        f64::INFINITY
    };
    let mean = if dof > 1.0 { centre } else { f64::NAN };
    let known = reference::StudentsT::new(centre, scale, dof).expect("valid");
    let dist = Dist::student(centre, scale, dof).expect("valid");
    by_cdf(name, dist, known, (mean, sd))
}

fn plain() -> Vec<Case> {
    use statrs::statistics::Distribution;
    fn known(d: &impl Distribution<f64>) -> (f64, f64) {
        (d.mean().expect("finite"), d.std_dev().expect("finite"))
    }
    let normal = |m, s| reference::Normal::new(m, s).expect("valid");
    let uniform = |a, b| reference::Uniform::new(a, b).expect("valid");
    let triangle = |a, c, b| reference::Triangular::new(a, b, c).expect("valid");
    let log = |m: f64, s| reference::LogNormal::new(m.ln(), s).expect("valid");
    let beta = |a, b| reference::Beta::new(a, b).expect("valid");
    let mut cases = Vec::new();
    for (name, m, s) in [("normal standard", 0.0, 1.0), ("normal", -245.76, 0.26)] {
        let d = normal(m, s);
        cases.push(by_cdf(
            name,
            Dist::normal(m, s).expect("valid"),
            d,
            known(&d),
        ));
    }
    for (name, a, b) in [
        ("rectangular", -1.5, 1.5),
        ("rectangular purity", 0.99, 1.0),
    ] {
        let d = uniform(a, b);
        let ours = Dist::rectangular(a, b).expect("valid");
        cases.push(by_cdf(name, ours, d, known(&d)));
    }
    for (name, a, c, b) in [
        ("triangular", -2.0, 0.0, 2.0),
        ("triangular skew", -1.0, 0.5, 4.0),
        ("triangular one-sided", 0.0, 0.0, 1.0),
    ] {
        let d = triangle(a, c, b);
        let ours = Dist::triangular(a, c, b).expect("valid");
        cases.push(by_cdf(name, ours, d, known(&d)));
    }
    for (name, m, s) in [("log-normal", 0.01, 0.35), ("log-normal slim", 50.0, 0.01)] {
        let d = log(m, s);
        let ours = Dist::log_normal(m, s).expect("valid");
        cases.push(by_cdf(name, ours, d, known(&d)));
    }
    let d = reference::Exp::new(5.0).expect("valid");
    let ours = Dist::exponential(0.0, 0.2).expect("valid");
    cases.push(by_cdf("exponential", ours, d, known(&d)));
    for (name, a, b) in [("beta", 2.5, 6.0), ("beta U-shaped", 0.5, 0.7)] {
        let d = beta(a, b);
        let ours = Dist::beta(a, b, 0.0, 1.0).expect("valid");
        cases.push(by_cdf(name, ours, d, known(&d)));
    }
    cases
}

fn derived() -> Vec<Case> {
    let fold = |d: Dist| d.folded().expect("valid");
    let cut = |d: Dist, a, b| d.cut(a, b).expect("valid");
    let normal = |m, s| Dist::normal(m, s).expect("valid");
    let t = rand_distr::StudentT::<f64>::new(3.5).expect("valid");
    let half = gauss(0.0, 0.3);
    let exponential = rand_distr::Exp::new(0.5).expect("valid");
    let beta = rand_distr::Beta::new(3.0, 1.5).expect("valid");
    let inf = f64::INFINITY;
    // An exponential of mean 2 cut at 3: E = 2 - 3/(e^1.5 - 1), by parts.
    let gone = (-1.5f64).exp();
    let cut_mean = 2.0 - 3.0 * gone / (1.0 - gone);
    let cut_square = 8.0 - (9.0 + 12.0) * gone / (1.0 - gone);
    vec![
        by_recipe(
            "arcsine",
            Dist::arcsine(-0.1, 0.5).expect("valid"),
            |g| -0.1 + 0.5 * (2.0 * PI * unit(g)).sin(),
            (-0.1, 0.5 / 2f64.sqrt()),
        ),
        by_recipe(
            "exponential from 3",
            Dist::exponential(3.0, 2.0).expect("valid"),
            move |g| 3.0 + exponential.sample(g),
            (5.0, 2.0),
        ),
        by_recipe(
            "beta stretched",
            Dist::beta(3.0, 1.5, -4.0, 2.0).expect("valid"),
            move |g| -4.0 + 6.0 * beta.sample(g),
            (0.0, 6.0 * (4.5f64 / (4.5 * 4.5 * 5.5)).sqrt()),
        ),
        by_recipe(
            "folded normal",
            fold(normal(0.0, 0.3)),
            move |g| half(g).abs(),
            (0.3 * (2.0 / PI).sqrt(), 0.3 * (1.0 - 2.0 / PI).sqrt()),
        ),
        by_recipe(
            "folded Student t",
            fold(Dist::student(0.0, 1.0, 3.5).expect("valid")),
            move |g| t.sample(g).abs(),
            folded_t(3.5),
        ),
        by_recipe(
            "folded triangle",
            fold(Dist::triangular_within(0.0, 1.0).expect("valid")),
            |g| 1.0 - (1.0 - unit(g)).sqrt(),
            (1.0 / 3.0, 1.0 / 18f64.sqrt()),
        ),
        by_recipe(
            "normal cut on both sides",
            cut(normal(1.0, 2.0), 0.0, 2.5),
            within(0.0, 2.5, gauss(1.0, 2.0)),
            cut_normal(1.0, 2.0, 0.0, 2.5),
        ),
        by_recipe(
            "normal cut below",
            cut(normal(0.1, 0.2), 0.0, inf),
            within(0.0, inf, gauss(0.1, 0.2)),
            cut_normal(0.1, 0.2, 0.0, inf),
        ),
        by_recipe(
            "exponential cut above",
            cut(Dist::exponential(0.0, 2.0).expect("valid"), -1.0, 3.0),
            within(-1.0, 3.0, move |g| exponential.sample(g)),
            (cut_mean, (cut_square - cut_mean * cut_mean).sqrt()),
        ),
    ]
}

/// E|t| = 2 sqrt(nu) Γ((nu+1)/2) / ((nu-1) sqrt(pi) Γ(nu/2)), and E t^2 = nu / (nu - 2).
fn folded_t(dof: f64) -> (f64, f64) {
    use statrs::function::gamma::ln_gamma;
    let ratio = (ln_gamma((dof + 1.0) / 2.0) - ln_gamma(dof / 2.0)).exp();
    let mean = 2.0 * (dof / PI).sqrt() * ratio / (dof - 1.0);
    (mean, (dof / (dof - 2.0) - mean * mean).sqrt())
}

/// All cases; their names also name the streams they draw from.
pub fn cases() -> Vec<Case> {
    let mut all = plain();
    all.extend(derived());
    all.extend([
        trapezoid("trapezoid", 0.0, 1.0, 0.5),
        trapezoid("trapezoid slim top", 10.0, 3.0, 0.1),
        curvilinear("curvilinear trapezoid", -1.0, 1.0, 0.3),
        curvilinear("curvilinear trapezoid blurred", 4.0, 6.0, 0.95),
        student("Student t 1", 0.0, 1.0, 1.0),
        student("Student t 2", 0.0, 1.0, 2.0),
        student("Student t 4", 14.78, 0.05, 4.0),
        student("Student t 7.3", -3.0, 2.0, 7.3),
        student("Student t 250.5", 0.0, 1.0, 250.5),
    ]);
    all
}
