//! JCGM 100:2008, H.2: resistance and reactance from readings taken together.

use super::super::known;
use super::stands_in_print;
use crate::judge::close;
use joulecast::lab::{FirstOrder, InputQuantity};
use joulecast::report::{BudgetStyle, budget_text};

/// Five simultaneous readings of voltage, current and phase: JCGM 100:2008, Table H.2.
pub struct Readings {
    pub mean: [f64; 3],
    /// Covariances of the means.
    pub covariance: Vec<Vec<f64>>,
}

impl Readings {
    pub fn published() -> Self {
        let readings: [[f64; 5]; 3] = [
            [5.007, 4.994, 5.005, 4.990, 4.999],
            [0.019_663, 0.019_639, 0.019_640, 0.019_685, 0.019_678],
            [1.0456, 1.0438, 1.0468, 1.0428, 1.0433],
        ];
        let mean = readings.map(|r| r.iter().sum::<f64>() / 5.0);
        let cell = |i: usize, j: usize| -> f64 {
            let products = (0..5).map(|k| (readings[i][k] - mean[i]) * (readings[j][k] - mean[j]));
            products.sum::<f64>() / 20.0
        };
        let covariance = (0..3)
            .map(|i| (0..3).map(|j| cell(i, j)).collect())
            .collect();
        Self { mean, covariance }
    }

    /// Mean of each with its standard uncertainty, from five readings.
    pub fn quantities(&self) -> Vec<InputQuantity> {
        [
            ("voltage", "V", "V"),
            ("current", "I", "A"),
            ("phase", "phi", "rad"),
        ]
        .into_iter()
        .enumerate()
        .map(|(i, (name, symbol, unit))| {
            let u = self.covariance[i][i].sqrt();
            InputQuantity::new(name, symbol, unit, self.mean[i], u).read_repeatedly(4.0)
        })
        .collect()
    }

    pub fn model(&self) -> FirstOrder {
        FirstOrder::new(self.quantities())
            .and_then(|m| m.with_covariance(&self.covariance))
            .expect("sound quantities")
    }
}

pub fn resistance(x: &[f64]) -> f64 {
    x[0] / x[1] * x[2].cos()
}

pub fn reactance(x: &[f64]) -> f64 {
    x[0] / x[1] * x[2].sin()
}

pub fn impedance(x: &[f64]) -> f64 {
    x[0] / x[1]
}

/// Derivatives of the three results, in closed form.
fn derivatives([v, i, phi]: [f64; 3]) -> [[f64; 3]; 3] {
    let (s, c) = phi.sin_cos();
    let z = v / i;
    [
        [c / i, -z * c / i, -z * s],
        [s / i, -z * s / i, z * c],
        [1.0 / i, -z / i, 0.0],
    ]
}

/// Standard uncertainties of R, X, Z and their correlations RX, RZ, XZ.
fn joint(model: &FirstOrder) -> ([f64; 3], [f64; 3]) {
    let s = model.covariance_of(&[&resistance, &reactance, &impedance]);
    let u = [0, 1, 2].map(|i| s[i][i].sqrt());
    let r = [(0, 1), (0, 2), (1, 2)].map(|(i, j)| s[i][j] / (u[i] * u[j]));
    (u, r)
}

#[test]
fn resistance_and_reactance_h_2() {
    // Means and correlations read, readings and results from memory.
    let readings = Readings::published();
    let model = readings.model();
    let budgets = [
        model.budget("ohm", &resistance),
        model.budget("ohm", &reactance),
        model.budget("ohm", &impedance),
    ];
    let exact = [
        (127.732_169_928_102, 0.071_071_407_397),
        (219.846_511_912_638, 0.295_581_677_359),
        (254.259_701_948_019, 0.236_336_130_082),
    ];
    let printed_values = [(127.732, 0.071), (219.847, 0.295), (254.260, 0.236)];
    for ((b, (y, u)), (py, pu)) in budgets.iter().zip(exact).zip(printed_values) {
        assert!(close(b.value, y, 1e-9) && close(b.u, u, 1e-7));
        assert!(close(b.value, py, 0.001) && close(b.u, pu, 0.001));
        // All from the same five sets of readings.
        assert!(close(b.dof, 4.0, 1e-9), "{}", b.dof);
    }
    let (u, r) = joint(&model);
    let exact_r = [-0.588_429_784_424, -0.485_259_224_210, 0.992_511_648_949];
    for i in 0..3 {
        assert!(close(u[i], budgets[i].u, 1e-12) && close(r[i], exact_r[i], 1e-6));
        assert!(close(r[i], [-0.588, -0.485, 0.993][i], 0.001));
    }
    // Shares against closed derivatives; with correlation some are negative and some above 1.
    let c = derivatives(readings.mean);
    let share = |result: usize, i: usize| {
        let with: f64 = (0..3)
            .map(|j| c[result][j] * readings.covariance[i][j])
            .sum();
        c[result][i] * with / (exact[result].1 * exact[result].1)
    };
    let mut all = Vec::new();
    for (result, b) in budgets.iter().enumerate() {
        for (i, line) in b.lines.iter().enumerate() {
            assert!(close(
                line.sensitivity,
                c[result][i],
                1e-7 * c[result][i].abs() + 1e-9
            ));
            assert!(close(b.share(line), share(result, i), 1e-7));
            all.push(b.share(line));
        }
        let sum: f64 = b.lines.iter().map(|l| b.share(l)).sum();
        assert!(close(sum, 1.0, 1e-12));
        // What a line would give alone is not its share.
        let alone: f64 = b
            .lines
            .iter()
            .map(|l| l.contribution * l.contribution)
            .sum();
        assert!(close(alone.sqrt(), b.u_if_independent, 1e-12) && !close(alone.sqrt(), b.u, 0.01));
    }
    assert!(
        all.iter().any(|s| *s < -0.01) && all.iter().any(|s| *s > 1.01),
        "{all:?}"
    );

    // All readings as one line: it is the whole.
    let one = model.as_one("readings", &[0, 1, 2]).expect("a group");
    let b = one.budget("ohm", &resistance);
    let [line] = b.lines.as_slice() else {
        panic!("{} lines", b.lines.len())
    };
    assert!(close(b.share(line), 1.0, 1e-12) && close(line.contribution, exact[0].1, 1e-7));
    assert!(line.sensitivity.is_nan() && line.quantity.dof == 4.0);
    assert_eq!(line.quantity.symbol, "V,I,phi");
    assert!(stands_in_print(
        &b,
        &BudgetStyle::of(&b),
        &[(0.071, 0.0005)]
    ));

    // In print: shares sum to 100 %, contributions c u by hand; a wrong voltage would be seen.
    let alone =
        |result: usize| [0, 1, 2].map(|i| (c[result][i] * readings.quantities()[i].u).abs());
    for (result, b) in budgets.iter().enumerate() {
        let by_hand = alone(result).map(|u| (u, 0.05 * u + 1e-9));
        assert!(stands_in_print(b, &BudgetStyle::of(b), &by_hand));
        let wrong = by_hand.map(|(u, last)| (1.2 * u + 1e-6, last));
        assert!(!stands_in_print(b, &BudgetStyle::of(b), &wrong));
        let text = budget_text(b, &BudgetStyle::of(b));
        assert!(
            text.contains("Student t") && text.contains("4.9990"),
            "{text}"
        );
    }
}

#[test]
fn resistance_and_reactance_h_2_from_rounded_correlations() {
    // Derived: the rounded inputs of the example, computed elsewhere.
    let quantities = vec![
        known(4.999, 3.2e-3),
        known(19.661e-3, 9.5e-6),
        known(1.04446, 7.5e-4),
    ];
    let matrix = |vp: f64| {
        vec![
            vec![1.0, -0.36, vp],
            vec![-0.36, 1.0, -0.65],
            vec![vp, -0.65, 1.0],
        ]
    };
    let right = |vp: f64| {
        let model = FirstOrder::new(quantities.clone())
            .and_then(|m| m.with_correlation(&matrix(vp)))
            .expect("sound quantities");
        let (u, r) = joint(&model);
        let exact_u = [0.069_978_727_988, 0.295_716_826_846, 0.236_602_971_835];
        let exact_r = [-0.591_484_610_819, -0.490_623_905_441, 0.992_797_472_722];
        (0..3).all(|i| close(u[i], exact_u[i], 1e-9) && close(r[i], exact_r[i], 1e-8))
    };
    assert!(right(0.86) && !right(0.861));
}
