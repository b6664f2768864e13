//! The linear budget beside a ranking.

use crate::lab::Coverage;
use crate::rank::Ranking;
use crate::report::budget::text::{BudgetStyle, budget_text};
use crate::report::words::{entry, heading, paragraph, percent};
use crate::stats::{Validity, quote};

const KILO: f64 = 1e3;

/// Lines shown.
const ROWS: usize = 14;

/// Shares of linear budget and simulation further apart than this are named.
const APART: f64 = 0.05;

/// Table, combined uncertainty, and whether it stands up to the simulation.
pub(in crate::report) fn budget(r: &Ranking) -> String {
    let b = &r.budget;
    let mut out = heading("linear budget");
    out.push_str(&paragraph(
        "As a group without luck would make it: the whole chain differentiated, one net sensitivity for each shared \
         error.",
        2,
    ));
    let style = BudgetStyle {
        unit: "kJ/mol".to_owned(),
        size: KILO,
        largest: Some(ROWS),
        digits: 2,
        coverage: Coverage {
            probability: 0.95,
            whole: false,
        },
    };
    out.push_str(&budget_text(b, &style));
    out.push_str(&paragraph(
        &format!(
            "With the calibration constant taken as independent of the determinations u_c would be {} kJ/mol: not \
             right, but common.",
            quote(b.u_if_independent / KILO, b.u_if_independent / KILO, 2).value,
        ),
        2,
    ));
    out.push_str(&validity(r));
    out.push_str(&apart(r));
    out
}

/// JCGM 101, clause 8: spread against spread, and the bias beside it.
fn validity(r: &Ranking) -> String {
    let [two, one] = &r.validity;
    let q = |x: f64| quote(x / KILO, x.abs() / KILO, 2).value;
    let ends = |v: &Validity| {
        format!(
            "its interval misses the simulated one by {} kJ/mol below and {} above, where {} is allowed",
            q(v.d_low),
            q(v.d_high),
            q(v.delta)
        )
    };
    let verdict = if two.valid {
        "The linear budget is good to two digits of its uncertainty (JCGM 101, clause 8)."
            .to_owned()
    } else if one.valid {
        format!(
            "The linear budget is good to one digit of its uncertainty, not to two: {} (JCGM 101, clause 8).",
            ends(two)
        )
    } else {
        format!(
            "The linear budget is not valid, not even to one digit of its uncertainty: {} (JCGM 101, clause 8). It \
             has no terms for what no lab can know, nor for a reagent that runs out.",
            ends(one)
        )
    };
    let bias = r.beside_budget;
    let beside = format!(
        "Compared are spreads: both intervals lie about their own means. A bias of {} kJ/mol, which no budget holds, comes on \
         top{}.",
        q(bias),
        if bias.abs() > one.delta {
            ": it moves the ends by more than the tolerance of one digit"
        } else if bias.abs() > two.delta {
            ": it moves the ends by more than the tolerance of two digits"
        } else {
            ""
        }
    );
    entry(if two.valid { "-" } else { "!" }, &verdict) + &entry("-", &beside)
}

/// Where both ways of looking disagree.
fn apart(r: &Ranking) -> String {
    let whole = r.budget.u * r.budget.u;
    let linear = |key: &str| {
        let own = r
            .budget
            .lines
            .iter()
            .filter(|l| l.source.is_some_and(|s| s.source().key == key));
        own.map(|l| l.variance).sum::<f64>() / whole
    };
    let mut named: Vec<String> = Vec::new();
    for s in &r.sources {
        let (there, here) = (linear(s.source.key), s.share.total.value);
        if (there - here).abs() > APART {
            named.push(format!(
                "`{}` {} against {}",
                s.source.key,
                percent(there),
                percent(here)
            ));
        }
    }
    if named.is_empty() {
        return String::new();
    }
    named.truncate(5);
    entry(
        "-",
        &format!(
            "Shares in this budget and in the simulation differ most for {}.",
            named.join(", ")
        ),
    )
}
