//! What a scenario says that cannot be, or that its author should know.

use super::build::Builder;
use super::model::{LawOfDissolving, Leg, Record, Scenario};
use super::problem::Problem;
use super::source::SourceId;
use crate::random::dist::Distribution;

/// A rise of fewer resolutions (or noise widths) than this is too small to calibrate with.
const FEWEST_STEPS: f64 = 20.0;

pub(super) fn check(b: &mut Builder, s: &Scenario) {
    for leg in s.legs() {
        solubility(b, s, leg);
        rise(b, s, leg);
        dissolving_in_time(b, leg);
    }
    if let Some(band) = s.target.band
        && band <= 0.0
    {
        let span = b
            .doc
            .entries
            .get("target.band")
            .and_then(|e| e.span.clone());
        b.problem(Problem::error("target.band", "must be positive").at(span));
    }
}

fn solubility(b: &mut Builder, s: &Scenario, leg: &Leg) {
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
    let most = leg.mass.0
        + leg
            .binding(SourceId::Window)
            .input
            .dist
            .quantile(1.0 - 1e-12)
            .max(0.0);
    let liquid = leg.nominal_liquid(&s.room).0;
    if most > limit * liquid {
        let path = format!("{}.charge.mass", leg.name);
        let span = b
            .find(leg.name, "charge", "mass")
            .and_then(|f| f.entry.span);
        b.problem(
            Problem::error(
                &path,
                format!(
                    "more solid than dissolves: {most:.3} g in {liquid:.1} g of liquid, which \
                     takes up {:.3} g at most",
                    limit * liquid
                ),
            )
            .hint("less solid or more liquid")
            .at(span),
        );
    }
}

fn rise(b: &mut Builder, s: &Scenario, leg: &Leg) {
    let rise = leg.nominal_rise(&s.room).0.abs();
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
        "change of temperature small for the thermometer"
    };
    let path = format!("{}.charge.mass", leg.name);
    let span = b
        .find(leg.name, "charge", "mass")
        .and_then(|f| f.entry.span);
    b.problem(
        Problem::warning(
            &path,
            format!("{what}: {rise:.3} K against steps of {step} K"),
        )
        .hint(format!(
            "at least {:.2} K would be {FEWEST_STEPS} steps: more solid, less liquid or a finer thermometer",
            FEWEST_STEPS * step
        ))
        .at(span),
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
    if needed > read {
        let path = format!("{}.dissolving.time", leg.name);
        let span = b
            .find(leg.name, "dissolving", "time")
            .and_then(|f| f.entry.span);
        b.problem(
            Problem::warning(
                &path,
                format!(
                    "a typical run is still dissolving at {read} s, when its readings begin to count"
                ),
            )
            .hint("late heat will bias the result: read later, or grind finer")
            .at(span),
        );
    }
}
