//! The tables of a forecast.

use crate::forecast::{ClaimCoverage, Forecast};
use crate::lab::BudgetLine;
use crate::report::document::{Block, Cell, Column, Digits, KJ_PER_MOL, PERCENT, Section, Table};
use crate::report::words::{is_given, kj};
use crate::scenario::RunEffects;
use crate::stats::{Estimate, IntervalKind};

/// Rows of the budget in brief, and on any screen.
const ROWS: (usize, usize) = (2, 12);

/// A claim that holds less often than this is not to be made.
const LOW: f64 = 0.9;

/// A number of the result: its name, the number, and the same relative to the result.
pub(super) type Line = (String, Cell, Cell);

/// A line of an estimate in J/mol.
pub(super) fn line(f: &Forecast, name: &str, e: Estimate) -> Line {
    (
        name.to_owned(),
        Cell::estimate(e),
        relative(e, f.target.abs()),
    )
}

/// An estimate relative to a size, rounded by its error, which is not shown.
fn relative(e: Estimate, size: f64) -> Cell {
    let digits = if e.se > 0.0 {
        Digits::By(e.se / size.abs(), 1)
    } else {
        Digits::Figures(3)
    };
    Cell::Number {
        value: e.value / size,
        se: None,
        digits,
    }
}

/// Such lines, without those that there is no number for.
pub(super) fn lines(name: &str, mut all: Vec<Line>) -> Table {
    all.retain(|(_, cell, _)| !matches!(cell, Cell::Missing(_)));
    Table::of(name, &all)
        .column(&all, Column::words("").key("what"), |l| Cell::text(&*l.0))
        .column(&all, Column::estimate("", KJ_PER_MOL).key("value"), |l| {
            l.1.clone()
        })
        .column(&all, Column::number("of the magnitude", PERCENT), |l| {
            l.2.clone()
        })
}

/// Bias, spread and interval.
pub(super) fn result(f: &Forecast) -> Section {
    let u = f.scenario.tabulated_u().0;
    let s = &f.value;
    let line = |name: &str, e: Estimate| line(f, name, e);
    let bare = |name: &str, e: Estimate| {
        (
            name.to_owned(),
            Cell::estimate(e),
            Cell::Missing("no part of the result"),
        )
    };
    let kind = match f.value.interval.kind {
        IntervalKind::Symmetric => "95 % of groups, from",
        IntervalKind::Shortest => "95 % of groups, shortest, from",
    };
    let mut bias = line("bias", f.bias);
    bias.2 = relative(f.bias, f.target);
    let mut all = vec![
        bias,
        line("spread (standard deviation)", f.spread),
        line("distance that 95 % of groups stay within", f.within),
        line("RMS error", f.rms),
        bare("mean", s.mean),
        bare("median", s.median),
        bare(kind, f.value.interval.low),
        bare("to", f.value.interval.high),
    ];
    if let Some(m) = &f.beside.medium {
        let taken = Estimate::new(f.target, m.shift.mean.se);
        all.push(bare("true value in the medium, mean", taken));
    } else {
        let digits = if u > 0.0 && !is_given(f.target) {
            Digits::By(u, 2)
        } else {
            Digits::Given
        };
        let mut taken = bare("accepted value, taken as true", s.mean);
        taken.1 = Cell::Number {
            value: f.target,
            se: None,
            digits,
        };
        let mut of_taken = line("u of the accepted value, not drawn", Estimate::new(u, 0.0));
        of_taken.1 = Cell::figures(u, 2);
        all.extend([taken, of_taken]);
        if f.has_spread() {
            all.push(line(
                "u of the difference from the accepted value",
                f.compared(),
            ));
        }
    }
    let at = f.scenario.target.quote_at.0;
    let state = &f.scenario.determination.reaction.state;
    let t = lines("forecast-result", all).first(3, usize::MAX);
    Section::new(&format!("result: | molar enthalpy at {at} °C, {state}")).with(Block::Table(t))
}

/// Variance that shares are counted of: that of all trials, or the budget's if chance made it the larger one.
pub(super) fn total_variance(f: &Forecast) -> f64 {
    (f.spread.value * f.spread.value).max(f.budget.u * f.budget.u)
}

/// Lines of the first-order budget as shares of the whole variance, and what is not in it.
pub(super) fn spread(f: &Forecast) -> Section {
    let total = total_variance(f);
    // JSON has all lines, also those that do nothing.
    let real = |l: &&BudgetLine| l.variance > 1e-6 * total;
    let mut all: Vec<(String, &str, &str, f64)> = f
        .budget
        .lines
        .iter()
        .filter(real)
        .map(|l| {
            let scope = l.quantity.scope.map_or("", |s| s.name());
            (
                l.quantity.name.clone().into_owned(),
                &*l.of,
                scope,
                l.variance,
            )
        })
        .collect();
    let unseen = total - f.budget.u * f.budget.u;
    if unseen > 0.02 * total {
        all.push(("not in the budget".to_owned(), "", "", unseen));
    }
    all.sort_by(|a, b| b.3.total_cmp(&a.3));
    let t = Table::of("forecast-spread", &all)
        .column(&all, Column::code("source"), |l| Cell::text(&*l.0))
        .column(&all, Column::code("enters"), |l| Cell::text(l.1))
        .column(&all, Column::code("scope"), |l| Cell::text(l.2))
        .column(&all, Column::number("u", KJ_PER_MOL), |l| {
            Cell::figures(l.3.sqrt(), 2)
        })
        .column(&all, Column::number("of the variance", PERCENT), |l| {
            Cell::figures(l.3 / total, 3)
        })
        .first(ROWS.0, ROWS.1);
    let how = match f.scenario.lab.run_effects {
        RunEffects::Stated => "as the instruments state them",
        RunEffects::Scatter => "by observed scatter",
    };
    Section::new("what makes the spread")
        .detail(Block::text(format!(
            "First-order budget of a group whose errors are all zero, run effects {how}: u_c = {} kJ/mol; the trials \
             spread by {}. Repeating runs averages the scopes reading and run.",
            kj(f.budget.u),
            kj(f.spread.value)
        )))
        .with(Block::Table(t))
}

/// One-sided errors, errors without a term in the budget, and choices of the lab.
pub(super) fn causes(f: &Forecast) -> Section {
    let section = Section::new("bias by cause, each removed in turn").in_full();
    let unseen = |c: &crate::forecast::Cause| !c.in_budget() && c.spread_without < 0.98;
    let all: Vec<_> = f
        .causes
        .iter()
        .filter(|c| c.bias.is_seen() || unseen(c))
        .collect();
    if all.is_empty() {
        return section.detail(Block::text(
            "No cause makes a bias that these trials can detect.",
        ));
    }
    let t = Table::of("forecast-bias", &all)
        .column(&all, Column::code("source or choice").key("source"), |c| {
            Cell::text(c.key)
        })
        .column(&all, Column::words("scope"), |c| Cell::text(c.scope.name()))
        .column(&all, Column::estimate("bias", KJ_PER_MOL), |c| {
            Cell::estimate(c.bias)
        })
        .column(&all, Column::number("of the magnitude", PERCENT), |c| {
            relative(c.bias, f.target)
        })
        .column(&all, Column::number("spread without", PERCENT), |c| {
            Cell::figures(c.spread_without, 3)
        })
        .first(ROWS.1, ROWS.1);
    section
        .detail(Block::text(
            "One-sided errors, errors without a term in the budget, and choices of the lab, each removed or replaced on the \
             same random numbers. Minus: the magnitude is too small; spread without: in percent of the spread now. Listed: \
             a bias beyond three standard errors, or a spread of more than 2 % that the budget has no term for.",
        ))
        .detail(Block::Table(t))
}

/// Coverage of the lab's claims.
pub(super) fn claims(f: &Forecast) -> Section {
    let n = f.scenario.determination.runs;
    let of_scatter = match f.scenario.is_cycle() {
        true => "scatter of the runs of all legs".to_owned(),
        false => format!("scatter of {n} determinations"),
    };
    let claims = [
        (of_scatter, f.scatter_claim),
        ("first-order budget".to_owned(), f.linear_claim),
    ];
    let all: Vec<(String, ClaimCoverage)> = claims
        .into_iter()
        .filter_map(|(name, c)| Some((name, c?)))
        .collect();
    let t = Table::of("forecast-claims", &all)
        .column(
            &all,
            Column::words("95 % interval from").key("claim"),
            |c| Cell::text(&*c.0),
        )
        .column(&all, Column::number("mean half-width", KJ_PER_MOL), |c| {
            Cell::value_of(c.1.half_width, 2)
        })
        .column(
            &all,
            Column::estimate("holds the true value", PERCENT).key("coverage"),
            |c| Cell::estimate(c.1.coverage),
        );
    let section = Section::new("what groups may claim").with(Block::Table(t));
    let held = |c: &ClaimCoverage| c.coverage.value;
    let said = match (&f.scatter_claim, &f.linear_claim) {
        (None, _) if n < 2 => {
            "One determination shows no scatter, so that it allows no claim from it."
        }
        (Some(s), Some(l)) if held(s).max(held(l)) < LOW => {
            "Trust neither: there are errors that runs share, and errors unknown to groups."
        }
        (Some(s), Some(l)) if held(s) < LOW && held(l) > LOW => {
            "State the budget: scatter does not show errors that runs share."
        }
        _ => return section,
    };
    // The sentences of a cycle leave no line for it on one screen.
    match f.scenario.is_cycle() {
        true => section.detail(Block::text(said)),
        false => section.with(Block::text(said)),
    }
}
