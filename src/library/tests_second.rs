//! Values of the library against a second source, which stands beside each with the uncertainty that
//! we give it. Where a value once was wrong, the old one is named: it would fail here.

use super::*;
use crate::random::dist::Distribution;

/// Within twice the combined standard uncertainty of both sources.
pub(super) fn agree(what: &str, own: (f64, f64), second: (f64, f64)) {
    let within = 2.0 * own.1.hypot(second.1);
    let off = own.0 - second.0;
    assert!(off.abs() < within, "{what}: {} against {}", own.0, second.0);
}

/// Value and standard uncertainty of a fact.
pub(super) fn pair(fact: &Fact) -> (f64, f64) {
    (fact.value, fact.dist.sd())
}

/// Specific heat capacity of a liquid at a temperature, J/(g K), and its standard uncertainty.
fn cp(key: &str, celsius: f64) -> (f64, f64) {
    let table = &Library::builtin().liquid(key).unwrap().cp;
    let value = table.at(celsius);
    (value, value * table.error.dist.sd())
}

#[test]
fn acid_and_alkali_hold_as_much_heat_as_handbooks_say() {
    // J/(g K); a step of the last digit of such a table, 0.001 cal/(g K), is 0.004.
    let cases = [
        // Perry's handbook, after Biron: 4.76 and 9.25 % by mass at 20 °C (from memory). Once
        // 4.0321 and 3.8811.
        ("h2so4-0.5", 20.0, 4.009),
        ("h2so4-1.0", 20.0, 3.859),
        // Pabalan and Pitzer (1987) with the ions of the NBS tables, -102.1 J/(mol K), a sum that
        // differs by 1.4 from the one used here. Once 4.0714 and 3.9855.
        ("naoh-0.5", 25.0, 4.063),
        ("naoh-1.0", 25.0, 3.963),
    ];
    for (key, celsius, second) in cases {
        agree(key, cp(key, celsius), (second, 0.004));
        // They agree far better than the library claims.
        let off = cp(key, celsius).0 - second;
        assert!(off.abs() < 0.008, "{key}: {off}");
    }
    // The fit of the JESS site has 3.977 for the stronger alkali: the uncertainty covers it.
    agree("naoh-1.0", cp("naoh-1.0", 25.0), (3.977, 0.004));
}

#[test]
fn copper_sulfate_holds_as_much_heat_as_magnesium_sulfate_and_a_handbook_let_expect() {
    // J/(g K) at 25 °C. Perry's handbook, 12 to 17 °C, has 0.975 and 0.951 cal/(g K) with 400 and
    // 200 mol of water per mole (read), which is -90 J/(mol K) for the salt at 25 °C; magnesium
    // sulfate by Phutela and Pitzer (1986) has -175 at 0.2 and -135 at 0.5 mol/kg.
    let cases = [("cuso4-0.2", 4.0341, 4.0176), ("cuso4-0.5", 3.849, 3.808)];
    for (key, perry, magnesium) in cases {
        agree(key, cp(key, 25.0), (perry, 0.004));
        agree(key, cp(key, 25.0), (magnesium, 0.004));
    }
    // At 14 °C between both mixtures of the handbook. Once 4.0442 at 25 °C, 0.027 above the
    // magnesium sulfate.
    agree("cuso4-0.2", cp("cuso4-0.2", 14.0), (4.0345, 0.004));
}

#[test]
fn alkali_is_as_dense_as_a_table_says() {
    // Table of densities over molality at 25 °C on advancedthermo.com, read: 1.01860 and 1.03911
    // g/mL at 0.5 and 1.0 mol/kg, where the solutions here have 0.5007 and 1.0008.
    let cases = [("naoh-0.5", 1.018_60), ("naoh-1.0", 1.039_11)];
    for (key, second) in cases {
        let density = &Library::builtin().liquid(key).unwrap().density;
        let u = density.at(25.0) * density.error.dist.sd();
        agree(key, (density.at(25.0), u), (second, 1e-4));
    }
}
