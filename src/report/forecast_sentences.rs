//! Three plain sentences that answer before any table does.

use super::words::percent;
use crate::forecast::Forecast;
use crate::lab::BudgetLine;
use crate::scenario::{Family, Scope};
use crate::stats::quote;

const KILO: f64 = 1e3;

/// What groups will get, how far off it is on average, and what scatters it.
pub(super) fn sentences(f: &Forecast, digits: u32) -> [String; 3] {
    [landing(f, digits), bias(f), scatter(f, digits)]
}

fn landing(f: &Forecast, digits: u32) -> String {
    let q = |v: f64| quote(v / KILO, f.spread.value / KILO, digits).value;
    if f.beside.medium.is_some() {
        return format!(
            "A competent group will report about {} kJ/mol. Nobody knows what the medium makes of the \
             tabulated value, so the same procedure may lead anywhere from {} to {} kJ/mol (95 %), alike \
             for all groups of a course; 95 % of groups will land within {} kJ/mol of the value in their \
             medium.",
            q(f.value.summary.mean.value),
            q(f.value.interval.low.value),
            q(f.value.interval.high.value),
            q(f.within.value)
        );
    }
    format!(
        "A competent group will report about {} kJ/mol, and 95 % of such groups will land between \
         {} and {} kJ/mol; the true value is taken to be {} kJ/mol.",
        q(f.value.summary.mean.value),
        q(f.value.interval.low.value),
        q(f.value.interval.high.value),
        q(f.target)
    )
}

fn bias(f: &Forecast) -> String {
    let relative = |x: f64| percent(x.abs() / f.target.abs());
    if f.bias.value.abs() < 3.0 * f.bias.se {
        return format!(
            "The method has no bias that these trials can see (below {}).",
            relative(3.0 * f.bias.se)
        );
    }
    let direction = if f.bias.value * f.target.signum() > 0.0 {
        "too large"
    } else {
        "too small"
    };
    let worth = if f.bias.value.abs() < 0.2 * f.spread.value {
        ", little against the spread"
    } else {
        ""
    };
    let main = f
        .causes
        .iter()
        .find(|c| c.bias.value * f.bias.value > 0.0 && c.bias.value.abs() > 3.0 * c.bias.se);
    let why = match main {
        None => String::new(),
        Some(c) if c.bias.value.abs() > 0.5 * f.bias.value.abs() => {
            format!("; most of it comes from this: {}", c.agent.doc())
        }
        Some(c) => format!(
            "; the largest single cause found shifts it by {}: {}",
            relative(c.bias.value),
            c.agent.doc()
        ),
    };
    format!(
        "On average its magnitude comes out {} {direction}{worth}{why}.",
        relative(f.bias.value)
    )
}

fn scatter(f: &Forecast, digits: u32) -> String {
    let u = quote(f.spread.value / KILO, f.spread.value / KILO, digits).value;
    let relative = percent(f.spread.value / f.target.abs());
    let base = total_variance(f);
    let opening = format!("Groups scatter by {u} kJ/mol ({relative}, one standard deviation)");
    if f.budget.u * f.budget.u < 0.7 * base {
        let unseen = f
            .causes
            .iter()
            .filter(|c| !c.agent.in_budget())
            .min_by(|a, b| a.spread_without.total_cmp(&b.spread_without));
        let what = unseen.map_or(String::new(), |c| {
            format!(
                " Most of what it misses comes from this: {}.",
                c.agent.doc()
            )
        });
        return format!(
            "{opening}, more than a budget of the instruments explains ({} kJ/mol).{what}",
            quote(f.budget.u / KILO, f.budget.u / KILO, 2).value
        );
    }
    let Some(top) = f.families.first() else {
        return "No source of spread is stated.".to_owned();
    };
    let family = top.family.map_or("observed scatter", Family::name);
    let share = top.share * f.budget.u * f.budget.u / base;
    format!(
        "{opening}; {} of that variance comes from the family \"{family}\". More runs of both \
         kinds average about {} of the variance; the rest stays however many there are.",
        percent(share.min(1.0)),
        percent((averaged(f) / base).min(1.0))
    )
}

/// Variance that shares are counted against: that of all trials, or the budget's if chance made it
/// the larger one.
pub(super) fn total_variance(f: &Forecast) -> f64 {
    (f.spread.value * f.spread.value).max(f.budget.u * f.budget.u)
}

/// The budget's variance that belongs to runs and readings.
fn averaged(f: &Forecast) -> f64 {
    let averaged = |l: &&BudgetLine| {
        l.source
            .is_none_or(|s| matches!(s.source().scope, Scope::Run | Scope::Reading))
    };
    f.budget
        .lines
        .iter()
        .filter(averaged)
        .map(|l| l.variance)
        .sum()
}
