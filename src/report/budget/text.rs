//! The table of any budget of uncertainty, for 80 columns.
//!
//! All columns do not fit side by side, so lines are numbered and come in two blocks: what each amounts to,
//! and how it comes about.

use crate::lab::{BudgetLine, Coverage, LinearBudget};
use crate::report::words::{paragraph, percent, table_in_columns};
use crate::stats::quote;

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

/// Both blocks, and below them the result with its combined and its expanded uncertainty.
pub fn budget_text(b: &LinearBudget, style: &BudgetStyle) -> String {
    let mut lines: Vec<&BudgetLine> = b.lines.iter().collect();
    if style.largest.is_some() {
        lines.sort_by(|x, y| y.variance.total_cmp(&x.variance));
    }
    let shown = style.largest.unwrap_or(lines.len()).min(lines.len());
    let (shown, rest) = lines.split_at(shown);
    let mut out = paragraph(
        &format!(
            "u(y) is what a line alone would give the result, in {}; its share of the variance is c cov(x, y) / \
             u_c^2.",
            style.unit
        ),
        2,
    );
    out.push_str(&amounts(b, shown, style));
    if !rest.is_empty() {
        let variance: f64 = rest.iter().map(|l| l.variance).sum();
        out.push_str(&paragraph(
            &format!(
                "{} smaller lines together {}; all are in the files.",
                rest.len(),
                percent(variance / (b.u * b.u))
            ),
            2,
        ));
    }
    out.push('\n');
    out.push_str(&paragraph(
        &format!(
            "Value that the result is worked out with (0 for an error) and its standard uncertainty u, in the \
             quantity's unit; sensitivity coefficient c in {} for one of that unit; type of evaluation A or B.",
            style.unit
        ),
        2,
    ));
    out.push_str(&origins(shown, style));
    out.push('\n');
    out.push_str(&paragraph(&summary(b, style), 2));
    out
}

/// Number, name, where it enters, scope, symbol, contribution, share.
fn amounts(b: &LinearBudget, lines: &[&BudgetLine], style: &BudgetStyle) -> String {
    let in_chain = b.lines.iter().any(|l| !l.of.is_empty());
    let scoped = b.lines.iter().any(|l| l.quantity.scope.is_some());
    let mut header = vec!["", "quantity"];
    header.extend(in_chain.then_some("enters"));
    header.extend(scoped.then_some("scope"));
    header.extend(["symbol", "u(y)", "share"]);
    let rows = lines.iter().enumerate().map(|(i, l)| {
        let q = &l.quantity;
        let mut row = vec![format!("{}.", i + 1), q.name.clone().into_owned()];
        row.extend(in_chain.then(|| short_side(&l.of).to_owned()));
        row.extend(scoped.then(|| q.scope.map_or("", |s| s.name()).to_owned()));
        row.push(q.symbol.clone().into_owned());
        row.push(digits(l.contribution / style.size, style.digits));
        row.push(percent(b.share(l)));
        row
    });
    let last = header.len() - 1;
    // Keys must stay whole; names in words may be wrapped.
    let flexible = if in_chain { 2 } else { 1 };
    table_in_columns(&header, rows.collect(), &[0, last - 1, last], flexible)
}

/// Number, symbol, value, uncertainty, unit, sensitivity, type, distribution, degrees of freedom.
fn origins(lines: &[&BudgetLine], style: &BudgetStyle) -> String {
    let rows = lines.iter().enumerate().map(|(i, l)| {
        let q = &l.quantity;
        let (value, u) = with_uncertainty(q.value, q.u, style.digits);
        vec![
            format!("{}.", i + 1),
            q.symbol.clone().into_owned(),
            value,
            u,
            q.unit.clone().into_owned(),
            digits(l.sensitivity / style.size, style.digits),
            q.evaluated.letter().to_owned(),
            q.distribution.clone().into_owned(),
            degrees(q.dof),
        ]
    });
    let header = [
        "",
        "symbol",
        "value",
        "u",
        "unit",
        "c",
        "type",
        "distribution",
        "dof",
    ];
    table_in_columns(&header, rows.collect(), &[0, 2, 3, 5, 8], 7)
}

/// Result, combined uncertainty, degrees of freedom, k and U.
fn summary(b: &LinearBudget, style: &BudgetStyle) -> String {
    let unit = &style.unit;
    let (value, u) = with_uncertainty(b.value / style.size, b.u / style.size, style.digits);
    let used = style.coverage.dof(b.dof);
    let taken = if degrees(used) == degrees(b.dof) {
        String::new()
    } else {
        format!(" (taken as {})", degrees(used))
    };
    format!(
        "Result {value} {unit}, u_c = {u} {unit}, effective degrees of freedom {}{taken}, k = {:.2}, U = {} {unit} \
         ({} %).",
        degrees(b.dof),
        style.coverage.factor(b.dof),
        digits(b.expanded(style.coverage) / style.size, style.digits),
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

/// Whether zeros would hide the digits of a number.
fn needs_power(size: f64) -> bool {
    size != 0.0 && !(1e-3..1e5).contains(&size)
}

/// So many digits, with a power of ten where zeros would hide them; nothing for what is no number.
fn digits(x: f64, n: u32) -> String {
    if x.is_nan() {
        String::new()
    } else if needs_power(x.abs()) {
        format!("{x:.*e}", n.saturating_sub(1) as usize)
    } else {
        quote(x, x.abs(), n).value
    }
}

/// A value rounded to the place of its uncertainty, and that one.
fn with_uncertainty(value: f64, u: f64, n: u32) -> (String, String) {
    if value.is_nan() || u.is_nan() {
        return (digits(value, n), digits(u, n));
    }
    if value == 0.0 || u == 0.0 {
        return (
            if value == 0.0 {
                "0".to_owned()
            } else {
                format!("{value}")
            },
            digits(u, n),
        );
    }
    let rounded = quote(value, u, n).value;
    let number: f64 = rounded.parse().unwrap_or(value);
    if number == 0.0 {
        return ("0".to_owned(), digits(u, n));
    }
    if number.abs() < 1e-3 && u < 1e-3 {
        let after = n.saturating_sub(1) as usize;
        let exponent = |x: f64| -> i32 {
            let text = format!("{x:.after$e}");
            text.split_once('e')
                .map_or(0, |(_, e)| e.parse().unwrap_or(0))
        };
        // As many digits more than u has as the value is longer.
        let kept = (n as i32 - 1 + exponent(number) - exponent(u)).max(0) as usize;
        return (format!("{number:.kept$e}"), digits(u, n));
    }
    (rounded, digits(u, n))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_stops_where_its_uncertainty_does() {
        let pair = |value, u| {
            let (a, b) = with_uncertainty(value, u, 2);
            format!("{a} {b}")
        };
        assert_eq!(pair(50_000_623.0, 25.0), "50000623 25");
        assert_eq!(pair(11.5e-6, 1.1547e-6), "1.15e-5 1.2e-6");
        assert_eq!(pair(0.019_661, 9.471e-6), "0.0196610 9.5e-6");
        assert_eq!(pair(0.0, 0.003), "0 0.0030");
        assert_eq!(pair(2e-7, 3.1e-5), "0 3.1e-5");
        assert_eq!(pair(6e-7, 3.1e-5), "1e-6 3.1e-5");
        assert_eq!(pair(-0.001_04, 9.96e-5), "-0.00104 1.0e-4");
        assert_eq!(pair(0.02, 0.3), "0.02 0.30");
        assert_eq!(pair(0.002, 0.3), "0 0.30");
        assert_eq!(pair(f64::NAN, f64::NAN), " ");
    }
}
