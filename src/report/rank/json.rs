//! A ranking as JSON.

use crate::rank::{Effort, GroupShare, Ranked, RankedFamily, Ranking, Share, Side, Sides, State};
use crate::report::budget::data::Budget;
use crate::report::json::{Headed, document, part};
use crate::scenario::{Family, Scope};
use crate::stats::{Estimate, Validity};
use serde_json::Value;

/// Name and version of the document's form.
pub const RANK_SCHEMA: &str = "joulecast.rank/1";

part! {
    /// A ranking with the budget beside it; shares from 0 to 1.
    Answer<'a>(r: &'a Ranking, effort: &'a Effort):
    /// Trials of each run of the model.
    trials: u64 = r.trials,
    /// Trials left out because a result was not finite.
    nonfinite_trials: u64 = r.nonfinite,
    true_value_J_per_mol: f64 = r.target,
    now: State = r.now,
    /// Spread that infinitely many runs of both kinds would leave.
    spread_floor_J_per_mol: Estimate = r.floor,
    sources: Vec<Source<'a>> = r.sources.iter().map(Source::of).collect(),
    families: &'a [RankedFamily] = &r.families,
    scopes: Vec<OfScope<'a>> = r.scopes.iter().map(OfScope::of).collect(),
    sides: Vec<OfSides<'a>> = r.sides.iter().map(OfSides::of).collect(),
    /// Sums over the sources.
    sum_of_first_order_shares: &'a Share = &r.sums[0],
    sum_of_total_shares: &'a Share = &r.sums[1],
    linear_budget: Compared<'a> = Compared::of(r),
    /// Trials or digits, if asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    asked: Option<&'a Effort> = Some(effort).filter(|e| **e != Effort::Usual),
}

part! {
    /// A source with its shares and what a better one brings.
    Source<'a>(ranked: &'a Ranked):
    source: &'a str = ranked.source.key,
    family: Family = ranked.source.family,
    scope: Scope = ranked.source.scope,
    #[serde(flatten)]
    ranked: &'a Ranked = ranked,
}

part! {
    /// All sources of a scope.
    OfScope<'a>(share: &'a GroupShare):
    scope: &'a str = &share.name,
    #[serde(flatten)]
    share: &'a GroupShare = share,
}

part! {
    /// What a source does through the runs of either kind.
    OfSides<'a>(sides: &'a Sides):
    source: &'a str = sides.source.key,
    through_calibration: Side = sides.calibration,
    through_determination: Side = sides.determination,
    through_both: Side = sides.both,
    /// Share of the variance of both sides that cancels; negative where they add up.
    cancels: f64 = sides.cancels,
}

part! {
    /// The linear budget, compared with the simulation.
    Compared<'a>(r: &'a Ranking):
    #[serde(flatten)]
    budget: Budget<'a> = Budget::of(&r.budget),
    u_if_constant_independent_J_per_mol: f64 = r.budget.u_if_independent,
    valid_to_two_digits: Verdict = Verdict::of(r.validity[0]),
    valid_to_one_digit: Verdict = Verdict::of(r.validity[1]),
    /// Mean error, which no budget holds.
    bias_beside_budget_J_per_mol: f64 = r.beside_budget,
}

part! {
    /// Whether the interval of the budget is valid by JCGM 101:2008, clause 8.
    Verdict(v: Validity):
    /// Numerical tolerance.
    delta_J_per_mol: f64 = v.delta,
    /// Distances between the lower and between the upper ends.
    d_low_J_per_mol: f64 = v.d_low,
    d_high_J_per_mol: f64 = v.d_high,
    valid: bool = v.valid,
}

/// The whole ranking; energies in J/mol, shares from 0 to 1, all numbers raw, null where there is none.
pub fn rank_json(r: &Ranking, effort: &Effort) -> Value {
    document(
        RANK_SCHEMA,
        Headed::of(&r.scenario, r.seed, Answer::of(r, effort)),
    )
}
