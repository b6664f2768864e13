//! One leg: what reacts, with what, in what, and each source with its distribution.

use super::bind::{ReferenceScales, bind};
use super::bind_sets::{liquid_balance, measured};
use super::build::Builder;
use super::build_charge::{charge, heat, leftover, portion, target_mass};
use super::build_inspection::inspection;
use super::build_liquid::liquid_by;
use super::build_reagents::{per, reagents};
use super::build_record::record;
use super::checks;
use super::checks_hazards;
use super::checks_sense;
use super::checks_unused;
use super::chemistry::Heat;
use super::document::Raw;
use super::entries::{entries, reaction_facts};
use super::facts::LiquidFacts;
use super::leg::{Binding, LawOfDissolving, Leg, LiquidBy};
use super::model::{Lab, Room, Target};
use super::problem::Problem;
use super::record::{Record, ReductionMethod};
use super::source::{SOURCES, SourceId};
use crate::library::Substance;
use crate::quantity::{Dimension, Gram, JoulePerGramKelvin, JoulePerMole, JoulePerMoleKelvin};

/// What makes the heat of a leg.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum LegKind {
    /// A reaction.
    Reaction,
    /// A heater.
    Electrical,
    /// Hot water.
    HotWater,
    /// Nothing: nobody calibrates.
    None,
}

impl LegKind {
    /// The kind of a leg. Only a calibration may be of another kind than a reaction.
    pub(super) fn of(b: &mut Builder, leg: &str) -> Self {
        let path = format!("{leg}.kind");
        let Some(entry) = b.doc.entries.get(&path).cloned() else {
            return Self::Reaction;
        };
        let kind = match &entry.raw {
            Raw::Text(word) if word == "electrical" => Self::Electrical,
            Raw::Text(word) if word == "hot and cold water" => Self::HotWater,
            Raw::Text(word) if word == "none" => Self::None,
            _ => return Self::Reaction,
        };
        if leg != "calibration" {
            let message = "a determination is of a reaction";
            let hint = "other kinds calibrate: state them under [calibration]";
            b.problem(Problem::error(&path, message).hint(hint).at(entry.span));
            return Self::Reaction;
        }
        kind
    }
}

/// Builds a leg; `None` after reporting what is missing.
pub(super) fn leg(
    b: &mut Builder,
    name: &str,
    (place, kind): (u32, LegKind),
    room: &Room,
    (lab, target): (&Lab, &Target),
) -> Option<Leg> {
    if !b.doc.tables.contains_key(name) {
        let hint = format!(
            "a table [{name}] with `runs`, and its [{name}.reaction], [{name}.charge] and \
             [{name}.liquid]"
        );
        b.absent(name, hint, None);
    }
    let runs = match b.doc.entries.get(&format!("{name}.runs")).map(|e| &e.raw) {
        Some(Raw::Whole(n)) => Some(*n as u32),
        _ => {
            b.missing(&format!("{name}.runs"));
            None
        }
    };
    let masses = target_mass(b, name, kind, runs);
    let mass = masses.as_ref().map(|(mass, _)| *mass);
    let entries = entries(b, name, kind)?;
    let record = record(b, name);
    let law = law(b, name, kind);
    let liquid_by = liquid_by(b, name, &entries);
    let label_purity = label_purity(b, (name, "charge"), entries.substance);
    // What is missing is replaced here so that the sources are checked all the same.
    let reference = ReferenceScales {
        mass: mass.filter(|m| *m > 0.0).unwrap_or(1.0),
        volume: match liquid_by {
            Some(LiquidBy::Volume { nominal, .. }) => nominal.0,
            Some(LiquidBy::Weighed { nominal }) => {
                nominal.0 / entries.liquid.density.at(room.temperature.0)
            }
            None => 100.0,
        },
        label_purity: label_purity.unwrap_or(1.0),
        corrects_buoyancy: lab.corrects_buoyancy,
        law,
        assumed_vessel: lab.assumed_vessel.map(|v| v.0),
        complete: mass.is_some(),
    };
    let bindings: Vec<Binding> = SOURCES
        .iter()
        .map(|s| bind(b, name, s, &entries, &reference))
        .collect();
    let boat = b.bounded((name, "balance", "boat"), Dimension::Mass, 0.0..=1e6);
    checks_unused::unused(b, name, law, kind);
    let portion = portion(b, name, kind, &entries, &bindings);
    let charge = charge(b, name, kind, &entries, &bindings);
    let heat = heat(b, name, kind, &bindings);
    let stated = if kind == LegKind::Reaction {
        reagents(b, name, &entries, &bindings)
    } else {
        Some(Vec::new())
    };
    let per = per(b, name, &entries, stated.as_deref().unwrap_or_default());
    let (runs, (mass, masses), record, liquid_by) = (runs?, masses?, record?, liquid_by?);
    let liquid_balance = matches!(liquid_by, LiquidBy::Weighed { .. })
        .then(|| liquid_balance(name, &bindings, &entries, &reference));
    let mut reaction = reaction_facts(&entries, b.library);
    if kind == LegKind::Reaction {
        restated(b, name, &mut reaction);
    }
    if !entries.reaction_is_stated {
        return None;
    }
    let (leftover, incomplete_release) = leftover(b, name, &reaction);
    let mut leg = Leg {
        name: name.to_owned(),
        place,
        heat: heat?,
        runs,
        reaction,
        per: per?,
        charge: charge?,
        portion: portion?,
        reagents: stated?,
        leftover,
        incomplete_release,
        mass: Gram(mass),
        masses,
        boat: Gram(boat.unwrap_or(2.5)),
        label_purity: label_purity?,
        liquid: LiquidFacts::of(entries.liquid),
        liquid_by,
        law,
        way: way(b, name, &record),
        record,
        inspection: inspection(b, name),
        bindings,
        liquid_balance,
    };
    if leg.heat == Heat::Reaction {
        let id = SourceId::DilutionError.source();
        if b.find(name, id.site(), id.name()).is_none() {
            leg.take_dilution_error(room);
        }
        checks::check(b, room, &leg);
    }
    checks_sense::check(b, room, &leg);
    checks::heated_in_time(b, &leg);
    checks_hazards::heater(b, &leg);
    checks::change(b, room, &leg, target.display_steps);
    Some(leg)
}

/// Values of the reaction that the scenario states instead of the library.
fn restated(b: &Builder, name: &str, reaction: &mut super::facts::ReactionFacts) {
    let stated = |key, d| measured(b, name, "reaction", key, d);
    if let Some(m) = stated("enthalpy", Dimension::MolarEnthalpy) {
        reaction.enthalpy = JoulePerMole(m.0);
        reaction.enthalpy_u = JoulePerMole(m.1.standard_uncertainty());
    }
    if let Some(m) = stated("slope", Dimension::MolarHeatCapacity) {
        reaction.slope = JoulePerMoleKelvin(m.0);
    }
    if let Some(m) = stated("solute_heat_capacity", Dimension::SpecificHeat) {
        reaction.solute_heat = JoulePerGramKelvin(m.0);
    }
    // Of a solid that dissolves by another reaction nothing is restated.
    if !reaction.in_solution {
        reaction.solid_heat = reaction.solute_heat - reaction.slope / reaction.molar_mass;
    }
}

/// The law of the solid.
fn law(b: &Builder, leg: &str, kind: LegKind) -> LawOfDissolving {
    if kind == LegKind::Electrical {
        return LawOfDissolving::Steady;
    }
    match b.choice(leg, "dissolving", "law").as_deref() {
        Some("cube root") => LawOfDissolving::CubeRoot,
        Some("first order") => LawOfDissolving::FirstOrder,
        _ => LawOfDissolving::Instant,
    }
}

fn way(b: &mut Builder, leg: &str, record: &Record) -> ReductionMethod {
    let word = b.choice(leg, "record", "reduction");
    let stated = word.and_then(|w| ReductionMethod::ALL.into_iter().find(|way| way.word() == w));
    match (record, stated) {
        (Record::Trace { .. }, Some(way)) => way,
        (Record::Trace { .. }, None) => ReductionMethod::BackToMixing,
        (Record::TwoReadings { .. }, None | Some(ReductionMethod::TwoReadings)) => {
            ReductionMethod::TwoReadings
        }
        (Record::TwoReadings { .. }, Some(_)) => {
            if let Some(found) = b.find(leg, "record", "reduction") {
                b.problem(
                    Problem::error(&found.path, "two readings leave no choice of reduction")
                        .hint("record a trace: kind = \"trace\"")
                        .at(found.entry.span),
                );
            }
            ReductionMethod::TwoReadings
        }
    }
}

/// The purity that the lab computes with: as stated, else of the bottle as stated, else of the library.
pub(super) fn label_purity(
    b: &mut Builder,
    (leg, site): (&str, &str),
    substance: &Substance,
) -> Option<f64> {
    let stated = b.size(leg, site, "label_purity", Dimension::Fraction);
    let (name, purity) = match (
        stated,
        measured(b, leg, site, "purity", Dimension::Fraction),
    ) {
        (Some(p), _) => ("label_purity", p),
        (None, Some(m)) => ("purity", m.0),
        (None, None) => return Some(substance.assay.value),
    };
    if purity > 0.0 && purity <= 1.2 {
        return Some(purity);
    }
    let found = b.find(leg, site, name)?;
    b.problem(
        Problem::error(&found.path, "a purity must lie above 0 and not above 120 %")
            .hint("for example \"99.5 %\"")
            .at(found.entry.span),
    );
    None
}
