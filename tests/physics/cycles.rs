//! Cycles of several determinations, and a metal in excess in a leaky cup.

use super::{patched, perfect, simulate};
use joulecast::engine::Study;
use joulecast::experiment::{Experiment, ResultColumn, reduction_error, typical_plan};
use joulecast::random::{Draws, Layout, Plan, Treatment};
use joulecast::scenario::{ReductionMethod, SourceId, shipped};
use joulecast::stats::Moments;

fn magnesium(changes: &[(&str, &str)]) -> joulecast::scenario::Scenario {
    patched(shipped("magnesium-oxide-cycle").unwrap(), changes)
}

#[test]
fn a_cycle_without_errors_gives_the_tabulated_sum() {
    // CODATA: -467.0 + 151.2 - 285.83 kJ/mol is the enthalpy of formation of magnesium oxide, -601.6.
    let scenario = magnesium(&[]);
    assert!((scenario.tabulated().0 / 1e3 + 601.6).abs() < 0.05);
    let study = Study {
        plan: perfect(),
        ..Study::new(1)
    };
    let table = study.run(&Experiment::without_claims(scenario), 1).unwrap();
    let error = table.columns[ResultColumn::Error as usize][0];
    assert!(error.abs() < 100.0, "{error} J/mol");
}

#[test]
fn the_shared_constant_is_carried_through_the_cycle() {
    // With the constant's error alone each leg errs in the same proportion of its own enthalpy, so the sum errs
    // by that proportion of (leg - leg), and not in quadrature.
    let only = |plan: Plan| -> [f64; 3] {
        let model = Experiment::without_claims(magnesium(&[("lab.contents", "swapped")]));
        let study = Study {
            plan,
            ..Study::new(3)
        };
        let table = study.run(&model, 10_240).unwrap();
        let sd = |name: &str| Moments::of(table.column(name).unwrap()).sd().value;
        [
            sd("leg_determination_value_J_per_mol"),
            sd("leg_oxide_value_J_per_mol"),
            sd("value_J_per_mol"),
        ]
    };
    // Only the reference enthalpy errs: made large, it shifts the constant alone.
    let reference = SourceId::ReactionEnthalpy.source().tag();
    let plan = perfect().with(reference, Treatment::Scaled(30.0));
    let [metal, oxide, sum] = only(plan);
    assert!(metal > 1000.0 && oxide > 300.0, "{metal} {oxide}");
    assert!(
        (sum / (metal - oxide) - 1.0).abs() < 1e-3,
        "{sum} for {metal} - {oxide}"
    );
    let quadrature = metal.hypot(oxide);
    assert!((sum / quadrature - 1.0).abs() > 0.2);
}

#[test]
fn the_linear_budget_of_a_cycle_agrees_with_its_spread() {
    let model = Experiment::new(magnesium(&[]));
    let plan = perfect();
    let (_, _, claims) = model.one_trial(Draws::new(1, 0, Layout::MARGINAL, &plan), 0);
    let linear = claims.unwrap().budget.u;
    let spread = simulate(magnesium(&[]), 2, 40_960, ResultColumn::Error).sd;
    // What no budget sees (time of dissolving, leftover) adds a little.
    assert!(
        linear < spread.value * 1.02 && linear > 0.9 * spread.value,
        "{linear} {spread:?}"
    );
}

#[test]
fn in_a_leaky_cup_the_extreme_reading_is_worst_and_regnault_pfaundler_best() {
    // Common practice, no source: zinc and copper sulfate, a cup that loses 4e-4 /s, four minutes to react.
    let scenario = patched(
        shipped("zinc-copper-foam-cup").unwrap(),
        &[
            ("vessel.leak", "4e-4 /s"),
            ("vessel.stirring", "0 W"),
            ("determination.dissolving.time", "240 s"),
            ("record.settle", "255 s"),
            ("record.after", "480 s"),
            ("thermometer.lag", "0 s"),
        ],
    );
    let error = |way: ReductionMethod| {
        let mut leg = scenario.determination.clone();
        leg.way = way;
        100.0 * reduction_error(&scenario, &leg, &typical_plan())
    };
    let [extreme, lines, best] = [
        ReductionMethod::Extreme,
        ReductionMethod::BackToMixing,
        ReductionMethod::RegnaultPfaundler,
    ]
    .map(error);
    assert!((-8.0..-2.0).contains(&extreme), "{extreme}");
    assert!((0.5..2.5).contains(&lines.abs()), "{lines}");
    assert!(best.abs() < 0.2, "{best}");
    assert!(extreme.abs() > 2.0 * lines.abs() && lines.abs() > 5.0 * best.abs());
}
