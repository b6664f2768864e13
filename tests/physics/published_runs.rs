//! Published examples of uncertainty as tables of runs, read and evaluated as those of students.
//!
//! What cannot be a table of runs (the end gauge of JCGM 100:2008, H.1, the resistance of H.2) goes through the same budget in
//! `tests/all/published`.

use super::notebooks::read;
use super::{SILENT, patched};
use joulecast::evaluate::{EvaluateOptions, OneSidedErrors, Propagated, propagate};
use joulecast::scenario::{RunEffects, SOURCES, Scenario, SourceId};
use std::fmt::Write;

fn evaluated(s: &Scenario, text: &str) -> Propagated {
    let options = EvaluateOptions {
        seed: 1,
        trials: 25_600,
        one_sided: OneSidedErrors::Ignored,
        interrupt: None,
    };
    propagate(s, &read(s, text), &options).expect("not interrupted")
}

/// A scenario in which nothing errs but these sources.
fn only(text: &str, kept: &[SourceId]) -> Scenario {
    let mut s = patched(text, &[]);
    for source in SOURCES.iter().filter(|s| !kept.contains(&s.id)) {
        s.legs_mut()
            .into_iter()
            .for_each(|leg| leg.make_perfect(source.id));
    }
    s
}

/// The solution of EURACHEM A1 as a charge that is dissolved in the volume of its flask.
const STANDARD: &str = r#"
format = 1
title = "a calibration standard"
[room]
temperature = "20 C"
[balance]
repeatability = "u = 0.0353553 mg"
[thermometer]
noise = "none"
[vessel]
heat_capacity = "0 J/K"
[record]
kind = "two readings"
before = "1 s"
read_at = "1 s"
[calibration]
kind = "none"
[determination]
runs = 1
[determination.reaction]
use = "nh4no3-water"
enthalpy = "15.29 kJ/mol"
slope = "0 J/(mol K)"
solute_heat_capacity = "0 J/(g K)"
[determination.charge]
mass = "0.1 g"
purity = "99.99 %, 0.01 % rectangular"
[determination.liquid]
volume = "100 mL"
tolerance = "u = 0.07 mL"
[lab]
result_slope = "ignored"
"#;

/// EURACHEM/CITAC CG 4, example A1: m = 100.28 mg by difference, u = 0.05 mg; P = 0.9999 ± 0.0001; V = 100 mL, u = 0.07 mL;
/// c = 1002.7 mg/L, u = 0.9 mg/L (0.864 mg/L before it is rounded). Results read, u of the volume from memory.
///
/// In a cup without a heat capacity the molar enthalpy is `-V ρ c_p ΔT M / (m P)`: all but for exact factors the inverse of the
/// concentration `m P / V`, with its relative uncertainty.
#[test]
fn eurachem_a_1_as_a_run() {
    let kept = [
        SourceId::Repeatability,
        SourceId::Purity,
        SourceId::Tolerance,
    ];
    let file = "run;solid_gross [mg];solid_tare [mg];liquid_volume [mL];mixing [C];change [K]\n\
                1;2600,28;2500,00;100;20;-1\n";
    let of = |text: &str| {
        let s = only(text, &kept);
        let found = evaluated(&s, file);
        let tables = &read(&s, file).seen.legs[0].tables;
        let density = s.legs()[1].liquid.density_at(s.room.temperature).0;
        // mg of the substance in a litre of the flask.
        let heat = 100.0 * density * tables.liquid_heat.0;
        let c = heat * tables.molar_mass.0 / found.evaluation.enthalpy * 1e6 / 100.0;
        let relative = |u: f64| u / found.evaluation.enthalpy;
        [
            c,
            c * relative(found.claims.budget.u),
            c * relative(found.stated.u),
        ]
    };
    let right = |[c, u, sampled]: [f64; 3]| {
        // 25 600 trials know a standard deviation to 0.44 %.
        (c - 1_002.699_72).abs() < 1e-5
            && (u - 0.863_684_737).abs() < 1e-5
            && (sampled / u - 1.0).abs() < 5.0 * 0.0044
    };
    let found = of(STANDARD);
    assert!(right(found), "{found:?}");
    assert_eq!(format!("{:.1} {:.1}", found[0], found[1]), "1002.7 0.9");
    assert!(!right(of(&STANDARD.replace("0.07 mL", "0.071 mL"))));
}

/// Factors of the mean, one for each of n runs, whose mean has this relative standard uncertainty by their scatter.
fn scattered(n: usize, u: f64) -> Vec<f64> {
    let even = n.is_multiple_of(2);
    let off = u * (n as f64 - f64::from(u8::from(even))).sqrt();
    (0..n)
        .map(|i| match (even, i) {
            (false, 0) => 1.0,
            (_, i) if i.is_multiple_of(2) => 1.0 + off,
            _ => 1.0 - off,
        })
        .collect()
}

/// JCGM 100:2008, G.4 (from memory): relative uncertainties 0.25, 0.57 and 0.82 % of means of 10, 5 and 15 observations make
/// 1.03 % with 19.0 effective degrees of freedom, t = 2.09, and U = 2.2 %.
///
/// Ten calibrations and two determinations of five and fifteen runs with the same result, which are added: each has half of its
/// own relative uncertainty in the sum.
#[test]
fn welch_and_satterthwaite_g_4_as_thirty_runs() {
    let second = SILENT
        .split_once("[determination]")
        .and_then(|(_, rest)| rest.split_once("[lab]"))
        .map(|(leg, _)| format!("[leg.second]{leg}").replace("[determination.", "[leg.second."))
        .expect("has a determination");
    let text = format!("{SILENT}{second}[cycle]\nresult = \"determination + second\"\n");
    let mut s = only(&text, &[]);
    s.lab.run_effects = RunEffects::Scatter;
    let of = |runs: usize| {
        let mut file =
            String::from("run,kind,solid [g],liquid_volume [mL],mixing [C],change [K]\n");
        let legs = [
            ("calibration", 4.171, 10, 0.0025),
            ("determination", 7.195, runs, 2.0 * 0.0057),
            ("second", 7.195, 15, 2.0 * 0.0082),
        ];
        for (kind, mass, n, u) in legs {
            for (i, factor) in scattered(n, u).into_iter().enumerate() {
                // A constant goes by the inverse of its change of temperature.
                let change = match kind {
                    "calibration" => -2.0 / factor,
                    _ => -3.0 * factor,
                };
                writeln!(file, "{kind} {i},{kind},{mass},100.3,25,{change}")
                    .expect("into a string");
            }
        }
        let found = evaluated(&s, &file);
        let y = found.evaluation.enthalpy;
        let b = &found.claims.budget;
        [
            b.u / y,
            b.dof,
            found.claims.linear / b.u,
            found.stated.half_width() / y,
        ]
    };
    let [u, dof, k, sampled] = of(5);
    assert!((u - 0.010_294_658_8).abs() < 1e-9, "{u}");
    assert!((dof - 18.998_742_3).abs() < 1e-4, "{dof}");
    assert!((k - 2.093).abs() < 1e-3, "{k}");
    assert_eq!(
        format!("{:.2} {dof:.1} {k:.2} {:.1}", 100.0 * u, 100.0 * u * k),
        "1.03 19.0 2.09 2.2"
    );
    // 95 % of 0.25 t(9) + 0.57 t(4) + 0.82 t(14), drawn elsewhere, lie within 2.4167 (to 0.001): propagated, the interval is
    // longer than by the formula. 25 600 trials know it to 0.016.
    assert!((100.0 * sampled - 2.4167).abs() < 0.08, "{sampled}");
    let [_, wrong, ..] = of(6);
    assert!((wrong - 19.0).abs() > 1.0, "{wrong}");
}
