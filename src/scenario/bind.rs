//! Each source of a leg with its distribution: as stated, else as the library has it, else none.

use super::build::Builder;
use super::build_leg::Shelf;
use super::defaults::{Default, library, of_balance};
use super::document::Raw;
use super::model::{Binding, LawOfDissolving};
use super::problem::Problem;
use super::source::{SOURCES, Scope, Sharing, Source, SourceId, Statement};
use super::wording::{expected_of, spread_error};
use crate::quantity::{Dimension, parse_measured, parse_spread, parse_window};
use crate::random::dist::{Distribution, LogNormal, Rectangular};
use crate::random::{Dist, Input, Tag};

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
    /// Whether the target mass is that of the scenario.
    pub(super) complete: bool,
}

impl ReferenceScales {
    fn of_site(&self, site: &str) -> Option<f64> {
        match site {
            "charge" => Some(self.mass),
            "liquid" => Some(self.volume),
            _ => None,
        }
    }

    fn input(&self, source: &Source, found: &Default) -> Input {
        Input::about(found.dist.clone(), self.ideal(source, found.value))
    }

    /// The value of a source without error.
    pub(super) fn ideal(&self, source: &Source, value: f64) -> f64 {
        match (source.id, source.statement) {
            (SourceId::Purity, _) => self.label_purity,
            (SourceId::AirDensity, _) if self.corrects_buoyancy => CONVENTIONAL_AIR,
            (_, Statement::Value) => value,
            (_, Statement::Error | Statement::Nuisance) => 0.0,
        }
    }
}

/// Binds one source of a leg.
pub(super) fn bind(
    b: &mut Builder,
    leg: &'static str,
    source: &Source,
    shelf: &Shelf,
    scales: &ReferenceScales,
) -> Binding {
    let stated = match source.id {
        SourceId::Window => window(b, leg, scales),
        SourceId::DissolvingTime => dissolving_time(b, leg, scales),
        SourceId::MolarMass => None,
        _ => stated(b, leg, source, scales),
    };
    let found = stated.unwrap_or_else(|| library(leg, source.id, shelf));
    check_range(b, leg, source, &found);
    Binding {
        input: scales.input(source, &found),
        identity: identity(b, leg, source, shelf),
        stated: found.text,
    }
}

fn stated(
    b: &mut Builder,
    leg: &'static str,
    source: &Source,
    scales: &ReferenceScales,
) -> Option<Default> {
    let found = b.find(leg, source.site(), source.name())?;
    let Raw::Text(text) = &found.entry.raw else {
        return None;
    };
    let read = match source.statement {
        Statement::Error => parse_spread(text, source.dimension, scales.of_site(source.site()))
            .map(|s| Default {
                value: 0.0,
                dist: s.dist,
                text: s.text,
            }),
        Statement::Value | Statement::Nuisance => {
            parse_measured(text, source.dimension).map(|m| Default {
                value: m.value,
                dist: m.dist,
                text: text.trim().to_owned(),
            })
        }
    };
    match read {
        // In a forecast nature's enthalpy of the unknown is the accepted value.
        Ok(d) if source.id == SourceId::ReactionEnthalpy && leg == "determination" => {
            Some(Default::exact(d.value))
        }
        Ok(d) => Some(d),
        Err(e) => {
            b.problem(
                Problem::error(&found.path, spread_error(text, &e))
                    .hint(expected_of(source))
                    .at(found.entry.span),
            );
            None
        }
    }
}

/// The window as an error about the target mass.
fn window(b: &mut Builder, leg: &'static str, scales: &ReferenceScales) -> Option<Default> {
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
    let dist = Rectangular::new(low - scales.mass, high - scales.mass).ok()?;
    Some(Default {
        value: 0.0,
        dist: dist.into(),
        text: text.trim().to_owned(),
    })
}

/// The time of dissolving: stated as a time, or for the first-order law as a rate.
fn dissolving_time(
    b: &mut Builder,
    leg: &'static str,
    scales: &ReferenceScales,
) -> Option<Default> {
    if scales.law == LawOfDissolving::Instant {
        return None;
    }
    let rate = b.find(leg, "dissolving", "rate");
    let stated_law = b.choice(leg, "dissolving", "law");
    let solid = matches!(stated_law.as_deref(), Some("cube root" | "first order"));
    let mixing = b.find(leg, "dissolving", "mixing_time");
    if solid && let Some(m) = &mixing {
        b.problem(
            Problem::error(
                &m.path,
                "a solid that dissolves has no mixing time of its own",
            )
            .hint("state it with law = \"instant\", for what is dissolved already")
            .at(m.entry.span.clone()),
        );
    }
    let time = if solid {
        b.find(leg, "dissolving", "time")
    } else {
        mixing
    };
    let (found, d, inverted) = match (time, rate) {
        (Some(t), _) => (t, Dimension::Time, false),
        (None, Some(r)) => (r, Dimension::Rate, true),
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
    let dist = match (&m.dist, inverted) {
        (Dist::LogNormal(l), _) => LogNormal::new(value, l.sigma()).ok()?.into(),
        (Dist::Constant(_), _) => Dist::constant(value),
        (other, false) if other.quantile(1e-12) > 0.0 => other.clone(),
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

/// Fractions that no draw may leave.
fn check_range(b: &mut Builder, leg: &'static str, source: &Source, found: &Default) {
    let (low, high) = (found.dist.quantile(1e-9), found.dist.quantile(1.0 - 1e-9));
    let wrong = match source.id {
        SourceId::Leftover if low < 0.0 || found.dist.quantile(0.999) > 1.0 => {
            Some("a share of the solid must lie between 0 and 100 %")
        }
        SourceId::Purity if low <= 0.0 || high > 1.2 => {
            Some("a purity must lie above 0 and not above 120 %")
        }
        SourceId::TransferLoss | SourceId::Rinse if low < 0.0 => {
            Some("what is lost or left over cannot be negative")
        }
        SourceId::Leak | SourceId::Stirring | SourceId::Resolution | SourceId::Readability
            if low < 0.0 =>
        {
            Some("must not be negative")
        }
        SourceId::VesselHeat if found.dist.quantile(1e-4) < 0.0 => {
            Some("the vessel's heat capacity would be negative in some trials")
        }
        SourceId::Repeatability | SourceId::Noise if !low.is_finite() => Some("must be finite"),
        _ => None,
    };
    let Some(message) = wrong else { return };
    let at = b.find(leg, source.site(), source.name());
    let (path, span) = at.map_or_else(
        || (format!("{leg}.{}", source.key), None),
        |f| (f.path, f.entry.span),
    );
    b.problem(
        Problem::error(&path, message)
            .hint(expected_of(source))
            .at(span),
    );
}

/// Whose draws they are.
fn identity(b: &Builder, leg: &'static str, source: &Source, shelf: &Shelf) -> Tag {
    // What is drawn anew in each run cannot be shared between runs of different legs.
    if matches!(source.scope, Scope::Run | Scope::Reading) {
        return Tag::of(leg);
    }
    match source.sharing {
        Sharing::Leg => Tag::of(leg),
        Sharing::Liquid => Tag::of(&shelf.liquid.key),
        Sharing::Substance => Tag::of(&shelf.substance.key),
        // A leg that states anything about an instrument has one of its own.
        Sharing::Instrument if b.doc.has_table(&format!("{leg}.{}", source.site())) => Tag::of(leg),
        Sharing::Instrument => Tag::of(""),
        Sharing::Device => match shelf.device {
            Some(d) if !b.doc.entries.contains_key(&format!("{leg}.{}", source.key)) => {
                Tag::of(&d.key)
            }
            _ => Tag::of(leg),
        },
    }
}

/// The balance sources of the balance that weighs the liquid.
pub(super) fn liquid_balance(
    leg: &str,
    bindings: &[Binding],
    shelf: &Shelf,
    scales: &ReferenceScales,
) -> Vec<Binding> {
    let mut own = bindings.to_vec();
    let Some(balance) = shelf.liquid_balance else {
        return own;
    };
    for s in SOURCES.iter().filter(|s| s.site() == "balance") {
        let binding = &mut own[s.id as usize];
        if let Some(default) = of_balance(balance, s.id) {
            binding.input = scales.input(s, &default);
            binding.stated = default.text;
        }
        binding.identity = match s.scope {
            Scope::Run | Scope::Reading => Tag::of(&format!("{leg}, balance for liquids")),
            Scope::Group | Scope::Course => Tag::of("balance for liquids"),
        };
    }
    own
}

/// A quantity with its error, if stated.
pub(super) fn measured(
    b: &Builder,
    leg: &str,
    site: &str,
    name: &str,
    d: Dimension,
) -> Option<(f64, Dist)> {
    match &b.find(leg, site, name)?.entry.raw {
        Raw::Text(t) => parse_measured(t, d).ok().map(|m| (m.value, m.dist)),
        _ => None,
    }
}
