//! The law of propagation of uncertainty for any function of any quantities.
//!
//! Sensitivities are central differences with one extrapolation,
//!
//! c = [8 (f(x + h) - f(x - h)) - (f(x + 2h) - f(x - 2h))] / (12 h) + O(h^4 f^(5) / 30),
//!
//! h the power of two at or below u / 64, so that x + h is exact. A quantity with the relative standard
//! uncertainty r then leaves about 4 (r / 64)^4 of c for 1/x (2e-9 for r = 30 %), and rounding leaves
//! about 1e-14 / (c u / y), whatever f does beyond the range that matters. For u below 6e-8 of x the step
//! is 1e-9 of x instead, and for u = 0 a thousandth of x, or of 1 at x = 0.
//!
//! Correlated quantities are split into sets that have nothing to do with each other. The formula of Welch
//! and Satterthwaite, which is for independent terms, gets each set as one term. If all members of a set
//! have the same degrees of freedom, as the means of n readings taken together have n - 1, the variance that
//! the set contributes has them too; if not, the fewest of them are taken, which is cautious.

use super::{BudgetLine, Evaluated, InputQuantity, Label, LinearBudget, combine};
use crate::random::{MultivariateError, MultivariateNormal};
use thiserror::Error;

/// A result as a function of the values, in the order of the quantities.
pub type Function<'a> = &'a dyn Fn(&[f64]) -> f64;

/// Why quantities do not make a budget.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum BudgetError {
    /// A value that is not finite.
    #[error("the value of `{0}` is not finite")]
    Value(String),
    /// A standard uncertainty that is negative or not finite.
    #[error("the standard uncertainty of `{0}` must be finite and not negative, not {1}")]
    Uncertainty(String, f64),
    /// Degrees of freedom that are not positive.
    #[error("the degrees of freedom of `{0}` must be positive, not {1}")]
    Dof(String, f64),
    /// A matrix that cannot be one of covariances.
    #[error("{0}")]
    Matrix(#[from] MultivariateError),
    /// A diagonal that contradicts the standard uncertainties.
    #[error("the matrix has {1} on its diagonal for `{0}`, where {2} belongs")]
    Diagonal(String, f64, f64),
    /// A group of quantities that do not exist, or that are in another group already.
    #[error("`{0}` names quantity {1}, which does not exist or is in a group already")]
    Member(String, usize),
}

/// Quantities with their covariances, ready to be propagated to results.
///
/// ```
/// # fn main() -> Result<(), joulecast::lab::BudgetError> {
/// use joulecast::lab::{FirstOrder, InputQuantity};
/// use joulecast::report::{BudgetStyle, budget_text};
///
/// let quantities = vec![
///     InputQuantity::new("voltage", "V", "V", 4.999, 0.0032).read_repeatedly(4.0),
///     InputQuantity::new("current", "I", "A", 0.019661, 9.5e-6).read_repeatedly(4.0),
/// ];
/// let budget = FirstOrder::new(quantities)?
///     .with_correlation(&[vec![1.0, -0.36], vec![-0.36, 1.0]])?
///     .budget("ohm", &|x| x[0] / x[1]);
/// print!("{}", budget_text(&budget, &BudgetStyle::of(&budget)));
/// # assert!((budget.u - 0.2366).abs() < 1e-4);
/// # Ok(())
/// # }
/// ```
#[derive(Debug, Clone)]
pub struct FirstOrder {
    quantities: Vec<InputQuantity>,
    covariance: Vec<Vec<f64>>,
    groups: Vec<(Label, Vec<usize>)>,
}

impl FirstOrder {
    /// Independent quantities.
    ///
    /// # Errors
    /// If a value, a standard uncertainty or degrees of freedom make no sense.
    pub fn new(quantities: Vec<InputQuantity>) -> Result<Self, BudgetError> {
        for q in &quantities {
            let name = || q.name.clone().into_owned();
            if !q.value.is_finite() {
                return Err(BudgetError::Value(name()));
            }
            if !(q.u >= 0.0 && q.u.is_finite()) {
                return Err(BudgetError::Uncertainty(name(), q.u));
            }
            if q.dof.is_nan() || q.dof <= 0.0 {
                return Err(BudgetError::Dof(name(), q.dof));
            }
        }
        let mut covariance = vec![vec![0.0; quantities.len()]; quantities.len()];
        for (i, q) in quantities.iter().enumerate() {
            covariance[i][i] = q.u * q.u;
        }
        Ok(Self {
            quantities,
            covariance,
            groups: Vec::new(),
        })
    }

    /// With a covariance matrix, whose diagonal must be that of the standard uncertainties.
    ///
    /// # Errors
    /// If it is not square, symmetric and positive semidefinite, or contradicts them.
    pub fn with_covariance(mut self, matrix: &[Vec<f64>]) -> Result<Self, BudgetError> {
        self.sound(matrix, &|q| q.u * q.u)?;
        self.covariance = matrix.to_vec();
        Ok(self)
    }

    /// With a correlation matrix.
    ///
    /// # Errors
    /// If it is not square, symmetric and positive semidefinite, with ones on its diagonal.
    pub fn with_correlation(mut self, matrix: &[Vec<f64>]) -> Result<Self, BudgetError> {
        self.sound(matrix, &|_| 1.0)?;
        for (i, row) in matrix.iter().enumerate() {
            for (j, r) in row.iter().enumerate() {
                self.covariance[i][j] = r * self.quantities[i].u * self.quantities[j].u;
            }
        }
        Ok(self)
    }

    /// A matrix is sound if it could be drawn from and has this diagonal.
    fn sound(
        &self,
        matrix: &[Vec<f64>],
        diagonal: &dyn Fn(&InputQuantity) -> f64,
    ) -> Result<(), BudgetError> {
        MultivariateNormal::new(vec![0.0; self.quantities.len()], matrix)?;
        for (i, q) in self.quantities.iter().enumerate() {
            let (is, should) = (matrix[i][i], diagonal(q));
            if (is - should).abs() > 1e-9 * should {
                return Err(BudgetError::Diagonal(
                    q.name.clone().into_owned(),
                    is,
                    should,
                ));
            }
        }
        Ok(())
    }

    /// Puts quantities (by their numbers, from 0) into one line: readings that are taken together, or the
    /// parts of a correction. Their covariances count among themselves as everywhere.
    ///
    /// # Errors
    /// If there is no such quantity, or if it is in another group.
    pub fn as_one(
        mut self,
        name: impl Into<Label>,
        members: &[usize],
    ) -> Result<Self, BudgetError> {
        let name = name.into();
        let mut sorted = members.to_vec();
        sorted.sort_unstable();
        for (at, i) in sorted.iter().enumerate() {
            let taken = self.group_of(*i).is_some() || sorted[..at].contains(i);
            if *i >= self.quantities.len() || taken {
                return Err(BudgetError::Member(name.into_owned(), *i));
            }
        }
        self.groups.push((name, sorted));
        Ok(self)
    }

    fn group_of(&self, quantity: usize) -> Option<usize> {
        self.groups.iter().position(|g| g.1.contains(&quantity))
    }

    /// The values of the quantities.
    pub fn values(&self) -> Vec<f64> {
        self.quantities.iter().map(|q| q.value).collect()
    }

    /// Sensitivity coefficients of a result.
    pub fn sensitivities(&self, f: Function) -> Vec<f64> {
        let mut x = self.values();
        (0..x.len())
            .map(|i| {
                let at = x[i];
                let h = step(at, self.quantities[i].u);
                let mut to = |d: f64| {
                    x[i] = at + d;
                    f(&x)
                };
                let (near, far) = (to(h) - to(-h), to(2.0 * h) - to(-2.0 * h));
                x[i] = at;
                (8.0 * near - far) / (12.0 * h)
            })
            .collect()
    }

    /// Covariance matrix of several results of the same quantities.
    pub fn covariance_of(&self, results: &[Function]) -> Vec<Vec<f64>> {
        let c: Vec<Vec<f64>> = results.iter().map(|f| self.sensitivities(f)).collect();
        c.iter()
            .map(|a| {
                let with = self.with_result(a);
                c.iter().map(|b| dot(&with, b)).collect()
            })
            .collect()
    }

    /// The budget of a result in this unit.
    pub fn budget(&self, unit: impl Into<Label>, f: Function) -> LinearBudget {
        let c = self.sensitivities(f);
        let with = self.with_result(&c);
        let every: Vec<usize> = (0..c.len()).collect();
        let (variance, dof) = combine(self.terms(&c, &every));
        // What cancels to nothing may come out a little less.
        let u = variance.max(0.0).sqrt();
        let mut lines = Vec::new();
        for i in every {
            match self.group_of(i) {
                None => lines.push(BudgetLine {
                    quantity: self.quantities[i].clone(),
                    source: None,
                    of: Label::default(),
                    sensitivity: c[i],
                    through: 0.0,
                    contribution: c[i].abs() * self.quantities[i].u,
                    variance: c[i] * with[i],
                }),
                Some(g) if self.groups[g].1[0] == i => lines.push(self.line_of_group(g, &c, &with)),
                Some(_) => {}
            }
        }
        let apart: f64 = c
            .iter()
            .zip(&self.quantities)
            .map(|(c, q)| c * c * q.u * q.u)
            .sum();
        LinearBudget {
            lines,
            unit: unit.into(),
            value: f(&self.values()),
            u,
            u_if_independent: apart.sqrt(),
            dof,
        }
    }

    /// `cov(x_i, y)` of each quantity, for a result with these sensitivities.
    fn with_result(&self, c: &[f64]) -> Vec<f64> {
        self.covariance.iter().map(|row| dot(row, c)).collect()
    }

    /// One line for a group: no value, no sensitivity of its own, but a contribution.
    fn line_of_group(&self, g: usize, c: &[f64], with: &[f64]) -> BudgetLine {
        let (name, members) = &self.groups[g];
        let of = |f: &dyn Fn(&InputQuantity) -> &str| {
            alike(members.iter().map(|i| f(&self.quantities[*i])))
        };
        let symbols: Vec<&str> = members
            .iter()
            .map(|i| self.quantities[*i].symbol.as_ref())
            .collect();
        let first = &self.quantities[members[0]];
        let (own, dof) = combine(self.terms(c, members));
        BudgetLine {
            quantity: InputQuantity {
                name: name.clone(),
                symbol: symbols.join(",").into(),
                unit: of(&|q| &q.unit).into(),
                value: f64::NAN,
                u: f64::NAN,
                evaluated: if members
                    .iter()
                    .all(|i| self.quantities[*i].evaluated == first.evaluated)
                {
                    first.evaluated
                } else {
                    Evaluated::Both
                },
                distribution: of(&|q| &q.distribution).into(),
                dof,
                scope: first.scope.filter(|s| {
                    members
                        .iter()
                        .all(|i| self.quantities[*i].scope == Some(*s))
                }),
            },
            source: None,
            of: Label::default(),
            sensitivity: f64::NAN,
            through: 0.0,
            contribution: own.max(0.0).sqrt(),
            variance: members.iter().map(|i| c[*i] * with[*i]).sum(),
        }
    }

    /// Variance and degrees of freedom that each correlated set among some quantities contributes.
    fn terms(&self, c: &[f64], among: &[usize]) -> Vec<(f64, f64)> {
        let mut left = among.to_vec();
        let mut terms = Vec::new();
        while !left.is_empty() {
            let mut set = vec![left.remove(0)];
            let mut at = 0;
            while at < set.len() {
                let row = &self.covariance[set[at]];
                let (joined, rest) = left.into_iter().partition(|j| row[*j] != 0.0);
                set.extend::<Vec<usize>>(joined);
                left = rest;
                at += 1;
            }
            let pairs = set.iter().flat_map(|i| set.iter().map(move |j| (*i, *j)));
            let variance = pairs
                .map(|(i, j)| c[i] * self.covariance[i][j] * c[j])
                .sum();
            let acting = set
                .iter()
                .filter(|i| c[**i] * self.quantities[**i].u != 0.0);
            let dof = acting.map(|i| self.quantities[*i].dof);
            terms.push((variance, dof.fold(f64::INFINITY, f64::min)));
        }
        terms
    }
}

/// What all have in common, or nothing.
fn alike<'a>(mut all: impl Iterator<Item = &'a str>) -> String {
    let first = all.next().unwrap_or_default();
    if all.all(|other| other == first) {
        first.to_owned()
    } else {
        String::new()
    }
}

/// The step of a difference quotient at `x`, a power of two.
fn step(x: f64, u: f64) -> f64 {
    const FINE: f64 = 1.0 / (1u64 << 30) as f64;
    const COARSE: f64 = 1.0 / 1024.0;
    let size = if u > 0.0 {
        (u / 64.0).max(x.abs() * FINE)
    } else if x == 0.0 {
        COARSE
    } else {
        x.abs() * COARSE
    };
    // Sign and exponent without the fraction.
    f64::from_bits(size.to_bits() & 0xfff0_0000_0000_0000).max(f64::MIN_POSITIVE)
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
