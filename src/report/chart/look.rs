//! Sample pictures for the eye: what no assertion can tell is whether they are good to look at.
//!
//! Run with `JOULECAST_LOOK=folder cargo test --lib look -- --ignored`.

use std::path::Path;

use super::bars_tests::{sample_bars, sample_bias, sample_steps};
use super::curves_samples::{dense, forbidden, masses, replicates, single};
use super::map_samples::{counts, fine, lone, uneven, wide};
use super::reductions_tests::{Case, plain, sample};
use super::tests::{bell, sample_histogram, sample_record, skewed};
use super::*;

fn save(folder: &Path, name: &str, picture: Result<Picture, ChartError>) {
    let picture = picture.expect("the sample can be drawn");
    let png = picture.png().expect("the sample can be rasterised");
    std::fs::write(folder.join(format!("{name}.svg")), &picture.svg).expect("folder is writable");
    std::fs::write(folder.join(format!("{name}.png")), png).expect("folder is writable");
}

#[test]
#[ignore = "writes pictures to the folder named by JOULECAST_LOOK"]
fn sample_pictures() {
    let Some(folder) = std::env::var_os("JOULECAST_LOOK") else {
        return;
    };
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder).expect("folder can be made");

    let values = bell(100_000, -34.9, 0.4);
    save(folder, "normal", sample_histogram(&values).draw());

    let values = skewed(100_000);
    let mut chart = sample_histogram(&values);
    chart.band = None;
    "Skewed trials: a lost crystal can only lower the heat that is found, and this headline is long enough to need a second line".clone_into(&mut chart.title);
    save(folder, "skewed", chart.draw());

    let values = bell(20_000, -31.0, 0.2);
    let mut chart = sample_histogram(&values);
    "Biased: the accepted value lies outside".clone_into(&mut chart.title);
    save(folder, "biased", chart.draw());
    chart.accepted = Some(Mark {
        at: -57.3,
        label: "accepted −57.30".to_owned(),
    });
    save(folder, "far", chart.draw());

    let values = bell(7, -34.9, 0.4);
    save(folder, "few", sample_histogram(&values).draw());
    let values = [-34.9; 500];
    save(folder, "constant", sample_histogram(&values).draw());

    save(folder, "exothermic", sample_record(0.9, 0.002).draw());
    save(folder, "endothermic", sample_record(-0.34, 0.001).draw());
    save(folder, "coarse", sample_record(0.5, 0.1).draw());
    let mut long = sample_record(2.4, 0.001);
    for reading in &mut long.readings {
        reading.0 *= 4.0;
    }
    long.true_curve = None;
    for line in &mut long.lines {
        line.from *= 4.0;
        line.to *= 4.0;
        line.intercept_at *= 4.0;
        line.slope /= 4.0;
    }
    save(folder, "long", long.draw());

    let mut noisy = sample_record(0.02, 0.001);
    noisy.readings = (0..5000)
        .map(|index| {
            let time = -180.0 + 0.12 * f64::from(index);
            let wobble = libm::sin(f64::from(index) * f64::from(index % 613));
            (
                time,
                24.985 + 0.012 * wobble + if time > 0.0 { 0.02 } else { 0.0 },
            )
        })
        .collect();
    save(folder, "noisy", noisy.draw());

    let mut wordy = sample_record(-0.004, 0.001);
    for line in &mut wordy.lines {
        line.label.push_str(", least squares through 61 readings");
    }
    wordy.moment = Some(Mark {
        at: 0.0,
        label: "read off where half of the heat has been set free".to_owned(),
    });
    save(folder, "wordy", wordy.draw());

    let mut values = bell(2000, -34.9, 0.4);
    values.extend([1e9, f64::NAN, -4e5]);
    let mut chart = sample_histogram(&values);
    chart.mean = Some(5e5);
    "fair band that a long sentence explains at some length"
        .clone_into(&mut chart.band.as_mut().expect("has a band").label);
    save(folder, "outliers", chart.draw());

    save(folder, "two_readings", tests::two_readings().draw());
}

#[test]
#[ignore = "writes pictures to the folder named by JOULECAST_LOOK"]
fn sample_reductions() {
    let Some(folder) = std::env::var_os("JOULECAST_LOOK") else {
        return;
    };
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder).expect("folder can be made");

    let cases = [
        ("plain", plain()),
        (
            "fall",
            Case {
                step: -1.7,
                every: 1.0,
                ..plain()
            },
        ),
        (
            "coarse",
            Case {
                step: 0.5,
                display: 0.1,
                every: 10.0,
                ..plain()
            },
        ),
        (
            "sparse",
            Case {
                slowness: 35.0,
                every: 30.0,
                display: 0.01,
                ..plain()
            },
        ),
        (
            "quick",
            Case {
                slowness: 4.0,
                every: 1.0,
                ..plain()
            },
        ),
        (
            "small",
            Case {
                step: -0.05,
                display: 0.01,
                ..plain()
            },
        ),
    ];
    for (name, case) in cases {
        save(folder, &format!("reductions_{name}"), sample(&case).draw());
    }
    let mut bare = sample(&plain());
    (bare.true_rise, bare.areas) = (None, None);
    bare.ways.truncate(3);
    save(folder, "reductions_bare", bare.draw());
}

#[test]
#[ignore = "writes pictures to the folder named by JOULECAST_LOOK"]
fn sample_rows() {
    let Some(folder) = std::env::var_os("JOULECAST_LOOK") else {
        return;
    };
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder).expect("folder can be made");

    save(folder, "bars_double", sample_bars(16, true).draw());
    save(folder, "bars_single", sample_bars(9, false).draw());
    save(folder, "bars_one", sample_bars(1, true).draw());
    save(folder, "bars_bias", sample_bias().draw());
    let mut families = sample_bars(5, true);
    "Which family of sources the scatter comes from".clone_into(&mut families.title);
    let names = [
        "reading the thermometer",
        "dissolving",
        "electrical calibration",
        "weighing and volumes",
        "exchange of heat with the surroundings through lid, walls, stirrer and thermometer",
    ];
    for (row, name) in families.rows.iter_mut().zip(names) {
        name.clone_into(&mut row.label);
        "4 sources".clone_into(&mut row.note);
        row.rank = None;
    }
    families.rows[4].value = f64::NAN;
    families.rows[4].second = None;
    families.rows[2].high = 400.0;
    save(folder, "bars_families", families.draw());
    let mut zero = sample_bars(3, false);
    for row in &mut zero.rows {
        (row.value, row.low, row.high) = (0.0, 0.0, 0.0);
    }
    save(folder, "bars_zero", zero.draw());

    let mut wordy = sample_bars(4, true);
    "dissolving.leftover_of_coarse_crystals_that_sink_below_the_stirrer_and_stay_there"
        .clone_into(&mut wordy.rows[1].label);
    "small words that go on for much longer than anybody would expect of them"
        .clone_into(&mut wordy.rows[2].note);
    "the effect of the source by itself, everything else held at its middle"
        .clone_into(&mut wordy.bar_name);
    save(folder, "bars_wordy", wordy.draw());

    save(folder, "steps", sample_steps(16).draw());
    let mut steps = sample_steps(6);
    steps.rows[0].perfect = (0.21, 0.012);
    steps.rows[0].halved = (0.37, 0.011);
    steps.rows[2].perfect = (0.702, 0.015);
    steps.rows[2].halved = (0.668, 0.015);
    steps.rows[4].perfect.0 = f64::NAN;
    steps.rows[4].halved.0 = f64::NAN;
    save(folder, "steps_worse", steps.draw());
    save(folder, "steps_one", sample_steps(1).draw());
}

#[test]
#[ignore = "writes pictures to the folder named by JOULECAST_LOOK"]
fn sample_curves() {
    let Some(folder) = std::env::var_os("JOULECAST_LOOK") else {
        return;
    };
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder).expect("folder can be made");

    save(folder, "curves_replicates", replicates().draw());
    save(folder, "curves_masses", masses().draw());
    save(folder, "curves_single", single().draw());
    save(folder, "curves_dense", dense().draw());
    save(folder, "curves_forbidden", forbidden().draw());
    let mut wordy = masses();
    "standard uncertainty of the molar enthalpy of solution at infinite dilution, kJ/mol"
        .clone_into(&mut wordy.panels[0].y_title);
    wordy.note = "a remark that says more than fits on a line ".repeat(5);
    for panel in &mut wordy.panels {
        for (index, curve) in panel.curves.iter_mut().enumerate() {
            curve.name = format!("curve {index} with a name that goes on and on for a while");
        }
    }
    save(folder, "curves_wordy", wordy.draw());
}

#[test]
#[ignore = "writes pictures to the folder named by JOULECAST_LOOK"]
fn sample_maps() {
    let Some(folder) = std::env::var_os("JOULECAST_LOOK") else {
        return;
    };
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder).expect("folder can be made");

    save(folder, "map_wide", wide().draw());
    save(folder, "map_counts", counts().draw());
    save(folder, "map_uneven", uneven().draw());
    save(folder, "map_lone", lone().draw());
    save(folder, "map_fine", fine().draw());
}
