//! What a lab claims rests on what it can know: nothing of nature may reach it.

use super::{SILENT, patched};
use joulecast::experiment::Experiment;
use joulecast::lab::{
    Claims, CoverageFactor, Evaluation, LegTables, Links, Method, Reduction, Seen,
};
use joulecast::random::{Draws, Form, Input, Layout, Plan};
use joulecast::scenario::{
    Binding, RunEffects, SOURCES, Scenario, SourceId, builtin, shipped, shipped_names,
};

/// The notebooks of one group.
fn seen(s: &Scenario) -> (Seen, Evaluation) {
    let plan = Plan::new();
    let model = Experiment::without_claims(s.clone());
    let (seen, value, _) = model.one_trial(Draws::new(8, 0, Layout::MARGINAL, &plan), 17);
    (seen, value)
}

/// What the lab of a scenario makes of these notebooks.
fn claimed(s: &Scenario, notebooks: &Seen) -> (f64, Claims) {
    let mut seen = notebooks.clone();
    let legs = s.legs();
    seen.calibration.tables = LegTables::of(s, legs[0]);
    for (own, leg) in seen.legs.iter_mut().zip(&legs[1..]) {
        own.tables = LegTables::of(s, leg);
    }
    let reductions: Vec<Reduction> = legs.into_iter().map(Reduction::of).collect();
    let links = Links::of(s, &reductions);
    let (method, factor) = (Method::of(s), CoverageFactor::new(0.95));
    let (value, claims) = Claims::of(&seen, &method, &links, &factor);
    (value.enthalpy, claims)
}

/// Moves what is true and leaves what is stated: the centre of a distribution whose spread the lab knows; of a source that
/// the lab has no term for the spread as well, and the value that would be perfect.
fn moved(binding: &mut Binding, known: bool) {
    let dist = binding.input.dist.clone();
    let ideal = binding.input.ideal;
    if !known {
        binding.input = Input::about(dist.scaled(1.7), 1.7 * ideal);
        return;
    }
    if matches!(dist.form(), Form::Normal | Form::Rectangular) {
        binding.input = Input::about(dist.shifted(0.8 * dist.sd()), ideal);
    }
}

/// Value, both half-widths, combined uncertainty and degrees of freedom.
fn numbers((value, claims): &(f64, Claims)) -> [f64; 5] {
    let b = &claims.budget;
    [*value, claims.scatter, claims.linear, b.u, b.dof]
}

#[test]
fn no_claim_moves_with_what_is_true() {
    let mut tried = 0;
    for name in shipped_names() {
        let s = patched(shipped(name).unwrap(), &[]);
        let (notebooks, _) = seen(&s);
        let as_it_is = claimed(&s, &notebooks);
        let assumes = s.lab.assumed_vessel.is_some();
        for source in SOURCES {
            // A last digit is what the lab reads off the display; an assumed vessel is its own statement.
            let read_off = matches!(source.id, SourceId::Resolution | SourceId::Readability);
            let own = assumes && source.id == SourceId::VesselHeat;
            if read_off || own {
                continue;
            }
            let mut other = s.clone();
            for leg in other.legs_mut() {
                let at = source.id as usize;
                moved(&mut leg.bindings[at], source.budget);
                if let Some(p) = &mut leg.portion {
                    moved(&mut p.bindings[at], source.budget);
                }
            }
            let now = numbers(&claimed(&other, &notebooks));
            for (a, b) in now.iter().zip(&numbers(&as_it_is)) {
                // A shifted distribution knows its spread to rounding only.
                let same = a == b || (a / b - 1.0).abs() < 1e-12 || b.is_nan();
                assert!(same, "{name}, {}: {a} for {b}", source.key);
            }
            tried += 1;
        }
    }
    assert!(tried > 500, "{tried}");
}

#[test]
fn the_vessel_in_a_budget_is_the_one_that_the_group_has_found() {
    // Half of the vessel takes part more or less: sensitivity u(eta) C_found Delta T / n, whatever is true of the vessel.
    let s = builtin();
    let (notebooks, value) = seen(&s);
    let (_, claims) = claimed(&s, &notebooks);
    let line = |c: &Claims| {
        let own = c
            .budget
            .lines
            .iter()
            .filter(|l| l.source == Some(SourceId::VesselChange));
        own.map(|l| l.contribution).sum::<f64>()
    };
    let now = line(&claims);
    // A group that has found twice the vessel: the heat of its calibration runs made larger accordingly.
    let mut other = notebooks.clone();
    for run in &mut other.calibration.runs {
        run.heat.0 += value.constant * run.change.0;
    }
    let (_, twice) = claimed(&s, &other);
    assert!(
        (line(&twice) / now - 2.0).abs() < 0.2,
        "{} {now}",
        line(&twice)
    );
    let text = [("lab.contents", "same")];
    let alike = patched(joulecast::scenario::builtin_text(), &text);
    let (same, _) = (claimed(&alike, &notebooks).1, 0);
    assert!((line(&same) / now - 1.0).abs() < 0.05);
}

#[test]
fn one_estimate_used_on_both_sides_keeps_its_degrees_of_freedom() {
    // Noise alone, its u from 7 readings: whatever it acts on, 6 degrees of freedom. As two estimates they would be about 11.
    let of = |changes: &[(&str, &str)]| {
        let s = patched(SILENT, changes);
        let claims = Experiment::new(s).claims_at_zero_error();
        claims.unwrap().budget.dof
    };
    let one = of(&[("thermometer.noise", "u = 4 mK, dof = 6")]);
    assert!((one - 6.0).abs() < 1e-9, "{one}");
    let two = of(&[
        ("calibration.thermometer.noise", "u = 4 mK, dof = 6"),
        ("determination.thermometer.noise", "u = 4 mK, dof = 6"),
    ]);
    // Welch and Satterthwaite by hand: variances go as 1 over the squares of the changes, 2.004 and 3.0 K.
    let [a, b] = [1.0 / 2.004, 1.0 / 3.0].map(|x: f64| x * x);
    let due = 6.0 * (a + b) * (a + b) / (a * a + b * b);
    assert!((two / due - 1.0).abs() < 0.02, "{two} for {due}");
    assert_eq!(patched(SILENT, &[]).lab.run_effects, RunEffects::Stated);
}
