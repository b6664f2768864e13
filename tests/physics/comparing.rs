//! Procedures side by side: nothing against itself, common random numbers, exchanged reactions.

use super::{patched, perfect};
use joulecast::design::{
    Bound, CompareOptions, Comparison, Contender, DesignOptions, Outcome, Paired, Side, Verdict,
    cap, compare, exchange, other_references, set, trials_in_all,
};
use joulecast::library::Library;
use joulecast::random::{Plan, Treatment};
use joulecast::scenario::{Leg, Scenario, SourceId, shipped, shipped_names};
use std::sync::Mutex;

pub fn of(name: &str, changes: &[(&str, &str)]) -> Scenario {
    patched(shipped(name).unwrap(), changes)
}

pub fn contender(name: &str, scenario: &Scenario) -> Contender {
    Contender {
        name: name.to_owned(),
        derived: false,
        what: String::new(),
        scenario: Ok(scenario.clone()),
    }
}

pub fn compared(contenders: Vec<Contender>, trials: u64) -> Comparison {
    let options = CompareOptions {
        seed: 1,
        trials,
        groups: 12,
        interrupt: None,
        progress: None,
    };
    compare(contenders, &options).unwrap().unwrap()
}

fn outcome(scenario: &Scenario, seed: u64, trials: u64) -> Outcome {
    let options = DesignOptions {
        trials,
        ..DesignOptions::new(seed)
    };
    Outcome::of(scenario, &options).unwrap()
}

fn paired(o: &Outcome) -> Paired {
    let all = vec![true; o.errors.values.len()];
    Paired::of(&o.errors.values, o.target, &all)
}

#[test]
fn a_scenario_against_itself_differs_by_exactly_nothing() {
    let cups = of("urea-foam-cups", &[]);
    let told = Mutex::new(Vec::new());
    let tick = |n: u64| told.lock().unwrap().push(n);
    let both = vec![contender("one", &cups), contender("two", &cups)];
    let due = trials_in_all(&both, 1_024);
    let options = CompareOptions {
        seed: 1,
        trials: 1_024,
        groups: 12,
        interrupt: None,
        progress: Some(&tick),
    };
    let c = compare(both, &options).unwrap().unwrap();
    let all: Vec<_> = c.delivered().map(|(_, d)| d.clone()).collect();
    for d in &all {
        for x in [d.against.bias, d.against.off, d.against.spread] {
            assert_eq!((x.0.value, x.0.se), (0.0, 0.0));
            assert_eq!(x.verdict(), Verdict::Same);
        }
        assert_eq!(d.against.within.verdict(), Verdict::Same);
        assert_eq!(d.against.rms.verdict(), Verdict::Same);
        assert_eq!(d.place, 1);
    }
    // As text, since an error that the trials cannot tell is no number.
    let [a, b] = [0, 1].map(|i| format!("{:?}", all[i].outcome.errors));
    assert_eq!(a, b);
    // Progress only changes, and ends where it was said to.
    let told = told.into_inner().unwrap();
    assert!(told.windows(2).all(|w| w[0] <= w[1]) && told.last() == Some(&due));
    // Another seed is another class, and then the same scenario does differ from itself.
    let (one, two) = (outcome(&cups, 1, 1_024), outcome(&cups, 2, 1_024));
    let d = paired(&one).less(&paired(&two));
    assert!(d.spread.0.se > 0.0 && d.spread.0.value != 0.0);
    assert_eq!(d.spread.verdict(), Verdict::NotToldApart);
}

#[test]
fn common_random_numbers_tell_two_thermometers_apart() {
    let cups = of("urea-foam-cups", &[]);
    let finer = of("urea-foam-cups", &[("thermometer.use", "thermistor-1mK")]);
    let trials = 10_240;
    let (a, b) = (outcome(&cups, 1, trials), outcome(&finer, 1, trials));
    let common = paired(&b).less(&paired(&a));
    let apart = paired(&outcome(&finer, 2, trials)).less(&paired(&a));
    // At least three times as well known as with independent draws; those have the error that theory says.
    for (c, i) in [
        (common.spread, apart.spread),
        (common.bias, apart.bias),
        (common.rms, apart.rms),
    ] {
        assert!(3.0 * c.0.se < i.0.se, "{c:?} {i:?}");
    }
    let theory = a
        .relative(a.errors.spread)
        .se
        .hypot(b.relative(b.errors.spread).se);
    // 32 batches know an error to 1/sqrt(62).
    assert!((apart.spread.0.se / theory - 1.0).abs() < 5.0 / 62f64.sqrt());
    assert!((common.spread.0.se / theory - 1.0).abs() > 5.0 / 62f64.sqrt());
    assert_eq!(common.spread.verdict(), Verdict::Better);
    assert_eq!(apart.spread.verdict(), Verdict::NotToldApart);
}

#[test]
fn another_order_flips_signs_and_nothing_else() {
    let (cups, mug) = (of("urea-foam-cups", &[]), of("peroxide-cups", &[]));
    let there = compared(vec![contender("a", &cups), contender("b", &mug)], 2_048);
    let back = compared(vec![contender("b", &mug), contender("a", &cups)], 2_048);
    let second = |c: &Comparison| c.delivered().nth(1).unwrap().1.clone();
    let first = |c: &Comparison| c.delivered().next().unwrap().1.clone();
    let (x, y) = (second(&there), second(&back));
    for (x, y) in [
        (x.against.bias, y.against.bias),
        (x.against.off, y.against.off),
        (x.against.spread, y.against.spread),
        (x.against.within, y.against.within),
        (x.against.rms, y.against.rms),
    ] {
        assert_eq!((x.0.value, x.0.se), (-y.0.value, y.0.se));
        assert!(x.0.value != 0.0);
    }
    assert_eq!(first(&there).outcome.errors, y.outcome.errors);
    assert_eq!(first(&there).place, y.place);
    // A difference is that of the numbers beside it.
    let d = second(&there).within().value - first(&there).within().value;
    assert!((d - x.against.within.0.value).abs() < 1e-12);
}

/// The Dewar of the built-in scenario with a lab that leaves its result at the temperature of the room, and
/// perhaps takes the reference at 25 °C whatever the room.
fn dewar(reference_slope: &str) -> Scenario {
    let text = shipped("ammonium-chloride-dewar").unwrap();
    let lab =
        format!("[lab]\nresult_slope = \"ignored\"\nreference_slope = \"{reference_slope}\"\n");
    patched(&text.replace("[lab]\n", &lab), &[])
}

fn by_salt(scenario: &Scenario) -> Scenario {
    let c = exchange(scenario, Side::Reference, "kcl-water").unwrap();
    c.scenario.unwrap()
}

fn treated(scenario: &Scenario, plan: Plan) -> Outcome {
    let options = DesignOptions {
        trials: 2_048,
        ..DesignOptions::new(1)
    };
    Outcome::treated(scenario, plan, &options).unwrap()
}

/// Enthalpy that a leg's run has by the library in this room and at its concentration, and its slope.
fn by_library(key: &str, leg: &Leg, room: f64) -> (f64, f64) {
    let r = Library::builtin().reaction(key).unwrap();
    let s = leg.nominal_molality(&joulecast::scenario::Room {
        temperature: joulecast::quantity::Celsius(room),
    });
    (r.enthalpy_at(s, room), r.slope.value)
}

#[test]
fn a_thermometer_that_is_off_looks_up_another_enthalpy_of_each_reference() {
    // The lab's constant is in proportion to the enthalpy that it looks up at the temperature it reads, and its
    // result is in proportion to the constant.
    let own = dewar("applied");
    let salt = by_salt(&own);
    let room = own.room.temperature.0;
    let plan = || perfect().with(SourceId::Offset.source().tag(), Treatment::Scaled(1.0));
    let offset = &own.calibration.binding(SourceId::Offset).input.dist;
    let sd = offset.standard_uncertainty();
    let measured = by_library("nh4cl-water", &own.determination, room).0;
    let due = |key: &str, s: &Scenario| {
        let (enthalpy, slope) = by_library(key, &s.calibration, room);
        sd * (slope / enthalpy * measured).abs()
    };
    let spread = |s: &Scenario| treated(s, plan()).errors.spread.value;
    for (s, key, other) in [
        (&own, "tris-hcl", "kcl-water"),
        (&salt, "kcl-water", "tris-hcl"),
    ] {
        // 2048 trials know a rectangular spread to 1 %; contents of both kinds of run differ by as much.
        let near = |key: &str| (spread(s) / due(key, s) - 1.0).abs() < 0.05;
        assert!(near(key), "{key}: {} for {}", spread(s), due(key, s));
        assert!(!near(other), "{key}");
    }
    assert!(spread(&salt) > 1.4 * spread(&own));
}

#[test]
fn a_table_of_25_degrees_in_a_cold_room_biases_each_reference_by_its_slope() {
    let (blind, sharp) = (dewar("ignored"), dewar("applied"));
    let (blind_salt, sharp_salt) = (by_salt(&blind), by_salt(&sharp));
    let room = blind.room.temperature.0;
    let measured = by_library("nh4cl-water", &blind.determination, room).0;
    // What the lab lacks by not looking its reference up in the cold, with nothing else in error.
    let lacks = |blind: &Scenario, sharp: &Scenario| {
        let [b, s] = [blind, sharp].map(|s| treated(s, perfect()).errors.bias.value);
        b - s
    };
    let due = |key: &str, s: &Scenario| {
        let (enthalpy, slope) = by_library(key, &s.calibration, room);
        slope * (25.0 - room) / enthalpy * measured
    };
    let found = [lacks(&blind, &sharp), lacks(&blind_salt, &sharp_salt)];
    let wanted = [due("tris-hcl", &blind), due("kcl-water", &blind_salt)];
    for i in 0..2 {
        assert!(found[i] < 0.0);
        assert!(
            (found[i] / wanted[i] - 1.0).abs() < 0.03,
            "{found:?} for {wanted:?}"
        );
        assert!((found[i] / wanted[1 - i] - 1.0).abs() > 0.3);
    }
    // With all errors drawn, a comparison finds the same difference: potassium chloride is worse by it.
    let d = paired(&outcome(&blind_salt, 1, 4_096)).less(&paired(&outcome(&blind, 1, 4_096)));
    let bias = d.bias.0;
    let want = (found[1] - found[0]) / blind.tabulated().0;
    assert!(
        (bias.value - want).abs() < 5.0 * bias.se,
        "{bias:?} for {want}"
    );
    assert!(
        (bias.value + want).abs() > 5.0 * bias.se,
        "{bias:?} for {want}"
    );
}

fn relative_window(leg: &Leg) -> f64 {
    let dist = &leg.binding(SourceId::Window).input.dist;
    dist.standard_uncertainty() / leg.mass.0
}

#[test]
fn an_exchange_keeps_the_change_of_temperature_or_says_why_it_cannot() {
    let mut done = 0;
    for name in shipped_names() {
        let own = of(name, &[]);
        for side in [Side::Reference, Side::Unknown] {
            let leg = |s: &Scenario| match side {
                Side::Reference => s.calibration.clone(),
                Side::Unknown => s.determination.clone(),
            };
            let old = leg(&own);
            let due = old.nominal_change(&own.room).0.abs();
            for key in Library::builtin().reactions.keys() {
                let c = exchange(&own, side, key).unwrap();
                match c.scenario {
                    Ok(s) => {
                        let new = leg(&s);
                        let change = new.nominal_change(&s.room).0.abs();
                        // Three digits: half a per cent at the most.
                        assert!(
                            (change / due - 1.0).abs() < 0.0051,
                            "{name} {key}: {change} for {due}"
                        );
                        assert!(change <= cap(&own), "{name} {key}");
                        let [before, after] = [&old, &new].map(relative_window);
                        assert!((before - after).abs() < 1e-6, "{name} {key}");
                        assert_eq!(new.reaction.key, *key);
                        assert!(
                            c.what.contains(&format!("{} g in place of", new.mass.0)),
                            "{}",
                            c.what
                        );
                        // Any other mass would not do.
                        let mut spoiled = new.clone();
                        spoiled.mass.0 *= 1.02;
                        let off = spoiled.nominal_change(&s.room).0.abs() / due - 1.0;
                        assert!(off.abs() > 0.0051, "{name} {key}");
                        done += 1;
                    }
                    Err(zone) => assert!(!zone.words.is_empty(), "{name} {key}"),
                }
            }
        }
    }
    assert!(done > 40, "{done}");
}

#[test]
fn what_a_scenario_states_of_the_old_substance_goes_with_it() {
    let text = shipped("ammonium-chloride-dewar").unwrap();
    let text = text.replace(
        "use = \"tris-hcl\"\n",
        "use = \"tris-hcl\"\nenthalpy = \"-20 kJ/mol\"\n",
    );
    let own = patched(
        &text.replace(
            "mass = \"0.75 g\"",
            "mass = \"0.75 g\"\npurity = \"80 %, u = 3 %\"",
        ),
        &[],
    );
    assert!((own.calibration.label_purity - 0.8).abs() < 1e-9);
    let c = exchange(&own, Side::Reference, "kcl-water").unwrap();
    assert!(
        c.what
            .contains("reaction.enthalpy, charge.purity by the library"),
        "{}",
        c.what
    );
    let new = c.scenario.unwrap().calibration;
    let library = Library::builtin();
    let enthalpy = library.reaction("kcl-water").unwrap().enthalpy.value;
    assert_eq!(new.reaction.enthalpy.0, enthalpy);
    assert_eq!(
        new.label_purity,
        library.substance("kcl").unwrap().assay.value
    );
    assert_eq!(new.liquid.key, "water");
}

#[test]
fn an_exchange_that_cannot_be_says_so() {
    let own = of("ammonium-chloride-dewar", &[]);
    let why = |s: &Scenario, side: Side, key: &str| {
        exchange(s, side, key).unwrap().scenario.unwrap_err().words
    };
    // A solid in the place of a solution would be another reaction.
    for key in ["iron-permanganate", "hcl-naoh", "h2o2-decomposition"] {
        let said = why(&own, Side::Unknown, key);
        assert!(
            said.contains("starts from a substance in solution"),
            "{said}"
        );
    }
    assert!(
        why(&of("neutralisation-mug", &[]), Side::Reference, "kcl-water").contains("no reaction")
    );
    assert!(
        why(
            &of("magnesium-oxide-cycle", &[]),
            Side::Unknown,
            "kcl-water"
        )
        .contains("cycle")
    );
    let warm = of(
        "urea-foam-cups",
        &[
            ("determination.charge.mass", "40 g"),
            ("determination.charge.window", "39 g to 41 g"),
        ],
    );
    let zone = exchange(&warm, Side::Unknown, "nacl-water")
        .unwrap()
        .scenario
        .unwrap_err();
    assert_eq!(zone.bound, Bound::Solubility, "{zone:?}");
    // The acid of tris ends before it warms by as much.
    let zone = exchange(&warm, Side::Unknown, "tris-hcl")
        .unwrap()
        .scenario
        .unwrap_err();
    assert_eq!(zone.bound, Bound::Excess, "{zone:?}");
    let unknown = exchange(&own, Side::Reference, "kcl-watre")
        .unwrap_err()
        .to_string();
    assert!(unknown.contains("did you mean `kcl-water`?"), "{unknown}");
    assert_eq!(other_references(&own), ["kcl-water", "tris-naoh"]);
}

#[test]
fn a_refused_contender_leaves_the_others_as_they_are() {
    let cups = of("urea-foam-cups", &[]);
    let too_much = set(&cups, "determination.charge.mass = 900 g").unwrap();
    assert!(too_much.scenario.is_err());
    let finer = set(&cups, "thermometer.use = thermistor-1mK").unwrap();
    let with = compared(
        vec![contender("a", &cups), too_much.clone(), finer.clone()],
        1_024,
    );
    let without = compared(vec![contender("a", &cups), finer], 1_024);
    assert!(with.contenders[1].result.is_err());
    let last = |c: &Comparison| c.delivered().last().unwrap().1.clone();
    assert_eq!(last(&with).against, last(&without).against);
    assert_eq!(last(&with).outcome.errors, last(&without).outcome.errors);
    // Against one that cannot be, nothing can be measured.
    let options = CompareOptions {
        seed: 1,
        trials: 1_024,
        groups: 1,
        interrupt: None,
        progress: None,
    };
    assert!(compare(vec![too_much], &options).unwrap().is_none());
}
