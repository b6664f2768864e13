//! Each source of a leg with its distribution: as stated, else as the library has it, else none.

use super::build::Builder;
use super::defaults::{Default, library};
use super::document::Raw;
use super::entries::{LegEntries, dilution};
use super::leg::{Binding, LawOfDissolving};
use super::limits;
use super::problem::Problem;
use super::said;
use super::source::{Perfect, Scope, Sharing, Source, SourceId, Statement, Written};
use super::wording::{expected_of, is_loss, spread_error};
use crate::quantity::{Dimension, parse_measured, parse_window};
use crate::random::{Dist, Form, Input, Tag};

/// Density of air that a buoyancy correction assumes, g/mL (the conventional 1.2 kg/m3).
const CONVENTIONAL_AIR: f64 = 1.2e-3;

/// What percentages refer to, and other numbers that defaults depend on.
pub(super) struct ReferenceScales {
    /// Target mass of the solid, g.
    pub(super) mass: f64,
    /// Nominal volume of the liquid, mL.
    pub(super) volume: f64,
    /// Purity the lab computes with.
    pub(super) label_purity: f64,
    /// Whether the lab corrects for buoyancy.
    pub(super) corrects_buoyancy: bool,
    /// Law of dissolving.
    pub(super) law: LawOfDissolving,
    /// What a lab that does not calibrate takes the vessel for, J/K: then its error is the distance from
    /// there.
    pub(super) assumed_vessel: Option<f64>,
    /// Whether the target mass is that of the scenario.
    pub(super) complete: bool,
}

impl ReferenceScales {
    /// What a percentage of a source refers to.
    fn whole_of(&self, source: &Source) -> Option<f64> {
        match (source.site(), source.dimension) {
            (_, Dimension::TemperatureDifference) => None,
            ("charge", _) => Some(self.mass),
            ("liquid", _) => Some(self.volume),
            _ => None,
        }
    }

    pub(super) fn input(&self, source: &Source, found: &Default) -> Input {
        Input::about(found.dist.clone(), self.ideal(source, found.value))
    }

    /// The value of a source without error.
    pub(super) fn ideal(&self, source: &Source, value: f64) -> f64 {
        match (source.perfect, source.statement) {
            (Perfect::Label, _) => self.label_purity,
            (Perfect::Assumed, _) => self.assumed_vessel.unwrap_or(value),
            (Perfect::ConventionalAir, _) if self.corrects_buoyancy => CONVENTIONAL_AIR,
            (_, Statement::Value) => value,
            (_, Statement::Error | Statement::Disturbance) => 0.0,
        }
    }
}

/// Binds one source of a leg.
pub(super) fn bind(
    b: &mut Builder,
    leg: &str,
    source: &Source,
    entries: &LegEntries,
    scales: &ReferenceScales,
) -> Binding {
    let concerned = concerns(source, entries);
    let stated = match source.written {
        _ if !concerned => Some(Default::exact(source.absent)),
        Written::Plainly => stated(b, leg, source, scales),
        Written::Window => window(b, leg, scales),
        Written::TimeOrRate => dissolving_time(b, leg, scales),
        Written::Chance => Some(release(b, leg)),
        Written::Nowhere => None,
    };
    let estimate = estimate(b, leg, source, entries);
    let mut found = stated.unwrap_or_else(|| library(source, entries));
    // In a forecast nature's enthalpy of the unknown is the accepted value.
    if source.of_reference && !entries.calibrates {
        found = Default {
            text: found.text,
            ..Default::exact(found.value)
        };
    }
    let input = if concerned {
        limits::check(b, leg, source, &found, scales.whole_of(source));
        scales.input(source, &found)
    } else {
        Input::exact(found.value)
    };
    Binding {
        input,
        identity: identity(b, leg, source, entries),
        estimate,
        stated: found.text,
    }
}

/// Whether a source can enter a leg at all: without a reaction there is no charge.
fn concerns(source: &Source, entries: &LegEntries) -> bool {
    let chemical = matches!(
        source.site(),
        "reaction" | "charge" | "stock" | "inspection"
    );
    let solid = source.site() == "dissolving" && source.id != SourceId::MixingTime;
    entries.reacts || !(chemical || solid)
}

fn stated(
    b: &mut Builder,
    leg: &str,
    source: &Source,
    scales: &ReferenceScales,
) -> Option<Default> {
    let found = b.find(leg, source.site(), source.name())?;
    let Raw::Text(text) = &found.entry.raw else {
        return None;
    };
    match said::read(source, text, scales.whole_of(source)) {
        Ok((value, dist)) => Some(Default {
            value,
            dist,
            text: text.trim().to_owned(),
        }),
        Err(e) => {
            b.problem(
                Problem::error(&found.path, spread_error(text, &e, is_loss(source)))
                    .hint(expected_of(source))
                    .at(found.entry.span),
            );
            None
        }
    }
}

/// The chance that the charge is not released whole: none is perfect, half of it is half as bad.
fn release(b: &Builder, leg: &str) -> Default {
    let chance = b.size(leg, "charge", "incomplete_release", Dimension::Fraction);
    Default::exact(chance.unwrap_or(0.0).clamp(0.0, 1.0))
}

/// The window as an error about the target mass.
fn window(b: &mut Builder, leg: &str, scales: &ReferenceScales) -> Option<Default> {
    let found = b.find(leg, "charge", "window")?;
    let Raw::Text(text) = &found.entry.raw else {
        return None;
    };
    let (low, high) = parse_window(text, Dimension::Mass).ok()?;
    if low <= 0.0 {
        b.problem(
            Problem::error(&found.path, "the window reaches down to no mass at all")
                .hint("both ends must be positive, for example \"0.38 g to 0.42 g\"")
                .at(found.entry.span.clone()),
        );
    } else if scales.complete && !(low..=high).contains(&scales.mass) {
        b.problem(
            Problem::warning(&found.path, "the target mass lies outside the window")
                .hint("masses are drawn from the window all the same")
                .at(found.entry.span.clone()),
        );
    }
    let dist = Dist::rectangular(low - scales.mass, high - scales.mass).ok()?;
    Some(Default {
        value: 0.0,
        dist,
        text: text.trim().to_owned(),
    })
}

/// The time of dissolving: stated as a time, or for the first-order law as a rate.
fn dissolving_time(b: &mut Builder, leg: &str, scales: &ReferenceScales) -> Option<Default> {
    if scales.law == LawOfDissolving::Instant {
        return None;
    }
    let time = b.find(leg, "dissolving", "time");
    let rate = b.find(leg, "dissolving", "rate");
    let (found, d, inverted) = match (time, rate) {
        (Some(t), _) => (t, Dimension::Time, false),
        (None, Some(r)) => (r, Dimension::Rate, true),
        (None, None) if b.reported(&format!("{leg}.dissolving.rate")) => return None,
        (None, None) => {
            b.missing(&format!("{leg}.dissolving.time"));
            return None;
        }
    };
    let Raw::Text(text) = &found.entry.raw else {
        return None;
    };
    let m = parse_measured(text, d).ok()?;
    let mut complain = |message: &str, hint: &str| {
        b.problem(
            Problem::error(&found.path, message)
                .hint(hint)
                .at(found.entry.span.clone()),
        );
        None
    };
    if m.value <= 0.0 {
        return complain(
            "must be positive",
            "use law = \"instant\" for no time at all",
        );
    }
    if inverted && scales.law == LawOfDissolving::CubeRoot {
        return complain("a cube-root law has a time, not a rate", "state `time`");
    }
    let value = if inverted { 1.0 / m.value } else { m.value };
    let dist = match (m.dist.form(), inverted) {
        (Form::LogNormal(sigma), _) => Dist::log_normal(value, *sigma).ok()?,
        (Form::Exact, _) => Dist::constant(value),
        (_, false) if m.dist.quantile(1e-12) > 0.0 => m.dist.clone(),
        _ => {
            return complain(
                "times of dissolving must stay positive",
                "state the run-to-run spread as log-normal: \"60 s, 30 % log-normal\"",
            );
        }
    };
    Some(Default {
        value,
        dist,
        text: text.trim().to_owned(),
    })
}

/// Whose draws they are.
fn identity(b: &Builder, leg: &str, source: &Source, entries: &LegEntries) -> Tag {
    // What is drawn anew in each run cannot be shared between runs of different legs.
    if matches!(source.scope, Scope::Run | Scope::Reading) {
        return Tag::of(leg);
    }
    match source.sharing {
        Sharing::Leg => Tag::of(leg),
        Sharing::Liquid => Tag::of(&entries.liquid.key),
        Sharing::Substance => Tag::of(&entries.substance.key),
        Sharing::Reaction => Tag::of(&entries.reaction.key),
        Sharing::Dilution => Tag::of(&dilution(entries.reaction).name()),
        // A leg that states anything about an instrument has one of its own.
        Sharing::Instrument if b.doc.has_table(&format!("{leg}.{}", source.site())) => Tag::of(leg),
        Sharing::Instrument => Tag::of(""),
        // Whoever states the error of a device anew, it is the same thing, and what else it measures out has the same draw.
        Sharing::Device => entries
            .device
            .map_or_else(|| Tag::of(leg), |d| Tag::of(&d.key)),
    }
}

/// Whose estimate a source's uncertainty is: that of the key that states it, or of what the library has it of.
fn estimate(b: &Builder, leg: &str, source: &Source, entries: &LegEntries) -> Tag {
    if let Some(found) = b.find(leg, source.site(), source.name()) {
        return Tag::of(&found.path);
    }
    let of = match source.site() {
        "balance" => entries.balance.map(|i| &i.key),
        "thermometer" => entries.thermometer.map(|i| &i.key),
        "vessel" => entries.vessel.map(|i| &i.key),
        "liquid" => entries.device.map(|i| &i.key),
        _ => None,
    };
    of.map_or_else(|| identity(b, leg, source, entries), |key| Tag::of(key))
}
