//! Measured runs and their result as JSON: numbers raw, null where there is none.

use crate::evaluate::{Consistency, Evaluated, LeftOut, MixedAt, NotedRun, Without, of_leg};
use crate::report::budget::data::Budget;
use crate::report::json::{Headed, document, part};
use serde_json::Value;

/// Name and version of the document's form.
pub const EVALUATE_SCHEMA: &str = "joulecast.evaluate/1";

part! {
    /// The result of measured runs.
    Answer<'a>(e: &'a Evaluated):
    /// Trials of the propagated distribution.
    trials: u64 = e.trials,
    /// The result to state, its standard uncertainty and the ends of its interval.
    result_J_per_mol: f64 = e.stated.value,
    u_J_per_mol: f64 = e.stated.u,
    low_J_per_mol: f64 = e.stated.low,
    high_J_per_mol: f64 = e.stated.high,
    probability: f64 = e.stated.probability,
    /// Half of the interval over the standard uncertainty.
    coverage_factor: f64 = e.stated.factor(),
    /// What the lab makes of the runs, without any correction.
    evaluated_J_per_mol: f64 = e.evaluation.enthalpy,
    /// Whether run effects are what instruments state, or the observed scatter.
    run_effects: &'static str = if e.by_scatter() { "scatter" } else { "stated" },
    /// Half-width of the 95 % interval of the linear budget.
    linear_half_width_J_per_mol: f64 = e.linear,
    /// Whether that is valid to two digits (JCGM 101:2008, clause 8).
    linear_is_valid: bool = e.linear_is_good,
    constant_J_per_K: f64 = e.evaluation.constant,
    constant_u_J_per_K: Option<f64> = e.u_constant.map(|u| u.value),
    quoted_at_C: f64 = e.scenario.target.quote_at.0,
    runs: Vec<OfRun<'a>> = of_runs(e),
    /// Runs that do not count.
    left_out: Vec<NotCounted<'a>> = e.measured.left_out.iter().map(|l| NotCounted::of(e, l)).collect(),
    /// What stood in for what is missing, and what else was assumed.
    assumed: &'a [String] = &e.measured.notes,
    agreement: Agreement = Agreement::of(e),
    consistency: Vec<OfLeg<'a>> = of_legs(e),
    without_remarks: Option<Rest<'a>> = e.without.as_ref().map(Rest::of),
    changes: Vec<Changed<'a>> = e.changes.iter().map(|c| Changed::of(&c.words, c.ratio)).collect(),
    linear_budget: Budget<'a> = Budget::of(&e.budget),
}

part! {
    /// A run that counts; of a calibration its constant, else its molar enthalpy.
    OfRun<'a>(e: &'a Evaluated, run: &'a NotedRun, result: f64, u: f64):
    run: &'a str = &run.label,
    leg: String = e.scenario.legs()[run.leg].title().to_owned(),
    remark: Option<&'a str> = run.remark.as_deref(),
    solid_g: f64 = run.seen.solid.0,
    liquid_g: f64 = run.seen.liquid.0,
    change_of_temperature_K: f64 = run.seen.change.0,
    mixing_C: f64 = run.seen.mixing.0,
    /// Moment of mixing in the time of its record.
    mixed_at_s: Option<f64> = run.record.as_ref().map(|r| r.mixed_at.0),
    mixed_at_is_found: Option<bool> = run.record.as_ref().map(|r| r.mixed_at.1 == MixedAt::Found),
    constant_J_per_K: Option<f64> = (run.leg == 0).then_some(result),
    value_J_per_mol: Option<f64> = (run.leg > 0).then_some(result),
    /// Standard uncertainty that is this run's own.
    u_alone_J_per_K: Option<f64> = (run.leg == 0).then_some(u),
    u_alone_J_per_mol: Option<f64> = (run.leg > 0).then_some(u),
}

part! {
    /// A run that does not count.
    NotCounted<'a>(e: &'a Evaluated, l: &'a LeftOut):
    run: &'a str = &l.label,
    leg: String = e.scenario.legs()[l.leg].title().to_owned(),
    remark: Option<&'a str> = l.remark.as_deref(),
}

part! {
    /// Against the accepted value.
    Agreement(e: &Evaluated):
    accepted_J_per_mol: f64 = e.agreement.accepted,
    accepted_u_J_per_mol: Option<f64> = e.agreement.accepted_u,
    difference_J_per_mol: f64 = e.agreement.difference,
    u_of_difference_J_per_mol: f64 = e.agreement.u,
    /// Over the expanded uncertainties of both; null where the accepted value states none.
    normalised_difference: Option<f64> = e.agreement.normalised,
    /// Over the standard uncertainty.
    zeta: f64 = e.agreement.zeta,
    /// Of a difference at least as large by chance.
    probability: f64 = e.agreement.probability,
    significant_from_J_per_mol: f64 = e.agreement.significant,
}

part! {
    /// How the runs of a leg agree; standard deviations in J/K of constants, else in J/mol.
    OfLeg<'a>(e: &'a Evaluated, at: usize, c: &Consistency):
    leg: String = e.scenario.legs()[at].title().to_owned(),
    n: usize = c.n,
    observed_sd: f64 = c.observed,
    explained_sd: f64 = c.explained,
    chi_square: f64 = c.chi_square,
    percentile: f64 = c.percentile,
    birge_ratio: f64 = c.birge,
    outlier: Option<Farthest<'a>> = c.outlier.map(|o| {
        Farthest::of(of_leg(&e.measured.runs, at).nth(o.at), o.g, o.p)
    }),
}

part! {
    /// The run that lies farthest from the others.
    Farthest<'a>(farthest: Option<&'a NotedRun>, g: f64, of_p: f64):
    run: Option<&'a str> = farthest.map(|r| r.label.as_str()),
    grubbs: f64 = g,
    p: f64 = of_p,
}

part! {
    /// The result without runs that have a remark.
    Rest<'a>(w: &'a Without):
    left_out: Vec<&'a str> = w.runs.iter().map(|r| r.0.as_str()).collect(),
    result_J_per_mol: f64 = w.value,
    u_J_per_mol: f64 = w.u,
}

part! {
    /// What one change would do.
    Changed<'a>(words: &'a str, ratio: f64):
    change: &'a str = words,
    /// Relative uncertainty then over that of now.
    u_ratio: f64 = ratio,
}

fn of_runs(e: &Evaluated) -> Vec<OfRun<'_>> {
    let legs = 0..e.u_runs.len();
    let runs = legs.flat_map(|at| {
        let all = of_leg(&e.measured.runs, at)
            .zip(e.results(at))
            .zip(&e.u_runs[at]);
        all.map(|((run, result), u)| OfRun::of(e, run, *result, *u))
    });
    runs.collect()
}

fn of_legs(e: &Evaluated) -> Vec<OfLeg<'_>> {
    let all = e.consistency.iter().enumerate();
    all.filter_map(|(at, c)| Some(OfLeg::of(e, at, c.as_ref()?)))
        .collect()
}

/// The whole evaluation.
pub fn evaluate_json(e: &Evaluated) -> Value {
    document(
        EVALUATE_SCHEMA,
        Headed::of(&e.scenario, e.seed, Answer::of(e)),
    )
}
