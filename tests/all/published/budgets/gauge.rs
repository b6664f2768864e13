//! JCGM 100:2008, H.1: calibration of an end gauge.

use super::{NINETY_NINE, flat, stands_in_print};
use crate::judge::close;
use joulecast::lab::{Evaluated, FirstOrder, InputQuantity, LinearBudget, dof_of_reliability};
use joulecast::random::Dist;
use joulecast::report::{BudgetStyle, budget_text};

/// Lengths in nm, l = ls + d - ls (da th + as dth), d from the comparator read five times, its random and
/// its systematic effects.
fn gauge(scale: f64) -> FirstOrder {
    let cyclic: Dist = Dist::arcsine(0.0, 0.5).expect("valid");
    let mean = InputQuantity::new("mean temperature of the bed", "t1", "°C", -0.1, 0.2);
    let drift = InputQuantity::drawn("cyclic variation", "t2", "°C", &cyclic);
    let alike = dof_of_reliability(0.5);
    let quantities = vec![
        InputQuantity::new("length of the standard", "l_s", "nm", 50_000_623.0, 25.0)
            .with_dof(18.0),
        InputQuantity::new("repeated observations", "d0", "nm", 215.0, 5.8).read_repeatedly(24.0),
        InputQuantity::new("random effects of the comparator", "d1", "nm", 0.0, 3.9)
            .read_repeatedly(5.0),
        InputQuantity::new("systematic effects", "d2", "nm", 0.0, 6.7)
            .with_dof(dof_of_reliability(0.25)),
        InputQuantity {
            value: 11.5e-6,
            ..InputQuantity::drawn("expansion of the standard", "a_s", "1/K", &flat(2e-6))
        },
        mean,
        drift,
        InputQuantity::drawn("difference of expansions", "da", "1/K", &flat(1e-6))
            .with_dof(dof_of_reliability(0.1)),
        InputQuantity::drawn("difference of temperatures", "dt", "K", &flat(scale * 0.05))
            .with_dof(alike),
    ];
    FirstOrder::new(quantities)
        .and_then(|m| m.as_one("difference of the lengths", &[1, 2, 3]))
        .and_then(|m| m.as_one("deviation of the bed's temperature", &[5, 6]))
        .expect("sound quantities")
}

fn length(x: &[f64]) -> f64 {
    x[0] + x[1] + x[2] + x[3] - x[0] * (x[7] * (x[5] + x[6]) + x[4] * x[8])
}

#[test]
fn end_gauge_h_1() {
    // Terms of d and the model read, the rest from memory. 31.671 and 16.76 follow from the components as
    // the example rounds them (9.7, 2.9, 16.6).
    let b = gauge(1.0).budget("nm", &length);
    assert!(close(b.value, 50_000_838.0, 0.5));
    let right = |b: &LinearBudget| {
        close(b.u, 31.671_122, 0.02) && close(b.dof, 16.764_554, 0.1) && close(b.u, 32.0, 0.6)
    };
    assert!(right(&b), "{} {}", b.u, b.dof);
    assert_eq!(NINETY_NINE.dof(b.dof), 16.0);
    let k = NINETY_NINE.factor(b.dof);
    assert!(close(k, 2.920_781_622_425_1, 1e-12) && close(k, 2.92, 0.01));
    assert!(close(b.expanded(NINETY_NINE), 92.504, 0.06));
    assert!(close(b.expanded(NINETY_NINE), 93.0, 1.5));
    // The parts of d are one line: 9.7 nm with 25.6 degrees of freedom, from A and from B.
    let d = &b.lines[1];
    assert_eq!((b.lines.len(), d.quantity.evaluated), (6, Evaluated::Both));
    assert!(close(d.contribution, 9.7, 0.05) && close(d.quantity.dof, 25.6, 0.2));
    assert!(close(d.variance, 5.8 * 5.8 + 3.9 * 3.9 + 6.7 * 6.7, 1e-6));

    let style = BudgetStyle {
        digits: 3,
        coverage: NINETY_NINE,
        ..BudgetStyle::of(&b)
    };
    let published = [
        (25.0, 0.05),
        (9.7, 0.05),
        (0.0, 1e-9),
        (0.0, 1e-9),
        (2.9, 0.05),
        (16.6, 0.05),
    ];
    assert!(
        stands_in_print(&b, &style, &published),
        "{}",
        budget_text(&b, &style)
    );
    let text = budget_text(
        &b,
        &BudgetStyle {
            digits: 2,
            ..style.clone()
        },
    );
    let joined = text.split_whitespace().collect::<Vec<_>>().join(" ");
    // U of the example is 93 nm because it multiplies the rounded 32 nm.
    for part in [
        "Result 50000838 nm, u_c = 32 nm",
        "16.8 (taken as 16), k = 2.92, U = 92 nm (99 %)",
        "l_s 50000623 25 nm 1.0 B normal 18",
        "d0,d1,d2 - - nm - A, B 25.4",
        "da 0 5.8e-7 1/K 5.0e6 B rectangular 50",
        "a_s 1.15e-5 1.2e-6 1/K 0 B rectangular inf",
        "dt 0 0.029 K -580 B rectangular 2",
    ] {
        assert!(joined.contains(part), "{part} in\n{text}");
    }
    let wrong = gauge(1.02).budget("nm", &length);
    assert!(!right(&wrong) && !stands_in_print(&wrong, &style, &published));
}
