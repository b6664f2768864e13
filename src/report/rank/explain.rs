//! One source in words: what it is, where it enters, and what it does to this result.

use super::text::last_digit;
use crate::rank::Ranking;
use crate::report::forecast::tables::with_se;
use crate::report::words::{entry, heading, paragraph, percent};
use crate::scenario::{Scope, source};

const KILO: f64 = 1e3;

/// The explanation of one source; empty if there is no such source.
pub fn rank_explain(r: &Ranking, key: &str) -> String {
    let Some(s) = source::find(key) else {
        return String::new();
    };
    let mut out = paragraph(&format!("{}: {}.", s.key, s.doc), 0);
    out.push_str(&heading("what it is"));
    let shared = match s.scope {
        Scope::Reading => "drawn anew at each reading",
        Scope::Run => "drawn anew in each run",
        Scope::Group => "one draw for a group's whole session",
        Scope::Course => "one draw for all groups of a course",
    };
    let one_sided = if r.scenario.is_one_sided(s.id) {
        "; it can only go one way"
    } else {
        ""
    };
    out.push_str(&paragraph(
        &format!("Family {}; {shared}{one_sided}.", s.family.name()),
        2,
    ));
    for leg in r.scenario.legs() {
        if leg.errs(s.id) {
            let mut stated: Vec<&str> = leg
                .all_bindings(s.id)
                .iter()
                .map(|b| b.stated.as_str())
                .collect();
            stated.dedup();
            let said = format!("{}: {}", leg.title(), stated.join("; "));
            out.push_str(&entry("-", &said));
        }
    }
    out.push_str(&paragraph(&format!("It enters here: {}.", s.enters), 2));
    out.push_str(&paragraph(&format!("Described after: {}.", s.reference), 2));
    out.push_str(&heading("what it does"));
    let Some(own) = r.sources.iter().find(|x| x.source.key == key) else {
        out.push_str(&paragraph("It does not err in this scenario.", 2));
        return out;
    };
    let perfect = &own.better.effects[0];
    out.push_str(&paragraph(
        &format!(
            "It takes part in {} of the variance of the result's error (95 %: {} to {}) and makes {} of it alone: \
             rank {}.",
            percent(own.share.total.value),
            percent(own.share.total.low),
            percent(own.share.total.high),
            percent(own.share.first.value),
            own.rank
        ),
        2,
    ));
    let (bias, se) = with_se(perfect.gain.mean, KILO);
    let size = perfect.gain.mean.value * r.target.signum() / r.target.abs();
    out.push_str(&paragraph(
        &format!(
            "It shifts the result by {bias} {se} kJ/mol, {} in size.",
            percent(size)
        ),
        2,
    ));
    let of = |at: usize| with_se(own.better.effects[at].treated.rms, KILO);
    let now = with_se(r.now.rms, KILO);
    out.push_str(&paragraph(
        &format!(
            "RMS error of the result: {} {} kJ/mol now, {} {} with half of it, {} {} without it.",
            now.0,
            now.1,
            of(1).0,
            of(1).1,
            of(0).0,
            of(0).1
        ),
        2,
    ));
    out.push_str(&heading("why"));
    for why in reasons(r, key, s.scope) {
        out.push_str(&entry("-", &why));
    }
    out
}

/// Why it does so.
fn reasons(r: &Ranking, key: &str, scope: Scope) -> Vec<String> {
    let mut all = Vec::new();
    let size = |x: f64| crate::stats::quote(x / KILO, x / KILO, 2).value;
    if let Some(s) = r.sides.iter().find(|s| s.source.key == key) {
        let [c, d, b] = [&s.calibration, &s.determination, &s.both].map(|x| size(x.spread.value));
        let how = if s.cancels > 0.05 {
            format!(
                "; {} of the two variances cancels between them",
                percent(s.cancels)
            )
        } else if s.cancels < -0.05 {
            "; the two add up".to_owned()
        } else {
            String::new()
        };
        all.push(format!(
            "Through the calibration alone it scatters the result by {c} kJ/mol, through the determinations by {d}, \
             through both by {b}{how}."
        ));
    }
    let lines = r.budget.lines.iter();
    let own: Vec<_> = lines
        .filter(|l| l.source.is_some_and(|s| s.source().key == key))
        .collect();
    if own.is_empty() {
        all.push(
            "A group's own budget has no term for it: nobody who measures can know it.".to_owned(),
        );
    }
    for l in own {
        all.push(format!(
            "In the linear budget ({}): u = {:.2e} {}, times {:.2e} J/mol for each, is {} kJ/mol, {} of the variance.",
            l.of,
            l.quantity.u,
            l.quantity.unit,
            l.sensitivity,
            size(l.contribution),
            percent(r.budget.share(l))
        ));
    }
    if matches!(key, "thermometer.noise" | "thermometer.resolution") {
        all.push(last_digit(&r.scenario).to_owned());
    }
    all.push(
        match scope {
            Scope::Reading | Scope::Run => "More runs average it.",
            Scope::Group => {
                "More runs do not average it: all runs of a group share it. A class mean does."
            }
            Scope::Course => "Nothing that a course does averages it.",
        }
        .to_owned(),
    );
    all
}
