//! The ranking of scenarios: signs that must come out, and a case of common practice.

use super::{patched, perfect};
use joulecast::experiment::{Experiment, ResultColumn};
use joulecast::lab::{CoverageFactor, LinearBudget};
use joulecast::random::{Draws, Layout, Tag, Treatment};
use joulecast::rank::{
    RankOptions, Ranking, ShareOptions, by_source, erring, rank, shares, to_better, what_if,
};
use joulecast::scenario::{Family, Scenario, SourceId, shipped};

fn ranked(scenario: &Scenario, trials: u64) -> Ranking {
    let options = RankOptions {
        seed: 1,
        trials,
        interrupt: None,
        progress: None,
    };
    rank(scenario, &options).unwrap()
}

fn of(name: &str, changes: &[(&str, &str)]) -> Scenario {
    patched(shipped(name).unwrap(), changes)
}

/// The least effort that still gives errors.
fn quick() -> ShareOptions<'static> {
    ShareOptions {
        batches: 16,
        ..ShareOptions::new(1).trials(4_096)
    }
}

#[test]
fn a_coarse_powder_leads_by_bias_and_an_ample_wait_takes_the_lead_from_it() {
    let coarse = [("determination.dissolving.time", "30 min, 38 % log-normal")];
    let lead = |changes: &[(&str, &str)]| {
        let scenario = of("permanganate-iron-dewar", changes);
        let sources = erring(&scenario);
        let model = Experiment::without_claims(scenario).rounding_apart();
        let (groups, column) = (to_better(&sources), ResultColumn::Error as usize);
        let perfect = [Treatment::Perfect];
        let found = what_if(&model, column, &groups, &perfect, &quick()).unwrap();
        let bias = |at: usize| found.groups[at].effects[0].gain.mean.value.abs();
        let most = (0..groups.len()).max_by(|a, b| bias(*a).total_cmp(&bias(*b)));
        sources[most.unwrap()].id
    };
    assert_eq!(lead(&coarse), SourceId::DissolvingTime);
    assert_ne!(lead(&[]), SourceId::DissolvingTime);
}

#[test]
fn nothing_ranks_below_an_offset_where_no_enthalpy_has_a_slope() {
    let flat = [
        ("calibration.reaction.slope", "0 J/(mol K)"),
        ("determination.reaction.slope", "0 J/(mol K)"),
        ("thermometer.offset", "0.5 K rectangular"),
    ];
    let ranks = |changes: &[(&str, &str)]| {
        let scenario = of("ammonium-chloride-dewar", changes);
        let sources = erring(&scenario);
        let groups = by_source(&sources);
        let all: Vec<Tag> = groups.iter().flat_map(|g| g.tags.clone()).collect();
        let model = Experiment::without_claims(scenario).rounding_apart();
        let column = ResultColumn::Error as usize;
        let found = shares(&model, column, &groups, &all, &quick()).unwrap();
        let at = sources
            .iter()
            .position(|s| s.id == SourceId::Offset)
            .unwrap();
        let ranks = found.ranks();
        let lowest = ranks.iter().copied().max().unwrap();
        (ranks[at], lowest, found.groups[at].total.value)
    };
    let (rank, lowest, share) = ranks(&flat);
    assert_eq!(rank, lowest);
    assert!(share < 1e-5, "{share}");
    // With slopes its path through them is seen.
    let (_, _, share) = ranks(&flat[2..]);
    assert!(share > 1e-4, "{share}");
}

#[test]
fn a_thermometers_scale_and_the_vessel_cancel_between_the_sides() {
    let r = ranked(&of("ammonium-chloride-dewar", &[]), 4_096);
    let side = |id: SourceId| r.sides.iter().find(|s| s.source.id == id).unwrap();
    assert!(side(SourceId::VesselHeat).cancels > 0.99);
    assert!(side(SourceId::ThermometerGain).cancels > 0.95);
    assert!(side(SourceId::Noise).cancels.abs() < 0.1);
    // One net sensitivity for each shared error: taken as independent the constant costs more.
    assert!(r.budget.u_if_independent > r.budget.u);
    // What infinitely many runs leave is below what there is, and above nothing.
    assert!(r.floor.value > 0.0 && r.floor.value < r.now.sd.value);
}

/// A foam cup without calibration; common practice, no source: 3 g of urea in 50 mL by cylinder, two readings, two
/// weighings, an assumed vessel, water's heat capacity times the mass of the solution.
const FOAM_CUP: &str = r#"
format = 1
title = "urea without calibration"
[room]
temperature = "25 C"
[balance]
linearity = "0.01 g rectangular"
[thermometer]
noise = "0.1 K rectangular"
[vessel]
heat_capacity = "12 J/K, u = 4 J/K"
[record]
kind = "two readings"
before = "1 s"
read_at = "1 s"
[calibration]
kind = "none"
assumed_vessel = "12 J/K"
[determination]
runs = 1
[determination.reaction]
use = "urea-water"
slope = "-5 J/(mol K)"
solute_heat_capacity = "4.18 J/(g K)"
[determination.charge]
mass = "3 g"
purity = "100 %"
[determination.liquid]
volume = "50 mL"
tolerance = "0.5 mL rectangular"
heat_capacity_error = "1 % rectangular"
[lab]
heat_capacity = "water"
"#;

#[test]
fn a_foam_cup_without_calibration_is_ruled_by_its_thermometer_and_its_vessel() {
    let scenario = patched(FOAM_CUP, &[]);
    let model = Experiment::new(scenario.clone());
    let plan = perfect();
    let draws = Draws::new(1, 0, Layout::MARGINAL, &plan);
    let (_, _, claims) = model.one_trial(draws, 0);
    let linear = claims.unwrap().budget;
    let share = |b: &LinearBudget, family: &[SourceId]| -> f64 {
        let own = b
            .lines
            .iter()
            .filter(|l| l.source.is_some_and(|s| family.contains(&s)));
        100.0 * own.map(|l| l.variance).sum::<f64>() / (b.u * b.u)
    };
    let near = |got: f64, want: f64, by: f64, what: &str| {
        assert!((got - want).abs() < by, "{what}: {got} for {want}");
    };
    near(share(&linear, &[SourceId::Noise]), 63.0, 2.0, "delta T");
    near(share(&linear, &[SourceId::VesselHeat]), 30.0, 2.0, "vessel");
    near(share(&linear, &[SourceId::Tolerance]), 3.0, 1.0, "volume");
    near(share(&linear, &[SourceId::Linearity]), 1.0, 1.0, "mass");
    let r = ranked(&scenario, 8_192);
    let sampled = |id: SourceId| {
        let own = r.sources.iter().find(|s| s.source.id == id).unwrap();
        100.0 * own.share.total.value
    };
    near(sampled(SourceId::Noise), 63.0, 3.0, "delta T, sampled");
    near(sampled(SourceId::VesselHeat), 30.0, 3.0, "vessel, sampled");
    near(
        sampled(SourceId::LiquidHeat),
        3.0,
        1.0,
        "heat capacity, sampled",
    );
    let families = r.families.iter().map(|f| f.family).collect::<Vec<_>>();
    assert_eq!(&families[..2], &[Family::Thermometer, Family::Vessel]);
    assert!(CoverageFactor::new(0.95).of(r.budget.dof) > 1.9);
}

#[test]
fn half_a_chance_of_incomplete_release_makes_half_the_bias() {
    let scenario = of(
        "permanganate-iron-dewar",
        &[("determination.charge.incomplete_release", "20 %")],
    );
    let sources = erring(&scenario);
    let groups = to_better(&sources);
    let release: Vec<_> = groups
        .into_iter()
        .filter(|g| g.name == "charge.release")
        .collect();
    let model = Experiment::without_claims(scenario).rounding_apart();
    let treatments = [Treatment::Perfect, Treatment::Scaled(0.5)];
    let column = ResultColumn::Error as usize;
    let found = what_if(&model, column, &release, &treatments, &ShareOptions::new(1)).unwrap();
    let [all, half] = [0, 1].map(|at| found.groups[0].effects[at].gain.mean);
    assert!(all.value > 20.0 * all.se, "{all:?}");
    let z = (half.value - 0.5 * all.value) / half.se.hypot(0.5 * all.se);
    assert!(z.abs() < 5.0, "{half:?} of {all:?}");
    assert!((half.value - all.value).abs() > 5.0 * half.se.hypot(all.se));
}
