//! The first-order budget beside a ranking, and whether the simulation confirms it.

use crate::lab::Coverage;
use crate::rank::Ranking;
use crate::report::budget::text::{BudgetStyle, blocks};
use crate::report::document::{Block, Extent, Section};
use crate::report::words::{kj, percent};
use crate::stats::Validity;

/// Lines shown.
const ROWS: usize = 14;

/// Shares of budget and simulation further apart than this are named.
const APART: f64 = 0.05;

/// Tables, combined uncertainty, and the verdict of the simulation, which belongs to the answer in short.
pub(super) fn budget(r: &Ranking) -> Section {
    let b = &r.budget;
    let style = BudgetStyle {
        unit: "kJ/mol".to_owned(),
        size: 1e3,
        largest: Some(ROWS),
        digits: 2,
        coverage: Coverage {
            probability: 0.95,
            whole: false,
        },
    };
    let mut section = Section::new("first-order budget")
        .detail(Block::text("Of a group whose errors are all zero; errors that several runs share have one net sensitivity."));
    section
        .blocks
        .extend(blocks(b, &style).into_iter().map(|x| (Extent::Full, x)));
    let independent = format!(
        "With the calibration constant taken as independent of the determinations u_c would be {} kJ/mol, a common \
         mistake.",
        kj(b.u_if_independent)
    );
    section = section
        .with(verdict(r))
        .detail(Block::text(independent))
        .detail(Block::text(beside(r)));
    match apart(r) {
        Some(words) => section.detail(Block::text(words)),
        None => section,
    }
}

/// JCGM 101, clause 8.
fn verdict(r: &Ranking) -> Block {
    let [two, one] = &r.validity;
    let u = kj(r.budget.u);
    if two.valid {
        return Block::text(format!(
            "u_c = {u} kJ/mol; confirmed by the simulation to two digits (JCGM 101, clause 8)."
        ));
    }
    Block::note(if one.valid {
        format!(
            "u_c = {u} kJ/mol; confirmed by the simulation to one digit, not to two (JCGM 101, clause 8)."
        )
    } else {
        format!(
            "u_c = {u} kJ/mol; not valid (JCGM 101, clause 8): no budget has terms for errors that no lab can know, nor \
             for a reagent that runs out."
        )
    })
}

/// The bias, which no budget holds.
fn beside(r: &Ranking) -> String {
    let ends = |v: &Validity| {
        format!(
            "The interval of the budget differs from the simulated one by {} kJ/mol below and {} above; {} is allowed.",
            kj(v.d_low),
            kj(v.d_high),
            kj(v.delta)
        )
    };
    let ([two, one], bias) = (&r.validity, r.beside_budget);
    let further = match bias.abs() {
        x if x > one.delta => ", more than the tolerance of one digit",
        x if x > two.delta => ", more than the tolerance of two digits",
        _ => "",
    };
    format!(
        "{} Clause 8 compares spreads, each interval about its own mean. A bias of {} kJ/mol, which no budget holds, moves \
         both ends{further}.",
        ends(if two.valid || one.valid { two } else { one }),
        kj(bias)
    )
}

/// Where budget and simulation disagree.
fn apart(r: &Ranking) -> Option<String> {
    let whole = r.budget.u * r.budget.u;
    let linear = |key: &str| {
        let own = r
            .budget
            .lines
            .iter()
            .filter(|l| l.source.is_some_and(|s| s.source().key == key));
        own.map(|l| l.variance).sum::<f64>() / whole
    };
    let shares = r
        .sources
        .iter()
        .map(|s| (s.source.key, linear(s.source.key), s.share.total.value));
    let named: Vec<String> = shares
        .filter(|(_, there, here)| (there - here).abs() > APART)
        .map(|(key, there, here)| format!("`{key}` {} and {}", percent(there), percent(here)))
        .take(5)
        .collect();
    (!named.is_empty()).then(|| {
        format!(
            "Shares in budget and simulation differ most for {}.",
            named.join(", ")
        )
    })
}
