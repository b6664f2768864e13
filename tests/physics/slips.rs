//! Mistakes through `slip`: signs and sizes of closed forms, the same as a change of the scenario, known well enough, and found
//! again from the difference that they make.

use super::signs_hydrates::IRON;
use super::{SILENT, patched};
use joulecast::design::set;
use joulecast::engine::Study;
use joulecast::experiment::{Experiment, ResultColumn};
use joulecast::scenario::{Scenario, read, shipped, shipped_names};
use joulecast::slip::{
    Mistake, Observed, Place, Says, SlipOptions, Slips, all, explain, own, slips,
};

fn mistake(key: &str) -> Mistake {
    all()
        .find(|m| m.key == key)
        .unwrap_or_else(|| panic!("no {key}"))
        .clone()
}

/// Change of the magnitude in % in the determinations, the calibration and all runs; 0 where it cannot be made.
fn percent(scenario: &Scenario, key: &str, size: f64) -> [f64; 3] {
    let few = SlipOptions {
        trials: Some(256),
        ..SlipOptions::new(1)
    };
    let found = slips(scenario, &[(mistake(key), Some(size))], &few).unwrap();
    let own = found
        .mistakes
        .first()
        .unwrap_or_else(|| panic!("{key} does not fit"));
    [Place::Determinations, Place::Calibration, Place::Both]
        .map(|p| own.at(p).map_or(0.0, |e| 100.0 * e.shift.value))
}

fn close(what: &str, got: [f64; 3], want: [f64; 3], within: f64) {
    for (g, w) in got.iter().zip(want) {
        assert!(
            (g - w).abs() < within,
            "{what}: {got:.3?}, expected {want:?}"
        );
    }
}

/// The setting of the table of signs: closed forms of Delta H = -C Delta T / n with 100 g of liquid, a vessel of 40 J/K, 2 K in the
/// calibration and 3 K in the determination.
#[test]
fn signs_and_sizes_are_those_of_the_closed_forms() {
    let silent = patched(SILENT, &[]);
    let of = |key: &str, size: f64, want: [f64; 3]| {
        close(key, percent(&silent, key, size), want, 0.06);
    };
    of("undissolved", 2.0, [-2.0, 2.04, 0.0]);
    of("spilt-after", 2.0, [-2.0, 2.04, 0.0]);
    of("in-the-boat", 2.0, [-2.0, 2.04, 0.0]);
    of("damp", 2.0, [-2.0, 2.04, 0.0]);
    of("spilt-before", 2.0, [0.0; 3]);
    of("wet-vessel", 1.0, [-0.9, 0.9, 0.0]);
    of("liquid-short", 1.0, [0.9, -0.9, 0.0]);
    of("reads-high", 0.5, [0.0, -0.47, -0.47]);
    of("long-scale", 1.0, [1.0, -0.99, 0.0]);
    of("changes-swapped", 1.0, [0.0, 0.0, -100.0 * 5.0 / 9.0]);
    of("vessel-ignored", 1.0, [0.0, 0.0, -8.7]);
    let light = patched(SILENT, &[("vessel.heat_capacity", "10 J/K")]);
    close(
        "vessel",
        percent(&light, "vessel-ignored", 1.0),
        [0.0, 0.0, -2.3],
        0.06,
    );
    let blind = patched(SILENT, &[("lab.reference_slope", "ignored")]);
    close("offset", percent(&blind, "reads-high", 0.5), [0.0; 3], 1e-9);
    let tris = [
        ("calibration.reaction.enthalpy", "-29.770 kJ/mol"),
        ("calibration.reaction.slope", "173.8 J/(mol K)"),
    ];
    close(
        "TRIS",
        percent(&patched(SILENT, &tris), "reads-high", 0.5),
        [0.0, -0.29, -0.29],
        0.06,
    );
    let apart = [("record.before", "90 s"), ("record.read_at", "90 s")];
    close(
        "drift",
        percent(&patched(SILENT, &apart), "drifting", 0.02),
        [-2.0, 3.1, 1.0],
        0.06,
    );
    let leaky = [
        ("vessel.leak", "3.3e-4 /s"),
        ("record.read_at", "0.001 s"),
        ("record.before", "0.001 s"),
    ];
    let leaky = patched(SILENT, &leaky);
    close(
        "60 s late",
        percent(&leaky, "read-late", 60.0),
        [-1.96, 2.0, 0.0],
        0.06,
    );
    close(
        "180 s late",
        percent(&leaky, "read-late", 180.0),
        [-5.77, 6.12, 0.0],
        0.06,
    );
    // A thermometer that is 30 s slow has no say in two readings far apart; at 1 s after mixing it has shown 3.3 % of the change.
    let slow = percent(&silent, "slow-thermometer", 30.0);
    let seen = 100.0 * (1.0 - (-1.0f64 / 30.0).exp());
    close(
        "slow",
        slow,
        [seen - 100.0, 100.0 * (100.0 / seen - 1.0), 0.0],
        1.0,
    );
}

#[test]
fn lost_water_has_the_signs_of_what_it_does_to_amount_and_heat() {
    let iron = patched(IRON, &[]);
    close(
        "iron(II)",
        percent(&iron, "stock-dry", 2.0),
        [2.0, -2.0, 0.0],
        0.06,
    );
    // FeSO4.7H2O computed as FeSO4: 278.01 g/mol for 151.91 g/mol, IUPAC abridged atomic weights.
    let wrong = 100.0 * (151.908 / 278.014 - 1.0);
    let [d, c, both] = percent(&iron, "hydrate-formula", 1.0);
    assert!((d - wrong).abs() < 0.1 && (c + 100.0 * wrong / (100.0 + wrong)).abs() < 0.2);
    assert!(both.abs() < 1e-9, "{both}");
    for (reaction, size) in [
        ("mgso4-7h2o-water", -33.0),
        ("cuso4-5h2o-water", -73.0),
        ("sodium-acetate-3h2o-water", -8.0),
    ] {
        // As signs_hydrates.rs has it, with little salt: heats of dilution would count a little.
        let at = SILENT.find("[determination.reaction]").unwrap();
        let charge = SILENT.find("[determination.charge]").unwrap();
        let text = format!(
            "{}[determination.reaction]\nuse = \"{reaction}\"\nsolute_heat_capacity = \"0 J/(g K)\"\nslope = \"0 J/(mol K)\"\n{}",
            &SILENT[..at],
            &SILENT[charge..]
        );
        let own = patched(&text, &[("determination.charge.mass", "1 g")]);
        let [d, ..] = percent(&own, "effloresced", 2.0);
        // Of the size that is commonly quoted, heats of dilution apart.
        assert!((d / size - 1.0).abs() < 0.06, "{reaction}: {d}");
    }
}

#[test]
fn arithmetic_slips_are_what_they_are() {
    let silent = patched(SILENT, &[]);
    let of = |key| percent(&silent, key, 1.0)[2];
    assert!((of("factor-1000") - 99_900.0).abs() < 1e-6);
    let amount = silent.determination.nominal_charge().0;
    assert!((of("not-per-mole") - 100.0 * (amount - 1.0)).abs() < 1e-9);
    // A balance that shows 0.05 g too much makes both results too small by what that is of each mass.
    let [d, c, _] = percent(&silent, "not-zeroed", 0.05);
    let part = |mass: f64| 100.0 * (mass / (mass + 0.05) - 1.0);
    let [mass, other] = [silent.determination.mass.0, silent.calibration.mass.0];
    assert!((d - part(mass)).abs() < 1e-6, "{d}");
    // The other reckons with more heat, and so with more constant.
    assert!(c > 0.0 && (c - 100.0 * 0.05 / other).abs() < 0.2, "{c}");
}

/// The bias that a change of the scenario brings, trial by trial on the same draws.
fn by_set(scenario: &Scenario, change: &str, trials: u64) -> f64 {
    let value = |s: Scenario| {
        let table = Study::new(1)
            .run(&Experiment::without_claims(s), trials)
            .unwrap();
        let of = |c: ResultColumn| table.columns[c as usize].clone();
        (of(ResultColumn::Value), of(ResultColumn::Target))
    };
    let changed = set(scenario, change).unwrap().scenario.unwrap();
    let ((own, target), (there, _)) = (value(scenario.clone()), value(changed));
    let pairs = there.iter().zip(own).zip(target);
    let sum: f64 = pairs.map(|((x, y), target)| (x - y) / target).sum();
    sum / trials as f64
}

#[test]
fn a_mistake_is_the_change_of_the_scenario_that_says_the_same() {
    for (name, key, size, path, value) in [
        (
            "ammonium-chloride-dewar",
            "undissolved",
            2.0,
            "dissolving.leftover",
            "exactly 2 %",
        ),
        (
            "ammonium-chloride-dewar",
            "spilt-after",
            3.0,
            "charge.spill",
            "exactly 3 %",
        ),
        (
            "ammonium-chloride-dewar",
            "wet-vessel",
            1.5,
            "liquid.rinse",
            "exactly 1.5 mL",
        ),
        (
            "ammonium-chloride-dewar",
            "slow-thermometer",
            30.0,
            "thermometer.lag",
            "30 s",
        ),
        (
            "urea-foam-cups",
            "liquid-short",
            2.0,
            "liquid.shortfall",
            "exactly 2 mL",
        ),
        (
            "urea-foam-cups",
            "reads-high",
            0.5,
            "thermometer.offset",
            "exactly 0.5 K",
        ),
        (
            "permanganate-iron-dewar",
            "portion-warm",
            0.5,
            "charge.start_difference",
            "exactly 0.5 K",
        ),
    ] {
        let scenario = read(shipped(name).unwrap()).unwrap();
        let options = SlipOptions {
            trials: Some(512),
            ..SlipOptions::new(1)
        };
        let found = slips(&scenario, &[(mistake(key), Some(size))], &options).unwrap();
        let here = found.mistakes[0]
            .at(Place::Determinations)
            .unwrap()
            .shift
            .value;
        let there = by_set(&scenario, &format!("determination.{path} = {value}"), 512);
        // An instrument of its own for the determination draws its other errors apart.
        let apart = path.starts_with("thermometer");
        let within = if apart { 2e-3 } else { 1e-9 };
        assert!(
            (here - there).abs() < within,
            "{name} {key}: {here} and {there}"
        );
        if apart {
            let whole = by_set(&scenario, &format!("{path} = {value}"), 512);
            let both = found.mistakes[0].at(Place::Both).unwrap().shift.value;
            assert!(
                (both - whole).abs() < 1e-9,
                "{name} {key}: {both} and {whole}"
            );
        }
    }
}

fn catalogue() -> Vec<(Mistake, Option<f64>)> {
    all().map(|m| (m.clone(), None)).collect()
}

#[test]
fn shifts_are_known_to_a_tenth_in_every_scenario_and_what_cancels_cancels() {
    for name in shipped_names() {
        let scenario = read(shipped(name).unwrap()).unwrap();
        let found = slips(&scenario, &catalogue(), &SlipOptions::new(1)).unwrap();
        assert!(
            found.impossible.is_empty() && found.mistakes.len() >= 25,
            "{name}"
        );
        for own in &found.mistakes {
            for e in &own.effects {
                let what = format!("{name} {} {:?} {:?}", own.mistake.key, e.place, e.shift);
                assert!(
                    e.shift.value.abs() < 1e-3 || e.shift.se <= 0.1 * e.shift.value.abs(),
                    "{what}"
                );
                assert!(e.nonfinite * 500 <= found.trials, "{what}");
            }
        }
        // What is spilt before weighing changes nothing but the change of temperature, of which a table may know a little.
        let before = found
            .mistakes
            .iter()
            .find(|m| m.mistake.key == "spilt-before");
        for e in before.iter().flat_map(|m| &m.effects) {
            let none = e.shift.value.abs() < 3.0 * e.shift.se + 2e-4;
            assert!(none, "{name} {:?}", e.shift);
        }
    }
}

#[test]
fn one_run_is_a_part_of_all_runs_and_scatter_sees_it() {
    let scenario = read(shipped("ammonium-chloride-dewar").unwrap()).unwrap();
    let found = slips(
        &scenario,
        &[(mistake("spilt-after"), Some(10.0))],
        &SlipOptions::new(2),
    )
    .unwrap();
    let own = &found.mistakes[0];
    let of = |p| own.at(p).unwrap();
    let (one, determinations) = (of(Place::OneRun), of(Place::Determinations));
    let runs = f64::from(scenario.determination.runs);
    assert!((one.shift.value * runs / determinations.shift.value - 1.0).abs() < 0.01);
    assert!(one.scatter.unwrap() > 0.95 && determinations.scatter.unwrap() < 0.1);
    assert_eq!(own.says(Place::Both), Some(Says::Cancels));
    assert_eq!(own.says(Place::Calibration), Some(Says::TooLarge));
}

#[test]
fn mistakes_of_a_scenarios_own_are_changes_of_what_happens_that_the_lab_does_not_know() {
    let text = shipped("permanganate-iron-dewar").unwrap().to_owned()
        + "\n[slips]\nwarm = \"determination.charge.start_difference = exactly 0.5 K\"\n\
           weak = \"determination.charge.purity = 90 %\"\nsloppy = \"lab.volume_as_mass = true\"\n";
    let scenario = read(&text).unwrap();
    let own = own(&scenario).unwrap();
    let asked = own
        .into_iter()
        .chain([mistake("portion-warm"), mistake("millilitres")]);
    let asked: Vec<_> = asked.map(|m| (m, None)).collect();
    let few = SlipOptions {
        trials: Some(512),
        ..SlipOptions::new(1)
    };
    let found = slips(&scenario, &asked, &few).unwrap();
    let at = |key: &str, place| {
        let m = found
            .mistakes
            .iter()
            .find(|m| m.mistake.key == key)
            .unwrap();
        m.at(place).unwrap().shift.value
    };
    assert_eq!(
        at("warm", Place::Determinations),
        at("portion-warm", Place::Determinations)
    );
    assert_eq!(at("sloppy", Place::Both), at("millilitres", Place::Both));
    // A tenth of the solid is something else, and the label still says what it said.
    let weak = at("weak", Place::Determinations);
    assert!((weak + 0.1).abs() < 0.02, "{weak}");
    let bad = text + "wrong = \"determination.charge.mass = 3 mL\"\n";
    let problems = joulecast::slip::own(&read(&bad).unwrap()).unwrap_err();
    assert_eq!(problems.0[0].path, "slips.wrong");
    assert!(problems.0[0].span.is_some());
}

/// Results simulated with each mistake: in which share of them is it among the first three causes, ties sharing a rank?
fn found_again(s: &Slips, each: usize) -> Vec<(String, Place, f64)> {
    let mut shares = Vec::new();
    for own in &s.mistakes {
        for e in &own.effects {
            if e.shift.value.abs() < 2.0 * s.spread.value {
                continue;
            }
            let seen = (0..each).filter(|t| {
                let observed = Observed {
                    difference: e.errors[*t],
                    u: s.spread.value,
                };
                let causes = explain(s, observed, &SlipOptions::new(1)).unwrap().causes;
                let same = causes
                    .iter()
                    .find(|c| c.mistake.key == own.mistake.key && c.place == e.place);
                same.is_some_and(|c| c.rank <= 3)
            });
            shares.push((
                own.mistake.key.to_string(),
                e.place,
                seen.count() as f64 / each as f64,
            ));
        }
    }
    shares
}

#[test]
fn a_difference_leads_back_to_the_mistake_that_made_it() {
    let scenario = read(shipped("ammonium-chloride-dewar").unwrap()).unwrap();
    let s = slips(&scenario, &catalogue(), &SlipOptions::new(3)).unwrap();
    let shares = found_again(&s, 4);
    assert!(shares.len() > 20);
    let mean = shares.iter().map(|(.., share)| share).sum::<f64>() / shares.len() as f64;
    assert!(mean > 0.9, "{mean}: {shares:?}");
}

#[test]
#[ignore = "minutes; prints the table"]
fn differences_of_all_scenarios() {
    for name in shipped_names() {
        let scenario = read(shipped(name).unwrap()).unwrap();
        let s = slips(&scenario, &catalogue(), &SlipOptions::new(3)).unwrap();
        let shares = found_again(&s, 20);
        let mean = shares.iter().map(|(.., share)| share).sum::<f64>() / shares.len() as f64;
        println!("{name}: {} mistakes, {mean:.3}", shares.len());
        for (key, place, share) in shares.iter().filter(|(.., share)| *share < 0.9) {
            println!("    {key} {place:?} {share}");
        }
    }
}
