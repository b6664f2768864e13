//! Correlated inputs drawn together.

use crate::judge::{Z, close, near};
use joulecast::random::{
    BLOCK, Draws, Layout, MultivariateError, MultivariateNormal, Name, Plan, Tag, Treatment,
};

const N: usize = 1 << 17;

fn sample(set: &MultivariateNormal, plan: &Plan) -> Vec<Vec<f64>> {
    let name = Name::once(Tag::of("set"), Tag::of(""));
    let mut all: Vec<Vec<f64>> = Vec::new();
    for block in 0..(N / BLOCK) as u64 {
        let columns = set.draw(&Draws::new(7, block, Layout::MARGINAL, plan), name);
        all.resize(columns.len(), Vec::new());
        for (all, new) in all.iter_mut().zip(columns) {
            all.extend(new.0);
        }
    }
    all
}

fn covariance(a: &[f64], b: &[f64]) -> f64 {
    let n = a.len() as f64;
    let (ma, mb) = (a.iter().sum::<f64>() / n, b.iter().sum::<f64>() / n);
    let products = a.iter().zip(b).map(|(x, y)| (x - ma) * (y - mb));
    products.sum::<f64>() / (n - 1.0)
}

/// Whether means and covariances of a normal sample are as asked for; the standard error of a
/// sample covariance of normals is sqrt((s_ii s_jj + s_ij^2) / n).
fn as_asked(x: &[Vec<f64>], mean: &[f64], asked: &[Vec<f64>]) -> bool {
    let n = x[0].len() as f64;
    (0..x.len()).all(|i| {
        let average = x[i].iter().sum::<f64>() / n;
        near(average, mean[i], (asked[i][i] / n).sqrt(), Z)
            && (0..x.len()).all(|j| {
                let s = asked[i][i] * asked[j][j] + asked[i][j] * asked[i][j];
                near(covariance(&x[i], &x[j]), asked[i][j], (s / n).sqrt(), Z)
            })
    })
}

fn example() -> (Vec<f64>, Vec<Vec<f64>>) {
    let mean = vec![4.999, 19.661, 1.04446];
    let covariance = vec![
        vec![4.0, -0.72, 1.2],
        vec![-0.72, 1.0, -0.4],
        vec![1.2, -0.4, 0.5],
    ];
    (mean, covariance)
}

#[test]
fn means_and_covariances_of_a_sample_are_those_asked_for() {
    let (mean, asked) = example();
    let set = MultivariateNormal::new(mean.clone(), &asked).expect("valid");
    let x = sample(&set, &Plan::new());
    assert!(as_asked(&x, &mean, &asked));
    // A fault of three percent in one covariance or of two in one mean is noticed.
    let mut wrong = asked.clone();
    wrong[0][1] *= 0.93;
    assert!(!as_asked(&x, &mean, &wrong));
    let mut shifted = mean.clone();
    shifted[2] += 0.03 * asked[2][2].sqrt();
    assert!(!as_asked(&x, &shifted, &asked));
}

#[test]
fn a_fixed_combination_stays_fixed() {
    // The third is the sum of the others: the matrix is singular but possible.
    let covariance = vec![
        vec![1.0, 0.2, 1.2],
        vec![0.2, 2.0, 2.2],
        vec![1.2, 2.2, 3.4],
    ];
    let set = MultivariateNormal::new(vec![0.0; 3], &covariance).expect("semidefinite");
    let x = sample(&set, &Plan::new());
    assert!((0..N).all(|t| close(x[2][t], x[0][t] + x[1][t], 1e-6)));
    let none = MultivariateNormal::new(vec![3.0; 2], &[vec![0.0; 2], vec![0.0; 2]]);
    let x = sample(&none.expect("no spread at all"), &Plan::new());
    assert!(x.iter().flatten().all(|v| *v == 3.0));
}

#[test]
fn a_set_is_one_source_to_a_study() {
    let (mean, asked) = example();
    let set = MultivariateNormal::new(mean.clone(), &asked).expect("valid");
    let source = Tag::of("set");
    let perfect = sample(&set, &Plan::new().with(source, Treatment::Perfect));
    for (x, m) in perfect.iter().zip(&mean) {
        assert!(x.iter().all(|v| v == m));
    }
    let other = sample(&set, &Plan::new().with(source, Treatment::Other(1)));
    assert!(as_asked(&other, &mean, &asked));
    let usual = sample(&set, &Plan::new());
    assert!(usual.iter().zip(&other).all(|(a, b)| a[0] != b[0]));
}

#[test]
fn impossible_matrices_are_refused() {
    let refused = |rows: &[&[f64]]| {
        let rows: Vec<Vec<f64>> = rows.iter().map(|r| r.to_vec()).collect();
        MultivariateNormal::new(vec![0.0; rows.len()], &rows).expect_err("impossible")
    };
    use MultivariateError::{NotPositive, NotSymmetric, Size};
    assert_eq!(refused(&[&[1.0, 1.01], &[1.01, 1.0]]), NotPositive(1));
    assert_eq!(refused(&[&[-1.0]]), NotPositive(0));
    assert_eq!(
        refused(&[&[1.0, f64::NAN], &[f64::NAN, 1.0]]),
        NotPositive(1)
    );
    assert_eq!(refused(&[&[1.0, 0.5], &[0.4, 1.0]]), NotSymmetric(1, 0));
    assert_eq!(refused(&[&[1.0, 0.5], &[0.5]]), Size(2));
    // Three correlations of -0.9 cannot all be.
    let r = -0.9;
    let three: [&[f64]; 3] = [&[1.0, r, r], &[r, 1.0, r], &[r, r, 1.0]];
    assert_eq!(refused(&three), NotPositive(2));
    // Something without any spread of its own cannot covary.
    let double: [&[f64]; 3] = [&[1.0, 1.0, 0.0], &[1.0, 1.0, 0.5], &[0.0, 0.5, 1.0]];
    assert_eq!(refused(&double), NotPositive(2));
    assert!(matches!(
        refused(&[&[0.0, 1.0], &[1.0, 1.0]]),
        NotPositive(_) | NotSymmetric(..)
    ));
}
