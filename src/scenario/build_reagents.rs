//! What the charge meets: reagents that must not run out, and where they come from.

use super::bind_sets::{bind_named, reagent_bindings, stock_bindings};
use super::build::Builder;
use super::build_leg::label_purity;
use super::chemistry::{Per, Reagent, SolidFacts, Stock, Supply, WeighedReagent};
use super::document::Raw;
use super::entries::LegEntries;
use super::leg::Binding;
use super::problem::Problem;
use super::schema::REACTANT;
use super::source::SourceId;
use super::wording::{nearest, short};
use crate::library::{GlassKind, Substance};
use crate::quantity::{
    Dimension, Gram, GramPerMillilitre, GramPerMole, Millilitre, MolePerLitre, PerKelvin,
};

/// The reagents of a leg whose amount is known; `None` after reporting what is missing.
pub(super) fn reagents(
    b: &mut Builder,
    leg: &str,
    entries: &LegEntries,
    bindings: &[Binding],
) -> Option<Vec<Reagent>> {
    let others = &entries.reaction.others;
    let names = named(b, leg);
    let mut all = Vec::new();
    let mut whole = true;
    let stocked = stocked(b, leg, entries);
    for other in others.iter().filter(|o| !names.contains(&o.name)) {
        let supply = if stocked.as_deref() == Some(other.name.as_str()) {
            let stock = stock(b, leg, bindings);
            whole &= stock.is_some();
            stock.map(|s| Supply::InStock(Box::new(s)))
        } else if other.in_medium {
            in_liquid(bindings)
        } else {
            None
        };
        if let Some(supply) = supply {
            all.push(Reagent {
                name: other.name.clone(),
                nu: other.nu,
                supply,
            });
        }
    }
    for name in names {
        match further(b, leg, &name, entries, bindings) {
            Some(reagent) => all.push(reagent),
            None => whole = false,
        }
    }
    whole.then_some(all)
}

/// What is in the liquid of the vessel already, at the concentration of its label.
fn in_liquid(bindings: &[Binding]) -> Option<Supply> {
    let binding = &bindings[SourceId::LiquidConcentration as usize];
    (binding.input.ideal > 0.0).then(|| Supply::InLiquid {
        concentration: MolePerLitre(binding.input.ideal),
        source: SourceId::LiquidConcentration,
        binding: binding.clone(),
    })
}

/// Names of the reagents that have a table of their own.
fn named(b: &Builder, leg: &str) -> Vec<String> {
    let own = format!("{leg}.{REACTANT}.");
    let shared = format!("{REACTANT}.");
    let mut names: Vec<String> = b
        .doc
        .entries
        .keys()
        .filter_map(|k| k.strip_prefix(&own).or(k.strip_prefix(&shared)))
        .filter_map(|rest| rest.split_once('.').map(|(name, _)| name.to_owned()))
        .collect();
    names.sort();
    names.dedup();
    names
}

/// The reagent that a stock provides in this leg.
fn stocked(b: &mut Builder, leg: &str, entries: &LegEntries) -> Option<String> {
    let own = format!("{leg}.stock");
    if ![own.as_str(), "stock"].iter().any(|t| b.doc.has_table(t)) {
        return None;
    }
    let names: Vec<&str> = entries
        .reaction
        .others
        .iter()
        .map(|o| o.name.as_str())
        .collect();
    if let Some(found) = b.find(leg, "stock", "reactant") {
        let Raw::Text(word) = &found.entry.raw else {
            return None;
        };
        if names.contains(&word.as_str()) {
            return Some(word.clone());
        }
        // A stock of the whole file concerns those legs that need it.
        if found.path.starts_with(leg) {
            let near = nearest(word, names.iter().copied());
            let hint = match near {
                Some(near) => format!("did you mean `{near}`?"),
                None => format!("it has: {}", names.join(", ")),
            };
            let message = format!("`{}` has no reagent `{word}`", entries.reaction.key);
            b.problem(
                Problem::error(&found.path, message)
                    .hint(hint)
                    .at(found.entry.span),
            );
        }
        return None;
    }
    names.first().map(|n| (*n).to_owned())
}

fn stock(b: &mut Builder, leg: &str, bindings: &[Binding]) -> Option<Stock> {
    let lib = b.library;
    let substance = b.library_entry((leg, "stock", "solid"), "substance", &lib.substances);
    let flask = b.library_entry((leg, "stock", "flask"), "glassware", &lib.glassware);
    let mass = b.positive(leg, "stock", "mass", Dimension::Mass);
    let volume = b.positive(leg, "stock", "volume", Dimension::Volume);
    for (name, there) in [
        ("solid", b.find(leg, "stock", "solid").is_some()),
        ("mass", mass.is_some()),
        ("volume", volume.is_some()),
    ] {
        if !there {
            let table = format!("{leg}.stock");
            let at = if b.doc.has_table(&table) {
                &table
            } else {
                "stock"
            };
            b.missing(&format!("{at}.{name}"));
        }
    }
    let substance = substance?;
    let label = label_purity(b, (leg, "stock"), substance)?;
    let own = b.doc.has_table(&format!("{leg}.stock"));
    let whose = if own {
        format!("{leg}, stock")
    } else {
        "stock".to_owned()
    };
    let volume = volume?;
    // A flask is made up to its mark.
    if let Some(flask) = flask.filter(|f| (f.nominal / volume - 1.0).abs() > 1e-9)
        && matches!(flask.kind, GlassKind::Flask)
        && let Some(found) = b.find(leg, "stock", "volume")
    {
        let message = format!(
            "a flask of {} mL does not make up {} mL",
            short(flask.nominal),
            short(volume)
        );
        b.refuse(found, message, "the volume of the flask, or another flask");
    }
    Some(Stock {
        solid: solid(substance, label),
        mass: Gram(mass?),
        volume: Millilitre(volume),
        expansion: PerKelvin(flask.map_or(0.0, |f| f.expansion.value)),
        bindings: stock_bindings(
            b,
            (leg, &whose),
            bindings,
            (substance, flask),
            (label, volume),
        ),
    })
}

/// A reagent with a table of its own.
fn further(
    b: &mut Builder,
    leg: &str,
    name: &str,
    entries: &LegEntries,
    bindings: &[Binding],
) -> Option<Reagent> {
    let site = format!("{REACTANT}.{name}");
    let of_library = entries.reaction.others.iter().find(|o| o.name == name);
    let table = [format!("{leg}.{site}"), site.clone()]
        .into_iter()
        .find(|t| b.doc.tables.contains_key(t))
        .unwrap_or_else(|| site.clone());
    let nu = match b.find(leg, &site, "nu").map(|f| f.entry.raw) {
        Some(Raw::Whole(n)) => Some(n as f64),
        _ => of_library.map(|o| o.nu),
    };
    if nu.is_none() {
        b.missing(&format!("{table}.nu"));
    }
    let lib = b.library;
    let substance = b.library_entry((leg, &site, "substance"), "substance", &lib.substances);
    let mass = b.positive(leg, &site, "mass", Dimension::Mass);
    let supply = if let (Some(substance), Some(mass)) = (substance, mass) {
        let label = label_purity(b, (leg, &site), substance)?;
        let whose = format!("{leg}, {name}");
        Supply::Weighed(Box::new(WeighedReagent {
            solid: solid(substance, label),
            mass: Gram(mass),
            bindings: reagent_bindings(b, (leg, &site, &whose), bindings, substance, label),
        }))
    } else if let Some(binding) = bind_named(b, leg, &site, SourceId::ReactantConcentration) {
        Supply::InLiquid {
            concentration: MolePerLitre(binding.input.ideal),
            source: SourceId::ReactantConcentration,
            binding,
        }
    } else {
        let span = b.doc.tables.get(&table).cloned();
        let hint = "state its `concentration` in the liquid of the vessel, or the `substance` and \
                    the `mass` that is weighed in";
        let message = "nothing says how much of it there is";
        b.problem(Problem::error(&table, message).hint(hint).at(span));
        return None;
    };
    Some(Reagent {
        name: name.to_owned(),
        nu: nu?,
        supply,
    })
}

fn solid(substance: &Substance, label_purity: f64) -> SolidFacts {
    SolidFacts {
        key: substance.key.clone(),
        molar_mass: GramPerMole(substance.molar_mass.value),
        density: GramPerMillilitre(substance.density.value),
        waters: substance.formula.waters(),
        label_purity,
    }
}

/// What the result is stated per mole of.
pub(super) fn per(
    b: &mut Builder,
    leg: &str,
    entries: &LegEntries,
    reagents: &[Reagent],
) -> Option<Per> {
    let Some(found) = b.find(leg, "reaction", "per") else {
        return Some(Per::Charge);
    };
    let Raw::Text(word) = &found.entry.raw else {
        return None;
    };
    if word == &entries.reaction.substance {
        return Some(Per::Charge);
    }
    if let Some(at) = reagents.iter().position(|r| &r.name == word) {
        return Some(Per::Reagent(at));
    }
    let known: Vec<&str> = reagents.iter().map(|r| r.name.as_str()).collect();
    let known = [&[entries.reaction.substance.as_str()], known.as_slice()].concat();
    b.problem(
        Problem::error(
            &found.path,
            format!("nothing says how much `{word}` there is"),
        )
        .hint(format!("the amount is known of: {}", known.join(", ")))
        .at(found.entry.span),
    );
    None
}
