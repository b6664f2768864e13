//! A forecast in three sentences, each with the decision that follows from it.

use super::tables::total_variance;
use crate::forecast::Forecast;
use crate::quantity::decimal;
use crate::report::document::figures;
use crate::report::words::{accepted, clause, in_a_row, percent, plus_minus, share};
use crate::scenario::{Family, SourceId};
use crate::stats::{Estimate, quote};

const KILO: f64 = 1e3;

/// A cause of less than this part of the bias does not explain it.
const WORTH_NAMING: f64 = 0.1;

/// A cause of more than this part of the bias makes more than all of it.
const ALL: f64 = 1.05;

/// Changes that gain less than this part of the RMS error are not worth an effort.
const LITTLE: f64 = 0.01;

/// A larger share than this is nearly all.
const NEARLY_ALL: f64 = 0.9995;

/// What groups will get, whether band and target are met, what to change first.
pub(super) fn sentences(f: &Forecast, digits: u32) -> Vec<String> {
    if !f.has_spread() {
        let none = format!(
            "No mean and no spread are stated: an error with {} degrees of freedom has no standard deviation, so that \
             every further trial may change them.",
            f.scenario.fewest_dof()
        );
        let rest = [target(f), Some(fair(f))].into_iter().flatten();
        return [landing(f, digits), none].into_iter().chain(rest).collect();
    }
    vec![
        format!("{} {}", landing(f, digits), bias(f)),
        [target(f), Some(fair(f))]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
            .join(" "),
        change(f),
    ]
}

fn landing(f: &Forecast, digits: u32) -> String {
    let q = |v: f64| quote(v / KILO, f.guide() / KILO, digits).value;
    let u = f.scenario.tabulated_u().0;
    if let Some(m) = &f.beside.medium {
        let of_medium = |v: f64| quote(v / KILO, m.shift.sd.value / KILO, digits).value;
        return format!(
            "95 % of competent groups will land within {} kJ/mol of the value that is true in their medium, which differs from \
             the tabulated {} kJ/mol by an unknown amount ({} to {}, 95 %).",
            q(f.within.value),
            accepted(m.tabulated, u),
            of_medium(m.shift.interval.low.value),
            of_medium(m.shift.interval.high.value),
        );
    }
    let s = &f.value;
    let centre = if f.has_spread() { s.mean } else { s.median };
    format!(
        "A competent group will report about {} kJ/mol (95 % of groups: {} to {}; taken as true: {}).",
        q(centre.value),
        q(f.value.interval.low.value),
        q(f.value.interval.high.value),
        accepted(f.target, u),
    )
}

fn bias(f: &Forecast) -> String {
    if !f.bias.is_seen() {
        return format!(
            "The procedure has no bias that these trials can detect (below {}).",
            percent(3.0 * f.bias.se / f.target.abs())
        );
    }
    let way = match f.bias.value * f.target.signum() > 0.0 {
        true => "large",
        false => "small",
    };
    let little = match f.bias.value.abs() < 0.2 * f.spread.value {
        true => ", little compared with the spread",
        false => "",
    };
    let size = magnitude(f.bias, f.target);
    let own = f.causes.iter().find(|c| c.bias.value * f.bias.value > 0.0);
    let why = own.filter(|c| c.bias.is_seen()).map_or(String::new(), |c| {
        let part = c.bias.value / f.bias.value;
        let named = format!("`{}` ({})", c.key, clause(c.doc));
        if part < WORTH_NAMING {
            "; no single cause explains it".to_owned()
        } else if part > ALL {
            format!("; {named} alone makes {}", magnitude(c.bias, f.target))
        } else {
            let how = match part > 0.5 {
                true => "most of it",
                false => "the largest part",
            };
            format!("; {how} comes from {named}")
        }
    });
    format!("On average the magnitude is {size} too {way}{little}{why}.")
}

/// The magnitude of a shift relative to the result, with its standard error.
fn magnitude(e: Estimate, target: f64) -> String {
    let [value, se] = [e.value, e.se].map(|x| 100.0 * (x / target).abs());
    format!("{} %", plus_minus(Estimate::new(value, se)))
}

/// Whether the target of the scenario is met.
fn target(f: &Forecast) -> Option<String> {
    let target = f.scenario.target.uncertainty?;
    let met = if f.misses_target() { "missed" } else { "met" };
    let spread = match f.has_spread() {
        true => format!("the spread is {}", percent(f.spread.value / f.target.abs())),
        false => "there is no spread".to_owned(),
    };
    Some(format!(
        "The target is {met}: {spread}, and {} % is asked for.",
        decimal(100.0 * target)
    ))
}

/// Whether the band is fair, or which one would be.
fn fair(f: &Forecast) -> String {
    let within = f.within.value / f.target.abs();
    let two = format!("{} %", figures(100.0 * within, 2));
    let Some((band, p)) = f.scenario.target.band.zip(f.in_band) else {
        return format!(
            "No band is stated; ±{two} would be fair: 95 % of competent groups lie in it."
        );
    };
    let stated = format!("±{} %", decimal(100.0 * band));
    let held = |p: Estimate| match p.value {
        x if x > NEARLY_ALL => "nearly all".to_owned(),
        _ => format!("{} % of", share(p)),
    };
    if let Some(of_table) = f.beside.medium.and_then(|m| m.in_band) {
        return format!(
            "A band about the tabulated value would judge the medium (in {stated} lie {} groups); about the true value \
             ±{two} would be fair.",
            held(of_table)
        );
    }
    let held = held(p);
    if p.value < 0.95 && p.value + 3.0 * p.se >= 0.95 {
        format!(
            "These trials do not tell whether {stated} is a fair band: {held} competent groups lie in it."
        )
    } else if p.value < 0.95 {
        format!(
            "{stated} is too narrow a band: {held} competent groups lie in it; ±{two} would be fair."
        )
    } else if within < 0.5 * band {
        format!("{stated} is a wide band: 95 % of competent groups lie within ±{two}.")
    } else {
        format!("{stated} is a fair band: {held} competent groups lie in it.")
    }
}

/// What could be changed, by the RMS error that would be left.
struct Change {
    name: String,
    words: String,
    rms: f64,
}

/// What a family makes: bias by its causes that are seen, variance by the budget and by causes that it has no term for.
fn made(f: &Forecast, of: &dyn Fn(SourceId) -> bool) -> [f64; 2] {
    let lines = f.budget.lines.iter();
    let lines = lines.filter(|l| l.source.is_some_and(of));
    let mut made = [0.0, lines.map(|l| l.variance).sum()];
    let mut without_term = 0.0_f64;
    for c in &f.causes {
        let Some(source) = c.source else {
            continue;
        };
        if of(source.id) {
            made[0] += if c.bias.is_seen() { c.bias.value } else { 0.0 };
            without_term += match c.in_budget() {
                true => 0.0,
                false => (1.0 - square(c.spread_without)).max(0.0) * square(f.spread.value),
            };
        }
    }
    // What interacts is counted with each of its causes.
    made[1] += without_term.min(total_variance(f) - square(f.budget.u));
    made
}

/// All changes, the one that leaves the smallest RMS error first: a family of sources without its errors, or a choice of the lab made the
/// better way. Sources count as independent, which is why it is said to be about so much.
fn changes(f: &Forecast) -> Vec<Change> {
    let left = |[bias, variance]: [f64; 2]| {
        let rest = (total_variance(f) - variance).max(0.0);
        square(f.bias.value - bias) + rest
    };
    let ids: Vec<SourceId> = f
        .budget
        .lines
        .iter()
        .filter_map(|l| l.source)
        .chain(f.causes.iter().filter_map(|c| Some(c.source?.id)))
        .collect();
    let of_family = |family: Family| {
        let own = ids.iter().filter(|id| id.source().family == family);
        let top = own.min_by(|a, b| {
            let one = |id: SourceId| left(made(f, &|other| other == id));
            one(**a).total_cmp(&one(**b))
        })?;
        Some(Change {
            name: format!("the {}", family.name()),
            words: format!(
                "Improve the {} first, above all `{}`: without its errors",
                family.name(),
                top.source().key
            ),
            rms: left(made(f, &|id| id.source().family == family)).sqrt(),
        })
    };
    let mut families: Vec<Family> = ids.iter().map(|id| id.source().family).collect();
    families.sort_by_key(|family| family.name());
    families.dedup();
    let choices = f.causes.iter().filter(|c| c.source.is_none());
    let choices = choices.map(|c| Change {
        name: format!("`{}`", c.key),
        words: format!("Change `{}` first ({}): otherwise", c.key, c.doc),
        rms: (f.bias.value - c.bias.value).hypot(c.spread_without * f.spread.value),
    });
    let all = families.into_iter().filter_map(of_family);
    let mut all: Vec<Change> = all.chain(choices).collect();
    all.sort_by(|a, b| a.rms.total_cmp(&b.rms));
    all
}

/// What to change first, and what more runs leave.
fn change(f: &Forecast) -> String {
    let two = |x: f64| format!("{} %", figures(100.0 * x / f.target.abs(), 2));
    let all = changes(f);
    let first = match all.first().filter(|b| b.rms < (1.0 - LITTLE) * f.rms.value) {
        Some(b) => {
            let alike = all[1..]
                .iter()
                .filter(|x| x.rms - b.rms < LITTLE * f.rms.value);
            let alike: Vec<String> = alike.map(|x| x.name.clone()).collect();
            let alike = match alike.is_empty() {
                true => String::new(),
                false => format!("; about as much gains {}", in_a_row(&alike)),
            };
            let [now, then] = [f.rms.value, b.rms].map(two);
            format!(
                "{} the RMS error falls from {now} to about {then}{alike}.",
                b.words
            )
        }
        None => "No single change gains more than 1 % of the RMS error.".to_owned(),
    };
    let more = f.averaged.map_or(String::new(), |a| {
        let floor = f.spread.value * (1.0 - a.value).max(0.0).sqrt();
        format!(
            " However many runs, the spread ({}) does not fall below {}.",
            two(f.spread.value),
            two(floor)
        )
    });
    format!("{first}{more}")
}

fn square(x: f64) -> f64 {
    x * x
}
