//! Rinse water that is left in the vessel against a closed form.

use super::{SILENT, certain, patched};
use joulecast::experiment::ResultColumn;

/// Change of temperature in a determination in sulfuric acid with so much rinse water in the vessel.
fn change(rinse: &str) -> f64 {
    let changes = [
        ("determination.liquid.use", "h2so4-1.0"),
        ("determination.liquid.rinse", rinse),
    ];
    certain(
        patched(SILENT, &changes),
        &changes,
        ResultColumn::DeterminationChange,
    )
}

#[test]
fn rinse_water_takes_up_heat_as_water_and_not_as_the_liquid_of_the_vessel() {
    // Heat capacities at 25 °C: water 4.1813 J/(g K) (IAPWS-95), the acid 1.0598 g/mL times 3.8625 J/(g K) (S. L. Clegg,
    // J. A. Rard and K. S. Pitzer, J. Chem. Soc. Faraday Trans. 90 (1994) 1875): the values of the library's own table, here by hand.
    let without = 40.0 + 100.3 * 1.059_797 * 3.862_49;
    // 5 mL of water at 25 °C: 0.99705 g/mL (IAPWS-95).
    let of = |c: f64| 1.0 + 5.0 * 0.997_047_6 * c / without;
    let ratio = change("exactly 0 mL") / change("exactly 5 mL");
    assert!((ratio / of(4.181_315) - 1.0).abs() < 1e-5, "{ratio}");
    assert!((ratio / of(3.862_49) - 1.0).abs() > 1e-3, "{ratio}");
}
