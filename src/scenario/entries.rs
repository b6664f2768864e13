//! What the library holds of everything that a leg names.

use super::build::Builder;
use super::build_leg::LegKind;
use super::facts::{Anhydrous, DilutionHeat, Hydrate, ReactionFacts};
use super::problem::Problem;
use crate::library::{
    Balance, DilutionPoint, Glassware, Library, Liquid, Reaction, State, Substance, Thermometer,
    Vessel,
};
use crate::quantity::{
    Celsius, GramPerMillilitre, GramPerMole, JoulePerGramKelvin, JoulePerMole, JoulePerMoleKelvin,
};

/// What the library holds of everything a leg names.
pub(super) struct LegEntries<'l> {
    pub(super) balance: Option<&'l Balance>,
    pub(super) liquid_balance: Option<&'l Balance>,
    pub(super) thermometer: Option<&'l Thermometer>,
    pub(super) vessel: Option<&'l Vessel>,
    pub(super) device: Option<&'l Glassware>,
    pub(super) reaction: &'l Reaction,
    /// Whether that is the reaction of the scenario, or any, for want of one.
    pub(super) reaction_is_stated: bool,
    /// Whether a reaction makes the heat of this leg; if not, the one above stands for nothing.
    pub(super) reacts: bool,
    /// Whether it is the leg that calibrates.
    pub(super) calibrates: bool,
    pub(super) substance: &'l Substance,
    pub(super) liquid: &'l Liquid,
    /// Liquid of the portion that enters with the charge, or of the hot water.
    pub(super) portion_liquid: &'l Liquid,
    /// What measures that portion out.
    pub(super) portion_device: Option<&'l Glassware>,
}

/// Looks up what a leg names; `None` after reporting what is missing.
pub(super) fn entries<'l>(
    b: &mut Builder<'l>,
    name: &str,
    kind: LegKind,
) -> Option<LegEntries<'l>> {
    let lib = b.library;
    let reacts = kind == LegKind::Reaction;
    if reacts && b.find(name, "reaction", "use").is_none() {
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
    let reaction = if reacts {
        b.library_entry((name, "reaction", "use"), "reaction", &lib.reactions)
    } else {
        None
    };
    let reaction_is_stated = reaction.is_some() || !reacts;
    let reaction = reaction.or(lib.reactions.values().next())?;
    if reaction_is_stated && reacts && name == "calibration" && !reaction.reference {
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
    let own = b.library_entry((name, "liquid", "use"), "liquid", &lib.liquids);
    let stock = b.library_entry((name, "stock", "liquid"), "liquid", &lib.liquids);
    let medium = if reacts {
        reaction.medium.as_str()
    } else {
        "water"
    };
    let liquid = own.or(stock).or(lib.liquids.get(medium))?;
    let (site, portion_name, device_name) = match kind {
        LegKind::HotWater => ("water", "liquid", "device"),
        _ => ("charge", "portion_liquid", "portion_device"),
    };
    let portion = b.library_entry((name, site, portion_name), "liquid", &lib.liquids);
    let portion_device = b.library_entry((name, site, device_name), "glassware", &lib.glassware);
    Some(LegEntries {
        balance,
        liquid_balance,
        thermometer,
        vessel,
        device,
        reaction,
        reaction_is_stated,
        reacts,
        calibrates: name == "calibration",
        substance: lib.substances.get(&reaction.substance)?,
        liquid,
        portion_liquid: portion.unwrap_or(liquid),
        portion_device,
    })
}

/// What the lab's tables say of the reaction; of none, if none makes the heat.
pub(super) fn reaction_facts(entries: &LegEntries, library: &Library) -> ReactionFacts {
    let r = entries.reaction;
    let enthalpy = |key: &String| library.reactions.get(key).map(|r| r.enthalpy.value);
    let slope = |key: &String| library.reactions.get(key).map(|r| r.slope.value);
    let own = r.enthalpy.value;
    let hydrate = r.hydrate.as_ref().and_then(|key| {
        let other = library.reactions.get(key)?;
        let heavier = library.substances.get(&other.substance)?.molar_mass.value;
        Some(Hydrate {
            heat: solid_heat(other, heavier),
            forming: JoulePerMole(own - enthalpy(key)?),
            slope: JoulePerMoleKelvin(r.slope.value - slope(key)?),
            mass_ratio: heavier / entries.substance.molar_mass.value,
        })
    });
    let anhydrous = r.anhydrous.as_ref().and_then(|(key, waters)| {
        Some(Anhydrous {
            more: JoulePerMole(enthalpy(key)? - own),
            slope: JoulePerMoleKelvin(slope(key)? - r.slope.value),
            waters: *waters,
        })
    });
    let dissolving = r.dissolving.as_ref().and_then(enthalpy).unwrap_or(0.0);
    // What is weighed in dissolves by a reaction of its own where the enthalpy is that of the solution.
    let own_dissolving = r
        .dissolving
        .as_ref()
        .and_then(|key| library.reactions.get(key));
    ReactionFacts {
        key: r.key.clone(),
        title: r.title.clone(),
        substance: entries.substance.title.clone(),
        equation: r.equation.clone(),
        in_solution: r.in_solution,
        dissolving: JoulePerMole(dissolving),
        hydrate,
        anhydrous,
        enthalpy: JoulePerMole(own),
        enthalpy_u: JoulePerMole(r.enthalpy.dist.standard_uncertainty()),
        state: match r.state {
            State::InfiniteDilution => "infinite dilution".to_owned(),
            State::Molality(m) => format!("at {m} mol/kg"),
        },
        at: Celsius(r.at),
        slope: JoulePerMoleKelvin(r.slope.value),
        dilution: dilution(r),
        solid_heat: solid_heat(
            own_dissolving.unwrap_or(r),
            entries.substance.molar_mass.value,
        ),
        molar_mass: GramPerMole(entries.substance.molar_mass.value),
        density: GramPerMillilitre(entries.substance.density.value),
        waters: entries.substance.formula.waters(),
        solute_heat: JoulePerGramKelvin(r.solute_cp.value),
    }
}

/// What the library says of the heats of dilution of a reaction.
pub(super) fn dilution(r: &Reaction) -> DilutionHeat {
    let point = |p: &DilutionPoint| (p.molality, p.heat.value, p.heat.dist.standard_uncertainty());
    let points: Vec<(f64, f64, f64)> = r.dilution.iter().map(point).collect();
    DilutionHeat::new(&points, r.state_molality(), r.carried_from)
}

/// Specific heat capacity of a solid, J/(g K): `c_s - Delta C_p / M`, since the slope of its enthalpy of dissolving is the
/// heat capacity of the solution that it makes less that of the liquid and its own.
fn solid_heat(dissolving: &Reaction, molar_mass: f64) -> JoulePerGramKelvin {
    JoulePerGramKelvin(dissolving.solute_cp.value - dissolving.slope.value / molar_mass)
}
