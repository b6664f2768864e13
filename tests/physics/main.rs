//! Nature and lab against closed forms, an integrator and an independent simulation.

mod budget;
mod calibrations;
mod common_practice;
mod comparing;
mod comparing_bounds;
mod curve;
mod cycles;
mod designs;
mod designs_bounds;
mod designs_independent;
mod designs_loose;
mod designs_parameters;
mod exactness;
mod floors;
mod grades;
mod honesty;
mod independent;
mod independent_portion;
mod independent_scenarios;
mod kink;
mod lab_knows;
mod lag;
mod linear;
mod noise;
mod not_misled;
mod notebooks;
mod options;
mod published_runs;
mod ranking;
mod ranking_holds;
mod reductions;
mod repeats;
mod rinse;
mod signs;
mod signs_hydrates;
mod slips;
mod tables_err;
mod traces;
mod uneven;
mod values;

use joulecast::engine::Study;
use joulecast::experiment::{Experiment, ResultColumn};
use joulecast::random::{Plan, Treatment};
use joulecast::scenario::{Raw, SOURCES, Scenario, read_with};
use joulecast::stats::Summary;

/// A scenario text with some keys replaced: the way that mistakes are made.
pub fn patched(text: &str, changes: &[(&str, &str)]) -> Scenario {
    let changes: Vec<(String, Raw)> = changes
        .iter()
        .map(|(path, value)| {
            let raw = match (value.parse::<i64>(), value.parse::<bool>()) {
                (Ok(n), _) => Raw::Whole(n),
                (_, Ok(flag)) => Raw::Flag(flag),
                _ => Raw::Text((*value).to_owned()),
            };
            ((*path).to_owned(), raw)
        })
        .collect();
    read_with(text, &changes).unwrap_or_else(|p| panic!("{changes:?}: {p:?}"))
}

/// A plan that makes every source perfect.
pub fn perfect() -> Plan {
    SOURCES
        .iter()
        .fold(Plan::new(), |p, s| p.with(s.tag(), Treatment::Perfect))
}

/// Everything perfect but the sources that the changes state.
pub fn perfect_but(changes: &[(&str, &str)]) -> Plan {
    let mut plan = perfect();
    for (key, _) in changes {
        let tail = key.split_once('.').map_or(*key, |(_, rest)| rest);
        let stated = [*key, tail]
            .into_iter()
            .find_map(joulecast::scenario::source::find);
        if let Some(s) = stated {
            plan = plan.with(s.tag(), Treatment::At(0.5));
        }
    }
    plan
}

/// One result of a scenario where nothing errs but what the changes state.
pub fn certain(scenario: Scenario, changes: &[(&str, &str)], of: ResultColumn) -> f64 {
    let study = Study {
        plan: perfect_but(changes),
        ..Study::new(1)
    };
    let model = Experiment::without_claims(scenario);
    study.run(&model, 1).expect("not interrupted").columns[of as usize][0]
}

/// Summary of one result column.
pub fn simulate(scenario: Scenario, seed: u64, trials: u64, of: ResultColumn) -> Summary {
    let table = Study::new(seed)
        .run(&Experiment::without_claims(scenario), trials)
        .expect("not interrupted");
    Summary::of(&table.columns[of as usize], 0.95)
}

/// A procedure without any error: 100 g of water, a vessel of 40 J/K, about 2 K in the calibration
/// and 3 K in the determination (the setting of the table of signs). The substance has no tabulated heat of dilution, which would
/// make every mass count a little differently; its enthalpies are replaced.
pub const SILENT: &str = r#"
format = 1
title = "no errors"
[room]
temperature = "25 C"
[balance]
repeatability = "none"
[thermometer]
noise = "none"
[vessel]
heat_capacity = "40 J/K"
[record]
kind = "two readings"
before = "1 s"
read_at = "1 s"
[calibration]
runs = 2
[calibration.reaction]
use = "nh4no3-water"
enthalpy = "17.584 kJ/mol"
slope = "-166 J/(mol K)"
solute_heat_capacity = "0 J/(g K)"
[calibration.charge]
mass = "4.171 g"
purity = "100 %"
[calibration.liquid]
volume = "100.3 mL"
heat_capacity_error = "none"
density_error = "none"
[determination]
runs = 2
[determination.reaction]
use = "nh4no3-water"
enthalpy = "15.29 kJ/mol"
slope = "0 J/(mol K)"
solute_heat_capacity = "0 J/(g K)"
[determination.charge]
mass = "7.195 g"
purity = "100 %"
[determination.liquid]
volume = "100.3 mL"
heat_capacity_error = "none"
density_error = "none"
[lab]
contents = "same"
result_slope = "ignored"
"#;
