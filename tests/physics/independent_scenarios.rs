//! Further scenarios against independent simulations of the same equations: cups read twice with weighed water, a heater
//! with two liquids that meet, and a cycle after hot and cold water with a crust of hydrate.
//!
//! References: tests/reference/cups_chain.py, mug_chain.py and hydration_chain.py (numpy, written from the equations
//! alone), 1,000,000 trials each, seeds 20242, 20243 and 20241:
//! `python3 tests/reference/mug_chain.py --trials 1000000 --seed 20243`.

use super::{certain, patched};
use joulecast::engine::{Model, Study};
use joulecast::experiment::{Experiment, Quantity};
use joulecast::scenario::shipped;
use joulecast::stats::{Estimate, Summary};

const TRIALS: u64 = 204_800;

/// A number of the reference and its standard error.
type Seen = (f64, f64);

/// What the reference says of a column: its mean, its standard deviation (none where the tail makes its error useless),
/// and the ends of the central 95 % where they matter.
struct Column {
    name: &'static str,
    mean: Seen,
    sd: Option<Seen>,
    ends: Option<[Seen; 2]>,
}

const fn column(name: &'static str, mean: Seen, sd: Seen) -> Column {
    Column {
        name,
        mean,
        sd: Some(sd),
        ends: None,
    }
}

fn z(got: Estimate, (value, se): Seen) -> f64 {
    (got.value - value) / got.se.hypot(se)
}

/// The references have thermometers without lag.
fn compare(scenario: &str, changes: &[(&str, &str)], columns: &[Column]) {
    let all = [&[("thermometer.lag", "0 s")], changes].concat();
    let model = Experiment::without_claims(patched(shipped(scenario).unwrap(), &all));
    let names = model.columns();
    let table = Study::new(7).run(&model, TRIALS).unwrap();
    for c in columns {
        let at = match c.name {
            "error" => Quantity::Error as usize,
            "constant" => Quantity::Constant as usize,
            "calibration rise" => Quantity::CalibrationRise as usize,
            "determination rise" => Quantity::DeterminationRise as usize,
            // Of the legs, which stand last.
            leg => names.iter().rposition(|n| n == leg).unwrap(),
        };
        let own = Summary::of(&table.columns[at], 0.95);
        let mut near = vec![(own.mean, c.mean)];
        near.extend(c.sd.map(|sd| (own.sd, sd)));
        if let Some([low, high]) = c.ends {
            near.extend([(own.symmetric.low, low), (own.symmetric.high, high)]);
        }
        for (got, want) in near {
            assert!(
                z(got, want).abs() < 5.0,
                "{scenario}, {}: {got:?} for {want:?}",
                c.name
            );
        }
        // Three percent of spread are told apart.
        if let Some((sd, se)) = c.sd {
            assert!(
                z(own.sd, (1.03 * sd, se)).abs() > 5.0,
                "{scenario}, {}",
                c.name
            );
        }
    }
}

#[test]
fn foam_cups_read_twice() {
    compare(
        "urea-foam-cups",
        &[],
        &[
            column(
                "calibration rise",
                (-0.440_895, 2.1e-5),
                (0.021_244, 2.1e-5),
            ),
            column(
                "determination rise",
                (-1.099_326, 4.0e-5),
                (0.040_036, 3.5e-5),
            ),
            Column {
                name: "error",
                mean: (-29.98, 0.70),
                sd: None,
                ends: Some([(-1_281.7, 2.4), (1_393.1, 2.9)]),
            },
        ],
    );
}

#[test]
fn acid_and_base_after_a_heater() {
    compare(
        "neutralisation-mug",
        &[("record.reduction", "back to mixing")],
        &[
            column("constant", (83.226, 0.031), (31.199, 0.032)),
            column(
                "determination rise",
                (2.816_831, 1.7e-4),
                (0.167_234, 1.35e-4),
            ),
            Column {
                name: "error",
                mean: (542.8, 1.04),
                sd: Some((1_041.78, 0.78)),
                ends: Some([(-1_523.2, 2.9), (2_585.9, 2.8)]),
            },
        ],
    );
}

#[test]
fn a_cycle_of_two_dissolutions_after_hot_and_cold_water() {
    compare(
        "copper-sulfate-hydration",
        &[],
        &[
            column("constant", (95.033, 0.0107), (10.6672, 0.0076)),
            column(
                "determination_rise_K",
                (1.404_638, 3.3e-5),
                (0.032_980, 2.2e-5),
            ),
            column(
                "determination_value_J_per_mol",
                (-73_441.7, 0.83),
                (829.00, 0.58),
            ),
            column("blue_rise_K", (-0.454_147, 1.4e-5), (0.014_075, 1.1e-5)),
            column("blue_value_J_per_mol", (5_805.57, 0.29), (286.33, 0.26)),
            Column {
                name: "error",
                mean: (-147.2, 0.90),
                sd: Some((899.69, 0.64)),
                ends: Some([(-1_941.2, 2.8), (1_578.3, 2.4)]),
            },
        ],
    );
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
    // -73.1 less 6.0 kJ/mol at 25 °C, slopes -229 and -42 J/(mol K): the library's own table, here by hand.
    let forming = |t: f64| -79_100.0 - 187.0 * (t - 25.0);
    let ratio = crust("exactly 17 C") / crust("exactly 25 C");
    let due = forming(17.0) / forming(25.0);
    // Water's heat capacity and density, and the glass, change by a part in a thousand.
    assert!((ratio / due - 1.0).abs() < 3e-3, "{ratio} for {due}");
    assert!((ratio - 1.0).abs() > 0.015, "{ratio}");
}
