//! EURACHEM/CITAC CG 4, example A1: a calibration standard.

use super::{flat, stands_in_print};
use crate::judge::close;
use joulecast::lab::{FirstOrder, InputQuantity, LinearBudget};
use joulecast::random::Dist;
use joulecast::report::{BudgetStyle, budget_csv, budget_json, budget_text};

/// Concentration in mg/L from mass in mg, purity and volume in mL.
pub fn concentration(x: &[f64]) -> f64 {
    1000.0 * x[0] * x[1] / x[2]
}

#[test]
fn calibration_standard_a_1() {
    // Results read; the parts of the volume (tolerance, repeatability, 4 K) from memory.
    let of_purity = |half: f64| -> Vec<InputQuantity> {
        let purity: Dist = Dist::within(0.9999, half).expect("valid");
        vec![
            InputQuantity::new("mass of cadmium", "m", "mg", 100.28, 0.05),
            InputQuantity::drawn("purity", "P", "1", &purity),
            // Its parts are 0.066; the example goes on with 0.07, and so do the results that it prints.
            InputQuantity::new("volume of the flask", "V", "mL", 100.0, 0.07),
        ]
    };
    let model = FirstOrder::new(of_purity(0.0001)).expect("sound quantities");
    let b = model.budget("mg/L", &concentration);
    let exact = (1_002.699_72, 0.863_684_737_385);
    let shares = [0.335_075_485_4, 0.004_493_625_8, 0.660_430_888_8];
    let contributions = [0.499_95, 0.057_896_685, 0.701_889_804];
    let right = |b: &LinearBudget| {
        close(b.value, exact.0, 1e-9)
            && close(b.u, exact.1, 1e-7)
            && (0..3).all(|i| close(b.share(&b.lines[i]), shares[i], 1e-7))
            && (0..3).all(|i| close(b.lines[i].contribution, contributions[i], 1e-7))
    };
    assert!(right(&b), "{b:?}");
    assert!(close(b.value, 1002.7, 0.06) && close(b.u, 0.9, 0.05));
    assert!(close(b.u / b.value, 0.0009, 5e-5));
    let style = BudgetStyle::of(&b);
    let in_print = contributions.map(|u| (u, 0.06 * u));
    assert!(stands_in_print(&b, &style, &in_print));
    let text = budget_text(&b, &style);
    let joined = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        "mass of cadmium m 0.50 33.5",
        "purity P 0.058 0.449",
        "volume of the flask V 0.70 66.0",
        "P 0.999900 5.8e-5 1 1000 B rectangular inf",
        "Result 1002.70 mg/L, u_c = 0.86 mg/L",
    ] {
        assert!(joined.contains(part), "{part} in\n{text}");
    }
    let wrong = FirstOrder::new(of_purity(0.000_101)).expect("sound quantities");
    assert!(!right(&wrong.budget("mg/L", &concentration)));

    // For programs: the same shares, and units in the names.
    let document = budget_json(&b);
    let lines = document["lines"].as_array().expect("lines");
    assert!(close(
        lines[2]["share"].as_f64().expect("a share"),
        shares[2],
        1e-7
    ));
    assert_eq!(lines[1]["sensitivity_unit"], "mg/L");
    assert_eq!(lines[0]["sensitivity_unit"], "(mg/L)/mg");
    assert!(
        document["u_mg_per_L"]
            .as_f64()
            .is_some_and(|u| close(u, exact.1, 1e-7))
    );
    let csv = String::from_utf8(budget_csv(&b, "A1").expect("memory")).expect("text");
    assert!(
        csv.contains("contribution_mg_per_L") && csv.lines().count() == 5,
        "{csv}"
    );
}

#[test]
fn volume_of_a_1_from_its_parts() {
    // Tolerance triangular, repeatability, 4 K rectangular: 0.0665 mL; one line or three are the same.
    let tolerance: Dist = Dist::triangular_within(0.0, 0.1).expect("valid");
    let fill: Dist = Dist::normal(0.0, 0.02).expect("valid");
    let parts = |kelvins: f64| {
        FirstOrder::new(vec![
            InputQuantity::new("mass of cadmium", "m", "mg", 100.28, 0.05),
            InputQuantity::drawn("tolerance of the flask", "dV1", "mL", &tolerance),
            InputQuantity::drawn("filling", "dV2", "mL", &fill),
            InputQuantity::drawn("temperature", "dT", "K", &flat(kelvins)),
        ])
        .expect("sound quantities")
    };
    let volume = |x: &[f64]| 100.0 + x[1] + x[2] + 100.0 * 2.1e-4 * x[3];
    let u = |kelvins: f64| parts(kelvins).budget("mL", &volume).u;
    assert!(close(u(4.0), 0.066_473_052_184, 1e-11) && close(u(4.0), 0.07, 0.005));
    assert!(!close(u(4.1), 0.066_473_052_184, 1e-4));
    let c = |x: &[f64]| 1000.0 * x[0] * 0.9999 / volume(x);
    let apart = parts(4.0).budget("mg/L", &c);
    let as_one = parts(4.0).as_one("volume", &[3, 1, 2]).expect("a group");
    let as_one = as_one.budget("mg/L", &c);
    let own: f64 = apart.lines[1..].iter().map(|l| apart.share(l)).sum();
    assert_eq!((apart.lines.len(), as_one.lines.len()), (4, 2));
    assert!(close(as_one.share(&as_one.lines[1]), own, 1e-12) && close(as_one.u, apart.u, 1e-14));
}
