//! One source in words: what it is, where it enters, and what it does to this result.

use super::tables::last_digit;
use crate::rank::{Ranked, Ranking};
use crate::report::document::{Block, Cell, Column, Document, KJ_PER_MOL, Section, Table, figures};
use crate::report::words::{kj, percent, provenance};
use crate::scenario::{Scope, Source};

/// The explanation of one source.
pub fn rank_explain(r: &Ranking, s: &Source) -> Document {
    let mut d = Document::new(
        &format!("{}: {}", s.key, s.doc),
        provenance(r.seed, r.trials, &r.scenario.digest),
    );
    d.add(what(r, s));
    let own = r.sources.iter().find(|x| x.source.key == s.key);
    let Some(own) = own else {
        d.add(Section::new("what it does").with(Block::text("It does not err in this scenario.")));
        return d;
    };
    d.add(effect(r, own));
    d.add(Section::new("why").with(Block::List(reasons(r, s))));
    d
}

fn what(r: &Ranking, s: &Source) -> Section {
    let shared = match s.scope {
        Scope::Reading => "drawn at each reading",
        Scope::Run => "drawn for each run",
        Scope::Group => "drawn once for all runs of a group",
        Scope::Course => "drawn once for all groups of a course",
    };
    let one_sided = if r.scenario.is_one_sided(s.id) {
        "; one-sided"
    } else {
        ""
    };
    let mut stated = Vec::new();
    for leg in r.scenario.legs().into_iter().filter(|leg| leg.errs(s.id)) {
        let bindings = leg.all_bindings(s.id);
        let mut own: Vec<&str> = bindings.iter().map(|b| b.stated.as_str()).collect();
        own.dedup();
        stated.push(format!("{}: {}", leg.title(), own.join("; ")));
    }
    let section = Section::new("what it is").with(Block::text(format!(
        "Family {}; {shared}{one_sided}.",
        s.family.name()
    )));
    let section = if stated.is_empty() {
        section
    } else {
        section.with(Block::List(stated))
    };
    section
        .with(Block::text(format!("It enters here: {}.", s.enters)))
        .with(Block::text(format!("Described in: {}.", s.reference)))
}

fn effect(r: &Ranking, own: &Ranked) -> Section {
    let share = &own.share;
    let said = format!(
        "Rank {}: {} of the variance of the result's error including interactions (95 %: {} to {}), {} alone. It shifts \
         the magnitude of the result by {}.",
        own.rank,
        percent(share.total.value),
        percent(share.total.low),
        percent(share.total.high),
        percent(share.first.value),
        percent(own.better.gain_if_perfect.mean.value / r.target)
    );
    let rows = [
        ("bias that it makes", own.better.gain_if_perfect.mean),
        ("RMS error of the result now", r.now.rms),
        ("RMS error with half of it", own.better.halved.rms),
        ("RMS error without it", own.better.perfect.rms),
    ];
    let t = Table::of("effect", &rows)
        .column(&rows, Column::words(""), |x| Cell::text(x.0))
        .column(&rows, Column::estimate("", KJ_PER_MOL).key("value"), |x| {
            Cell::estimate(x.1)
        });
    Section::new("what it does")
        .with(Block::text(said))
        .with(Block::Table(t))
}

/// Why it does so.
fn reasons(r: &Ranking, source: &Source) -> Vec<String> {
    let mut all = Vec::new();
    if let Some(s) = r.sides.iter().find(|s| s.source.key == source.key) {
        let [c, d, b] = [&s.calibration, &s.determination, &s.both].map(|x| kj(x.spread.value));
        let how = match s.cancels {
            x if x > 0.05 => format!("; {} of the two variances cancels", percent(x)),
            x if x < -0.05 => "; the two add up".to_owned(),
            _ => String::new(),
        };
        all.push(format!(
            "Through the calibration alone it makes a spread of {c} kJ/mol, through the determinations {d}, through both \
             {b}{how}."
        ));
    }
    let lines = r.budget.lines.iter();
    let own: Vec<_> = lines
        .filter(|l| l.source.is_some_and(|s| s.source().key == source.key))
        .collect();
    if own.is_empty() {
        all.push(
            "A group's own budget has no term for it: whoever measures cannot know it.".to_owned(),
        );
    }
    for l in own {
        all.push(format!(
            "First-order budget ({}): u = {} {}, times {} J/mol for one of that unit, is {} kJ/mol, {} of the variance.",
            l.of,
            figures(l.quantity.u, 2),
            l.quantity.unit,
            figures(l.sensitivity, 2),
            kj(l.contribution),
            percent(r.budget.share(l))
        ));
    }
    if matches!(source.key, "thermometer.noise" | "thermometer.resolution") {
        all.push(last_digit(&r.scenario).to_owned());
    }
    let averaged = match source.scope {
        Scope::Reading | Scope::Run => "More runs average it.",
        Scope::Group => {
            "More runs do not average it: all runs of a group share it. More groups do."
        }
        Scope::Course => "Neither more runs nor more groups average it.",
    };
    all.push(averaged.to_owned());
    all
}
