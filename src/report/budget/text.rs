//! Any budget of uncertainty: what each quantity contributes, and how that comes about.
//!
//! All columns do not fit side by side on a screen, so there they come in two tables of numbered lines; files and
//! page have them in one.

use super::data::per;
use crate::lab::{BudgetLine, Coverage, LinearBudget};
use crate::report::document::{
    Block, Cell, Column, Digits, Document, Extent, Kind, NONE, PERCENT, Place, Section, Table,
    Unit, figures,
};
use crate::report::render::{Screen, document_text, table_csv};
use crate::report::words::{WIDTH, percent};
use std::borrow::Cow;

/// How a budget is printed.
#[derive(Debug, Clone)]
pub struct BudgetStyle {
    /// Unit for the result and everything that is in its unit.
    pub unit: String,
    /// Units of the budget in one of that.
    pub size: f64,
    /// Only so many lines, the largest first; without it all, in their own order.
    pub largest: Option<usize>,
    /// Digits of uncertainties.
    pub digits: u32,
    /// What the expanded uncertainty is to cover.
    pub coverage: Coverage,
}

impl BudgetStyle {
    /// All lines in the budget's own unit, two digits, 95 % from whole degrees of freedom.
    pub fn of(budget: &LinearBudget) -> Self {
        Self {
            unit: budget.unit.clone().into_owned(),
            size: 1.0,
            largest: None,
            digits: 2,
            coverage: Coverage {
                probability: 0.95,
                whole: true,
            },
        }
    }
}

/// The tables, and below them the result with its combined and its expanded uncertainty.
pub fn budget_text(b: &LinearBudget, style: &BudgetStyle) -> String {
    let mut document = Document::new("", String::new());
    let mut section = Section::new("");
    section.blocks = blocks(b, style)
        .into_iter()
        .map(|x| (Extent::Brief, x))
        .collect();
    document.add(section);
    let screen = Screen {
        width: WIDTH,
        extent: Extent::Full,
    };
    document_text(&document, screen)
}

/// All lines with all columns, as a file has them.
///
/// # Errors
/// If a record cannot be written, which memory does not refuse.
pub fn budget_csv(b: &LinearBudget, provenance: &str) -> Result<Vec<u8>, csv::Error> {
    let lines: Vec<Line<'_>> = (1..).zip(&b.lines).collect();
    let unit = Unit {
        shown: Cow::Borrowed(""),
        per: 1.0,
        suffix: Cow::Owned(super::data::suffix(&b.unit)),
    };
    table_csv(&amounts(b, &lines, &BudgetStyle::of(b), &unit), provenance)
}

/// The same as blocks of a document.
pub(in crate::report) fn blocks(b: &LinearBudget, style: &BudgetStyle) -> Vec<Block> {
    let mut lines: Vec<&BudgetLine> = b.lines.iter().collect();
    if style.largest.is_some() {
        lines.sort_by(|x, y| y.variance.total_cmp(&x.variance));
    }
    let lines: Vec<(usize, &BudgetLine)> = (1..).zip(lines).collect();
    let shown = style.largest.unwrap_or(lines.len()).min(lines.len());
    let unit = Unit {
        shown: Cow::Owned(style.unit.clone()),
        per: style.size,
        suffix: Cow::Owned(super::data::suffix(&b.unit)),
    };
    let mut all = vec![
        Block::text(format!(
            "u(y): contribution of one line to the standard uncertainty of the result, in {}; share: c cov(x, y) / u_c^2.",
            style.unit
        )),
        Block::Table(amounts(b, &lines, style, &unit).first(shown, shown)),
    ];
    let rest: f64 = lines[shown..].iter().map(|(_, l)| l.variance).sum();
    if shown < lines.len() {
        let share = percent(rest / (b.u * b.u));
        all.push(Block::text(format!("Smaller lines together: {share}.")));
    }
    all.push(Block::text(format!(
        "x: value that the result is calculated with (0 for an error that is not corrected) and its standard uncertainty \
         u, in the unit of the quantity; c: sensitivity coefficient, {} for one of that unit; type of evaluation A or B.",
        style.unit
    )));
    all.push(Block::Table(origins(&lines[..shown], style, &unit)));
    all.push(Block::text(summary(b, style)));
    all
}

type Line<'a> = (usize, &'a BudgetLine);

fn number(head: &str) -> Column {
    Column::number(head, NONE)
}

/// Line, name, where it enters, scope, symbol, contribution, share; for page and files also how it comes about.
fn amounts(b: &LinearBudget, lines: &[Line<'_>], style: &BudgetStyle, unit: &Unit) -> Table {
    let in_chain = b.lines.iter().any(|l| !l.of.is_empty());
    let scoped = b.lines.iter().any(|l| l.quantity.scope.is_some());
    let place = |there: bool| if there { Place::Screen } else { Place::File };
    let mut contribution = number("u(y)").key("contribution");
    contribution.unit = unit.clone();
    let t = Table::of("budget", lines)
        .column(lines, Column::code("line").at(Place::People), |(i, _)| {
            Cell::text(format!("{i}."))
        })
        .column(
            lines,
            Column::new(
                "quantity",
                if in_chain { Kind::Code } else { Kind::Words },
                NONE,
            ),
            |(_, l)| Cell::text(&*l.quantity.name),
        );
    let t = match in_chain {
        true => t.column(
            lines,
            Column::words("enters").at(Place::People),
            |(_, l)| Cell::text(short_side(&l.of)),
        ),
        false => t,
    };
    let t = t
        .column(lines, Column::code("enters").at(Place::File), |(_, l)| {
            Cell::text(&*l.of)
        })
        .column(lines, Column::code("scope").at(place(scoped)), |(_, l)| {
            Cell::text(l.quantity.scope.map_or("", |s| s.name()))
        })
        .column(lines, Column::code("symbol"), |(_, l)| {
            Cell::text(&*l.quantity.symbol)
        })
        .column(lines, contribution, |(_, l)| {
            Cell::figures(l.contribution, style.digits)
        })
        .column(lines, Column::number("share", PERCENT), |(_, l)| {
            share(b.share(l))
        });
    described(t, lines, style, unit, Place::Page).column(
        lines,
        Column::code("sensitivity unit").at(Place::File),
        |(_, l)| Cell::text(per(&b.unit, &l.quantity.unit)),
    )
}

/// Three figures, but nothing beyond a thousandth of a per cent.
fn share(share: f64) -> Cell {
    Cell::Number {
        value: share,
        se: None,
        digits: match share.abs() >= 0.01 {
            true => Digits::Figures(3),
            false => Digits::By(1e-5, 1),
        },
    }
}

/// The second table of a screen.
fn origins(lines: &[Line<'_>], style: &BudgetStyle, unit: &Unit) -> Table {
    let t = Table::of("", lines)
        .column(lines, Column::code("line").at(Place::People), |(i, _)| {
            Cell::text(format!("{i}."))
        })
        .column(lines, Column::code("symbol"), |(_, l)| {
            Cell::text(&*l.quantity.symbol)
        });
    described(t, lines, style, unit, Place::Screen)
}

/// Value, uncertainty, unit, sensitivity, type, distribution, degrees of freedom.
fn described(
    t: Table,
    lines: &[Line<'_>],
    style: &BudgetStyle,
    unit: &Unit,
    place: Place,
) -> Table {
    let n = style.digits;
    let sensitivity = Unit {
        shown: Cow::Borrowed(""),
        per: unit.per,
        suffix: Cow::Owned(format!("{}_per_unit", unit.suffix)),
    };
    let mut c = number("c").key("sensitivity").at(place);
    c.unit = sensitivity;
    t.column(lines, number("x").key("value").at(place), |(_, l)| {
        Cell::Number {
            value: l.quantity.value,
            se: None,
            digits: Digits::By(l.quantity.u, n),
        }
    })
    .column(lines, number("u").at(place), |(_, l)| {
        Cell::figures(l.quantity.u, n)
    })
    .column(lines, Column::code("unit").at(place), |(_, l)| {
        Cell::text(&*l.quantity.unit)
    })
    .column(lines, c, |(_, l)| Cell::figures(l.sensitivity, n))
    .column(lines, Column::code("type").at(place), |(_, l)| {
        Cell::text(l.quantity.evaluated.letter())
    })
    .column(lines, Column::words("distribution").at(place), |(_, l)| {
        Cell::text(&*l.quantity.distribution)
    })
    .column(lines, number("dof").at(place), |(_, l)| {
        Cell::text(degrees(l.quantity.dof))
    })
}

/// Result, combined uncertainty, degrees of freedom, k and U.
fn summary(b: &LinearBudget, style: &BudgetStyle) -> String {
    let unit = &style.unit;
    let value = crate::report::document::by_uncertainty(
        b.value / style.size,
        b.u / style.size,
        style.digits,
    );
    let used = style.coverage.dof(b.dof);
    let taken = if degrees(used) == degrees(b.dof) {
        String::new()
    } else {
        format!(" (taken as {})", degrees(used))
    };
    format!(
        "Result {value} {unit}, u_c = {} {unit}, effective degrees of freedom {}{taken}, k = {:.2}, U = {} {unit} \
         ({} %).",
        figures(b.u / style.size, style.digits),
        degrees(b.dof),
        style.coverage.factor(b.dof),
        figures(b.expanded(style.coverage) / style.size, style.digits),
        100.0 * style.coverage.probability,
    )
}

/// To a tenth, whole ones without a point.
fn degrees(dof: f64) -> String {
    if dof > 9999.0 || !dof.is_finite() {
        "inf".to_owned()
    } else {
        let text = format!("{dof:.1}");
        text.strip_suffix(".0").unwrap_or(&text).to_owned()
    }
}

fn short_side(of: &str) -> &str {
    match of {
        "calibration" => "cal.",
        "determination" => "det.",
        other => other,
    }
}
