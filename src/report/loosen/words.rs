//! Words that the text and the pictures of `loosen` share.

use crate::design::{Goal, Instrument, Looseness, Loosest, Step};
use crate::report::words::{leg_of, share};
use crate::scenario::schema;
use crate::stats::{Estimate, quote};

/// A factor, and the standard error of its last figures.
pub(in crate::report) fn factor(e: Estimate) -> String {
    if e.se.is_nan() {
        return quote(e.value, e.value, 2).value;
    }
    let guide = e.se.max(e.value * 5e-3);
    let q = quote(e.value, guide, 1);
    if e.se == 0.0 {
        // What no trial decides has no error of the trials.
        return quote(e.value, e.value, 3).value;
    }
    format!("{} ± {}", q.value, q.u)
}

/// Says that some errors help.
pub(super) fn worse_without(names: &[&str]) -> Option<String> {
    let noise = names.iter().any(|n| n.starts_with("thermometer"));
    let why = if noise { HELPFUL } else { "" };
    (!names.is_empty()).then(|| {
        format!(
            "Without the errors of {} it would be worse than now. {why}",
            names.join(", ")
        )
    })
}

/// A bias is worth a word from this share of the target on.
const WORTH_SAYING: f64 = 0.5;

/// What the bias would be at answers to a target that looks at the spread alone.
pub(super) fn biased(l: &Looseness) -> Option<String> {
    let Goal::Spread(target) = l.goal else {
        return None;
    };
    let answers = std::iter::once(&l.together).chain(&l.tolerances);
    let tolerances = answers.map(|x| (x.source.map_or("all together", |s| s.key), x.bias));
    let numbers = l.numbers.iter().filter(|n| n.least.is_some());
    let numbers = numbers.map(|n| (n.path.as_str(), n.bias));
    let each: Vec<String> = tolerances
        .chain(numbers)
        .filter(|(_, b)| b.value.abs() > (WORTH_SAYING * target).max(3.0 * b.se))
        .map(|(name, b)| {
            let sign = if b.value > 0.0 { "+" } else { "" };
            format!("{name} {sign}{} %", share(b))
        })
        .collect();
    (!each.is_empty()).then(|| {
        format!(
            "The bias, which this target does not look at, would be there: {}. With --within both count.",
            each.join(", ")
        )
    })
}

/// Why less noise can be worse.
const HELPFUL: &str = "Noise that is not much smaller than the last digit of the display spreads the readings over several \
                       digits, so that their mean knows more than one digit; without it all of them round the same way.";

/// What a tolerance is now, if all legs say the same.
fn alike(x: &Loosest) -> Option<&str> {
    let first = x.now.first()?.1.as_str();
    x.now.iter().all(|(_, text)| text == first).then_some(first)
}

/// What a key speaks for: a leg, and which of its devices; all legs, if it stands at the top.
fn whose(key: &str) -> String {
    let tail = schema::in_leg(key).1;
    let device = match tail.split_once('.') {
        Some(("water", "tolerance" | "repeatability")) => ", hot water",
        Some(("stock", _)) => ", stock",
        Some((_, name)) if name.starts_with("portion_") => ", portion",
        _ => "",
    };
    match leg_of(key) {
        "" => format!("all legs{device}"),
        leg => format!("{leg}{device}"),
    }
}

/// What a tolerance is now, leg by leg where they differ, in a line.
pub(in crate::report) fn now(x: &Loosest) -> String {
    if let Some(text) = alike(x) {
        return text.to_owned();
    }
    let of = |(key, text): &(String, String)| format!("{text} ({})", whose(key));
    x.now.iter().map(of).collect::<Vec<_>>().join("; ")
}

/// An instrument's key, and what it is for where the same kind serves twice.
pub(in crate::report) fn instrument(i: &Instrument) -> String {
    let tail = i.paths.first().map_or("", |path| schema::in_leg(path).1);
    match tail {
        "charge.portion_device" => format!("{} (portion)", i.key),
        "stock.flask" => format!("{} (stock)", i.key),
        _ => i.key.clone(),
    }
}

/// What a step is called: vessels differ in more than one way, so that none is simply better.
pub(in crate::report) fn class(i: &Instrument, step: &Step) -> &'static str {
    match (step, i.is_vessel()) {
        (Step::Better(_), false) => "better",
        (Step::Worse(_), false) => "worse",
        (Step::Better(_), true) => "less leak",
        (Step::Worse(_), true) => "more leak",
        (Step::Perfect, _) => "perfect",
    }
}
