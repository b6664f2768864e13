//! With every error off the lab must find nature's value, whatever way it works.

use super::{SILENT, patched};
use joulecast::engine::Study;
use joulecast::experiment::{Experiment, ResultColumn};
use joulecast::random::{Plan, Treatment};
use joulecast::scenario::{Concern, SOURCES, Scenario, SourceId, shipped, shipped_names};

/// All sources perfect, but those left alone.
fn perfect_but(left: &[SourceId]) -> Plan {
    SOURCES
        .iter()
        .filter(|s| !left.contains(&s.id))
        .fold(Plan::new(), |plan, s| {
            plan.with(s.tag(), Treatment::Perfect)
        })
}

/// Largest relative error of any trial.
fn worst(text: &str, changes: &[(&str, &str)], left: &[SourceId]) -> f64 {
    let model = Experiment::without_claims(patched(text, changes));
    let mut study = Study::new(5);
    study.plan = perfect_but(left);
    let table = study.run(&model, 256).unwrap();
    let target = &table.columns[ResultColumn::Target as usize];
    table.columns[ResultColumn::Error as usize]
        .iter()
        .zip(target)
        .map(|(e, t)| (e / t).abs())
        .fold(0.0, f64::max)
}

const TRACE: [(&str, &str); 5] = [
    ("record.kind", "trace"),
    ("record.interval", "7 s"),
    ("record.fore", "120 s"),
    ("record.after", "300 s"),
    ("record.settle", "40 s"),
];

const TWO: [(&str, &str); 3] = [
    ("record.kind", "two readings"),
    ("record.before", "10 s"),
    ("record.read_at", "150 s"),
];

#[test]
fn exact_when_all_errors_are_off_in_every_combination() {
    // Record, contents, mass; a window is drawn where the mass is recorded.
    let mut combinations = 0;
    for record in [&TWO[..], &TRACE[..]] {
        for contents in ["same", "swapped"] {
            for mass in ["recorded", "nominal"] {
                let mut changes = record.to_vec();
                changes.push(("lab.contents", contents));
                changes.push(("lab.mass", mass));
                changes.push(("lab.result_slope", "applied"));
                let mut left = Vec::new();
                if mass == "recorded" {
                    changes.push(("calibration.charge.window", "4.0 g to 4.4 g"));
                    changes.push(("determination.charge.window", "7.0 g to 7.6 g"));
                    left.push(SourceId::Window);
                }
                let w = worst(SILENT, &changes, &left);
                assert!(w < 1e-12, "{changes:?}: {w:e}");
                combinations += 1;
            }
        }
    }
    assert_eq!(combinations, 8);
}

#[test]
fn shipped_scenarios_are_exact_without_errors_and_with_contents_exchanged() {
    for name in shipped_names() {
        let w = worst(
            shipped(name).unwrap(),
            // The lab does not correct for the expansion of glass: that is an error of its own.
            &[("lab.contents", "swapped"), ("liquid.expansion", "0 1/K")],
            &[SourceId::Window],
        );
        assert!(w < 1e-12, "{name}: {w:e}");
    }
}

#[test]
fn a_buoyancy_correction_is_exact_at_the_conventional_air_density() {
    let changes = [
        ("balance.air_density", "1.2 kg/m3"),
        ("lab.buoyancy", "corrected"),
        // Another density of the solid, or the air would lift both legs alike.
        ("calibration.reaction.use", "kcl-water"),
    ];
    let left = [SourceId::AirDensity];
    assert!(worst(SILENT, &changes, &left) < 1e-12);
    // Without the correction the two solids' densities leave a difference.
    let uncorrected = worst(SILENT, &[changes[0], changes[2]], &left);
    assert!((1e-5..1e-3).contains(&uncorrected), "{uncorrected:e}");
}

#[test]
fn different_contents_taken_as_alike_are_not_exact() {
    let changes = [
        ("determination.liquid.volume", "110 mL"),
        ("lab.contents", "same"),
    ];
    let w = worst(SILENT, &changes, &[]);
    assert!((0.05..0.12).contains(&w), "{w}");
    let swapped = [
        ("determination.liquid.volume", "110 mL"),
        ("lab.contents", "swapped"),
    ];
    assert!(worst(SILENT, &swapped, &[]) < 1e-12);
}

/// A column of the trials of a scenario with only these sources left; errors relative to nature's value.
fn column(scenario: &Scenario, left: &[SourceId], of: ResultColumn) -> Vec<f64> {
    let model = Experiment::without_claims(scenario.clone());
    let mut study = Study::new(5);
    study.plan = perfect_but(left);
    let table = study.run(&model, 256).unwrap();
    let target = &table.columns[ResultColumn::Target as usize];
    let seen = table.columns[of as usize].iter().zip(target);
    seen.map(|(x, t)| if of == ResultColumn::Error { x / t } else { *x })
        .collect()
}

/// Largest difference of two columns.
fn apart(a: &[f64], b: &[f64]) -> f64 {
    let each = a.iter().zip(b).map(|(a, b)| (a - b).abs());
    each.fold(0.0, f64::max)
}

/// Sources that act through others only.
fn companions(id: SourceId) -> &'static [SourceId] {
    match id {
        SourceId::Disequilibrium | SourceId::AmbientDrift => &[SourceId::Leak],
        // A target mass is a whole number of digits.
        SourceId::Readability => &[SourceId::Window],
        SourceId::Release => &[SourceId::HeldBack],
        SourceId::HeldBack => &[SourceId::Release],
        SourceId::Noticing => &[SourceId::Leftover, SourceId::DissolvingTime],
        _ => &[],
    }
}

/// Scenarios with whatever they lack for each source to act in one of them.
fn places() -> Vec<(String, Scenario)> {
    let exact = [("lab.contents", "swapped"), ("liquid.expansion", "0 1/K")];
    let more: &[(&str, &[(&str, &str)])] = &[
        // Read twice, a creep and surroundings that drift do not go out; early, a lag does not.
        (
            "urea-foam-cups",
            &[
                ("thermometer.drift", "1 mK/min rectangular"),
                ("vessel.ambient_drift", "1 mK/min rectangular"),
                ("determination.record.read_at", "20 s"),
            ],
        ),
        ("ammonium-chloride-dewar", &[("lab.mass", "nominal")]),
        (
            "ammonium-chloride-dewar",
            &[("determination.liquid.shortfall", "1 mL exponential")],
        ),
        (
            "permanganate-iron-dewar",
            &[("determination.dissolving.leftover", "3 % exponential")],
        ),
        // Short of iron: what there is of it decides.
        (
            "permanganate-iron-dewar",
            &[("determination.charge.mass", "0.30 g")],
        ),
        // Short of acid.
        (
            "permanganate-iron-dewar",
            &[
                ("determination.reactant.acid.nu", "8"),
                (
                    "determination.reactant.acid.concentration",
                    "0.03 mol/L, u = 0.2 mmol/L",
                ),
            ],
        ),
        (
            "neutralisation-mug",
            &[
                ("determination.side.wetting", "2 J, u = 1 J"),
                ("lab.side_heats", "subtracted"),
            ],
        ),
    ];
    let shipped_as_they_are = shipped_names().map(|name| (name, &[][..]));
    let all = shipped_as_they_are.chain(more.iter().map(|(n, c)| (*n, *c)));
    all.map(|(name, changes)| {
        let changes = [&exact[..], changes].concat();
        (
            format!("{name} {changes:?}"),
            patched(shipped(name).unwrap(), &changes),
        )
    })
    .collect()
}

#[test]
fn each_source_alone_disturbs_a_result_that_is_exact_without_it() {
    // A source that changes nothing anywhere would be a source that nobody drew.
    let places = places();
    let mut idle = Vec::new();
    for s in SOURCES {
        let with = companions(s.id);
        let all: Vec<SourceId> = with.iter().copied().chain([s.id]).collect();
        // What the lab reads, or what belongs to the true value, is no error: it moves the run itself.
        let seen = match s.id {
            SourceId::MediumShift => ResultColumn::DeterminationChange,
            SourceId::HotWater | SourceId::ColdWater => ResultColumn::CalibrationChange,
            _ => ResultColumn::Error,
        };
        let mut largest = 0.0f64;
        for (name, scenario) in &places {
            let known = s.id == SourceId::Known && scenario.cycle.known.is_some();
            if !known && !scenario.legs().iter().any(|leg| leg.errs(s.id)) {
                continue;
            }
            let base = column(scenario, &[], ResultColumn::Error);
            let short = scenario
                .warnings
                .iter()
                .any(|w| w.concern == Some(Concern::Excess));
            let off = apart(&base, &vec![0.0; base.len()]);
            assert!(off < 1e-11 || short, "{name}: {off:e}");
            let moved = apart(&column(scenario, &all, seen), &column(scenario, with, seen));
            largest = largest.max(moved);
        }
        if largest < 1e-8 {
            idle.push((s.key, largest));
        }
    }
    assert!(idle.is_empty(), "{idle:?}");
}
