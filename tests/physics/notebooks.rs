//! Notebooks of simulated groups, written in the form that students use and read again.

use super::{patched, perfect};
use joulecast::evaluate::{
    EvaluateOptions, Measured, OneSidedErrors, Settle, TraceOptions, evaluate, reduce,
    trace_simulated,
};
use joulecast::experiment::{Experiment, LIQUID, buoyancy_correction, reagent_density};
use joulecast::lab::{Evaluation, LegSeen, Method, Seen};
use joulecast::measured::{Names, read_record, read_runs};
use joulecast::random::{Draws, Layout, Plan};
use joulecast::report::record_csv;
use joulecast::scenario::{Heat, Record, Scenario, shipped, shipped_names};
use std::fmt::Write;

/// The indication that a correction makes this of, to the last bit.
fn indicated(corrected: f64, factor: f64) -> f64 {
    let mut x = corrected / factor;
    for _ in 0..8 {
        if x * factor == corrected {
            return x;
        }
        x = if x * factor < corrected {
            x.next_up()
        } else {
            x.next_down()
        };
    }
    panic!("{corrected} is no indication times {factor}");
}

/// The runs of a group as a file.
pub fn file(s: &Scenario, seen: &Seen) -> String {
    let mut out = String::from(
        "run,kind,solid [g],liquid [g],portion [g],reagent [g],mixing [C],change [K],hot [C]\n",
    );
    let legs = s.legs();
    let all = std::iter::once(&seen.calibration).chain(&seen.legs);
    let liquid = buoyancy_correction(s, LIQUID);
    let mut number = 0;
    for (leg, LegSeen { runs, .. }) in legs.iter().zip(all) {
        for run in runs {
            number += 1;
            let solid = indicated(run.solid.0, buoyancy_correction(s, leg.reaction.density));
            let reagent = reagent_density(leg)
                .map(|d| indicated(run.reagent.0, buoyancy_correction(s, d)).to_string());
            let hot = matches!(leg.heat, Heat::HotWater { .. }).then(|| run.hot.0.to_string());
            let portion = leg
                .portion
                .as_ref()
                .map(|_| indicated(run.portion.0, liquid).to_string());
            writeln!(
                out,
                "{number},{},{},{},{},{},{},{},{}",
                leg.title(),
                if leg.mass.0 > 0.0 {
                    solid.to_string()
                } else {
                    String::new()
                },
                indicated(run.liquid.0, liquid),
                portion.unwrap_or_default(),
                reagent.unwrap_or_default(),
                run.mixing.0,
                run.change.0,
                hot.unwrap_or_default()
            )
            .expect("into a string");
        }
    }
    out
}

/// A file of runs, read as those of students are.
pub fn read(s: &Scenario, text: &str) -> Measured {
    let sheet = read_runs("runs.csv", text.as_bytes(), s, &Names::of(s))
        .unwrap_or_else(|p| panic!("{p:?}\n{text}"));
    let none = vec![None; sheet.rows.len()];
    Measured::new(s, &sheet, &none).unwrap_or_else(|p| panic!("{p:?}\n{text}"))
}

fn value(s: &Scenario, measured: Measured) -> f64 {
    let options = EvaluateOptions {
        seed: 1,
        trials: 256,
        one_sided: OneSidedErrors::Ignored,
        interrupt: None,
    };
    let found = evaluate(s, measured, &options).expect("not interrupted");
    found.evaluation.enthalpy
}

#[test]
fn the_notebook_of_a_simulated_group_gives_what_its_lab_made_of_it_bit_for_bit() {
    let plan = Plan::new();
    for name in shipped_names() {
        let s = patched(shipped(name).expect("is shipped"), &[]);
        let model = Experiment::without_claims(s.clone());
        for (seed, trial) in [(3, 17), (4, 201)] {
            let draws = Draws::new(seed, 0, Layout::MARGINAL, &plan);
            let (seen, evaluation, _) = model.one_trial(draws, trial);
            let text = file(&s, &seen);
            let got = value(&s, read(&s, &text));
            assert_eq!(got, evaluation.enthalpy, "{name}\n{text}");
        }
    }
}

#[test]
fn without_errors_notebooks_give_the_value_of_nature() {
    for name in shipped_names() {
        // Contents taken as alike and the expansion of glass are errors of their own.
        let exact = [("lab.contents", "swapped"), ("liquid.expansion", "0 1/K")];
        let s = patched(shipped(name).expect("is shipped"), &exact);
        let model = Experiment::without_claims(s.clone());
        let plan = perfect();
        let draws = Draws::new(1, 0, Layout::MARGINAL, &plan);
        let (pages, target) = model.groups(draws);
        let got = value(&s, read(&s, &file(&s, &pages.seen(0))));
        let off = got / target[0] - 1.0;
        println!("{name}: {off:e}");
        assert!(off.abs() < 1e-9, "{name}: {off:e}");
    }
}

#[test]
fn a_record_that_is_written_and_read_is_reduced_to_the_same_bits() {
    let plan = Plan::new();
    for name in shipped_names() {
        let s = patched(shipped(name).expect("is shipped"), &[]);
        let model = Experiment::without_claims(s.clone()).reading_by_reading();
        let draws = Draws::new(6, 0, Layout::MARGINAL, &plan);
        let (seen, ..) = model.one_trial(draws, 0);
        let leg = s.legs()[1];
        let options = TraceOptions {
            leg: 1,
            mixed_at: None,
            settle: Settle::Stated,
        };
        let simulated = trace_simulated(&s, 6, &options).unwrap_or_else(|p| panic!("{p:?}"));
        let text = record_csv(&simulated);
        let record = read_record("record.csv", text.as_bytes()).unwrap_or_else(|p| panic!("{p:?}"));
        let reduced = reduce(leg, &record, None).unwrap_or_else(|p| panic!("{name}: {p:?}"));
        // A run that was repeated has another record.
        if seen.legs[0].runs[0].change.0 != reduced.change {
            assert!(
                s.repeat.most > 1,
                "{name}: {} for {}",
                reduced.change,
                seen.legs[0].runs[0].change.0
            );
        }
        if let Record::Trace { .. } = leg.record {
            assert!(reduced.readings.len() > 10);
        }
    }
}

/// A file with some of its bytes replaced, doubled or taken out.
fn damaged(text: &str, seed: u64) -> Vec<u8> {
    use rand::{RngExt, SeedableRng};
    let mut rng = rand::rngs::Xoshiro256PlusPlus::seed_from_u64(seed);
    let mut bytes = text.as_bytes().to_vec();
    for _ in 0..rng.random_range(1..4) {
        let at = rng.random_range(0..bytes.len());
        match rng.random_range(0..4) {
            0 => bytes[at] = b"0123456789.,;-eE \n"[rng.random_range(0..18)],
            1 => {
                bytes.remove(at);
            }
            2 => bytes.insert(at, bytes[at]),
            _ => {
                let end = (at + rng.random_range(1..20)).min(bytes.len());
                bytes.drain(at..end);
            }
        }
    }
    bytes
}

#[test]
fn damaged_files_have_a_result_or_a_problem_and_never_a_number_that_is_none() {
    let s = patched(shipped("ammonium-chloride-dewar").expect("is shipped"), &[]);
    let runs = "run;kind;solid_gross [g];solid_tare [g];mixing [C];change [K];remark\n\
                1;calibration;3,2521;2,5022;21,52;0,2623;\n\
                2;calibration;3,2603;2,5023;21,61;0,2671;rim\n\
                3;determination;4,1021;2,5022;21,55;-0,6502;\n\
                4;determination;4,1105;2,5024;21,58;-0,6553;\n";
    let names = Names::of(&s);
    let (mut results, mut problems) = (0, 0);
    for seed in 0..4_000 {
        let bytes = damaged(runs, seed);
        let made = read_runs("runs.csv", &bytes, &s, &names).and_then(|sheet| {
            let none = vec![None; sheet.rows.len()];
            Measured::new(&s, &sheet, &none)
        });
        match made {
            Ok(measured) => {
                let got = Evaluation::of(&measured.seen, &Method::of(&s)).enthalpy;
                assert!(got.is_finite(), "{}", String::from_utf8_lossy(&bytes));
                results += 1;
            }
            Err(found) => {
                assert!(!found.is_empty() && found.iter().all(|p| !p.message.is_empty()));
                problems += 1;
            }
        }
    }
    assert!(
        results > 500 && problems > 500,
        "{results} results, {problems} problems"
    );
}
