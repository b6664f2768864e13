//! What stands in the lines of the chain's budget beside the sizes: value, symbol, type, distribution.

use super::{SILENT, patched, perfect};
use joulecast::experiment::Experiment;
use joulecast::lab::{BudgetLine, Evaluated, Evaluation, LinearBudget};
use joulecast::random::{Draws, Layout, Plan};
use joulecast::report::{BudgetStyle, budget_json, budget_text};
use joulecast::scenario::{Scenario, Scope, SourceId, shipped, shipped_names};

/// The notebook of one group, with or without errors.
fn budget_of(scenario: Scenario, plan: &Plan) -> (Evaluation, LinearBudget) {
    let model = Experiment::new(scenario);
    let (_, value, claims) = model.one_trial(Draws::new(5, 0, Layout::MARGINAL, plan), 0);
    (value, claims.expect("claims are asked for").budget)
}

fn line(b: &LinearBudget, id: SourceId, of: &str) -> BudgetLine {
    let own = b.lines.iter().find(|l| l.source == Some(id) && l.of == of);
    own.unwrap_or_else(|| panic!("{id:?} in {of}")).clone()
}

const CHANGES: &[(&str, &str)] = &[
    ("calibration.reaction.enthalpy", "17.584 kJ/mol, u = 0.2 %"),
    ("calibration.charge.purity", "99.4 %, u = 0.1 %"),
    ("balance.repeatability", "s = 5 mg"),
    ("balance.linearity", "3 mg triangular"),
    ("calibration.liquid.rinse", "0.2 mL exponential"),
    ("thermometer.noise", "u = 4 mK, dof = 9"),
    ("thermometer.resolution", "0.01 K"),
];

#[test]
fn each_line_states_what_the_lab_takes_and_how_it_is_described() {
    let (_, b) = budget_of(patched(SILENT, CHANGES), &perfect());
    let is = |id: SourceId, symbol: &str, distribution: &str, value: f64, u: f64, unit: &str| {
        let l = line(&b, id, "calibration");
        let q = &l.quantity;
        assert_eq!((&*q.name, &*q.symbol), (id.source().key, symbol));
        assert_eq!((&*q.distribution, &*q.unit), (distribution, unit));
        assert_eq!(q.evaluated, Evaluated::B);
        assert_eq!(q.scope, Some(id.source().scope));
        assert!((q.value - value).abs() <= 1e-9 * value.abs(), "{q:?}");
        assert!((q.u - u).abs() <= 1e-9 * u, "{q:?}");
        q.dof
    };
    use SourceId as S;
    // A stated value is itself, an error is 0, and so is a one-sided one that nobody corrects.
    let h = 17_584.0;
    is(S::ReactionEnthalpy, "h", "normal", h, 0.002 * h, "J/mol");
    is(S::Purity, "p", "normal", 0.994, 0.001, "1");
    is(S::Repeatability, "δm_r", "normal", 0.0, 0.005, "g");
    let triangle = 0.003 / 6f64.sqrt();
    is(S::Linearity, "λ", "triangular", 0.0, triangle, "g");
    is(S::Rinse, "V_r", "exponential", 0.0, 0.2, "mL");
    let dof = is(S::Noise, "δT_n", "Student t", 0.0, 0.004, "K");
    assert_eq!(dof, 9.0);
    // A last digit is as likely anywhere within itself.
    let digit = 0.01 / 12f64.sqrt();
    let dof = is(S::Resolution, "δT_d", "rectangular", 0.0, digit, "K");
    assert_eq!(dof, f64::INFINITY);
}

#[test]
fn contributions_are_sensitivities_times_uncertainties_and_shares_sum_to_one() {
    for name in shipped_names() {
        let scenario = patched(shipped(name).expect("shipped"), &[]);
        let (value, b) = budget_of(scenario, &perfect());
        assert_eq!((b.unit.as_ref(), b.value), ("J/mol", value.enthalpy));
        let sum: f64 = b.lines.iter().map(|l| b.share(l)).sum();
        assert!((sum - 1.0).abs() < 1e-12, "{name}: {sum}");
        for l in &b.lines {
            let u = l.sensitivity.abs() * l.quantity.u;
            assert!((l.contribution - u).abs() <= 1e-9 * u, "{name}: {l:?}");
            assert!((l.contribution * l.contribution - l.variance).abs() <= 1e-9 * l.variance);
            assert!(l.quantity.value.is_finite() && !l.quantity.symbol.is_empty());
        }
        // Both blocks, whatever the scenario calls its legs, in the width of all text.
        for largest in [None, Some(14)] {
            let style = BudgetStyle {
                largest,
                unit: "kJ/mol".to_owned(),
                size: 1e3,
                ..BudgetStyle::of(&b)
            };
            let text = budget_text(&b, &style);
            assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
            let shown = largest.unwrap_or(b.lines.len()).min(b.lines.len());
            for i in 1..=shown {
                let mark = format!("{i}. ");
                let rows = text.lines().filter(|l| l.trim_start().starts_with(&mark));
                assert_eq!(rows.count(), 2, "{mark} in {text}");
            }
        }
        let document = budget_json(&b);
        assert_eq!(
            document["lines"].as_array().map(Vec::len),
            Some(b.lines.len())
        );
    }
}

#[test]
fn a_long_name_of_a_leg_is_wrapped_and_not_cut() {
    let name = "anhydrous-salt-of-the-second-bottle";
    let (_, mut b) = budget_of(patched(SILENT, CHANGES), &perfect());
    for l in &mut b.lines {
        l.of = name.into();
    }
    let text = budget_text(&b, &BudgetStyle::of(&b));
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    assert!(text.contains("reaction.enthalpy"), "{text}");
}

#[test]
fn observed_scatter_is_type_a_of_the_mean_of_the_runs() {
    let scatter = [CHANGES, &[("lab.run_effects", "scatter")]].concat();
    let (value, b) = budget_of(patched(SILENT, &scatter), &Plan::new());
    let lines: Vec<_> = b.lines.iter().filter(|l| l.source.is_none()).collect();
    let [cal, det] = lines.as_slice() else {
        panic!("{lines:?}")
    };
    for l in [cal, det] {
        assert_eq!(l.quantity.evaluated, Evaluated::A);
        assert_eq!(l.quantity.distribution, "Student t");
        assert_eq!((l.quantity.dof, l.quantity.scope), (1.0, Some(Scope::Run)));
        let u = l.sensitivity.abs() * l.quantity.u;
        assert!(u > 0.0 && (l.contribution - u).abs() <= 1e-9 * u);
    }
    // Two runs: u is half their distance.
    let half = |x: &[f64]| 0.5 * (x[0] - x[1]).abs();
    assert_eq!((&*cal.quantity.unit, &*det.quantity.unit), ("J/K", "J/mol"));
    assert_eq!(
        (cal.quantity.value, det.quantity.value),
        (value.constant, value.enthalpy)
    );
    assert!((cal.quantity.u / half(&value.constants) - 1.0).abs() < 1e-9);
    assert!((det.quantity.u / half(&value.enthalpies[0]) - 1.0).abs() < 1e-9);
    assert!((det.sensitivity - 1.0).abs() < 1e-12);
    // What runs are stated to scatter is then no line of its own; what they share still is.
    assert!(
        b.lines
            .iter()
            .all(|l| l.quantity.name != "balance.repeatability")
    );
    assert!(
        b.lines
            .iter()
            .any(|l| l.quantity.name == "reaction.enthalpy")
    );
}
