//! The general budget of first order: exact where it must be, refused where it makes no sense, and what it
//! does with correlation.

use crate::judge::close;
use joulecast::lab::{BudgetError, Evaluated, FirstOrder, InputQuantity, LinearBudget};
use joulecast::random::MultivariateError;
use joulecast::scenario::Scope;

fn known(value: f64, u: f64) -> InputQuantity {
    InputQuantity::new("x", "x", "1", value, u)
}

fn model(quantities: &[InputQuantity]) -> FirstOrder {
    FirstOrder::new(quantities.to_vec()).expect("sound quantities")
}

/// Two quantities of the same uncertainty with this correlation.
fn pair(dofs: [f64; 2], r: f64) -> FirstOrder {
    model(&dofs.map(|dof| known(1.0, 0.1).with_dof(dof)))
        .with_correlation(&[vec![1.0, r], vec![r, 1.0]])
        .expect("a correlation")
}

fn shares(b: &LinearBudget) -> Vec<f64> {
    b.lines.iter().map(|l| b.share(l)).collect()
}

#[test]
fn the_law_is_exact_for_a_linear_model_and_notices_a_wrong_input() {
    let f = |x: &[f64]| 3.0 * x[0] - 2.0 * x[1];
    let of = |u: f64| model(&[known(1.0, u), known(5.0, 0.2)]).budget("1", &f);
    let b = of(0.1);
    assert!(close(b.u, 0.5, 1e-12) && close(b.value, -7.0, 1e-12));
    assert!(close(shares(&b)[1], 0.64, 1e-12) && close(b.lines[1].sensitivity, -2.0, 1e-12));
    assert!(!close(of(0.11).u, 0.5, 1e-3));
}

#[test]
fn sensitivities_are_as_good_as_stated() {
    // 1/x with 30 %, a large value with a small uncertainty, one that is exact, one at zero.
    let cases = [
        (2.0, 0.6, 1e-8),
        (1e7, 1.0, 1e-6),
        (1e9, 1e-3, 1e-4),
        (3.0, 0.0, 1e-9),
    ];
    for (value, u, tolerance) in cases {
        let c = model(&[known(value, u)]).sensitivities(&|x| 1.0 / x[0])[0];
        let exact = -1.0 / (value * value);
        assert!(
            close(c / exact, 1.0, tolerance),
            "{value} {u}: {}",
            c / exact
        );
    }
    for u in [0.0, 0.4] {
        let c = model(&[known(0.0, u)]).sensitivities(&|x| x[0].exp())[0];
        assert!(close(c, 1.0, 1e-8), "{u}: {c}");
    }
    // A plain central difference over the same range would not do.
    let plain = (1.0 / 2.6 - 1.0 / 1.4) / 1.2 / -0.25;
    assert!(!close(plain, 1.0, 1e-2));
}

#[test]
fn correlation_moves_shares_and_may_turn_their_sign() {
    let difference = |x: &[f64]| x[0] - x[1];
    let inf = [f64::INFINITY; 2];
    // Fully correlated, a difference is sure; u^2 = 2 u_i^2 (1 - r).
    for r in [-1.0, -0.5, 0.0, 0.5] {
        let b = pair(inf, r).budget("1", &difference);
        assert!(close(b.u, 0.1 * (2.0 * (1.0 - r)).sqrt(), 1e-12));
        assert!(close(b.u_if_independent, 0.02f64.sqrt(), 1e-12));
        assert!(shares(&b).iter().all(|s| close(*s, 0.5, 1e-9)));
    }
    assert!(close(pair(inf, 1.0).budget("1", &difference).u, 0.0, 1e-8));
    // x - y / 4 with r = 0.9: y takes away, x has more than all.
    let b = pair(inf, 0.9).budget("1", &|x: &[f64]| x[0] - 0.25 * x[1]);
    let whole = 1.0 + 0.0625 - 0.45;
    let exact = [(1.0 - 0.225) / whole, (0.0625 - 0.225) / whole];
    assert!(exact[0] > 1.0 && exact[1] < 0.0);
    assert!(
        shares(&b)
            .iter()
            .zip(exact)
            .all(|(s, e)| close(*s, e, 1e-9))
    );
    assert!(close(b.lines[1].contribution, 0.025, 1e-12));
}

#[test]
fn correlated_quantities_are_one_term_of_the_degrees_of_freedom() {
    let sum = |x: &[f64]| x[0] + x[1];
    // Means of the same five sets have four together, not eight.
    assert!(close(
        pair([4.0, 4.0], 0.5).budget("1", &sum).dof,
        4.0,
        1e-9
    ));
    assert!(close(
        pair([4.0, 4.0], 0.0).budget("1", &sum).dof,
        8.0,
        1e-9
    ));
    // Unlike ones: the fewest.
    assert_eq!(pair([4.0, 9.0], 0.5).budget("1", &sum).dof, 4.0);
    // One that does not act has no say.
    assert_eq!(
        pair([4.0, 9.0], 0.5).budget("1", &|x: &[f64]| x[1]).dof,
        9.0
    );
    // A chain of correlations is one set; a third that is correlated with none is another.
    let three = model(&[4.0, 4.0, 8.0].map(|d| known(1.0, 0.1).with_dof(d)));
    let b = three
        .with_correlation(&[
            vec![1.0, 0.2, 0.0],
            vec![0.2, 1.0, 0.0],
            vec![0.0, 0.0, 1.0],
        ])
        .expect("a correlation")
        .budget("1", &|x: &[f64]| x.iter().sum());
    let (set, alone) = (0.024f64, 0.01f64);
    let exact = (set + alone) * (set + alone) / (set * set / 4.0 + alone * alone / 8.0);
    assert!(close(b.dof, exact, 1e-9), "{} {exact}", b.dof);
}

#[test]
fn a_group_is_one_line_with_what_its_members_share() {
    let three = model(&[
        known(1.0, 0.3).read_repeatedly(5.0).with_scope(Scope::Run),
        known(2.0, 0.4).with_distribution("rectangular"),
        known(3.0, 1.2).read_repeatedly(7.0).with_scope(Scope::Run),
    ]);
    let sum = |x: &[f64]| x.iter().sum::<f64>();
    let b = three
        .clone()
        .as_one("both", &[2, 0])
        .expect("a group")
        .budget("1", &sum);
    let [group, other] = b.lines.as_slice() else {
        panic!("{} lines", b.lines.len())
    };
    assert_eq!(
        (group.quantity.name.as_ref(), group.quantity.evaluated),
        ("both", Evaluated::A)
    );
    assert_eq!(group.quantity.scope, Some(Scope::Run));
    assert_eq!(other.quantity.distribution, "rectangular");
    assert!(close(b.u, 1.3, 1e-9) && close(group.variance, 1.53, 1e-9));
    assert!(close(group.contribution * group.contribution, 1.53, 1e-9));
    // Grouped or not, the whole is the same.
    let plain = three.clone().budget("1", &sum);
    assert!(close(plain.dof, b.dof, 1e-9) && close(plain.u, b.u, 1e-15));
    for members in [vec![0, 0], vec![3]] {
        let refused = three.clone().as_one("both", &members);
        assert!(
            matches!(refused, Err(BudgetError::Member(..))),
            "{members:?}"
        );
    }
    let twice = three.as_one("a", &[0]).and_then(|m| m.as_one("b", &[0, 1]));
    assert_eq!(twice.err(), Some(BudgetError::Member("b".to_owned(), 0)));
}

#[test]
fn what_makes_no_sense_is_refused() {
    let refused = |q: InputQuantity| FirstOrder::new(vec![known(1.0, 0.1), q]).err();
    assert!(matches!(
        refused(known(f64::NAN, 0.1)),
        Some(BudgetError::Value(_))
    ));
    assert!(matches!(
        refused(known(1.0, -0.1)),
        Some(BudgetError::Uncertainty(..))
    ));
    assert!(matches!(
        refused(known(1.0, f64::NAN)),
        Some(BudgetError::Uncertainty(..))
    ));
    assert!(matches!(
        refused(known(1.0, 0.1).with_dof(0.0)),
        Some(BudgetError::Dof(..))
    ));
    assert_eq!(refused(known(1.0, 0.0)), None);
    let two = || model(&[known(1.0, 0.1), known(2.0, 0.2)]);
    let correlation = |m: &[Vec<f64>]| two().with_correlation(m).err();
    let covariance = |m: &[Vec<f64>]| two().with_covariance(m).err();
    assert_eq!(covariance(&[vec![0.01, 0.004], vec![0.004, 0.04]]), None);
    assert!(matches!(
        covariance(&[vec![0.01, 0.0], vec![0.0, 0.05]]),
        Some(BudgetError::Diagonal(..))
    ));
    assert!(matches!(
        correlation(&[vec![1.0, 0.5], vec![0.5, 2.0]]),
        Some(BudgetError::Diagonal(..))
    ));
    assert_eq!(
        correlation(&[vec![1.0, 1.1], vec![1.1, 1.0]]),
        Some(BudgetError::Matrix(MultivariateError::NotPositive(1)))
    );
    assert_eq!(
        correlation(&[vec![1.0, 0.5], vec![0.4, 1.0]]),
        Some(BudgetError::Matrix(MultivariateError::NotSymmetric(1, 0)))
    );
    assert_eq!(
        correlation(&[vec![1.0]]),
        Some(BudgetError::Matrix(MultivariateError::Size(2)))
    );
}
