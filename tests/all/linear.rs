//! Propagation of uncertainty to first order, as JCGM 100:2008 has it (5.1.2, 5.2.2 and G.4.1),
//! written here so that the published first-order rows can stand beside the simulated ones.

use joulecast::random::special::student_quantile;

/// A result as a function of the inputs.
pub type Function<'a> = &'a dyn Fn(&[f64]) -> f64;

/// An input of the law of propagation.
#[derive(Clone, Copy)]
pub struct Known {
    pub x: f64,
    pub u: f64,
    pub dof: f64,
}

/// An input that is known with any number of degrees of freedom.
pub fn known(x: f64, u: f64) -> Known {
    let dof = f64::INFINITY;
    Known { x, u, dof }
}

/// An input with degrees of freedom.
pub fn estimated(x: f64, u: f64, dof: f64) -> Known {
    Known { x, u, dof }
}

/// What the law gives for one result.
pub struct Propagated {
    pub y: f64,
    pub u: f64,
    /// Effective degrees of freedom by Welch and Satterthwaite.
    pub dof: f64,
    /// Each input's part in u.
    pub parts: Vec<f64>,
}

impl Propagated {
    /// Coverage factor from whole degrees of freedom, as G.4.1 truncates them.
    pub fn factor(&self, p: f64) -> f64 {
        student_quantile((1.0 + p) / 2.0, self.dof.floor())
    }

    /// Each input's share of the variance.
    pub fn shares(&self) -> Vec<f64> {
        let variance = self.u * self.u;
        self.parts.iter().map(|c| c * c / variance).collect()
    }
}

/// Derivatives by central differences of a step of a hundredth of u, extrapolated once; good to
/// about 1e-9 for the smooth models of the examples.
pub fn gradient(inputs: &[Known], f: Function) -> Vec<f64> {
    let x: Vec<f64> = inputs.iter().map(|i| i.x).collect();
    let at = |i: usize, step: f64| {
        let mut moved = x.clone();
        moved[i] += step;
        f(&moved)
    };
    (0..x.len())
        .map(|i| {
            let h = 0.01 * inputs[i].u;
            let (near, far) = (at(i, h) - at(i, -h), at(i, 2.0 * h) - at(i, -2.0 * h));
            (8.0 * near - far) / (12.0 * h)
        })
        .collect()
}

/// Propagates independent inputs.
pub fn propagate(inputs: &[Known], f: Function) -> Propagated {
    let x: Vec<f64> = inputs.iter().map(|i| i.x).collect();
    let parts: Vec<f64> = gradient(inputs, f)
        .iter()
        .zip(inputs)
        .map(|(c, i)| c.abs() * i.u)
        .collect();
    let u = parts.iter().map(|p| p * p).sum::<f64>().sqrt();
    let rest: f64 = parts
        .iter()
        .zip(inputs)
        .map(|(p, i)| p.powi(4) / i.dof)
        .sum();
    Propagated {
        y: f(&x),
        u,
        dof: u.powi(4) / rest,
        parts,
    }
}

/// Covariance matrix of several results of correlated inputs.
pub fn propagate_jointly(
    inputs: &[Known],
    covariance: &[Vec<f64>],
    results: &[Function],
) -> Vec<Vec<f64>> {
    let rows: Vec<Vec<f64>> = results.iter().map(|f| gradient(inputs, f)).collect();
    let cell = |a: &[f64], b: &[f64]| -> f64 {
        let mut sum = 0.0;
        for (i, ca) in a.iter().enumerate() {
            for (j, cb) in b.iter().enumerate() {
                sum += ca * covariance[i][j] * cb;
            }
        }
        sum
    };
    rows.iter()
        .map(|a| rows.iter().map(|b| cell(a, b)).collect())
        .collect()
}

#[test]
fn the_law_is_exact_for_a_linear_model_and_notices_a_wrong_input() {
    let f = |x: &[f64]| 3.0 * x[0] - 2.0 * x[1];
    let p = propagate(&[known(1.0, 0.1), known(5.0, 0.2)], &f);
    assert!((p.u - 0.5).abs() < 1e-9 && (p.y + 7.0).abs() < 1e-12);
    assert!((p.shares()[1] - 0.64).abs() < 1e-8);
    let wrong = propagate(&[known(1.0, 0.11), known(5.0, 0.2)], &f);
    assert!((wrong.u - 0.5).abs() > 1e-3);
}
