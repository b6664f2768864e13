//! The tables of `evaluate`.

use crate::evaluate::{Evaluated, NotedRun, of_leg};
use crate::lab::Coverage;
use crate::measured::Counts;
use crate::report::budget::text::{BudgetStyle, blocks};
use crate::report::document::{
    Block, CELSIUS, Cell, Column, Extent, GRAM, J_PER_K, KELVIN, KJ_PER_MOL, NONE, PERCENT, Place,
    Section, Table,
};
use crate::scenario::{Source, SourceId};

/// A run with its result.
struct Row<'e> {
    run: &'e NotedRun,
    result: f64,
    u: f64,
}

/// The runs of each leg, with what each says.
pub(super) fn runs(e: &Evaluated) -> Vec<Section> {
    let legs = e.scenario.legs();
    let mut sections = Vec::new();
    for (at, leg) in legs.iter().enumerate() {
        let results = e.results(at);
        if results.is_empty() {
            continue;
        }
        let rows: Vec<Row> = of_leg(&e.measured.runs, at)
            .zip(results)
            .zip(&e.u_runs[at])
            .map(|((run, result), u)| Row {
                run,
                result: *result,
                u: *u,
            })
            .collect();
        let unit = || if at == 0 { J_PER_K } else { KJ_PER_MOL };
        let name = if at == 0 { "constant" } else { "result" };
        let mut t = Table::of(&format!("runs-{}", leg.title()), &rows).column(
            &rows,
            Column::words("run"),
            |r| Cell::text(&r.run.label),
        );
        if leg.mass.0 > 0.0 {
            t.add(&rows, Column::number("solid", GRAM), |r| {
                Cell::figures(r.run.seen.solid.0, 5)
            });
        }
        t.add(&rows, Column::number("liquid", GRAM).at(Place::Page), |r| {
            Cell::figures(r.run.seen.liquid.0, 5)
        });
        t.add(
            &rows,
            Column::number("mixing", CELSIUS).at(Place::Page),
            |r| Cell::figures(r.run.seen.mixing.0, 4),
        );
        t.add(&rows, Column::number("change", KELVIN), |r| {
            Cell::figures(r.run.seen.change.0, 4)
        });
        t.add(&rows, Column::number(name, unit()), |r| {
            Cell::by(r.result, r.u)
        });
        t.add(
            &rows,
            Column::number("u alone", unit()).key("u_alone"),
            |r| Cell::figures(r.u, 2),
        );
        t.add(&rows, Column::words("remark"), |r| {
            Cell::text(r.run.remark.clone().unwrap_or_default())
        });
        let heading = match at {
            0 => "calibration runs".to_owned(),
            _ => format!("runs of the {}", leg.title()),
        };
        let table = Block::Table(t.first(4, usize::MAX));
        let section = Section::new(&heading);
        // On a screen the constants are in the sentences.
        sections.push(match at {
            0 => section.detail(table),
            _ => section.with(table),
        });
    }
    sections
}

/// What stood in, and which runs do not count.
pub(super) fn assumed(e: &Evaluated) -> Section {
    let mut all = e.measured.notes.clone();
    all.extend(e.measured.left_out.iter().map(|l| {
        let why = match l.why {
            Counts::Repeated => "was repeated",
            Counts::Rejected | Counts::Yes => "is marked as rejected",
        };
        let remark = l
            .remark
            .as_ref()
            .map_or(String::new(), |r| format!(": {r}"));
        format!("run {} does not count, because it {why}{remark}", l.label)
    }));
    let mut section = Section::new("assumed");
    if !all.is_empty() {
        section = section.with(Block::List(all));
    }
    section
}

/// A source with its share of the variance.
pub(super) struct Share {
    pub(super) name: String,
    pub(super) source: Option<&'static Source>,
    pub(super) share: f64,
}

/// Shares of the linear budget by source, the largest first.
pub(super) fn by_source(e: &Evaluated) -> Vec<Share> {
    let mut all: Vec<Share> = Vec::new();
    for line in &e.budget.lines {
        let source = line.source.map(SourceId::source);
        let name = match source {
            Some(s) => s.key.to_owned(),
            None => format!("observed scatter, {}", line.of),
        };
        let share = e.budget.share(line);
        match all.iter_mut().find(|s| s.name == name) {
            Some(own) => own.share += share,
            None => all.push(Share {
                name,
                source,
                share,
            }),
        }
    }
    all.sort_by(|a, b| b.share.total_cmp(&a.share));
    all
}

/// What makes the uncertainty.
pub(super) fn dominant(e: &Evaluated) -> Section {
    let rows = by_source(e);
    let t = Table::of("evaluate-sources", &rows)
        .column(&rows, Column::code("source"), |s| Cell::text(&s.name))
        .column(
            &rows,
            Column::number("of the variance", PERCENT).key("share"),
            |s| Cell::figures(s.share, 2),
        )
        .column(&rows, Column::words("what it is").at(Place::Page), |s| {
            Cell::text(
                s.source
                    .map_or("scatter of the runs as observed", |s| s.doc),
            )
        });
    Section::new("what makes the uncertainty").detail(Block::Table(t))
}

/// How runs agree.
pub(super) fn agreement(e: &Evaluated) -> Section {
    let legs = e.scenario.legs();
    let rows: Vec<_> = e
        .consistency
        .iter()
        .enumerate()
        .filter_map(|(at, c)| Some((at, c.as_ref()?)))
        .collect();
    let in_unit = |at: usize, x: f64| if at == 0 { x } else { x / 1e3 };
    let t = Table::of("evaluate-agreement", &rows)
        .column(&rows, Column::words("runs"), |(at, _)| {
            Cell::text(match at {
                0 => "constants, J/K".to_owned(),
                _ => format!("{}, kJ/mol", legs[*at].title()),
            })
        })
        .column(&rows, Column::number("n", NONE), |(_, c)| {
            Cell::given(c.n as f64)
        })
        .column(
            &rows,
            Column::number("observed s", NONE).key("observed"),
            |(at, c)| Cell::figures(in_unit(*at, c.observed), 2),
        )
        .column(
            &rows,
            Column::number("explained s", NONE).key("explained"),
            |(at, c)| Cell::figures(in_unit(*at, c.explained), 2),
        )
        .column(
            &rows,
            Column::number("chi-square", NONE).key("chi_square"),
            |(_, c)| Cell::figures(c.chi_square, 3),
        )
        .column(&rows, Column::number("percentile", PERCENT), |(_, c)| {
            Cell::figures(c.percentile, 2)
        })
        .column(
            &rows,
            Column::number("Birge ratio", NONE).key("birge_ratio"),
            |(_, c)| Cell::figures(c.birge, 2),
        );
    let mut section = Section::new("do the runs agree?").in_full();
    if !rows.is_empty() {
        section = section.detail(Block::Table(t)).detail(Block::text(
            "Percentile: share of groups whose runs would agree better if nothing but the instruments made them scatter. \
             Birge ratio: 1 where the scatter is what the instruments explain.",
        ));
    }
    section
}

/// What one change would do.
pub(super) fn changes(e: &Evaluated) -> Section {
    let rows = &e.changes;
    let t = Table::of("evaluate-changes", rows)
        .column(rows, Column::words("change"), |c| Cell::text(&c.words))
        .column(
            rows,
            Column::number("of the standard u left", PERCENT).key("u_ratio"),
            |c| Cell::figures(c.ratio, 3),
        )
        .first(3, usize::MAX);
    Section::new("what one change would do")
        .detail(Block::Table(t))
        .detail(Block::text(
            "By the first-order budget of these runs; relative to the result.",
        ))
}

/// The linear budget.
pub(super) fn budget(e: &Evaluated) -> Section {
    let style = BudgetStyle {
        unit: "kJ/mol".to_owned(),
        size: 1e3,
        largest: None,
        digits: 2,
        coverage: Coverage {
            probability: 0.95,
            whole: false,
        },
    };
    let mut section = Section::new("first-order budget").in_full();
    let all = blocks(&e.budget, &style).into_iter();
    section.blocks.extend(all.map(|b| (Extent::Full, b)));
    section
}
