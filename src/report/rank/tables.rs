//! The tables of a ranking.

use crate::rank::{Better, Ranked, Ranking, Share, Side, Sides};
use crate::report::document::{
    Block, Cell, Column, Digits, KJ_PER_MOL, NONE, PERCENT, Place, Section, Table, figures,
};
use crate::report::words::{count, percent};
use crate::scenario::Scenario;
use crate::stats::Estimate;

/// Rows in brief, and on any screen.
const ROWS: (usize, usize) = (5, 14);

/// How a ranking takes the last digit of a display, and what it cannot show therefore.
pub(super) fn last_digit(scenario: &Scenario) -> &'static str {
    let legs = scenario.legs();
    let mut used = legs.iter().filter(|leg| leg.runs > 0);
    if used.any(|leg| leg.noise_within_a_digit()) {
        "The last digit of a display counts as an independent error; in truth noise below a digit also spreads the \
         readings over several digits, so that a quieter thermometer with the same display can be worse: `loosen` \
         rounds each reading."
    } else {
        "The last digit of a display counts as an independent error."
    }
}

fn share(s: &Share) -> Cell {
    Cell::Number {
        value: s.value,
        se: Some(s.se),
        digits: Digits::By(s.se.max(1e-6), 1),
    }
}

fn ends(s: &Share) -> Cell {
    Cell::Interval {
        low: s.low,
        high: s.high,
        digits: Digits::By(s.se.max(1e-6), 1),
    }
}

/// Columns of shares.
fn shares<T>(
    t: Table,
    rows: &[T],
    total: impl Fn(&T) -> &Share,
    first: impl Fn(&T) -> &Share,
) -> Table {
    let number = |head: &str, key: &str| Column::number(head, PERCENT).key(key);
    t.column(rows, number("total", "total_share"), |x| share(total(x)))
        .column(
            rows,
            Column::interval("interval", PERCENT).key("total"),
            |x| ends(total(x)),
        )
        .column(rows, number("alone", "first_order_share"), |x| {
            share(first(x))
        })
        .column(
            rows,
            Column::interval("alone, interval", PERCENT)
                .key("first_order")
                .at(Place::Page),
            |x| ends(first(x)),
        )
}

/// Columns of what a better source brings.
fn gains<T>(t: Table, rows: &[T], place: Place, of: impl Fn(&T) -> &Better) -> Table {
    let column = |head: &str, key: &str| Column::number(head, KJ_PER_MOL).key(key).at(place);
    let three = |e: Estimate| Cell::value_of(e, 3);
    t.column(rows, column("RMS halved", "rms_halved"), |x| {
        three(of(x).halved.rms)
    })
    .column(rows, column("RMS without", "rms_perfect"), |x| {
        three(of(x).perfect.rms)
    })
    .column(rows, column("spread without", "spread_perfect"), |x| {
        three(of(x).perfect.sd)
    })
    .column(
        rows,
        Column::estimate("gain", KJ_PER_MOL)
            .key("rms_gain")
            .at(place),
        |x| Cell::estimate(of(x).gain_if_perfect.rms),
    )
}

fn scope(s: &Ranked) -> Cell {
    Cell::text(s.source.scope.name())
}

fn key(s: &Ranked) -> Cell {
    Cell::text(s.source.key)
}

/// Sources and families by their shares of the variance.
pub(super) fn variance(r: &Ranking) -> Section {
    let rows = &r.sources;
    let t = Table::of("sources", rows)
        .column(rows, Column::number("rank", NONE), |s| {
            Cell::given(s.rank as f64)
        })
        .column(rows, Column::code("source"), key)
        .column(rows, Column::words("family").at(Place::Page), |s| {
            Cell::text(s.source.family.name())
        })
        .column(rows, Column::words("scope"), scope)
        .column(rows, Column::words("one-sided").at(Place::File), |s| {
            Cell::text(s.one_sided.to_string())
        });
    let t = shares(t, rows, |s| &s.share.total, |s| &s.share.first)
        .column(
            rows,
            Column::estimate("bias", KJ_PER_MOL).at(Place::File),
            |s| Cell::estimate(s.better.gain_if_perfect.mean),
        )
        .column(
            rows,
            Column::number("RMS now", KJ_PER_MOL).at(Place::File),
            |_| Cell::value_of(r.now.rms, 3),
        );
    let t = gains(t, rows, Place::File, |s| &s.better).first(ROWS.0, ROWS.1);
    let families = &r.families;
    let f = Table::of("families", families)
        .column(families, Column::number("rank", NONE), |f| {
            Cell::given(f.rank as f64)
        })
        .column(families, Column::code("family"), |f| {
            Cell::text(f.family.name())
        });
    let f = shares(f, families, |f| &f.share.total, |f| &f.share.first);
    let [alone, total] = [&r.sums[0], &r.sums[1]].map(|s| percent(s.value));
    let mut said = format!("All sources alone sum to {alone}, totals to {total}.");
    if (r.sums[1].value - r.sums[0].value) > 0.05 {
        said.push_str(
            " The difference is interaction: sources that matter only together, such as a probability and what it \
             decides, or a reagent that runs out.",
        );
    }
    let mut section = Section::new("share of the variance by source")
        .detail(Block::text(format!(
            "Total: share of the variance of the result's error, including interactions, with its 95 % interval; alone: \
             without interactions. Sources that these trials cannot distinguish share a rank. {}",
            last_digit(&r.scenario)
        )))
        .with(Block::Table(t))
        .detail(Block::text(said))
        .detail(Block::Table(f));
    if r.nonfinite > 0 {
        let left = count(r.nonfinite);
        section = section.with(Block::note(format!(
            "{left} trials gave no finite result and are left out."
        )));
    }
    section
}

/// Sources whose bias these trials can detect, the largest first.
pub(super) fn bias(r: &Ranking) -> Section {
    let own = |s: &&Ranked| s.better.gain_if_perfect.mean;
    let mut seen: Vec<&Ranked> = r.sources.iter().filter(|s| own(s).is_seen()).collect();
    seen.sort_by(|a, b| own(b).value.abs().total_cmp(&own(a).value.abs()));
    let section = Section::new("bias by cause, each removed in turn");
    if seen.is_empty() {
        return section.with(Block::text(
            "No source makes a bias that these trials can detect.",
        ));
    }
    let size = |s: &&Ranked| own(s).value * r.target.signum() / r.target.abs();
    let t = Table::of("bias", &seen)
        .column(&seen, Column::code("source"), |s| key(s))
        .column(&seen, Column::words("scope"), |s| scope(s))
        .column(&seen, Column::estimate("bias", KJ_PER_MOL), |s| {
            Cell::estimate(own(s))
        })
        .column(&seen, Column::number("of the magnitude", PERCENT), |s| {
            Cell::figures(size(s), 3)
        })
        .column(&seen, Column::words("").at(Place::People), |s| {
            Cell::text(if s.one_sided { "one-sided" } else { "" })
        })
        .column(&seen, Column::words("one-sided").at(Place::File), |s| {
            Cell::text(s.one_sided.to_string())
        })
        .first(2, ROWS.1);
    section
        .detail(Block::text(
            "Mean error with the source less that without it, on the same random numbers; minus in the last number: \
             the magnitude is too small. Listed if it exceeds three standard errors.",
        ))
        .with(Block::Table(t))
}

/// What halving and removing each source would bring.
pub(super) fn better(r: &Ranking) -> Section {
    let gain = |b: &Better| b.gain_if_perfect.rms.value;
    let mut sources: Vec<&Ranked> = r.sources.iter().collect();
    sources.sort_by(|a, b| gain(&b.better).total_cmp(&gain(&a.better)));
    let t = Table::of("improvement", &sources).column(&sources, Column::code("source"), |s| key(s));
    let t = gains(t, &sources, Place::Screen, |s| &s.better).first(ROWS.0, ROWS.1);
    let families = &r.families;
    let f =
        Table::of("improvement-families", families).column(families, Column::code("family"), |f| {
            Cell::text(f.family.name())
        });
    let now = figures(r.now.rms.value / 1e3, 3);
    Section::new("improvement of the RMS error by source")
        .detail(Block::text(format!(
            "RMS error now {now} kJ/mol; with the error of one source halved, and without it:"
        )))
        .detail(Block::Table(t))
        .detail(Block::Table(gains(f, families, Place::Screen, |f| {
            &f.better
        })))
        .detail(Block::text(
            "A one-sided error that is removed loses its bias too.",
        ))
}

/// Sources that err in calibration and determination.
pub(super) fn sides(r: &Ranking) -> Section {
    let worth = |s: &&Sides| {
        s.calibration.spread.value.max(s.determination.spread.value) > 0.02 * r.now.sd.value
    };
    let rows: Vec<&Sides> = r.sides.iter().filter(worth).collect();
    let section = Section::new("effect through calibration and through determination").in_full();
    if rows.is_empty() {
        return section.detail(Block::text("No source errs in both kinds of runs."));
    }
    let of = |head: &str| Column::number(head, KJ_PER_MOL);
    let cancels = |unit, place| Column::number("cancels", unit).at(place);
    let cell = |s: &Side| Cell::value_of(s.spread, 2);
    let t = Table::of("sides", &rows)
        .column(&rows, Column::code("source"), |s| Cell::text(s.source.key))
        .column(&rows, of("calibration"), |s| cell(&s.calibration))
        .column(&rows, of("determination"), |s| cell(&s.determination))
        .column(&rows, of("both"), |s| cell(&s.both))
        .column(&rows, cancels(PERCENT, Place::People), |s| {
            match s.cancels.abs() < 0.05 {
                true => Cell::Missing("nothing cancels that these trials can detect"),
                false => Cell::figures(s.cancels, 2),
            }
        })
        .column(&rows, cancels(NONE, Place::File), |s| {
            Cell::given(s.cancels)
        })
        .first(ROWS.0, ROWS.1);
    section
        .detail(Block::text(
            "Spread that a source makes through the runs of one kind, and through both. Cancels: part of the sum of \
             the two variances that is gone when both act; below zero they add up.",
        ))
        .detail(Block::Table(t))
}

/// Shares by scope, and the spread that no number of runs averages.
pub(super) fn scopes(r: &Ranking) -> Section {
    let rows = &r.scopes;
    let t = Table::of("scopes", rows)
        .column(rows, Column::code("scope"), |s| Cell::text(&*s.name))
        .column(
            rows,
            Column::number("of variance", PERCENT).key("total_share"),
            |s| share(&s.total),
        )
        .column(
            rows,
            Column::interval("interval", PERCENT).key("total"),
            |s| ends(&s.total),
        )
        .column(rows, Column::words("averaged by"), |s| {
            Cell::text(match s.name.as_str() {
                "reading" | "run" => "more runs",
                "group" => "more groups only",
                _ => "nothing",
            })
        });
    let states = [
        ("now", r.now.sd),
        ("with infinitely many runs of both kinds", r.floor),
    ];
    let floor = Table::of("spread", &states)
        .column(&states, Column::words("").key("what"), |s| Cell::text(s.0))
        .column(&states, Column::estimate("spread", KJ_PER_MOL), |s| {
            Cell::estimate(s.1)
        });
    Section::new("what repetition averages")
        .detail(Block::Table(t))
        .detail(Block::Table(floor))
}
