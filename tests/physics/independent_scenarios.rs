//! Further scenarios against independent simulations of the same equations: cups read twice with weighed water, a heater
//! with two liquids that meet, and a cycle after hot and cold water with a crust of hydrate.
//!
//! References: tests/reference/open_cup_chain.py (see its test), cups_chain.py, mug_chain.py and hydration_chain.py (numpy, written from the equations
//! alone), 1,000,000 trials each, seeds 20242, 20243 and 20241:
//! `python3 tests/reference/mug_chain.py --trials 1000000 --seed 20243`.

use super::{certain, patched};
use joulecast::engine::{Model, Study};
use joulecast::experiment::{Experiment, ResultColumn};
use joulecast::scenario::{Scenario, shipped};
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

/// The references of shipped scenarios have thermometers without lag.
fn compare(scenario: &str, changes: &[(&str, &str)], columns: &[Column]) {
    let all = [&[("thermometer.lag", "0 s")], changes].concat();
    compare_as_it_is(scenario, patched(shipped(scenario).unwrap(), &all), columns);
}

fn compare_as_it_is(name: &str, scenario: Scenario, columns: &[Column]) {
    let model = Experiment::without_claims(scenario);
    let names = model.columns();
    let table = Study::new(7).run(&model, TRIALS).unwrap();
    for c in columns {
        let at = match c.name {
            "error" => ResultColumn::Error as usize,
            "constant" => ResultColumn::Constant as usize,
            "calibration change" => ResultColumn::CalibrationChange as usize,
            "determination change" => ResultColumn::DeterminationChange as usize,
            // Of the legs, which stand last.
            leg => names.iter().rposition(|n| n == leg).unwrap(),
        };
        let own = Summary::of(&table.columns[at], 0.95);
        let mut near = vec![(own.mean, c.mean)];
        near.extend(c.sd.map(|sd| (own.sd, sd)));
        if let Some([low, high]) = c.ends {
            near.extend([(own.interval.low, low), (own.interval.high, high)]);
        }
        for (got, want) in near {
            assert!(
                z(got, want).abs() < 5.0,
                "{name}, {}: {got:?} for {want:?}",
                c.name
            );
        }
        // Three percent of spread are told apart.
        if let Some((sd, se)) = c.sd {
            assert!(z(own.sd, (1.03 * sd, se)).abs() > 5.0, "{name}, {}", c.name);
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
                "calibration change",
                (-0.440_911, 2.1e-5),
                (0.021_261, 2.1e-5),
            ),
            column(
                "determination change",
                (-1.099_311, 4.0e-5),
                (0.040_039, 3.5e-5),
            ),
            Column {
                name: "error",
                mean: (-30.48, 0.68),
                sd: None,
                ends: Some([(-1285.9, 2.3), (1393.7, 3.2)]),
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
            column("constant", (83.246, 3.1e-2), (31.291, 3.3e-2)),
            column(
                "determination change",
                (2.816_723, 1.7e-4),
                (0.167_741, 1.4e-4),
            ),
            Column {
                name: "error",
                mean: (543.7, 1.04),
                sd: Some((1041.93, 0.78)),
                ends: Some([(-1520.2, 3.1), (2592.3, 2.8)]),
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
            column("constant", (95.080, 1.1e-2), (10.658, 7.6e-3)),
            column(
                "leg_determination_change_of_temperature_K",
                (1.404_519, 3.4e-5),
                (0.034_290, 2.3e-5),
            ),
            column(
                "leg_determination_value_J_per_mol",
                (-73_440.4, 9.4e-1),
                (941.2, 6.7e-1),
            ),
            column(
                "leg_blue_change_of_temperature_K",
                (-0.454_139, 2.5e-5),
                (0.024_795, 1.8e-5),
            ),
            column(
                "leg_blue_value_J_per_mol",
                (5805.99, 5.8e-1),
                (577.78, 4.2e-1),
            ),
            Column {
                name: "error",
                mean: (-146.4, 0.90),
                sd: Some((901.37, 0.64)),
                ends: Some([(-1942.2, 2.4), (1581.0, 2.3)]),
            },
        ],
    );
}

#[test]
fn a_cycle_in_an_open_cup_read_at_its_extremes_after_hot_and_cold_water() {
    // Written by somebody who had seen no source of the program, only documents: open_cup_chain.py, two runs of 4,000,000
    // trials, seeds 20240 and 777.
    let text = include_str!("../reference/open-cup.toml");
    let cup = patched(text, &[]);
    compare_as_it_is(
        "open cup",
        cup.clone(),
        &[
            column("constant", (32.159, 5e-3), (13.260, 7e-3)),
            column("calibration change", (9.5160, 1.4e-4), (0.404_83, 1.2e-4)),
            column(
                "leg_determination_change_of_temperature_K",
                (-2.999_20, 4e-5),
                (0.109_71, 4e-5),
            ),
            column(
                "leg_determination_value_J_per_mol",
                (34_896.42, 0.33),
                (921.08, 0.22),
            ),
            column(
                "leg_chloride_change_of_temperature_K",
                (-1.994_905, 3e-5),
                (0.083_99, 2.4e-5),
            ),
            column(
                "leg_chloride_value_J_per_mol",
                (15_085.29, 0.19),
                (550.60, 0.13),
            ),
            Column {
                name: "error",
                mean: (-298.87, 0.36),
                sd: Some((1_011.48, 0.25)),
                ends: Some([(-2_263.8, 0.9), (1_678.1, 0.8)]),
            },
        ],
    );
    // Of 10,000 groups four see no scatter at all, and claim an interval that holds nothing.
    let table = Study::new(7).run(&Experiment::new(cup), 102_400).unwrap();
    let errors = table.columns[ResultColumn::Error as usize].iter();
    let halves = &table.columns[ResultColumn::ScatterClaim as usize];
    let held = errors
        .zip(halves)
        .filter(|(e, half)| e.abs() <= **half)
        .count();
    let share = held as f64 / 102_400.0;
    let se = (share * (1.0 - share) / 102_400.0).sqrt();
    assert!(
        z(Estimate::new(share, se), (0.937_20, 9e-5)).abs() < 5.0,
        "{share}"
    );
    assert!(halves.iter().all(|half| half.is_finite()) && halves.contains(&0.0));
}

/// Change of temperature in a run of which nothing dissolves and all becomes a crust of hydrate.
fn crust(room: &str) -> f64 {
    let changes = [
        ("room.temperature", room),
        ("determination.dissolving.leftover", "exactly 100 %"),
    ];
    let text = shipped("copper-sulfate-hydration").unwrap();
    certain(
        patched(text, &changes),
        &changes,
        ResultColumn::DeterminationChange,
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
