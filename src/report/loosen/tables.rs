//! The tables of `loosen`.

use super::keys::of_keys;
use super::words::{biased, class, factor, instrument, now, worse_without};
use crate::design::{Answer, Bound, Instrument, Looseness, Loosest, Step, Upgrade};
use crate::quantity::{Dimension, write_quantity};
use crate::report::document::{Block, Cell, Column, NONE, Place, Section, Table};
use crate::report::words::share;
use crate::scenario::schema;
use crate::stats::{Estimate, quote};

/// Tolerances in brief, all together among them.
const ROWS: usize = 7;

pub(super) fn people(head: &str) -> Column {
    Column::words(head).at(Place::People)
}

/// Numbers of which some need words.
pub(super) fn numbers_of(head: &str) -> Column {
    Column::number(head, NONE).at(Place::People)
}

pub(super) fn file(key: &str) -> Column {
    Column::words("").key(key).at(Place::File)
}

pub(super) fn estimates(key: &str) -> Column {
    Column::estimate("", NONE).key(key).at(Place::File)
}

/// All together, then each.
fn all(l: &Looseness) -> Vec<&Loosest> {
    std::iter::once(&l.together).chain(&l.tolerances).collect()
}

pub(super) fn name(x: &Loosest) -> &'static str {
    x.source.map_or("all together", |s| s.key)
}

/// Each tolerance alone.
pub(super) fn tolerances(l: &Looseness) -> Section {
    let all = all(l);
    let mut bounds: Vec<Bound> = Vec::new();
    for bound in all
        .iter()
        .flat_map(|x| [x.bound, x.doubled_beyond])
        .flatten()
    {
        if !bounds.contains(&bound) {
            bounds.push(bound);
        }
    }
    let letter = |bound: Bound| {
        let at = bounds.iter().position(|b| *b == bound).unwrap_or(0);
        char::from(b'a' + at as u8)
    };
    let marked = |text: String, bound: Option<Bound>| match bound {
        Some(bound) => format!("{text} {}", letter(bound)),
        None => text,
    };
    let t = Table::of("tolerance", &all)
        .column(&all, Column::code("tolerance").at(Place::People), |x| {
            Cell::text(name(x))
        })
        .column(&all, people("now"), |x| Cell::text(now(x)))
        .column(&all, numbers_of("times as large").key("times"), |x| {
            Cell::text(match x.answer {
                Answer::Factor(f) => marked(factor(f), x.bound),
                Answer::Any(f) => format!("over {}", quote(f, f, 2).value),
                Answer::Never(_) => "never".to_owned(),
            })
        })
        .column(&all, numbers_of("doubled, %"), |x| match x.doubled.value {
            e if e.is_nan() => Cell::Missing("it cannot be twice as large"),
            _ => Cell::text(marked(share(x.doubled), x.doubled_beyond)),
        })
        .first(ROWS, usize::MAX);
    let mut section = Section::new("each tolerance alone")
        .with(Block::Table(t))
        .with(Block::Table(of_keys(&all)));
    if !bounds.is_empty() {
        let each = |words: &dyn Fn(Bound) -> String| {
            let all = bounds
                .iter()
                .map(|b| format!("{}, {}", letter(*b), words(*b)));
            all.collect::<Vec<_>>()
        };
        let short = each(&|b| b.label().to_owned()).join("; ");
        section = section
            .with(Block::note(format!("Then a bound is crossed: {short}.")))
            .detail(Block::List(each(&|b| b.words(&l.scenario))));
    }
    section = section.detail(Block::text(format!(
        "Times: how many times as large it may be for the target to be met within all bounds; never: not even without this \
         error; over: met there, the largest that was looked at or makes sense. Doubled: the {} with twice the error, the \
         largest first.",
        l.goal.name()
    )));
    let left: Vec<String> = all
        .iter()
        .filter_map(|x| match x.answer {
            Answer::Never(e) => Some(format!("{} {} %", name(x), share(e))),
            _ => None,
        })
        .collect();
    if !left.is_empty() {
        let said = format!("Left without the error: {}.", left.join(", "));
        section = section.detail(Block::text(said));
    }
    let helpful = |x: &&Loosest| match x.answer {
        Answer::Never(e) => l.goal.worse_by(e.value - l.now.value) > 3.0 * e.se,
        _ => false,
    };
    let helpful: Vec<&str> = l.tolerances.iter().filter(helpful).map(name).collect();
    for words in [worse_without(&helpful), biased(l)].into_iter().flatten() {
        section = section.detail(Block::note(words));
    }
    section
}

/// Whether the trials see what an exchange does.
fn seen(u: &Upgrade) -> bool {
    u.change.is_seen()
}

fn entry(u: &Upgrade) -> &str {
    match &u.step {
        Step::Better(key) | Step::Worse(key) => key,
        Step::Perfect => "",
    }
}

/// Exchanges of instruments, those with the largest effect first.
pub(super) fn instruments(l: &Looseness) -> Section {
    let mut rows: Vec<(&Instrument, &Upgrade)> = l
        .instruments
        .iter()
        .flat_map(|i| i.upgrades.iter().map(move |u| (i, u)))
        .collect();
    let size = |u: &Upgrade| if seen(u) { u.change.value.abs() } else { 0.0 };
    rows.sort_by(|a, b| size(b.1).total_cmp(&size(a.1)));
    type Row<'a> = (&'a Instrument, &'a Upgrade);
    let rows = rows.as_slice();
    let t = Table::of("instruments", rows)
        .column(
            rows,
            Column::code("instrument").at(Place::People),
            |(i, _): &Row| Cell::text(instrument(i)),
        )
        .column(rows, people("exchange"), |(i, u)| {
            Cell::text(match entry(u) {
                "" => "perfect".to_owned(),
                key => format!("{}: {key}", class(i, &u.step)),
            })
        })
        .column(rows, numbers_of("there, %"), |(_, u)| {
            // A number that noise moved must not look better or worse than the one now.
            Cell::text(if seen(u) {
                share(u.there)
            } else {
                "as now".to_owned()
            })
        })
        .column(rows, numbers_of("change, %"), |(_, u)| match seen(u) {
            true => Cell::text(change(u.change)),
            false => Cell::Missing("none that these trials can detect"),
        })
        .column(rows, file("instrument"), |(i, _)| Cell::text(&*i.key))
        .column(rows, file("step"), |(_, u)| {
            Cell::text(match u.step {
                Step::Better(_) => "better",
                Step::Worse(_) => "worse",
                Step::Perfect => "perfect",
            })
        })
        .column(rows, file("entry"), |(_, u)| Cell::text(entry(u)))
        .column(rows, estimates("measure"), |(_, u)| Cell::all_of(u.there))
        .column(rows, estimates("change"), |(_, u)| Cell::all_of(u.change));
    let mut section = Section::new("instruments, one class up or down");
    if rows.is_empty() {
        return section;
    }
    section = section.detail(Block::Table(t));
    for words in notes(l) {
        section = section.detail(Block::text(words));
    }
    section
}

fn change(e: Estimate) -> String {
    let [change, se] = [e.value, e.se].map(|x| 100.0 * x);
    let sign = if change > 0.0 { "+" } else { "" };
    format!("{sign}{}", quote(change, se, 1).value)
}

/// What exchanges bring along.
fn notes(l: &Looseness) -> Vec<String> {
    let all = || l.instruments.iter().flat_map(|i| &i.upgrades);
    let mut out = vec![
        "An exchange changes all errors of an instrument at once; the table above loosens one of them alone.".to_owned(),
    ];
    if l.instruments.iter().any(Instrument::is_vessel) {
        out.push(
            "Vessels are in the order of their leaks; their heat capacity, and how much of it takes part from run to run, \
             change as well."
                .to_owned(),
        );
    }
    let mut listed = |before: &str, each: Vec<String>| {
        if !each.is_empty() {
            out.push(format!("{before}: {}.", each.join(", ")));
        }
    };
    let beyond = all().filter_map(|u| Some(format!("{} ({})", entry(u), u.crossed?.label())));
    listed("A bound would be crossed with", beyond.collect());
    let assumed = all().filter_map(|u| {
        let size = write_quantity(u.assumed?.0, Dimension::HeatCapacity);
        Some(format!("{size} for {}", entry(u)))
    });
    listed(
        "Nothing calibrates here: what the lab assumes of the vessel changes in proportion",
        assumed.collect(),
    );
    let own = l.instruments.iter().flat_map(|i| i.own.iter().cloned());
    listed(
        "What the scenario states itself stays as it is in an exchange",
        own.collect(),
    );
    let worsened = |i: &&Instrument| {
        let worse = |u: &Upgrade| l.goal.worse_by(u.change.value) > 3.0 * u.change.se;
        let mut perfect = i.upgrades.iter().filter(|u| u.step == Step::Perfect);
        perfect.any(worse)
    };
    // A thermometer is known by its place, not by its key.
    let helpful: Vec<&str> = l
        .instruments
        .iter()
        .filter(worsened)
        .filter_map(|i| Some(schema::in_leg(i.paths.first()?).1))
        .collect();
    out.extend(worse_without(&helpful));
    out
}
