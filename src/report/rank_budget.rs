//! The linear budget beside a ranking.

use super::words::{entry, heading, paragraph, percent, table};
use crate::lab::{BudgetLine, CoverageFactor};
use crate::rank::Ranking;
use crate::stats::quote;

const KILO: f64 = 1e3;

/// Lines shown.
const ROWS: usize = 14;

/// Shares of linear budget and simulation further apart than this are named.
const APART: f64 = 0.05;

/// Table, combined uncertainty, and whether it stands up to the simulation.
pub(super) fn budget(r: &Ranking) -> String {
    let b = &r.budget;
    let mut out = heading("linear budget");
    out.push_str(&paragraph(
        "As a group without luck would make it: the whole chain differentiated, one net sensitivity for each shared \
         error; c in kJ/mol per base unit of the source; type B, unless it is an observed scatter.",
        2,
    ));
    let mut lines: Vec<&BudgetLine> = b.lines.iter().collect();
    lines.sort_by(|x, y| y.variance.total_cmp(&x.variance));
    let q = |x: f64| quote(x, x, 2).value;
    let rows: Vec<Vec<String>> = lines
        .iter()
        .take(ROWS)
        .map(|l| {
            let source = l.source.map(|s| s.source());
            let unit = source.map_or("J/mol", |s| s.dimension.base_unit());
            vec![
                source.map_or("observed scatter", |s| s.key).to_owned(),
                short_side(&l.of).to_owned(),
                format!("{} {unit}", power(l.u)),
                power(l.sensitivity / KILO),
                q(l.variance.sqrt() / KILO),
                percent(l.variance / (b.u * b.u)),
                degrees(l.dof),
            ]
        })
        .collect();
    out.push_str(&table(
        &[
            "quantity",
            "enters",
            "u",
            "c",
            "u(y), kJ/mol",
            "share",
            "dof",
        ],
        rows,
        &[2, 3, 4, 5, 6],
    ));
    if lines.len() > ROWS {
        let rest: f64 = lines[ROWS..].iter().map(|l| l.variance).sum();
        out.push_str(&paragraph(
            &format!(
                "{} smaller lines together {}; all are in the files.",
                lines.len() - ROWS,
                percent(rest / (b.u * b.u))
            ),
            2,
        ));
    }
    let k = CoverageFactor::new(0.95).of(b.dof);
    out.push_str(&paragraph(
        &format!(
            "u_c = {} kJ/mol, effective degrees of freedom {}, k = {k:.2}, U = {} kJ/mol (95 %). With the \
             calibration constant taken as independent of the determinations it would be {} kJ/mol: not right, but \
             common.",
            q(b.u / KILO),
            degrees(b.dof),
            q(k * b.u / KILO),
            q(b.u_if_independent / KILO),
        ),
        2,
    ));
    out.push_str(&validity(r));
    out.push_str(&apart(r));
    out
}

/// JCGM 101, clause 8.
fn validity(r: &Ranking) -> String {
    let [two, one] = &r.validity;
    let q = |x: f64| quote(x / KILO, x / KILO, 2).value;
    let ends = format!(
        "its interval misses the simulated one by {} kJ/mol below and {} above, where {} is allowed",
        q(two.d_low),
        q(two.d_high),
        q(two.delta)
    );
    let verdict = if two.valid {
        "The linear budget is good to two digits of its uncertainty (JCGM 101, clause 8)."
            .to_owned()
    } else if one.valid {
        format!(
            "The linear budget is good to one digit of its uncertainty, not to two: {ends} (JCGM 101, clause 8)."
        )
    } else {
        format!(
            "The linear budget is not valid, not even to one digit of its uncertainty: {ends} for two (JCGM 101, \
             clause 8). It knows nothing of errors that go one way, of what no lab can know, or of a reagent that \
             runs out."
        )
    };
    entry(if two.valid { "-" } else { "!" }, &verdict)
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

fn degrees(dof: f64) -> String {
    if dof > 9999.0 || !dof.is_finite() {
        "inf".to_owned()
    } else {
        format!("{dof:.0}")
    }
}

fn short_side(of: &str) -> &str {
    match of {
        "calibration" => "cal.",
        "determination" => "det.",
        other => other,
    }
}

/// Two digits, with a power of ten where zeros would hide them.
fn power(x: f64) -> String {
    if x != 0.0 && !(1e-3..1e4).contains(&x.abs()) {
        return format!("{x:.1e}");
    }
    let q = quote(x, x.abs(), 2);
    q.value
}
