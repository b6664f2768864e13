//! What a scenario says that cannot be, or that its author should know.

use super::build::{Builder, Found};
use super::chemistry::{Charge, Heat};
use super::leg::{LawOfDissolving, Leg};
use super::model::Room;
use super::problem::{Concern, Problem};
use super::source::SourceId;
use super::wording::short;
use crate::random::elementary::exp;

/// Share of a powder that is not worth a warning.
const WORTH_SAYING: f64 = 0.002;

/// Checks of a leg that is complete.
pub(super) fn check(b: &mut Builder, room: &Room, leg: &Leg) {
    solubility(b, room, leg);
    excess(b, room, leg);
    dissolving_in_time(b, leg);
    dissolved_at_release(b, leg);
    super::checks_solutions::check(b, room, leg);
    super::checks_tables::check(b, room, leg);
}

fn solubility(b: &mut Builder, room: &Room, leg: &Leg) {
    let Some(limit) = b
        .library
        .reactions
        .get(&leg.reaction.key)
        .and_then(|r| b.library.substances.get(&r.substance))
        .and_then(|x| x.solubility.as_ref())
        .map(|f| f.value)
    else {
        return;
    };
    let window = &leg.binding(SourceId::Window).input.dist;
    let most = leg.mass.0 + window.quantile(1.0 - 1e-12).max(0.0);
    // What is dissolved beforehand has its portion only.
    let liquid = match leg.charge {
        Charge::Beforehand { .. } => leg.nominal_portion(room).0,
        _ => leg.nominal_liquid(room).0,
    };
    if most <= limit * liquid {
        return;
    }
    let Some(mass) = b.find(&leg.name, "charge", "mass") else {
        return;
    };
    let [most, liquid, limit] = [most, liquid, limit * liquid].map(short);
    b.problem(
        Problem::error(
            &mass.path,
            format!(
                "more solid than dissolves: {most} g in {liquid} g of liquid, which takes up \
                 {limit} g at most"
            ),
        )
        .hint("less solid or more liquid")
        .about(Concern::Solubility)
        .at(mass.entry.span),
    );
}

/// The key that decides how much heat there is.
pub(super) fn amount(b: &Builder, leg: &Leg) -> Option<Found> {
    [
        ("charge", "mass"),
        ("charge", "portion"),
        ("electrical", "time"),
        ("water", "hot"),
    ]
    .into_iter()
    .find_map(|(site, name)| b.find(&leg.name, site, name))
}

/// Warns of a change of temperature that the thermometer hardly sees, at the lightest mass that may be weighed.
pub(super) fn change(b: &mut Builder, room: &Room, leg: &Leg, fewest: f64) {
    let [target, least] = [
        leg.nominal_change(room).0.abs(),
        leg.smallest_change(room).0,
    ];
    let step = leg.reading_step();
    let window = [
        "charge.window".to_owned(),
        format!("{}.charge.window", leg.name),
    ];
    if least >= fewest * step || window.iter().any(|path| b.reported(path)) {
        return;
    }
    let what = if leg.calibrates() {
        "calibration too small for the thermometer"
    } else {
        "change of temperature too small for the thermometer"
    };
    let Some(mass) = amount(b, leg) else {
        return;
    };
    let lightest = if target >= fewest * step {
        " with the lightest mass of the window"
    } else {
        ""
    };
    let [least, due, step] = [least, fewest * step, step].map(short);
    b.problem(
        Problem::warning(
            &mass.path,
            format!("{what}: {least} K{lightest} against steps of {step} K"),
        )
        .hint(format!(
            "at least {due} K would be {} steps: more solid, less liquid or a finer thermometer; \
             `target.display_steps` sets that number{}",
            short(fewest),
            also(b, leg)
        ))
        .about(Concern::SmallChange)
        .at(mass.entry.span),
    );
}

/// Keys of the scenario, besides the mass, that make a change of temperature small or coarse.
fn also(b: &Builder, leg: &Leg) -> String {
    let keys = [
        ("reaction", "enthalpy"),
        ("liquid", "volume"),
        ("liquid", "mass"),
        ("thermometer", "resolution"),
        ("thermometer", "noise"),
    ];
    let stated = keys
        .into_iter()
        .filter_map(|(site, name)| b.find(&leg.name, site, name));
    let all: Vec<String> = stated.map(|f| format!("`{}`", f.path)).collect();
    if all.is_empty() {
        return String::new();
    }
    format!("; see also {}", all.join(", "))
}

/// The heat of a typical run should be out before the reading that is used.
fn dissolving_in_time(b: &mut Builder, leg: &Leg) {
    let time = leg
        .binding(SourceId::DissolvingTime)
        .input
        .dist
        .quantile(0.5);
    let read = leg.read_from().0;
    let needed = match leg.law {
        _ if matches!(leg.charge, Charge::Beforehand { .. }) => return,
        LawOfDissolving::Instant | LawOfDissolving::Steady => return,
        LawOfDissolving::FirstOrder => 3.0 * time,
        LawOfDissolving::CubeRoot => time,
    };
    let Some(found) = pace(b, &leg.name).filter(|_| needed > read) else {
        return;
    };
    let message = format!(
        "a typical run is still dissolving at {} s, when its readings begin to count",
        short(read)
    );
    let hint = "late heat will bias the result: read later, or grind finer";
    b.warn(found, Concern::Slow, message, hint);
}

/// A heater should be off when the readings begin to count.
pub(super) fn heated_in_time(b: &mut Builder, leg: &Leg) {
    let Heat::Electrical(heater) = leg.heat else {
        return;
    };
    let read = leg.read_from().0;
    let found = b.find(&leg.name, "electrical", "time");
    let Some(found) = found.filter(|_| heater.time.0 > read) else {
        return;
    };
    let message = format!(
        "the heater is on for {} s, and readings begin to count at {} s",
        short(heater.time.0),
        short(read)
    );
    let hint = "heat that comes later is missed: heat for less time, or read later";
    b.warn(found, Concern::Late, message, hint);
}

/// A powder should be dissolved when it is released.
fn dissolved_at_release(b: &mut Builder, leg: &Leg) {
    let Charge::Beforehand { wait } = leg.charge else {
        return;
    };
    let time = leg
        .binding(SourceId::DissolvingTime)
        .input
        .dist
        .quantile(0.5);
    let left = match leg.law {
        LawOfDissolving::CubeRoot => {
            let side = (1.0 - wait.0 / time).max(0.0);
            side * side * side
        }
        LawOfDissolving::FirstOrder => exp(-wait.0 / time),
        LawOfDissolving::Instant | LawOfDissolving::Steady => return,
    };
    let Some(found) = pace(b, &leg.name).filter(|_| left > WORTH_SAYING) else {
        return;
    };
    let message = format!(
        "{} % of a typical powder is not dissolved when it is released",
        short(100.0 * left)
    );
    let hint = "wait longer, or grind finer: the rest brings the heat of the solid, and late";
    b.warn(found, Concern::Slow, message, hint);
}

/// The reagent in excess must not run out, nor may its excess be a matter of chance.
fn excess(b: &mut Builder, room: &Room, leg: &Leg) {
    let Some(margin) = leg.nominal_margin(room).filter(|m| *m < 0.0) else {
        return;
    };
    let places = [("charge", "mass"), ("charge", "portion")];
    let found = places
        .into_iter()
        .find_map(|(site, name)| b.find(&leg.name, site, name));
    let Some(found) = found else { return };
    let message = format!(
        "what should be in excess runs out: {} % of it is missing",
        short(-100.0 * margin)
    );
    let hint =
        "the result is reckoned per mole of what should be used up: more of the other reagent";
    b.warn(found, Concern::Excess, message, hint);
}

/// How fast the solid dissolves: the key that counts.
fn pace(b: &Builder, leg: &str) -> Option<Found> {
    b.find(leg, "dissolving", "time")
        .or_else(|| b.find(leg, "dissolving", "rate"))
}
