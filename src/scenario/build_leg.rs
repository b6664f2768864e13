//! One leg: what reacts, with what, in what, and each source with its distribution.

use super::bind::{ReferenceScales, bind, liquid_balance, measured};
use super::build::Builder;
use super::document::Raw;
use super::model::{
    Binding, DilutionHeat, Lab, LawOfDissolving, Leg, LiquidBy, LiquidFacts, ReactionFacts, Record,
    Room, Way,
};
use super::problem::Problem;
use super::source::SOURCES;
use crate::library::{
    Balance, GlassKind, Glassware, Liquid, Reaction, State, Substance, Thermometer, Vessel,
};
use crate::quantity::{
    Celsius, Dimension, Gram, GramPerMillilitre, GramPerMole, JoulePerGramKelvin, JoulePerMole,
    JoulePerMoleKelvin, Millilitre, PerKelvin, Second,
};

/// What the library holds of everything a leg names.
pub(super) struct Shelf {
    pub(super) balance: Option<&'static Balance>,
    pub(super) liquid_balance: Option<&'static Balance>,
    pub(super) thermometer: Option<&'static Thermometer>,
    pub(super) vessel: Option<&'static Vessel>,
    pub(super) device: Option<&'static Glassware>,
    pub(super) reaction: &'static Reaction,
    pub(super) substance: &'static Substance,
    pub(super) liquid: &'static Liquid,
}

/// Builds a leg; `None` after reporting what is missing.
pub(super) fn leg(b: &mut Builder, name: &'static str, room: &Room, lab: &Lab) -> Option<Leg> {
    if !b.doc.tables.contains_key(name) && !b.reported(name) {
        b.problem(Problem::error(name, "missing").hint(format!(
            "a table [{name}] with `runs`, and its [{name}.reaction], [{name}.charge] and \
             [{name}.liquid]"
        )));
        return None;
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
    let shelf = shelf(b, name);
    let record = record(b, name);
    let law = law(b, name);
    let (runs, mass, shelf, record) = (runs?, mass?, shelf?, record?);
    let liquid_by = liquid_by(b, name, &shelf)?;
    let label_purity = label_purity(b, name, &shelf)?;
    let reference = ReferenceScales {
        mass,
        volume: match liquid_by {
            LiquidBy::Volume { nominal, .. } => nominal.0,
            LiquidBy::Weighed { nominal } => {
                nominal.0 / shelf.liquid.density.at(room.temperature.0)
            }
        },
        label_purity,
        corrects_buoyancy: lab.corrects_buoyancy,
        law,
    };
    let bindings: Vec<Binding> = SOURCES
        .iter()
        .map(|s| bind(b, name, s, &shelf, &reference))
        .collect();
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
    Some(Leg {
        name,
        runs,
        reaction,
        mass: Gram(mass),
        boat: Gram(
            b.size(name, "balance", "boat", Dimension::Mass)
                .unwrap_or(2.5),
        ),
        label_purity,
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
        bindings,
        liquid_balance,
    })
}

fn shelf(b: &mut Builder, name: &'static str) -> Option<Shelf> {
    let lib = b.library;
    if b.find(name, "reaction", "use").is_none() {
        b.missing(&format!("{name}.reaction.use"));
    }
    for (site, example) in [
        ("balance", "analytical-0.1mg"),
        ("thermometer", "probe-0.01K"),
        ("vessel", "dewar-stoppered"),
    ] {
        let stated =
            b.doc.tables.contains_key(site) || b.doc.tables.contains_key(&format!("{name}.{site}"));
        if !stated && !b.reported(site) {
            b.problem(Problem::error(site, "missing").hint(format!(
                "a table [{site}], for example with `use = \"{example}\"`"
            )));
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
    let reaction = b.library_entry((name, "reaction", "use"), "reaction", &lib.reactions)?;
    if name == "calibration" && !reaction.reference {
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
        substance: lib.substances.get(&reaction.substance)?,
        liquid: lib.liquids.get(&reaction.medium)?,
    })
}

fn reaction_facts(shelf: &Shelf) -> ReactionFacts {
    let r = shelf.reaction;
    let state = match r.state {
        State::InfiniteDilution => 0.0,
        State::Molality(m) => m,
    };
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
        dilution: DilutionHeat::new(&points, state),
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

fn time(b: &mut Builder, leg: &'static str, name: &str, default: Option<f64>) -> Second {
    match (b.positive(leg, "record", name, Dimension::Time), default) {
        (Some(t), _) => Second(t),
        (None, Some(t)) if b.find(leg, "record", name).is_none() => Second(t),
        _ => {
            if b.find(leg, "record", name).is_none() {
                b.missing(&format!("record.{name}"));
            }
            Second(1.0)
        }
    }
}

fn record(b: &mut Builder, leg: &'static str) -> Option<Record> {
    match b.choice(leg, "record", "kind").as_deref() {
        Some("two readings") => Some(Record::TwoReadings {
            before: time(b, leg, "before", Some(10.0)),
            read_at: time(b, leg, "read_at", None),
        }),
        Some("trace") => Some(trace(b, leg)),
        _ => {
            b.missing("record.kind");
            None
        }
    }
}

/// Most readings of one record: more would be a mistyped interval.
const MOST_READINGS: f64 = 20_000.0;

fn trace(b: &mut Builder, leg: &'static str) -> Record {
    let interval = time(b, leg, "interval", None);
    let fore = time(b, leg, "fore", None);
    let after = time(b, leg, "after", None);
    let settle = time(b, leg, "settle", None);
    let mut complain = |name: &str, message: String, hint: &str| {
        let span = b.find(leg, "record", name).and_then(|f| f.entry.span);
        b.problem(
            Problem::error(&format!("record.{name}"), message)
                .hint(hint)
                .at(span),
        );
    };
    if fore.0 < 2.0 * interval.0 {
        complain(
            "fore",
            "the period before mixing holds fewer than two readings".to_owned(),
            "a line needs two: make it longer, or the interval shorter",
        );
    }
    if after.0 - settle.0 < interval.0 {
        complain(
            "settle",
            "the line behind holds fewer than two readings".to_owned(),
            "`settle` must end at least one interval before `after` does",
        );
    }
    if (fore.0 + after.0) / interval.0 > MOST_READINGS {
        complain(
            "interval",
            format!("more than {MOST_READINGS} readings"),
            "make the interval longer",
        );
    }
    let read_at = time(b, leg, "read_at", Some(settle.0));
    if read_at.0 > after.0 {
        let span = b.find(leg, "record", "read_at").and_then(|f| f.entry.span);
        b.problem(
            Problem::error("record.read_at", "the record has ended by then")
                .hint("at most the length of the period after")
                .at(span),
        );
    }
    Record::Trace {
        interval,
        fore,
        after,
        settle,
        read_at,
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
    if (times - whole).abs() < 1e-9 && whole >= 1.0 {
        return Some(whole as u32);
    }
    if matches!(device.kind, GlassKind::OneMarkPipette | GlassKind::Flask) {
        let found = b.find(leg, "liquid", "volume")?;
        b.problem(
            Problem::error(
                &found.path,
                format!(
                    "{volume} mL is not a whole number of fillings of a {} mL one-mark device",
                    device.nominal
                ),
            )
            .hint("choose a multiple, or a graduated device")
            .at(found.entry.span),
        );
        return None;
    }
    Some(times.ceil() as u32)
}

fn label_purity(b: &mut Builder, leg: &'static str, shelf: &Shelf) -> Option<f64> {
    let stated = b.size(leg, "charge", "label_purity", Dimension::Fraction);
    let purity = stated.unwrap_or_else(|| {
        measured(b, leg, "charge", "purity", Dimension::Fraction)
            .map_or(shelf.substance.assay.value, |m| m.0)
    });
    if purity > 0.0 && purity <= 1.2 {
        return Some(purity);
    }
    let path = format!("{leg}.charge.label_purity");
    let span = b
        .find(leg, "charge", "label_purity")
        .and_then(|f| f.entry.span);
    b.problem(Problem::error(&path, "a purity must lie above 0 and not above 120 %").at(span));
    None
}
