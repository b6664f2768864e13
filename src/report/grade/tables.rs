//! The tables of bands, of mistakes, and of a class.

use crate::grade::{At, ClassJudged, Grade, JudgedGroup, Noticed};
use crate::report::document::{
    Block, Cell, Column, KJ_PER_MOL, NONE, PERCENT, Place as Shown, Section, Table,
};
use crate::report::slip::named;
use crate::stats::Estimate;

/// Groups that a brief answer shows.
const GROUPS: usize = 30;

/// Rows of a brief answer.
const BRIEF: usize = 8;

/// Bands.
pub(super) fn bands(g: &Grade) -> Section {
    let rows: Vec<&At> = g.bands.iter().collect();
    let own = &g.slips.scenario;
    let u = own.tabulated_u().0 / own.tabulated().0;
    let outside = |e: Estimate| Estimate::new(1.0 - e.value, e.se);
    let table = Table::of("bands", &rows)
        .column(&rows, Column::words("band for").key("for"), |b| {
            match b.share {
                Some(share) => Cell::text(format!("{:.0} % of competent groups", 100.0 * share)),
                None => Cell::text("as stated"),
            }
        })
        .column(
            &rows,
            Column::estimate("half-width", PERCENT),
            |b| match b.share {
                Some(_) => Cell::estimate(b.band),
                None => Cell::all_of(b.band),
            },
        )
        .column(
            &rows,
            Column::estimate("competent groups inside", PERCENT).key("inside"),
            |b| Cell::estimate(b.inside),
        )
        .column(&rows, Column::estimate("false alarms", PERCENT), |b| {
            Cell::estimate(outside(b.inside))
        })
        .column(&rows, Column::number("mistakes noticed", NONE), |b| {
            Cell::given(b.noticed as f64)
        });
    Section::new("bands about the accepted value, and how many competent groups lie in them")
        .with(Block::Table(table))
        .detail(Block::text(format!(
            "The accepted value is taken as true here; its own standard uncertainty, {} % of it, counts where a class is compared.",
            digits(100.0 * u.abs())
        )))
}

/// Two figures.
fn digits(x: f64) -> String {
    crate::stats::quote(x, x, 2).value
}

/// What the bands and a class notice of each mistake.
pub(super) fn mistakes(g: &Grade) -> Section {
    let rows: Vec<&Noticed> = g.mistakes.iter().collect();
    let missed = |m: &&Noticed, at: usize| match m.inside.get(at) {
        Some(e) => Cell::value_of(Estimate::new(1.0 - e.value, e.se), 2),
        None => Cell::Missing("no such band"),
    };
    let mut table = Table::of("noticed", &rows)
        .column(&rows, Column::code("mistake"), |m| {
            Cell::text(m.studied.mistake.key.clone())
        })
        .column(&rows, Column::words("size").at(Shown::People), |m| {
            Cell::text(m.studied.range.text(m.studied.size))
        })
        .column(&rows, Column::words("made in").at(Shown::Page), |m| {
            Cell::text(m.place.words())
        });
    for (at, band) in g.bands.iter().enumerate() {
        let (head, key) = match band.share {
            None => (
                format!("±{:.3} %", 100.0 * band.band.value),
                "outside_stated".to_owned(),
            ),
            Some(share) => (
                format!("±{:.2} %", 100.0 * band.band.value),
                format!("outside_{:.0}", 100.0 * share),
            ),
        };
        let head = head
            .replace(".000", "")
            .replace("00 %", " %")
            .replace("  ", " ");
        table.add(&rows, Column::number(&head, PERCENT).key(&key), |m| {
            missed(m, at)
        });
    }
    let size = g.expected.groups;
    table.add(
        &rows,
        Column::number(&format!("class of {size}"), PERCENT).key("class"),
        |m| Cell::figures(m.class, 2),
    );
    let outside = g
        .bands
        .iter()
        .map(|b| format!("{:.1}", 100.0 * (1.0 - b.inside.value)));
    let outside: Vec<String> = outside.collect();
    // The first of the catalogue: the commonest ones.
    let picked: Vec<usize> = (0..rows.len().min(BRIEF)).collect();
    Section::new("how often a mistake of usual size is noticed | %")
        .with(Block::Table(table.picked(picked)))
        .with(Block::text(format!(
            "Without any mistake {} % of groups lie outside, and 5 % of classes are told.",
            outside.join(", ")
        )))
        .detail(Block::text(
            "A group is noticed if its result lies outside the band. A class, half of whose groups err, is told if its mean or \
             its scatter is rarer than 5 % among competent classes.",
        ))
}

/// Mean and scatter of a class beside what the method explains.
pub(super) fn class(g: &Grade, c: &ClassJudged) -> Section {
    let e = &g.expected;
    let rows = [
        (
            "mean less the accepted value, without outlying groups",
            c.seen.core,
            e.bias,
            Some(e.mean_spread),
            c.p_mean,
        ),
        (
            "scatter between groups",
            c.seen.sd,
            e.own_spread,
            None,
            c.p_scatter,
        ),
    ];
    let table = Table::of("class-judged", &rows)
        .column(&rows, Column::words("what"), |r| Cell::text(r.0))
        .column(
            &rows,
            Column::number("this class", PERCENT).key("observed"),
            |r| match r.1.is_finite() {
                true => Cell::figures(r.1, 3),
                false => Cell::Missing("one group has no scatter"),
            },
        )
        .column(
            &rows,
            Column::number("competent classes", PERCENT).key("explained"),
            |r| Cell::figures(r.2, 3),
        )
        .column(
            &rows,
            Column::number("their spread", PERCENT).key("spread"),
            |r| {
                r.3.map_or(Cell::Missing("it is one"), |x| Cell::figures(x, 3))
            },
        )
        .column(
            &rows,
            Column::number("as far by chance", PERCENT).key("probability"),
            |r| Cell::figures(r.4, 2),
        );
    Section::new("this class beside competent ones").with(Block::Table(table))
}

/// The groups.
pub(super) fn groups(c: &ClassJudged) -> Section {
    let rows: Vec<&JudgedGroup> = c.groups.iter().collect();
    let mut table = Table::of("groups", &rows)
        .column(&rows, Column::words("group"), |x| {
            Cell::text(x.name.clone())
        })
        .column(&rows, Column::number("result", KJ_PER_MOL), |x| {
            Cell::given(x.value)
        })
        .column(
            &rows,
            Column::number("from accepted", PERCENT).key("difference"),
            |x| Cell::figures(x.difference, 3),
        )
        .column(&rows, Column::words("in the band"), |x| {
            Cell::text(if x.inside { "yes" } else { "no" })
        });
    if rows.iter().any(|x| x.u.is_some()) {
        table.add(
            &rows,
            Column::number("by its u", PERCENT).key("conforms"),
            |x| {
                x.conforms
                    .map_or(Cell::Missing("no uncertainty stated"), |p| {
                        Cell::figures(p, 2)
                    })
            },
        );
    }
    if rows.iter().any(|x| x.points.is_some()) {
        table.add(&rows, Column::number("points", NONE), |x| {
            x.points.map_or(Cell::Missing("not asked"), Cell::given)
        });
    }
    table.add(&rows, Column::words("remark"), |x| {
        let mut words: Vec<&str> = x.remark.as_deref().into_iter().collect();
        if x.outlying {
            words.push("outlying");
        }
        Cell::text(words.join("; "))
    });
    // Those that a reader looks for first.
    let mut order: Vec<usize> = (0..rows.len()).collect();
    order.sort_by(|a, b| {
        let far = |i: &usize| (rows[*i].difference - c.seen.centre).abs();
        far(b).total_cmp(&far(a))
    });
    order.truncate(GROUPS);
    order.sort_unstable();
    Section::new("the groups").with(Block::Table(table.picked(order)))
}

/// What would fit outlying groups.
pub(super) fn causes(c: &ClassJudged) -> Section {
    let section = Section::new("single mistakes that would fit: a fit is no proof");
    let of_group = |x: &JudgedGroup| {
        let all: Vec<String> = x.causes.iter().map(named).collect();
        format!("{}: {}", x.name, all.join("; "))
    };
    let rows = c.groups.iter().filter(|x| !x.causes.is_empty());
    let all: Vec<String> = rows.map(of_group).collect();
    if all.is_empty() {
        return section;
    }
    section.with(Block::List(all))
}
