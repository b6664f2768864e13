//! A ranking as JSON.

#![expect(non_snake_case, reason = "fields are named as in the document")]

use crate::rank::{Effort, GroupShare, Ranked, Ranking, Share, Sides};
use crate::report::budget::data::Budget;
use crate::report::json::{Headed, document};
use crate::scenario::{Family, Scope};
use crate::stats::Validity;
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

/// Name and version of the document's form.
pub const RANK_SCHEMA: &str = "joulecast.rank/1";

/// A ranking with the budget beside it.
#[derive(Serialize, JsonSchema)]
pub(in crate::report) struct Answer<'a> {
    #[serde(flatten)]
    ranking: &'a Ranking,
    sources: Vec<Source<'a>>,
    scopes: Vec<OfScope<'a>>,
    sides: Vec<OfSides<'a>>,
    /// Sums over the sources.
    sum_of_first_order_shares: &'a Share,
    sum_of_total_shares: &'a Share,
    linear_budget: Compared<'a>,
    /// Trials or digits, if asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    asked: Option<&'a Effort>,
}

/// A source with its shares and what a better one brings.
#[derive(Serialize, JsonSchema)]
struct Source<'a> {
    source: &'a str,
    family: Family,
    scope: Scope,
    #[serde(flatten)]
    ranked: &'a Ranked,
}

/// All sources of a scope.
#[derive(Serialize, JsonSchema)]
struct OfScope<'a> {
    scope: &'a str,
    #[serde(flatten)]
    share: &'a GroupShare,
}

/// What a source does through the runs of either kind.
#[derive(Serialize, JsonSchema)]
struct OfSides<'a> {
    source: &'a str,
    #[serde(flatten)]
    sides: &'a Sides,
}

/// The linear budget, compared with the simulation.
#[derive(Serialize, JsonSchema)]
struct Compared<'a> {
    #[serde(flatten)]
    budget: Budget<'a>,
    u_if_constant_independent_J_per_mol: f64,
    valid_to_two_digits: Verdict,
    valid_to_one_digit: Verdict,
    /// Mean error, which no budget holds.
    bias_beside_budget_J_per_mol: f64,
}

/// Whether the interval of the budget is valid by JCGM 101:2008, clause 8.
#[derive(Serialize, JsonSchema)]
struct Verdict {
    /// Numerical tolerance.
    delta_J_per_mol: f64,
    /// Distances between the lower and between the upper ends.
    d_low_J_per_mol: f64,
    d_high_J_per_mol: f64,
    valid: bool,
}

impl From<Validity> for Verdict {
    fn from(v: Validity) -> Self {
        Self {
            delta_J_per_mol: v.delta,
            d_low_J_per_mol: v.d_low,
            d_high_J_per_mol: v.d_high,
            valid: v.valid,
        }
    }
}

/// The whole ranking; energies in J/mol, shares from 0 to 1, all numbers raw, null where there is none.
pub fn rank_json(r: &Ranking, effort: &Effort) -> Value {
    let answer = Answer {
        ranking: r,
        sources: r
            .sources
            .iter()
            .map(|ranked| Source {
                source: ranked.source.key,
                family: ranked.source.family,
                scope: ranked.source.scope,
                ranked,
            })
            .collect(),
        scopes: r
            .scopes
            .iter()
            .map(|share| OfScope {
                scope: &share.name,
                share,
            })
            .collect(),
        sides: r
            .sides
            .iter()
            .map(|sides| OfSides {
                source: sides.source.key,
                sides,
            })
            .collect(),
        sum_of_first_order_shares: &r.sums[0],
        sum_of_total_shares: &r.sums[1],
        linear_budget: Compared {
            budget: Budget::from(&r.budget),
            u_if_constant_independent_J_per_mol: r.budget.u_if_independent,
            valid_to_two_digits: r.validity[0].into(),
            valid_to_one_digit: r.validity[1].into(),
            bias_beside_budget_J_per_mol: r.beside_budget,
        },
        asked: Some(effort).filter(|e| **e != Effort::Usual),
    };
    document(RANK_SCHEMA, Headed::of(&r.scenario, r.seed, answer))
}
