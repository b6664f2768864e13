//! Further sets of sources of a leg: another balance, another device, another solid have draws of
//! their own, and share the rest.

use super::bind::ReferenceScales;
use super::build::Builder;
use super::defaults::{Default, of_balance};
use super::document::Raw;
use super::entries::LegEntries;
use super::leg::Binding;
use super::problem::Problem;
use super::source::{SOURCES, Scope, SourceId};
use crate::library::{Glassware, Substance};
use crate::quantity::{Dimension, parse_error_statement, parse_measured};
use crate::random::{Dist, Input, Tag};

/// The balance sources of the balance that weighs the liquid.
pub(super) fn liquid_balance(
    leg: &str,
    bindings: &[Binding],
    entries: &LegEntries,
    scales: &ReferenceScales,
) -> Vec<Binding> {
    let mut own = bindings.to_vec();
    let Some(balance) = entries.liquid_balance else {
        return own;
    };
    for s in SOURCES.iter().filter(|s| s.site() == "balance") {
        let binding = &mut own[s.id as usize];
        if let Some(default) = of_balance(balance, s) {
            binding.input = scales.input(s, &default);
            binding.stated = default.text;
        }
        binding.identity = match s.scope {
            Scope::Run | Scope::Reading => Tag::of(&format!("{leg}, balance for liquids")),
            Scope::Group | Scope::Course => Tag::of("balance for liquids"),
        };
        binding.estimate = Tag::of(&balance.key);
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

/// A value of a source with its distribution, as stated.
pub(super) fn stated_value(
    b: &Builder,
    leg: &str,
    site: &str,
    name: &str,
    d: Dimension,
) -> Option<Default> {
    let found = b.find(leg, site, name)?;
    let Raw::Text(text) = &found.entry.raw else {
        return None;
    };
    let m = parse_measured(text, d).ok()?;
    Some(Default {
        value: m.value,
        dist: m.dist,
        text: text.trim().to_owned(),
    })
}

/// The sources of a liquid that enters with the charge: its device and its liquid are its own.
pub(super) fn portion_bindings(
    b: &mut Builder,
    (leg, site): (&str, &str),
    volume: f64,
    bindings: &[Binding],
    entries: &LegEntries,
) -> Vec<Binding> {
    let mut own = bindings.to_vec();
    let whose = format!("{leg}, portion");
    let stated = stated_device(b, leg, site, volume);
    set_device(&mut own, entries.portion_device, stated, &whose);
    // More of the same liquid has the same error of its table.
    if entries.portion_liquid.key == entries.liquid.key {
        return own;
    }
    let liquid = entries.portion_liquid;
    let identity = Tag::of(&liquid.key);
    for (id, error) in [
        (SourceId::LiquidHeat, &liquid.cp.error),
        (SourceId::LiquidDensity, &liquid.density.error),
    ] {
        let table = Default::error(error);
        own[id as usize] = Binding {
            input: Input::error(table.dist),
            identity,
            estimate: identity,
            stated: table.text,
        };
    }
    own
}

/// Keys that state the mark and the filling of the device of a portion, of hot water or of a stock.
pub fn device_keys(site: &str) -> [&'static str; 2] {
    match site {
        "charge" => ["portion_tolerance", "portion_repeatability"],
        _ => ["tolerance", "repeatability"],
    }
}

/// What a scenario states of the mark and of the filling of such a device.
fn stated_device(b: &mut Builder, leg: &str, site: &str, volume: f64) -> [Option<Default>; 2] {
    device_keys(site).map(|name| {
        let found = b.find(leg, site, name)?;
        let Raw::Text(text) = &found.entry.raw else {
            return None;
        };
        // What cannot be read has been refused already.
        let s = parse_error_statement(text, Dimension::Volume, Some(volume)).ok()?;
        if is_as_large(&s.dist, volume) {
            b.problem(
                Problem::error(&found.path, AS_LARGE)
                    .hint(Dimension::Volume.example())
                    .at(found.entry.span),
            );
        }
        Some(Default {
            value: 0.0,
            dist: s.dist,
            text: s.text,
        })
    })
}

/// What is wrong with the error of a volume that makes it nothing.
pub(super) const AS_LARGE: &str = "an error as large as the volume itself";

/// Whether an error could leave nothing of a volume.
pub(super) fn is_as_large(error: &Dist, volume: f64) -> bool {
    volume > 0.0 && error.quantile(1e-9) <= -volume
}

/// Gives a set the mark and the filling of another device. The device stays the same thing whoever states its error: what
/// else it measures out has the same draw.
fn set_device(
    own: &mut [Binding],
    device: Option<&Glassware>,
    stated: [Option<Default>; 2],
    whose: &str,
) {
    let none = || Default::exact(0.0);
    let [mark, filling] = stated;
    let estimate = |stated: bool| match device {
        Some(d) if !stated => Tag::of(&d.key),
        _ => Tag::of(whose),
    };
    let estimates = [&mark, &filling].map(|s| estimate(s.is_some()));
    let mark = mark.unwrap_or_else(|| device.map_or_else(none, |d| Default::error(&d.tolerance)));
    let filling =
        filling.unwrap_or_else(|| device.map_or_else(none, |d| Default::error(&d.repeatability)));
    own[SourceId::Tolerance as usize] = Binding {
        input: Input::error(mark.dist),
        identity: Tag::of(device.map_or(whose, |d| &d.key)),
        estimate: estimates[0],
        stated: mark.text,
    };
    own[SourceId::Filling as usize] = Binding {
        input: Input::error(filling.dist),
        identity: Tag::of(whose),
        estimate: estimates[1],
        stated: filling.text,
    };
}

/// Gives a set another solid: its purity, its molar mass, and weighings of its own.
fn set_solid(
    own: &mut [Binding],
    substance: &Substance,
    purity: Option<Default>,
    label: f64,
    whose: &str,
) {
    let purity = purity.unwrap_or_else(|| Default::fact(&substance.assay));
    let identity = Tag::of(&substance.key);
    own[SourceId::Purity as usize] = Binding {
        input: Input::about(purity.dist, label),
        identity,
        estimate: identity,
        stated: purity.text,
    };
    let molar = Default::fact(&substance.molar_mass);
    own[SourceId::MolarMass as usize] = Binding {
        input: Input::about(molar.dist, molar.value),
        identity,
        estimate: identity,
        stated: molar.text,
    };
    for s in SOURCES.iter().filter(|s| s.site() == "balance") {
        if matches!(s.scope, Scope::Run | Scope::Reading) {
            own[s.id as usize].identity = Tag::of(whose);
        }
    }
}

/// The sources of a stock: its solid, its flask, and what became of it in storage.
pub(super) fn stock_bindings(
    b: &mut Builder,
    (leg, whose): (&str, &str),
    bindings: &[Binding],
    (substance, flask): (&Substance, Option<&Glassware>),
    (label, volume): (f64, f64),
) -> Vec<Binding> {
    let mut own = bindings.to_vec();
    let purity = stated_value(b, leg, "stock", "purity", Dimension::Fraction);
    set_solid(&mut own, substance, purity, label, whose);
    let device = stated_device(b, leg, "stock", volume);
    set_device(&mut own, flask, device, whose);
    for id in [SourceId::Oxidised, SourceId::StockWaterLost] {
        own[id as usize].identity = Tag::of(whose);
    }
    own
}

/// The sources of a further solid that is weighed in.
pub(super) fn reagent_bindings(
    b: &mut Builder,
    (leg, site, whose): (&str, &str, &str),
    bindings: &[Binding],
    substance: &Substance,
    label: f64,
) -> Vec<Binding> {
    let mut own = bindings.to_vec();
    let purity = stated_value(b, leg, site, "purity", Dimension::Fraction);
    set_solid(&mut own, substance, purity, label, whose);
    own
}

/// A source that a table of its own name states, such as the concentration of a further reagent.
pub(super) fn bind_named(b: &mut Builder, leg: &str, site: &str, id: SourceId) -> Option<Binding> {
    let source = id.source();
    let found = b.find(leg, site, source.name())?;
    let d = stated_value(b, leg, site, source.name(), source.dimension)?;
    if d.dist.quantile(1e-9) <= 0.0 {
        let problem = Problem::error(
            &found.path,
            format!("{} must be positive", source.dimension.name()),
        );
        b.problem(problem.at(found.entry.span));
    }
    Some(Binding {
        input: Input::about(d.dist, d.value),
        identity: Tag::of(&found.path),
        estimate: Tag::of(&found.path),
        stated: d.text,
    })
}
