//! A budget of uncertainty: what stands in its lines, and how they combine.
//!
//! Two makers fill it in: [`super::Links`] for the chain of an experiment, [`FirstOrder`] for any function
//! of any quantities. Both combine by JCGM 100:2008: u_c^2 is the sum over the quantities of
//! c_i cov(x_i, y), which is (c_i u_i)^2 where nothing is correlated (5.1.2, 5.2.2), and the effective
//! degrees of freedom follow Welch and Satterthwaite (G.4.1).

mod first_order;

pub use first_order::{BudgetError, FirstOrder, Function};

use crate::quantity::texts;
use crate::random::Dist;
use crate::random::special::student_quantile;
use crate::scenario::{Scope, SourceId};
use std::borrow::Cow;

/// A text that is mostly a constant of the program: budgets are made by the million.
pub type Label = Cow<'static, str>;

texts! {
    /// How a standard uncertainty was evaluated (JCGM 100:2008, 3.3.4).
    Evaluated::letter:
    /// Type A: by statistics of repeated readings.
    A = "A",
    /// Type B: by anything else, such as a certificate, a tolerance, a table.
    B = "B",
    /// Some of what a line holds by A, some by B.
    Both = "A, B",
}

/// An input quantity as the one who evaluates has it.
#[derive(Debug, Clone, PartialEq, serde::Serialize, schemars::JsonSchema)]
pub struct InputQuantity {
    /// What it is; for an error source of the chain, its key.
    #[serde(rename = "quantity")]
    pub name: Label,
    /// Its symbol.
    pub symbol: Label,
    /// Its unit; "1" for a pure number.
    pub unit: Label,
    /// The estimate with which the result is worked out: what a label, a table or an instrument says, the
    /// mean of readings, and 0 for an error that is not corrected. NaN for several in one line.
    pub value: f64,
    /// Standard uncertainty, in its unit; NaN for several in one line.
    pub u: f64,
    /// Type of evaluation.
    #[serde(rename = "type")]
    pub evaluated: Evaluated,
    /// Name of the distribution that is taken to describe it.
    pub distribution: Label,
    /// Degrees of freedom of u.
    pub dof: f64,
    /// How often it is drawn anew, where that means anything.
    pub scope: Option<Scope>,
}

impl InputQuantity {
    /// A quantity of type B, normal, with infinitely many degrees of freedom.
    pub fn new(
        name: impl Into<Label>,
        symbol: impl Into<Label>,
        unit: impl Into<Label>,
        value: f64,
        u: f64,
    ) -> Self {
        Self {
            name: name.into(),
            symbol: symbol.into(),
            unit: unit.into(),
            value,
            u,
            evaluated: Evaluated::B,
            distribution: "normal".into(),
            dof: f64::INFINITY,
            scope: None,
        }
    }

    /// A quantity of type B that follows a distribution: its mean, standard uncertainty, name and degrees of
    /// freedom.
    pub fn drawn(
        name: impl Into<Label>,
        symbol: impl Into<Label>,
        unit: impl Into<Label>,
        dist: &Dist,
    ) -> Self {
        let u = dist.standard_uncertainty();
        Self {
            distribution: dist.shape().into(),
            dof: dist.dof(),
            ..Self::new(name, symbol, unit, dist.mean(), u)
        }
    }

    /// The mean of repeated readings: type A, Student t.
    #[must_use]
    pub fn read_repeatedly(self, dof: f64) -> Self {
        Self {
            evaluated: Evaluated::A,
            distribution: "Student t".into(),
            dof,
            ..self
        }
    }

    /// With these degrees of freedom.
    #[must_use]
    pub fn with_dof(self, dof: f64) -> Self {
        Self { dof, ..self }
    }

    /// With a distribution of this name.
    #[must_use]
    pub fn with_distribution(self, name: impl Into<Label>) -> Self {
        Self {
            distribution: name.into(),
            ..self
        }
    }

    /// With a scope.
    #[must_use]
    pub fn with_scope(self, scope: Scope) -> Self {
        Self {
            scope: Some(scope),
            ..self
        }
    }
}

/// Degrees of freedom of a standard uncertainty that is itself known to the relative uncertainty `r` only:
/// `1 / (2 r^2)`, JCGM 100:2008, G.4.2.
pub fn dof_of_reliability(r: f64) -> f64 {
    1.0 / (2.0 * r * r)
}

/// One line of a budget.
#[derive(Debug, Clone, PartialEq, serde::Serialize, schemars::JsonSchema)]
pub struct BudgetLine {
    /// The quantity.
    #[serde(flatten)]
    pub quantity: InputQuantity,
    /// The error source it is, in the chain; `None` for an observed scatter and outside the chain.
    #[serde(skip)]
    pub source: Option<SourceId>,
    /// The leg it enters, in the chain; empty elsewhere.
    pub of: Label,
    /// Net sensitivity, unit of the result per unit of the quantity: with its sign for what enters once,
    /// root sum of squares over runs (and over equal draws) otherwise. NaN for several in one line.
    pub sensitivity: f64,
    /// In the chain the part of a shared error's sensitivity that goes through the calibration constant; 0
    /// elsewhere.
    #[serde(rename = "sensitivity_through_constant")]
    pub through: f64,
    /// Standard uncertainty that this line alone would give the result, in the unit of the result.
    #[serde(skip)]
    pub contribution: f64,
    /// `c cov(x, y)`, the line's part in the variance of the result: the square of the contribution if the
    /// quantity is correlated with none outside its line; otherwise it may be negative.
    #[serde(skip)]
    pub variance: f64,
}

/// A budget of one result.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct LinearBudget {
    /// Lines; of the chain in the order of the source table, else in the order of the quantities.
    pub lines: Vec<BudgetLine>,
    /// Unit of the result.
    pub unit: Label,
    /// The result.
    pub value: f64,
    /// Combined standard uncertainty.
    pub u: f64,
    /// What it would be if what is correlated were taken as independent: in the chain the calibration
    /// constant of everything that the determinations share with it, elsewhere all quantities. A common
    /// mistake.
    pub u_if_independent: f64,
    /// Effective degrees of freedom.
    pub dof: f64,
}

impl LinearBudget {
    /// A line's share of the variance; all sum to 1.
    pub fn share(&self, line: &BudgetLine) -> f64 {
        line.variance / (self.u * self.u)
    }

    /// Half-width of the interval that a coverage asks for.
    pub fn expanded(&self, coverage: Coverage) -> f64 {
        coverage.factor(self.dof) * self.u
    }
}

/// What an expanded uncertainty is to cover.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coverage {
    /// Probability, such as 0.95.
    pub probability: f64,
    /// Whether degrees of freedom are cut to whole ones, as printed tables of t demand (G.4.1).
    pub whole: bool,
}

impl Coverage {
    /// The degrees of freedom that are used. A whole number that rounding left just below itself stays;
    /// less than one is not cut to none.
    pub fn dof(self, dof: f64) -> f64 {
        if self.whole && dof >= 1.0 {
            (dof * (1.0 + 1e-9)).floor()
        } else {
            dof
        }
    }

    /// The coverage factor k, from Student t.
    pub fn factor(self, dof: f64) -> f64 {
        student_quantile(0.5 + 0.5 * self.probability, self.dof(dof))
    }
}

/// Variance and effective degrees of freedom of the sum of independent terms `(variance, dof)`.
pub(super) fn combine(terms: impl IntoIterator<Item = (f64, f64)>) -> (f64, f64) {
    let (mut variance, mut spread) = (0.0, 0.0);
    for (v, dof) in terms {
        variance += v;
        spread += v * v / dof;
    }
    let dof = if spread > 0.0 {
        variance * variance / spread
    } else {
        f64::INFINITY
    };
    (variance, dof)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_alike_have_twice_the_degrees_of_freedom_and_one_that_is_sure_adds_none() {
        assert_eq!(combine([(2.0, 5.0), (2.0, 5.0)]), (4.0, 10.0));
        let (variance, dof) = combine([(1.0, 4.0), (1.0, f64::INFINITY)]);
        assert_eq!((variance, dof), (2.0, 16.0));
        assert_eq!(combine([(1.0, f64::INFINITY)]), (1.0, f64::INFINITY));
        // A scatter of nothing has no say.
        assert_eq!(
            combine([(0.0, 2.0), (1.0, f64::INFINITY)]),
            (1.0, f64::INFINITY)
        );
    }

    #[test]
    fn whole_degrees_of_freedom_are_cut_but_not_to_none() {
        let whole = Coverage {
            probability: 0.95,
            whole: true,
        };
        assert_eq!(
            [16.9, 2.0 - 1e-15, 0.7].map(|d| whole.dof(d)),
            [16.0, 2.0, 0.7]
        );
        let exact = Coverage {
            whole: false,
            ..whole
        };
        assert_eq!(exact.dof(16.9), 16.9);
        // JCGM 100:2008, Table G.2: 2.12 for 16, 1.96 for infinitely many.
        assert!((whole.factor(16.9) - 2.12).abs() < 0.005);
        assert!((whole.factor(f64::INFINITY) - 1.96).abs() < 0.005);
        assert!(exact.factor(16.9) < whole.factor(16.9));
    }

    #[test]
    fn reliability_of_a_quarter_is_eight_degrees_of_freedom() {
        // JCGM 100:2008, H.1: 10 %, 25 % and 50 %.
        assert_eq!(
            [0.1, 0.25, 0.5].map(|r| dof_of_reliability(r).round()),
            [50.0, 8.0, 2.0]
        );
    }
}
