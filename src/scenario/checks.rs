//! What a scenario says that cannot be, or that its author should know.

use super::build::{Builder, Found};
use super::model::{LawOfDissolving, Leg, Room};
use super::problem::Problem;
use super::record::Record;
use super::source::SourceId;
use super::wording::short;
use crate::random::dist::Distribution;

/// A rise of fewer resolutions (or noise widths) than this is too small to calibrate with.
const FEWEST_STEPS: f64 = 20.0;

/// Checks of a leg that is complete.
pub(super) fn check(b: &mut Builder, room: &Room, leg: &Leg) {
    solubility(b, room, leg);
    rise(b, room, leg);
    dissolving_in_time(b, leg);
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
    let liquid = leg.nominal_liquid(room).0;
    if most <= limit * liquid {
        return;
    }
    let Some(mass) = b.find(leg.name, "charge", "mass") else {
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
        .at(mass.entry.span),
    );
}

fn rise(b: &mut Builder, room: &Room, leg: &Leg) {
    let rise = leg.nominal_rise(room).0.abs();
    let resolution = leg.binding(SourceId::Resolution).input.dist.mean();
    let noise = leg
        .binding(SourceId::Noise)
        .input
        .dist
        .standard_uncertainty();
    let step = resolution.max(noise);
    if rise >= FEWEST_STEPS * step {
        return;
    }
    let what = if leg.name == "calibration" {
        "calibration too small for the thermometer"
    } else {
        "change of temperature too small for the thermometer"
    };
    let Some(mass) = b.find(leg.name, "charge", "mass") else {
        return;
    };
    let [rise, due, step] = [rise, FEWEST_STEPS * step, step].map(short);
    b.problem(
        Problem::warning(
            &mass.path,
            format!("{what}: {rise} K against steps of {step} K"),
        )
        .hint(format!(
            "at least {due} K would be {FEWEST_STEPS} steps: more solid, less liquid or a finer \
             thermometer"
        ))
        .at(mass.entry.span),
    );
}

/// The heat of a typical run should be out before the reading that is used.
fn dissolving_in_time(b: &mut Builder, leg: &Leg) {
    let time = leg
        .binding(SourceId::DissolvingTime)
        .input
        .dist
        .quantile(0.5);
    let read = match leg.record {
        Record::TwoReadings { read_at, .. } => read_at.0,
        Record::Trace { settle, .. } => settle.0,
    };
    let needed = match leg.law {
        LawOfDissolving::Instant => return,
        LawOfDissolving::FirstOrder => 3.0 * time,
        LawOfDissolving::CubeRoot => time,
    };
    let Some(found) = pace(b, leg.name).filter(|_| needed > read) else {
        return;
    };
    b.problem(
        Problem::warning(
            &found.path,
            format!(
                "a typical run is still dissolving at {} s, when its readings begin to count",
                short(read)
            ),
        )
        .hint("late heat will bias the result: read later, or grind finer")
        .at(found.entry.span),
    );
}

/// How fast the solid dissolves: the key that counts.
fn pace(b: &Builder, leg: &str) -> Option<Found> {
    b.find(leg, "dissolving", "time")
        .or_else(|| b.find(leg, "dissolving", "rate"))
}

/// Keys that say something which nothing asks for.
pub(super) fn unused(b: &mut Builder, leg: &'static str, law: LawOfDissolving) {
    let mut idle: Vec<(&str, &str, &str, &str)> = Vec::new();
    let stated = |b: &Builder, name| b.find(leg, "dissolving", name).is_some();
    if law == LawOfDissolving::Instant {
        let hint = "state `law = \"cube root\"` or `law = \"first order\"`";
        for name in ["time", "rate"] {
            idle.push((
                "dissolving",
                name,
                "not used: the solid dissolves at once",
                hint,
            ));
        }
    } else if stated(b, "time") {
        idle.push((
            "dissolving",
            "rate",
            "not used: `time` is stated",
            "keep one of them",
        ));
    }
    let stated = |name| b.find(leg, "liquid", name).is_some();
    if stated("mass") && !stated("volume") {
        let hint = "leave it out, or state `volume` instead of `mass`";
        idle.push((
            "liquid",
            "device",
            "not used: the liquid is weighed in",
            hint,
        ));
    } else if stated("volume") {
        let hint = "leave it out, or state `mass` instead of `volume`";
        idle.push((
            "liquid",
            "balance",
            "not used: the liquid is not weighed",
            hint,
        ));
    }
    for (site, name, message, hint) in idle {
        if let Some(found) = b.find(leg, site, name) {
            let problem = Problem::warning(&found.path, message).hint(hint);
            b.problem(problem.at(found.entry.span));
        }
    }
}
