//! How the reagent of a leg gets into the vessel, and what makes its heat.

use super::bind_sets::{measured, portion_bindings};
use super::build::Builder;
use super::build_leg::LegKind;
use super::build_liquid::delivered;
use super::chemistry::{Charge, Heat, Heater, LeftoverState, Portion};
use super::document::Raw;
use super::entries::LegEntries;
use super::facts::{LiquidFacts, ReactionFacts};
use super::leg::Binding;
use super::problem::Problem;
use super::source::SourceId;
use crate::quantity::{
    Ampere, Celsius, Dimension, Gram, MolePerLitre, Second, Volt, parse_quantity_as,
};

/// Waiting time of a solid that is dissolved beforehand, if none is stated.
const USUAL_WAIT: f64 = 600.0;

/// Whether the reagent comes as a liquid.
fn comes_as_liquid(b: &Builder, leg: &str) -> bool {
    b.choice(leg, "charge", "kind").as_deref() == Some("liquid portion")
}

/// Target mass of the solid, and that of each run where they differ; 0 if there is none.
pub(super) fn target_mass(
    b: &mut Builder,
    leg: &str,
    kind: LegKind,
    runs: Option<u32>,
) -> Option<(f64, Vec<Gram>)> {
    if kind != LegKind::Reaction || comes_as_liquid(b, leg) {
        return Some((0.0, Vec::new()));
    }
    if let Some(found) = b.find(leg, "charge", "mass")
        && let Raw::Texts(all) = &found.entry.raw
    {
        let read = |t: &String| parse_quantity_as(t, Dimension::Mass).ok().map(Gram);
        let masses: Vec<Gram> = all.iter().map(read).collect::<Option<_>>()?;
        let mean = masses.iter().map(|m| m.0).sum::<f64>() / masses.len() as f64;
        let wrong = if masses.iter().any(|m| m.0 <= 0.0) {
            Some("each mass must be positive".to_owned())
        } else if runs.is_some_and(|n| n as usize != masses.len()) {
            let runs = runs.unwrap_or_default();
            Some(format!("{} masses for {runs} runs", masses.len()))
        } else if b.find(leg, "charge", "window").is_some() {
            Some("a window belongs to one mass, here each run has its own".to_owned())
        } else {
            None
        };
        if let Some(message) = wrong {
            b.refuse(found, message, "one mass for each run, and no window");
            return None;
        }
        return Some((mean, masses));
    }
    let mass = b.positive(leg, "charge", "mass", Dimension::Mass);
    if mass.is_none() {
        b.missing(&format!("{leg}.charge.mass"));
    }
    mass.map(|m| (m, Vec::new()))
}

/// How the reagent enters; `None` after reporting what is missing.
pub(super) fn charge(
    b: &mut Builder,
    leg: &str,
    kind: LegKind,
    entries: &LegEntries,
    bindings: &[Binding],
) -> Option<Charge> {
    if kind != LegKind::Reaction {
        return Some(Charge::Dropped);
    }
    match b.choice(leg, "charge", "kind").as_deref() {
        Some("dissolved beforehand") => {
            let wait = b.positive(leg, "charge", "wait", Dimension::Time);
            Some(Charge::Beforehand {
                wait: Second(wait.unwrap_or(USUAL_WAIT)),
            })
        }
        Some("liquid portion") => {
            let label = bindings[SourceId::PortionConcentration as usize]
                .input
                .ideal;
            if label > 0.0 {
                return Some(Charge::Liquid {
                    concentration: MolePerLitre(label),
                });
            }
            b.missing(&format!("{leg}.charge.concentration"));
            None
        }
        Some("metal in excess") => Some(Charge::Metal),
        _ => {
            if entries.reaction.in_solution && entries.reaction.dissolving.is_none() {
                let found = b.find(leg, "reaction", "use")?;
                let message = format!(
                    "the enthalpy of `{}` is that of the substance in solution",
                    entries.reaction.key
                );
                let hint = "charge.kind = \"liquid portion\", or \"dissolved beforehand\"";
                b.problem(
                    Problem::error(&found.path, message)
                        .hint(hint)
                        .at(found.entry.span),
                );
            }
            Some(Charge::Dropped)
        }
    }
}

/// The liquid that enters with the charge, or hot water. The outer `None` follows a report of what
/// is missing.
#[allow(clippy::option_option)] // Missing, not there, there: three states.
pub(super) fn portion(
    b: &mut Builder,
    leg: &str,
    kind: LegKind,
    entries: &LegEntries,
    bindings: &[Binding],
) -> Option<Option<Portion>> {
    let word = b.choice(leg, "charge", "kind");
    let key = match (kind, word.as_deref()) {
        (LegKind::HotWater, _) => ("water", "volume"),
        (LegKind::Reaction, Some("dissolved beforehand" | "liquid portion")) => {
            ("charge", "portion")
        }
        _ => return Some(None),
    };
    let Some(volume) = b.positive(leg, key.0, key.1, Dimension::Volume) else {
        b.missing(&format!("{leg}.{}.{}", key.0, key.1));
        return None;
    };
    let expansion = b.size(leg, "liquid", "expansion", Dimension::Expansion);
    let by = delivered(
        b,
        (leg, key.0, key.1),
        volume,
        (entries.portion_device, expansion),
    )?;
    Some(Some(Portion {
        by,
        liquid: LiquidFacts::of(entries.portion_liquid),
        bindings: portion_bindings(b, (leg, key.0), volume, bindings, entries),
    }))
}

/// What makes the heat; `None` after reporting what is missing.
pub(super) fn heat(
    b: &mut Builder,
    leg: &str,
    kind: LegKind,
    bindings: &[Binding],
) -> Option<Heat> {
    let mut value = |id: SourceId, site: &str, name: &str, d: Dimension| {
        if measured(b, leg, site, name, d).is_none() {
            b.missing(&format!("{leg}.{site}.{name}"));
            return None;
        }
        let value = bindings[id as usize].input.ideal;
        if value > 0.0 || d == Dimension::Temperature {
            return Some(value);
        }
        let found = b.find(leg, site, name)?;
        let problem = Problem::error(&found.path, format!("{} must be positive", d.name()));
        b.problem(problem.at(found.entry.span));
        None
    };
    match kind {
        LegKind::Reaction | LegKind::None => Some(Heat::Reaction),
        LegKind::Electrical => {
            let voltage = value(
                SourceId::Voltage,
                "electrical",
                "voltage",
                Dimension::Voltage,
            );
            let current = value(
                SourceId::Current,
                "electrical",
                "current",
                Dimension::Current,
            );
            let time = value(SourceId::HeatingTime, "electrical", "time", Dimension::Time);
            Some(Heat::Electrical(Heater {
                voltage: Volt(voltage?),
                current: Ampere(current?),
                time: Second(time?),
            }))
        }
        LegKind::HotWater => {
            let hot = value(SourceId::HotWater, "water", "hot", Dimension::Temperature);
            let cold = value(SourceId::ColdWater, "water", "cold", Dimension::Temperature);
            Some(Heat::HotWater {
                hot: Celsius(hot?),
                cold: Celsius(cold?),
            })
        }
    }
}

/// What becomes of solid that is left over, and the chance that the charge is not released whole.
pub(super) fn leftover(
    b: &mut Builder,
    leg: &str,
    reaction: &ReactionFacts,
) -> (LeftoverState, f64) {
    let chance = b.bounded(
        (leg, "charge", "incomplete_release"),
        Dimension::Fraction,
        0.0..=1.0,
    );
    let state = match b.choice(leg, "dissolving", "leftover_state").as_deref() {
        Some("hydrate formed") => LeftoverState::Hydrate,
        Some("never released") => LeftoverState::NeverReleased,
        _ => LeftoverState::Unreacted,
    };
    if state == LeftoverState::Hydrate
        && reaction.hydrate.is_none()
        && let Some(found) = b.find(leg, "dissolving", "leftover_state")
    {
        let message = format!("no hydrate of `{}` is in the library", reaction.substance);
        let hint = "`hydrate` in the reaction's entry names the reaction of the hydrate";
        b.problem(
            Problem::error(&found.path, message)
                .hint(hint)
                .at(found.entry.span),
        );
    }
    (state, chance.unwrap_or(0.0))
}
