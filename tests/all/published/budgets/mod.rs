//! Published budgets to first order, and what of each stands in the printed table.
//!
//! JCGM 100:2008: end gauge H.1, resistance and reactance H.2, effective degrees of freedom G.4, reliability
//! of a standard deviation E.1; EURACHEM/CITAC CG 4, example A1. Values with many digits were computed
//! elsewhere; each test says what of the printed ones could be read again.

mod freedom;
mod gauge;
mod resistance;
mod standard;

pub use resistance::{Readings, impedance, reactance, resistance};
pub use standard::concentration;

use crate::judge::close;
use joulecast::lab::{Coverage, LinearBudget};
use joulecast::random::Dist;
use joulecast::report::{BudgetStyle, budget_text};

fn flat(half: f64) -> Dist {
    Dist::within(0.0, half).expect("valid")
}

/// 99 % from whole degrees of freedom.
const NINETY_NINE: Coverage = Coverage {
    probability: 0.99,
    whole: true,
};

/// Contribution and share of each line, as the table prints them.
fn printed(text: &str) -> Vec<(f64, f64)> {
    let number = |cell: &str| cell.parse().expect("a number");
    (1..)
        .map_while(|i| {
            let mark = format!("{i}. ");
            let line = text.lines().find(|l| l.trim_start().starts_with(&mark))?;
            let (front, share) = line.rsplit_once(' ')?;
            let contribution = front.trim_end().rsplit_once(' ')?.1;
            Some((number(contribution), number(share)))
        })
        .collect()
}

/// Whether the printed table has these contributions, to within what their own last digits leave open, and
/// shares that sum to 100 %.
fn stands_in_print(b: &LinearBudget, style: &BudgetStyle, published: &[(f64, f64)]) -> bool {
    let text = budget_text(b, style);
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    let lines = printed(&text);
    let sum: f64 = lines.iter().map(|l| l.1).sum();
    lines.len() == published.len()
        && close(sum, 100.0, 0.05 * lines.len() as f64)
        && lines
            .iter()
            .zip(published)
            .all(|((u, _), (value, last))| close(*u, *value, *last))
}
