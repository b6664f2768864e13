//! Three plain sentences that answer before any table does.

use crate::forecast::Forecast;
use crate::report::words::{accepted, percent, share};
use crate::scenario::Family;
use crate::stats::{Estimate, quote};

const KILO: f64 = 1e3;

/// What groups will get, how far off it is on average, and what scatters it.
pub(in crate::report) fn sentences(f: &Forecast, digits: u32) -> Vec<String> {
    if let Some(odd) = f.sound().oddity() {
        let caution = format!("Beware: {}.", odd.message);
        return [vec![caution], plain(f, digits)].concat();
    }
    plain(f, digits)
}

fn plain(f: &Forecast, digits: u32) -> Vec<String> {
    if !f.has_spread() {
        let none = format!(
            "No mean and no spread are stated: an error with {} degrees of freedom has no standard deviation, so \
             every further trial might change them.",
            f.scenario.fewest_dof()
        );
        return vec![landing(f, digits), none];
    }
    vec![landing(f, digits), bias(f), scatter(f, digits)]
}

fn landing(f: &Forecast, digits: u32) -> String {
    let q = |v: f64| quote(v / KILO, f.guide() / KILO, digits).value;
    let given = accepted(f.target, f.scenario.tabulated_u().0);
    if let Some(m) = &f.beside.medium {
        let q = |v: f64| quote(v / KILO, m.shift.sd.value / KILO, digits).value;
        return format!(
            "95 % of competent groups will land within {} kJ/mol of the value that is true in their medium. That value is \
             not known: it may lie anywhere from {} to {} kJ/mol (95 %) on top of the tabulated {} kJ/mol, alike for all groups \
             of a course.",
            quote(f.within.value / KILO, f.guide() / KILO, digits).value,
            q(m.shift.symmetric.low.value),
            q(m.shift.symmetric.high.value),
            accepted(m.tabulated, f.scenario.tabulated_u().0),
        );
    }
    let s = &f.value.summary;
    let centre = if f.has_spread() { s.mean } else { s.median };
    format!(
        "A competent group will report about {} kJ/mol, and 95 % of such groups will land between \
         {} and {} kJ/mol; the true value is taken to be {given} kJ/mol.",
        q(centre.value),
        q(f.value.interval.low.value),
        q(f.value.interval.high.value),
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
    let why = main.map_or(String::new(), |c| {
        let own = with_error(c.bias, f.target);
        let part = c.bias.value / f.bias.value;
        if part < WORTH_NAMING {
            return "; no single error or choice explains it: see what is warned of".to_owned();
        }
        let how = if part > ALL {
            "more than all of it, for others cancel some"
        } else if part > 0.5 {
            "most of it"
        } else {
            "the largest part"
        };
        format!("; {how}, {own}, comes from this: {}", c.agent.doc())
    });
    format!(
        "On average its magnitude comes out {} {direction}{worth}{why}.",
        with_error(f.bias, f.target)
    )
}

/// A cause of less than this part of the bias does not explain it.
const WORTH_NAMING: f64 = 0.1;

/// A cause of more than this part of the bias makes more than all of it.
const ALL: f64 = 1.05;

/// The size of a shift relative to the result with its standard error: `0.097 ± 0.005 %`.
fn with_error(e: Estimate, target: f64) -> String {
    let [value, se] = [e.value, e.se].map(|x| 100.0 * (x / target).abs());
    let q = quote(value, se, 1);
    format!("{} ± {} %", q.value, q.u)
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
    let part = top.share * f.budget.u * f.budget.u / base;
    let more = f.averaged.map_or(String::new(), |a| {
        format!(
            " More runs of both kinds average {} % of the variance; the rest stays however many there are.",
            share(a)
        )
    });
    format!(
        "{opening}; {} of that variance comes from the family \"{family}\".{more}",
        percent(part.min(1.0)),
    )
}

/// Variance that shares are counted against: that of all trials, or the budget's if chance made it
/// the larger one.
pub(in crate::report) fn total_variance(f: &Forecast) -> f64 {
    (f.spread.value * f.spread.value).max(f.budget.u * f.budget.u)
}
