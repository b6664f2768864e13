//! One leg: what reacts, with what, in what, and each source with its distribution.

use super::bind::{ReferenceScales, bind, liquid_balance, measured};
use super::build::Builder;
use super::build_inspection::inspection;
use super::build_record::record;
use super::checks;
use super::document::Raw;
use super::facts::{DilutionHeat, LiquidFacts, ReactionFacts};
use super::model::{Binding, Lab, LawOfDissolving, Leg, LiquidBy, Room};
use super::problem::Problem;
use super::record::{Record, Way};
use super::source::SOURCES;
use super::wording::short;
use crate::library::{
    Balance, GlassKind, Glassware, Liquid, Reaction, State, Substance, Thermometer, Vessel,
};
use crate::quantity::{
    Celsius, Dimension, Gram, GramPerMillilitre, GramPerMole, JoulePerGramKelvin, JoulePerMole,
    JoulePerMoleKelvin, Millilitre, PerKelvin,
};

/// What the library holds of everything a leg names.
pub(super) struct Shelf<'l> {
    pub(super) balance: Option<&'l Balance>,
    pub(super) liquid_balance: Option<&'l Balance>,
    pub(super) thermometer: Option<&'l Thermometer>,
    pub(super) vessel: Option<&'l Vessel>,
    pub(super) device: Option<&'l Glassware>,
    pub(super) reaction: &'l Reaction,
    /// Whether that is the reaction of the scenario, or any, for want of one.
    pub(super) reaction_is_stated: bool,
    pub(super) substance: &'l Substance,
    pub(super) liquid: &'l Liquid,
}

/// Builds a leg; `None` after reporting what is missing.
pub(super) fn leg(b: &mut Builder, name: &'static str, room: &Room, lab: &Lab) -> Option<Leg> {
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
    let mass = b.positive(name, "charge", "mass", Dimension::Mass);
    if mass.is_none() {
        b.missing(&format!("{name}.charge.mass"));
    }
    let shelf = shelf(b, name)?;
    let record = record(b, name);
    let law = law(b, name);
    let liquid_by = liquid_by(b, name, &shelf);
    let label_purity = label_purity(b, name, &shelf);
    // What is missing is replaced here so that the sources are checked all the same.
    let reference = ReferenceScales {
        mass: mass.unwrap_or(1.0),
        volume: match liquid_by {
            Some(LiquidBy::Volume { nominal, .. }) => nominal.0,
            Some(LiquidBy::Weighed { nominal }) => {
                nominal.0 / shelf.liquid.density.at(room.temperature.0)
            }
            None => 100.0,
        },
        label_purity: label_purity.unwrap_or(1.0),
        corrects_buoyancy: lab.corrects_buoyancy,
        law,
        complete: mass.is_some(),
    };
    let bindings: Vec<Binding> = SOURCES
        .iter()
        .map(|s| bind(b, name, s, &shelf, &reference))
        .collect();
    let boat = b.bounded((name, "balance", "boat"), Dimension::Mass, 0.0..=1e6);
    checks::unused(b, name, law);
    let (runs, mass, record, liquid_by) = (runs?, mass?, record?, liquid_by?);
    let liquid_balance = matches!(liquid_by, LiquidBy::Weighed { .. })
        .then(|| liquid_balance(name, &bindings, &shelf, &reference));
    let mut reaction = reaction_facts(&shelf);
    if let Some(m) = measured(b, name, "reaction", "enthalpy", Dimension::MolarEnthalpy) {
        reaction.enthalpy = JoulePerMole(m.0);
        reaction.enthalpy_u = JoulePerMole(m.1.standard_uncertainty());
    }
    if let Some(m) = measured(b, name, "reaction", "slope", Dimension::MolarHeatCapacity) {
        reaction.slope = JoulePerMoleKelvin(m.0);
    }
    if let Some(m) = measured(
        b,
        name,
        "reaction",
        "solute_heat_capacity",
        Dimension::SpecificHeat,
    ) {
        reaction.solute_heat = JoulePerGramKelvin(m.0);
    }
    if !shelf.reaction_is_stated {
        return None;
    }
    let leg = Leg {
        name,
        runs,
        reaction,
        mass: Gram(mass),
        boat: Gram(boat.unwrap_or(2.5)),
        label_purity: label_purity?,
        liquid: LiquidFacts {
            key: shelf.liquid.key.clone(),
            title: shelf.liquid.title.clone(),
            heat_capacity: shelf.liquid.cp.clone(),
            density: shelf.liquid.density.clone(),
        },
        liquid_by,
        law,
        record,
        way: way(b, name, record),
        inspection: inspection(b, name),
        bindings,
        liquid_balance,
    };
    checks::check(b, room, &leg);
    Some(leg)
}

fn shelf<'l>(b: &mut Builder<'l>, name: &'static str) -> Option<Shelf<'l>> {
    let lib = b.library;
    if b.find(name, "reaction", "use").is_none() {
        b.missing(&format!("{name}.reaction.use"));
    }
    for (site, example) in [
        ("balance", "analytical-0.1mg"),
        ("thermometer", "probe-0.01K"),
        ("vessel", "dewar-stoppered"),
    ] {
        let own = format!("{name}.{site}");
        let table = [own.as_str(), site]
            .into_iter()
            .find_map(|t| b.doc.tables.get(t).cloned());
        let hint = format!("a table [{site}], for example with `use = \"{example}\"`");
        let nameless = b.find(name, site, "use").is_none() && !b.reported(&format!("{site}.use"));
        match table {
            None => b.absent(site, hint, None),
            Some(span) if nameless && !b.doc.broken => b.problem(
                Problem::warning(site, "no `use` names an instrument of the library")
                    .hint("what is not stated here counts as free of error")
                    .at(Some(span)),
            ),
            Some(_) => {}
        }
    }
    let balance = b.library_entry((name, "balance", "use"), "balance", &lib.balances);
    let liquid_balance = b.library_entry((name, "liquid", "balance"), "balance", &lib.balances);
    let thermometer = b.library_entry(
        (name, "thermometer", "use"),
        "thermometer",
        &lib.thermometers,
    );
    let vessel = b.library_entry((name, "vessel", "use"), "vessel", &lib.vessels);
    let device = b.library_entry((name, "liquid", "device"), "glassware", &lib.glassware);
    let reaction = b.library_entry((name, "reaction", "use"), "reaction", &lib.reactions);
    let reaction_is_stated = reaction.is_some();
    let reaction = reaction.or(lib.reactions.values().next())?;
    if reaction_is_stated && name == "calibration" && !reaction.reference {
        let found = b.find(name, "reaction", "use")?;
        b.problem(
            Problem::warning(
                &found.path,
                format!("`{}` is not a recommended reference reaction", reaction.key),
            )
            .hint("its tabulated value is known less well than those of tris-hcl and kcl-water")
            .at(found.entry.span),
        );
    }
    Some(Shelf {
        balance,
        liquid_balance,
        thermometer,
        vessel,
        device,
        reaction,
        reaction_is_stated,
        substance: lib.substances.get(&reaction.substance)?,
        liquid: lib.liquids.get(&reaction.medium)?,
    })
}

fn reaction_facts(shelf: &Shelf) -> ReactionFacts {
    let r = shelf.reaction;
    let points: Vec<(f64, f64)> = r
        .dilution
        .iter()
        .map(|p| (p.molality, p.heat.value))
        .collect();
    ReactionFacts {
        key: r.key.clone(),
        title: r.title.clone(),
        substance: shelf.substance.title.clone(),
        enthalpy: JoulePerMole(r.enthalpy.value),
        enthalpy_u: JoulePerMole(r.enthalpy.dist.standard_uncertainty()),
        state: match r.state {
            State::InfiniteDilution => "infinite dilution".to_owned(),
            State::Molality(m) => format!("at {m} mol/kg"),
        },
        at: Celsius(r.at),
        slope: JoulePerMoleKelvin(r.slope.value),
        dilution: DilutionHeat::new(&points, r.state_molality()),
        molar_mass: GramPerMole(shelf.substance.molar_mass.value),
        density: GramPerMillilitre(shelf.substance.density.value),
        solute_heat: JoulePerGramKelvin(r.solute_cp.value),
    }
}

/// The law; what is dissolved already and takes a while to mix follows the first-order law.
fn law(b: &Builder, leg: &str) -> LawOfDissolving {
    match b.choice(leg, "dissolving", "law").as_deref() {
        Some("cube root") => LawOfDissolving::CubeRoot,
        Some("first order") => LawOfDissolving::FirstOrder,
        _ if b.find(leg, "dissolving", "mixing_time").is_some() => LawOfDissolving::FirstOrder,
        _ => LawOfDissolving::Instant,
    }
}

fn way(b: &mut Builder, leg: &'static str, record: Record) -> Way {
    let word = b.choice(leg, "record", "reduction");
    let stated = word.and_then(|w| Way::ALL.into_iter().find(|way| way.word() == w));
    match (record, stated) {
        (Record::Trace { .. }, Some(way)) => way,
        (Record::Trace { .. }, None) => Way::BackToMixing,
        (Record::TwoReadings { .. }, None | Some(Way::TwoReadings)) => Way::TwoReadings,
        (Record::TwoReadings { .. }, Some(_)) => {
            if let Some(found) = b.find(leg, "record", "reduction") {
                b.problem(
                    Problem::error(&found.path, "two readings leave no choice of reduction")
                        .hint("record a trace: kind = \"trace\"")
                        .at(found.entry.span),
                );
            }
            Way::TwoReadings
        }
    }
}

fn liquid_by(b: &mut Builder, leg: &'static str, shelf: &Shelf) -> Option<LiquidBy> {
    let volume = b.positive(leg, "liquid", "volume", Dimension::Volume);
    let weighed = b.positive(leg, "liquid", "mass", Dimension::Mass);
    if let Some(mass) = weighed {
        if let (Some(_), Some(found)) = (volume, b.find(leg, "liquid", "volume")) {
            b.problem(
                Problem::error(&found.path, "the liquid is stated by volume and by mass")
                    .hint("keep one of `volume` (delivered) and `mass` (weighed in)")
                    .at(found.entry.span),
            );
        }
        return Some(LiquidBy::Weighed {
            nominal: Gram(mass),
        });
    }
    let Some(volume) = volume else {
        if b.find(leg, "liquid", "volume").is_none() && b.find(leg, "liquid", "mass").is_none() {
            b.missing(&format!("{leg}.liquid.volume"));
        }
        return None;
    };
    let fillings = fillings(b, leg, volume, shelf)?;
    let expansion = b
        .size(leg, "liquid", "expansion", Dimension::Expansion)
        .or(shelf.device.map(|d| d.expansion.value))
        .unwrap_or(0.0);
    Some(LiquidBy::Volume {
        nominal: Millilitre(volume),
        fillings,
        expansion: PerKelvin(expansion),
    })
}

/// How often the device is filled: a one-mark device delivers whole fillings only.
fn fillings(b: &mut Builder, leg: &'static str, volume: f64, shelf: &Shelf) -> Option<u32> {
    let Some(device) = shelf.device else {
        return Some(1);
    };
    let times = volume / device.nominal;
    let whole = times.round();
    let (message, hint) = if times > MOST_FILLINGS {
        (
            format!(
                "{} fillings of a {} mL device",
                short(times.ceil()),
                device.nominal
            ),
            "choose a larger device, or less liquid",
        )
    } else if (times - whole).abs() < 1e-9 && whole >= 1.0 {
        return Some(whole as u32);
    } else if matches!(device.kind, GlassKind::OneMarkPipette | GlassKind::Flask) {
        (
            format!(
                "{} mL is not a whole number of fillings of a {} mL one-mark device",
                short(volume),
                device.nominal
            ),
            "choose a multiple, or a graduated device",
        )
    } else {
        return Some(times.ceil() as u32);
    };
    let found = b.find(leg, "liquid", "volume")?;
    b.problem(
        Problem::error(&found.path, message)
            .hint(hint)
            .at(found.entry.span),
    );
    None
}

/// Most fillings of a device: more would be a mistyped volume.
const MOST_FILLINGS: f64 = 1000.0;

fn label_purity(b: &mut Builder, leg: &'static str, shelf: &Shelf) -> Option<f64> {
    let stated = b.size(leg, "charge", "label_purity", Dimension::Fraction);
    let (name, purity) = match (
        stated,
        measured(b, leg, "charge", "purity", Dimension::Fraction),
    ) {
        (Some(p), _) => ("label_purity", p),
        (None, Some(m)) => ("purity", m.0),
        (None, None) => return Some(shelf.substance.assay.value),
    };
    if purity > 0.0 && purity <= 1.2 {
        return Some(purity);
    }
    let found = b.find(leg, "charge", name)?;
    b.problem(
        Problem::error(&found.path, "a purity must lie above 0 and not above 120 %")
            .hint("for example \"99.5 %\"")
            .at(found.entry.span),
    );
    None
}
