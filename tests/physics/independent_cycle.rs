//! The hydration of copper sulfate against an independent simulation of the same equations: hot and cold water, a crust
//! of hydrate, a hydrate that has lost water, and one constant for both legs.
//!
//! Reference: tests/reference/hydration_chain.py (numpy, written from the equations alone), 1,000,000 trials:
//! `python3 tests/reference/hydration_chain.py --trials 1000000 --seed 20241`.

use super::{certain, patched};
use joulecast::engine::{Model, Study};
use joulecast::experiment::{Experiment, Quantity};
use joulecast::scenario::shipped;
use joulecast::stats::{Estimate, Summary};

const TRIALS: u64 = 204_800;

/// Means and standard deviations of the reference, each with its standard error.
const REFERENCE: [(&str, [(f64, f64); 2]); 6] = [
    ("constant", [(95.033, 0.0107), (10.6672, 0.0076)]),
    (
        "determination_rise_K",
        [(1.405_876, 3.3e-5), (0.033_154, 2.25e-5)],
    ),
    (
        "determination_value_J_per_mol",
        [(-73_440.3, 0.86), (860.85, 0.61)],
    ),
    ("blue_rise_K", [(-0.449_056, 1.7e-5), (0.017_030, 1.3e-5)]),
    ("blue_value_J_per_mol", [(5_803.86, 0.37), (371.85, 0.3)]),
    ("error", [(-144.1, 0.96), (958.97, 0.68)]),
];

/// Both ends of the central 95 % of the errors, J/mol.
const ENDS: [(f64, f64); 2] = [(-2_051.8, 2.7), (1_698.2, 2.3)];

fn z(got: Estimate, (value, se): (f64, f64)) -> f64 {
    (got.value - value) / got.se.hypot(se)
}

#[test]
fn a_cycle_of_two_dissolutions_after_hot_and_cold_water() {
    // The reference has a thermometer without lag.
    let text = shipped("copper-sulfate-hydration").unwrap();
    let model = Experiment::without_claims(patched(text, &[("thermometer.lag", "0 s")]));
    let names = model.columns();
    let table = Study::new(7).run(&model, TRIALS).unwrap();
    let of = |column: &str| {
        let at = match column {
            "error" => Quantity::Error as usize,
            "constant" => Quantity::Constant as usize,
            // Of the legs, which stand last.
            leg => names.iter().rposition(|n| n == leg).unwrap(),
        };
        Summary::of(&table.columns[at], 0.95)
    };
    for (column, [mean, sd]) in REFERENCE {
        let own = of(column);
        assert!(z(own.mean, mean).abs() < 5.0, "{column}: {:?}", own.mean);
        assert!(z(own.sd, sd).abs() < 5.0, "{column}: {:?}", own.sd);
        // Two percent of spread are told apart.
        assert!(z(own.sd, (1.02 * sd.0, sd.1)).abs() > 5.0, "{column}");
    }
    let error = of("error").symmetric;
    assert!(z(error.low, ENDS[0]).abs() < 5.0, "{:?}", error.low);
    assert!(z(error.high, ENDS[1]).abs() < 5.0, "{:?}", error.high);
}

/// Rise of a run of which nothing dissolves and all becomes a crust of hydrate.
fn crust(room: &str) -> f64 {
    let changes = [
        ("room.temperature", room),
        ("determination.dissolving.leftover", "exactly 100 %"),
    ];
    let text = shipped("copper-sulfate-hydration").unwrap();
    certain(
        patched(text, &changes),
        &changes,
        Quantity::DeterminationRise,
    )
}

#[test]
fn the_heat_of_a_crust_follows_the_temperature_of_mixing() {
    // -73.1 less 6.0 kJ/mol at 25 °C, slopes -135 and 60 J/(mol K): the library's own table, here by hand.
    let forming = |t: f64| -79_100.0 - 195.0 * (t - 25.0);
    let ratio = crust("exactly 17 C") / crust("exactly 25 C");
    let due = forming(17.0) / forming(25.0);
    // Water's heat capacity and density, and the glass, change by a part in a thousand.
    assert!((ratio / due - 1.0).abs() < 3e-3, "{ratio} for {due}");
    assert!((ratio - 1.0).abs() > 0.015, "{ratio}");
}
