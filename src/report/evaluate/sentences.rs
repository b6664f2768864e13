//! The answer of `evaluate` in sentences.

use crate::evaluate::{Consistency, Evaluated, OneSidedErrors};
use crate::report::words::{accepted, clause, in_a_row, kj, minus, percent};
use crate::stats::quote;

/// A percentile beyond which scatter is worth a word.
const UNUSUAL: f64 = 0.95;

/// What else stands at a result: temperature and dilution.
pub(super) fn state(e: &Evaluated) -> String {
    let s = &e.scenario;
    let at = format!("{} °C", s.target.quote_at.0);
    let state = &s.determination.reaction.state;
    match state.is_empty() || s.is_cycle() {
        true => at,
        false => format!("{at}, {state}"),
    }
}

/// `(15.25 ± 0.64) kJ/mol`, with so many digits of the uncertainty.
fn rounded(value: f64, half: f64, figures: u32) -> String {
    let q = quote(value / 1e3, half / 1e3, figures);
    format!("({} ± {}) kJ/mol", minus(&q.value), q.u)
}

/// The result, ready to be copied: in two digits and in one.
pub(super) fn to_paste(e: &Evaluated) -> String {
    let r = &e.stated;
    let line = |figures: u32| {
        if e.one_sided == OneSidedErrors::Asymmetric {
            let end = |x: f64| minus(&quote(x / 1e3, r.u / 1e3, figures).value);
            return format!(
                "Delta H = {} kJ/mol, 95 % between {} and {} kJ/mol ({})",
                end(r.value),
                end(r.low),
                end(r.high),
                state(e)
            );
        }
        format!(
            "Delta H = {} (95 %, k = {:.2}; {})",
            rounded(r.value, r.half_width(), figures),
            r.factor(),
            state(e)
        )
    };
    format!("{}\n{}", line(2), line(1))
}

pub(super) fn sentences(e: &Evaluated) -> Vec<String> {
    let mut all = vec![result(e), agrees(e)];
    all.extend(runs(e));
    all.extend(dominant(e));
    all.push(
        "The interval holds what instruments, labels and tables leave open, not heat that never came (solid left over, spilt)."
            .to_owned(),
    );
    all
}

fn result(e: &Evaluated) -> String {
    let r = &e.stated;
    let shown = |half: f64| quote(r.value / 1e3, half / 1e3, 2).u;
    let linear = if e.linear_is_good || shown(e.linear) == shown(r.half_width()) {
        "the first-order budget says the same".to_owned()
    } else {
        format!("the first-order budget says ± {}", kj(e.linear))
    };
    let effects = match e.by_scatter() {
        true => "the observed scatter of the runs",
        false => "what the instruments state",
    };
    format!(
        "State {} with 95 % probability, k = {:.2}, at {}; run effects by {effects}; {linear}.",
        rounded(r.value, r.half_width(), 2),
        r.factor(),
        state(e)
    )
}

/// Against the accepted value.
fn agrees(e: &Evaluated) -> String {
    let a = &e.agreement;
    let relative = |x: f64| (x / a.accepted).abs();
    let larger = (e.stated.value.abs() > a.accepted.abs()) == (a.difference != 0.0);
    let verdict = if a.probability < 0.05 {
        "which is significant at 5 %: look for a cause before believing either value"
    } else {
        "which is not significant: the result agrees"
    };
    let normalised = match a.normalised {
        Some(n) => format!("E_n = {n:.2}"),
        None => "no E_n, because no uncertainty of the accepted value is stated".to_owned(),
    };
    format!(
        "Its magnitude is {} kJ/mol ({}) too {} against the accepted {} kJ/mol, {verdict} ({normalised}; {} of such results lie \
         as far off by chance; significant would be {} kJ/mol, {}).",
        kj(a.difference.abs()),
        percent(relative(a.difference)),
        if larger { "large" } else { "small" },
        minus(&accepted(a.accepted, a.accepted_u.unwrap_or(0.0))),
        few(a.probability),
        kj(a.significant),
        percent(relative(a.significant))
    )
}

/// A share that may be next to nothing.
fn few(share: f64) -> String {
    match share < 1e-3 {
        true => "fewer than 0.1 %".to_owned(),
        false => percent(share),
    }
}

/// Whether the runs agree with each other.
fn runs(e: &Evaluated) -> Vec<String> {
    let legs = e.scenario.legs();
    let mut all = Vec::new();
    for (at, consistency) in e.consistency.iter().enumerate() {
        let Some(c) = consistency else { continue };
        let (what, size, unit) = match at {
            0 => ("constants".to_owned(), 1.0, "J/K"),
            _ => (
                format!("results of the {}", legs[at].title()),
                1e3,
                "kJ/mol",
            ),
        };
        let number = |x: f64| quote(x / size, x / size, 2).value;
        let judged = match c.percentile {
            p if p > UNUSUAL => format!(
                ", and {} of groups would have as much: something else differs from run to run",
                few(1.0 - p)
            ),
            p if p < 1.0 - UNUSUAL => {
                ": the runs agree, better than the instruments promise".to_owned()
            }
            _ => ": the runs agree".to_owned(),
        };
        all.push(format!(
            "The {} {what} scatter by {} {unit}; the instruments explain {} {unit}{judged}.{}",
            c.n,
            number(c.observed),
            number(c.explained),
            outlier(e, at, c)
        ));
    }
    all
}

/// A run that lies far from the others.
fn outlier(e: &Evaluated, leg: usize, c: &Consistency) -> String {
    let Some(o) = c.outlier.filter(|o| o.p < 0.05) else {
        return String::new();
    };
    let run = crate::evaluate::of_leg(&e.measured.runs, leg).nth(o.at);
    format!(
        " Run {} lies far from the others (Grubbs' test, p = {}): look for a cause in the notebook; without one it stays.",
        run.map_or("?", |r| r.label.as_str()),
        quote(o.p, o.p, 1).value
    )
}

/// What makes the uncertainty, and what would help: all as standard uncertainties.
fn dominant(e: &Evaluated) -> Option<String> {
    let lines = super::tables::by_source(e);
    let first = lines.first()?;
    let u = e.budget.u;
    let two: Vec<String> = lines
        .iter()
        .take(2)
        .map(|l| {
            let own = u * l.share.max(0.0).sqrt();
            match l.source {
                Some(s) => format!("{} by `{}` ({})", kj(own), s.key, clause(s.doc)),
                None => format!("{} by the {}", kj(own), l.name),
            }
        })
        .collect();
    let most = match first.share > 0.5 {
        true => "mostly made of",
        false => "the largest parts are",
    };
    let help = e
        .changes
        .first()
        .filter(|c| c.ratio < 0.98)
        .map_or(String::new(), |c| {
            format!("; with {} it would be {}", c.words, kj(u * c.ratio))
        });
    Some(format!(
        "Standard uncertainty {} kJ/mol, {most} {}; parts add as squares{help}.",
        kj(u),
        in_a_row(&two)
    ))
}

/// The result without the runs that have a remark.
pub(super) fn without(e: &Evaluated) -> Option<String> {
    let w = e.without.as_ref()?;
    let runs: Vec<String> = w
        .runs
        .iter()
        .map(|(label, remark)| format!("{label} ({remark})"))
        .collect();
    Some(format!(
        "Without run {}: {} kJ/mol, standard uncertainty {} kJ/mol; a remark alone is no reason to drop a run.",
        in_a_row(&runs),
        minus(&quote(w.value / 1e3, w.u / 1e3, 2).value),
        kj(w.u)
    ))
}
