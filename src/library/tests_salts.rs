//! Salts and acids in water against a second source: how the heat of solution changes with temperature
//! and with dilution, and that the former and the heat capacity of the solute belong together.

use super::tests_second::{agree, pair};
use super::*;
use crate::random::dist::Distribution;

fn reaction(key: &str) -> &'static Reaction {
    Library::builtin().reaction(key).unwrap()
}

#[test]
fn copper_sulfate_dilutes_by_the_equation_and_dissolves_as_textbooks_say() {
    // Coefficients of Pitzer (1991), kJ/mol.
    let cases = [
        (0.01, 2.876),
        (0.05, 4.347),
        (0.139, 4.978),
        (0.278, 5.483),
        (0.5, 6.085),
    ];
    for key in ["cuso4-water", "cuso4-5h2o-water"] {
        for (molality, second) in cases {
            let off = reaction(key).dilution_heat(molality) / 1e3 - second;
            assert!(off.abs() < 0.06, "{key} {molality}: {off}");
        }
    }
    // A textbook problem on chemer.ru, read: -66.11 and +11.72 kJ/mol into much water, as it was
    // measured near 18 °C with 400 mol of water (that from memory).
    for (key, second) in [("cuso4-water", -66.11), ("cuso4-5h2o-water", 11.72)] {
        let got = reaction(key).enthalpy_at(0.139, 18.0) / 1e3;
        let u = reaction(key).enthalpy.dist.sd() / 1e3;
        agree(key, (got, u), (second, 0.3));
        // Once 1.0 off.
        assert!((got - second).abs() < 0.8, "{key}: {got}");
    }
}
