//! Maps as studies make them, for the tests of the map and for the eye.

use super::curves_samples::FOOTER;
use super::*;

/// Uncertainty over mass and volume, with a forbidden corner, a target and a best point.
pub(super) fn wide() -> MapChart {
    let xs: Vec<f64> = (0..21).map(|n| 0.5 + 0.25 * f64::from(n)).collect();
    let ys: Vec<f64> = (0..15).map(|n| 40.0 + 10.0 * f64::from(n)).collect();
    let value = |m: f64, v: f64| 0.1 + 0.0045 * v / m + 0.02 * m * m * 50.0 / v;
    let z = ys
        .iter()
        .map(|v| xs.iter().map(|m| value(*m, *v)).collect())
        .collect();
    let mut corner = Vec::new();
    for (row, v) in ys.iter().enumerate() {
        for (column, m) in xs.iter().enumerate() {
            if m / v > 0.05 {
                corner.push((column, row));
            }
        }
    }
    MapChart {
        title: "Mass and volume".to_owned(),
        subtitle: "potassium chloride in a simple beaker, thermometer to 0.1 K".to_owned(),
        x_title: "mass of the sample, g".to_owned(),
        y_title: "volume of water, mL".to_owned(),
        z_title: "standard uncertainty, kJ/mol".to_owned(),
        xs,
        ys,
        z,
        zones: vec![MapZone {
            mark: String::new(),
            label: "not dissolved in time".to_owned(),
            cells: corner,
        }],
        target: Some(Mark {
            at: 0.4,
            label: "target 0.40".to_owned(),
        }),
        best: Some(Spot {
            x: 3.25,
            y: 80.0,
            label: "best: 3.25 g in 80 mL, 0.342 kJ/mol".to_owned(),
        }),
        note: "10 240 trials a cell".to_owned(),
        footer: FOOTER.to_owned(),
        ..MapChart::default()
    }
}

/// Uncertainty over two counts of replicates.
pub(super) fn counts() -> MapChart {
    let counts: Vec<f64> = (1..=4).map(f64::from).collect();
    let z = counts
        .iter()
        .map(|c| {
            let row = counts.iter();
            row.map(|n| (0.3 / n + 0.12 / c + 0.02_f64).sqrt())
                .collect()
        })
        .collect();
    MapChart {
        title: "How often to dissolve and how often to calibrate".to_owned(),
        x_title: "determinations of the unknown".to_owned(),
        y_title: "calibrations".to_owned(),
        z_title: "standard uncertainty, kJ/mol".to_owned(),
        xs: counts.clone(),
        ys: counts,
        whole_x: true,
        whole_y: true,
        z,
        zones: vec![MapZone {
            mark: String::new(),
            label: "longer than the lesson".to_owned(),
            cells: vec![(3, 3), (3, 2), (2, 3)],
        }],
        target: Some(Mark {
            at: 0.42,
            label: "target 0.42".to_owned(),
        }),
        best: Some(Spot {
            x: 2.0,
            y: 3.0,
            label: "cheapest that will do".to_owned(),
        }),
        footer: FOOTER.to_owned(),
        ..MapChart::default()
    }
}

/// Uneven positions, missing values, far values and zones too small for their words.
pub(super) fn uneven() -> MapChart {
    let xs = vec![0.1, 0.2, 0.5, 1.0, 2.0, 3.0, 5.0, 7.0, 10.0];
    let ys = vec![10.0, 20.0, 25.0, 50.0, 100.0, 150.0, 250.0];
    let z = ys
        .iter()
        .enumerate()
        .map(|(row, v)| {
            let value = |(column, m): (usize, &f64)| match (column, row) {
                (0, 6) => 900.0,
                (5 | 6, 3) | (8, 0) => f64::NAN,
                _ => libm::sin(0.4 * m) * 3.0 + v / 100.0,
            };
            xs.iter().enumerate().map(value).collect()
        })
        .collect();
    let zone = |label: &str, cells: &[(usize, usize)]| MapZone {
        mark: String::new(),
        label: label.to_owned(),
        cells: cells.to_vec(),
    };
    MapChart {
        title: "Uneven steps".to_owned(),
        x_title: "mass, g".to_owned(),
        y_title: "volume, mL".to_owned(),
        z_title: "bias of the mean, kJ/mol".to_owned(),
        xs,
        ys,
        z,
        zones: vec![
            zone(
                "below what the balance may weigh",
                &[(0, 5), (1, 5), (0, 6), (1, 6)],
            ),
            zone("overflows", &[(7, 6), (8, 6)]),
            zone("does not cover the thermometer", &[(4, 0)]),
        ],
        contours: vec![-2.0, 0.0, 1.0, 3.0, 4.5],
        best: Some(Spot {
            x: 8.0,
            y: 100.0,
            label: "no bias".to_owned(),
        }),
        footer: FOOTER.to_owned(),
        ..MapChart::default()
    }
}

/// A single cell.
pub(super) fn lone() -> MapChart {
    MapChart {
        title: "One cell".to_owned(),
        x_title: "mass, g".to_owned(),
        y_title: "volume, mL".to_owned(),
        z_title: "standard uncertainty, kJ/mol".to_owned(),
        xs: vec![2.0],
        ys: vec![100.0],
        z: vec![vec![0.43]],
        target: Some(Mark {
            at: 0.4,
            label: "target 0.40".to_owned(),
        }),
        best: Some(Spot {
            x: 2.0,
            y: 100.0,
            label: "the only one".to_owned(),
        }),
        footer: FOOTER.to_owned(),
        ..MapChart::default()
    }
}

/// A fine grid with several hills, nearly all of it forbidden.
pub(super) fn fine() -> MapChart {
    let places: Vec<f64> = (0..60).map(f64::from).collect();
    let hill = |x: f64, y: f64| libm::sin(0.15 * x) * libm::cos(0.12 * y) + 0.01 * x;
    let z = places
        .iter()
        .map(|y| places.iter().map(|x| hill(*x, *y)).collect())
        .collect();
    let cells = (0..60).flat_map(|row| (0..60).map(move |column| (column, row)));
    let most = cells.filter(|(column, row)| *column > 14 || *row > 44);
    MapChart {
        title: "Fine".to_owned(),
        x_title: "spacing of readings, s".to_owned(),
        y_title: "delay, s".to_owned(),
        z_title: "bias, kJ/mol".to_owned(),
        xs: places.clone(),
        ys: places,
        z,
        zones: vec![
            MapZone {
                mark: String::new(),
                label: "longer than the record".to_owned(),
                cells: most.collect(),
            },
            MapZone {
                mark: String::new(),
                label: "a single cell".to_owned(),
                cells: vec![(7, 20)],
            },
        ],
        target: Some(Mark {
            at: 0.5,
            label: "permitted".to_owned(),
        }),
        footer: FOOTER.to_owned(),
        ..MapChart::default()
    }
}
