//! Which entry of the lab's pages or tables an error source falsifies, and by how much.
//!
//! A lab's budget has terms for what the lab can know of: instruments, labels, tables. What it has no
//! idea of (solid that does not dissolve, a leak that its lines do not remove) has none, and the budget
//! is silent about it.

use super::evaluate::Method;
use super::gradient::LegGradient;
use super::page::{Entry, LegPages, own_reduction};
use super::reduce::Reduction;
use super::table_entry::TableEntry;
use crate::quantity::Celsius;
use crate::random::{BLOCK, Column};
use crate::scenario::{
    Binding, Heat, Leg, LiquidBy, MassUsed, Per, SOURCES, Scenario, Source, SourceId, Supply,
};

/// How a unit error of a source changes one run or one table of a leg.
#[derive(Debug, Clone, Copy)]
pub(super) enum Effect {
    /// An entry of each run, by so much.
    Run(Entry, f64),
    /// An entry of each run in proportion, by so much of it.
    Proportion(Entry, f64),
    /// Every temperature, in proportion to its distance from this one.
    Scale(Celsius),
    /// Every temperature of a run alike.
    Shift,
    /// The vessel's heat capacity as this lab has found it, in proportion.
    Vessel,
    /// Creep of the thermometer.
    Creep,
    /// Every reading on its own.
    Readings,
    /// An entry of the tables, by so much.
    Table(TableEntry, f64),
    /// An entry of the tables, by so much of it.
    TableProportion(TableEntry, f64),
}

/// What the lab has found in a leg that an effect may depend on.
pub(super) struct Found<'l> {
    /// Pages and tables.
    pub(super) leg: &'l LegPages,
    /// How the records are reduced: all in one way, or each run's in its own.
    pub(super) reductions: &'l [Reduction],
    pub(super) method: &'l Method,
    /// The constant that the calibration gives, J/K.
    pub(super) constant: &'l Column<f64>,
}

impl Effect {
    /// Adds the entries whose derivatives it needs.
    pub(super) fn ask(self, entries: &mut Vec<Entry>, tables: &mut Vec<TableEntry>) {
        let needed: &[Entry] = match self {
            Self::Run(entry, _) | Self::Proportion(entry, _) => &[entry],
            Self::Scale(_) | Self::Readings => &[Entry::Change, Entry::Mixing, Entry::Hot],
            Self::Shift => &[Entry::Mixing, Entry::Hot],
            Self::Vessel => &[Entry::Extra],
            Self::Creep => &[Entry::Change, Entry::Mixing],
            Self::Table(entry, _) | Self::TableProportion(entry, _) => {
                if !tables.contains(&entry) {
                    tables.push(entry);
                }
                &[]
            }
        };
        for entry in needed {
            if !entries.contains(entry) {
                entries.push(*entry);
            }
        }
    }

    /// Hands the sensitivity of each trial's result to a unit error in each run of a leg, or of its tables, to `put`.
    #[inline]
    pub(super) fn each(self, found: &Found, g: &LegGradient, mut put: impl FnMut(usize, f64)) {
        match self {
            Self::Table(entry, per) => {
                let own = &g.tables[entry as usize];
                return lanes(&mut put, |i| per * own[i]);
            }
            Self::TableProportion(entry, per) => {
                let (own, value) = (&g.tables[entry as usize], entry.value(&found.leg.tables));
                return lanes(&mut put, |i| per * value * own[i]);
            }
            _ => {}
        }
        for (r, (page, g)) in found.leg.runs.iter().zip(&g.runs).enumerate() {
            let of = |entry: Entry| &g[entry as usize];
            let (change, mixing, hot) = (of(Entry::Change), of(Entry::Mixing), of(Entry::Hot));
            match self {
                Self::Run(entry, per) => {
                    let own = of(entry);
                    lanes(&mut put, |i| per * own[i]);
                }
                Self::Proportion(entry, per) => {
                    if let Some(value) = page.entry(entry) {
                        let own = of(entry);
                        lanes(&mut put, |i| per * value[i] * own[i]);
                    }
                }
                Self::Scale(pivot) => lanes(&mut put, |i| {
                    let run = page.run(i);
                    run.change.0 * change[i]
                        + (run.mixing - pivot).0 * mixing[i]
                        + (run.hot - pivot).0 * hot[i]
                }),
                Self::Shift => lanes(&mut put, |i| mixing[i] + hot[i]),
                Self::Vessel => lanes(&mut put, |i| {
                    let constant = found.constant[i];
                    let vessel = found
                        .method
                        .vessel(&found.leg.tables, constant, &page.run(i));
                    vessel.0 * of(Entry::Extra)[i]
                }),
                Self::Creep => lanes(&mut put, |i| {
                    let [of_change, of_mixing] =
                        own_reduction(found.reductions, r).creep(page.weighed_at[i]);
                    of_change.0 * change[i] + of_mixing.0 * mixing[i]
                }),
                Self::Readings => lanes(&mut put, |i| {
                    let [a, b, c] =
                        own_reduction(found.reductions, r).noise_squares(page.weighed_at[i]);
                    let (r, m) = (change[i], mixing[i]);
                    let square = a * r * r + 2.0 * b * r * m + c * m * m;
                    (square + hot[i] * hot[i]).max(0.0).sqrt()
                }),
                Self::Table(..) | Self::TableProportion(..) => {}
            }
        }
    }
}

#[inline]
fn lanes(put: &mut impl FnMut(usize, f64), value: impl Fn(usize) -> f64) {
    for i in 0..BLOCK {
        put(i, value(i));
    }
}

/// One term of a leg: a source, as some set of the leg binds it, and what it does.
pub(super) struct Term<'s> {
    pub(super) source: SourceId,
    pub(super) binding: &'s Binding,
    pub(super) effect: Effect,
    /// Independent draws that act with the same sensitivity.
    pub(super) draws: f64,
    /// Whether its draws serve all runs, whatever its scope: a stock is prepared once.
    pub(super) once: bool,
    /// Tells the places of a balance's range apart, which are never shared.
    pub(super) place: u32,
}

/// All terms of a leg.
pub(super) fn terms<'s>(scenario: &'s Scenario, leg: &'s Leg) -> Vec<Term<'s>> {
    let nominal = scenario.lab.mass == MassUsed::Nominal;
    let assumes = scenario.lab.assumed_vessel.is_some_and(|v| v.0 > 0.0);
    // A lab that computes with the nominal mass errs by the window, not by its balance.
    let has_term = |s: &Source| match s.id {
        SourceId::VesselHeat => assumes,
        SourceId::Window => nominal,
        _ if s.site() == "balance" => s.budget && !nominal,
        _ => s.budget,
    };
    let mut all = Vec::new();
    for source in SOURCES.iter().filter(|s| has_term(s)) {
        for (effect, draws) in own(scenario, leg, source.id) {
            all.push(Term {
                source: source.id,
                binding: leg.binding(source.id),
                effect,
                draws,
                once: false,
                place: match source.id {
                    SourceId::Linearity => 1 + leg.place,
                    _ => 0,
                },
            });
        }
    }
    all.extend(liquid_weighed(leg));
    all.extend(portion(scenario, leg));
    all.extend(named_reagent(leg));
    all
}

/// What the leg's own sources do, with the number of independent draws of each.
fn own(scenario: &Scenario, leg: &Leg, id: SourceId) -> Vec<(Effect, f64)> {
    use SourceId as S;
    let room = scenario.room.temperature;
    let density = leg.liquid.density_at(room).0;
    let one = |effect| vec![(effect, 1.0)];
    let solid = leg.mass.0 > 0.0;
    match id {
        S::Readability | S::Repeatability | S::Linearity if solid => {
            vec![(Effect::Run(Entry::Solid, 1.0), 2.0)]
        }
        S::BalanceGain if solid => one(Effect::Proportion(Entry::Solid, 1.0)),
        S::AirDensity if solid => {
            let per = 1.0 / 8.0 - 1.0 / leg.reaction.density.0;
            one(Effect::Proportion(Entry::Solid, per))
        }
        S::TransferLoss | S::Window | S::Spill if solid => one(Effect::Run(Entry::Solid, 1.0)),
        S::Purity if solid => one(Effect::Table(TableEntry::Purity, 1.0)),
        S::MolarMass if solid => one(Effect::Table(TableEntry::MolarMass, 1.0)),
        S::PortionConcentration => one(Effect::Table(TableEntry::PortionConcentration, 1.0)),
        S::Tolerance | S::Filling | S::RoomTemperature => match leg.liquid_by {
            LiquidBy::Weighed { .. } => Vec::new(),
            LiquidBy::Volume {
                nominal,
                fillings,
                expansion,
            } => match id {
                S::Tolerance => one(Effect::Run(Entry::Liquid, density * f64::from(fillings))),
                S::Filling => vec![(Effect::Run(Entry::Liquid, density), f64::from(fillings))],
                _ => {
                    let at = |d: f64| leg.liquid.density_at(Celsius(room.0 + d)).0;
                    let slope = at(0.5) - at(-0.5) + expansion.0 * density;
                    one(Effect::Run(Entry::Liquid, nominal.0 * slope))
                }
            },
        },
        S::Shortfall => one(Effect::Run(Entry::Liquid, -density)),
        S::Rinse => one(Effect::Run(Entry::Rinse, scenario.water.density_at(room).0)),
        S::LiquidHeat => one(Effect::TableProportion(liquid_heat(scenario), 1.0)),
        S::LiquidDensity => density_error(scenario, leg),
        S::DilutionError => one(Effect::Table(TableEntry::Dilution, 1.0)),
        S::SoluteHeat => one(Effect::Table(TableEntry::SoluteHeat, 1.0)),
        S::Offset => one(Effect::Shift),
        S::ThermometerGain => one(Effect::Scale(room)),
        S::Drift => one(Effect::Creep),
        S::Noise | S::Resolution => one(Effect::Readings),
        S::VesselHeat => one(Effect::Run(Entry::Extra, 1.0)),
        S::VesselChange => one(Effect::Vessel),
        S::SideDilution if scenario.lab.subtracts_side_heats => {
            one(Effect::Table(TableEntry::SideHeat, 1.0))
        }
        S::SideWetting if scenario.lab.subtracts_side_heats => one(Effect::Run(Entry::Heat, 1.0)),
        S::StartDifference => {
            let heat = leg.portion.as_ref().map_or(0.0, |p| {
                leg.nominal_portion(&scenario.room).0 * p.liquid.heat_capacity_at(room).0
            });
            one(Effect::Run(Entry::Heat, heat))
        }
        S::ReactionEnthalpy if leg.calibrates() => one(Effect::Table(TableEntry::Enthalpy, 1.0)),
        S::ReactionSlope => one(Effect::Table(TableEntry::Slope, 1.0)),
        _ => match leg.heat {
            Heat::Electrical(h) => match id {
                S::Voltage => one(Effect::Table(TableEntry::Voltage, 1.0)),
                S::Current => one(Effect::Table(TableEntry::Current, 1.0)),
                S::HeatingTime => one(Effect::Run(Entry::Heat, (h.voltage * h.current).0)),
                _ => Vec::new(),
            },
            Heat::HotWater { .. } if id == S::PouringLoss => one(Effect::Run(Entry::Hot, 1.0)),
            Heat::HotWater { .. } | Heat::Reaction => Vec::new(),
        },
    }
}

/// The table's entry that counts the liquid's heat capacity.
fn liquid_heat(scenario: &Scenario) -> TableEntry {
    if scenario.lab.water_heat {
        TableEntry::WaterHeat
    } else {
        TableEntry::LiquidHeat
    }
}

/// A liquid that is measured out by volume has more mass than the table says, at the same amount of what is dissolved in it;
/// one that is weighed has less volume, which matters if the result is stated per mole of what is dissolved.
fn density_error(scenario: &Scenario, leg: &Leg) -> Vec<(Effect, f64)> {
    let effect = match leg.liquid_by {
        LiquidBy::Volume { .. } => Effect::TableProportion(liquid_heat(scenario), 1.0),
        LiquidBy::Weighed { .. } => Effect::TableProportion(TableEntry::LiquidConcentration, -1.0),
    };
    vec![(effect, 1.0)]
}

fn term<'s>(
    bindings: &'s [Binding],
    (source, effect, draws): (SourceId, Effect, f64),
    (once, place): (bool, u32),
) -> Term<'s> {
    Term {
        source,
        binding: &bindings[source as usize],
        effect,
        draws,
        once,
        place,
    }
}

/// A liquid that is weighed in.
fn liquid_weighed(leg: &Leg) -> Vec<Term<'_>> {
    use SourceId as S;
    let Some(bindings) = &leg.liquid_balance else {
        return Vec::new();
    };
    let by = Effect::Run(Entry::Liquid, 1.0);
    [
        (S::BalanceGain, Effect::Proportion(Entry::Liquid, 1.0), 1.0),
        (S::Linearity, by, 2.0),
        (S::Repeatability, by, 2.0),
        (S::Readability, by, 2.0),
    ]
    .into_iter()
    .map(|t| {
        let place = if t.0 == S::Linearity {
            100 + leg.place
        } else {
            0
        };
        term(bindings, t, (false, place))
    })
    .collect()
}

/// The liquid that enters with the charge.
fn portion<'s>(scenario: &Scenario, leg: &'s Leg) -> Vec<Term<'s>> {
    let (Some(p), LiquidBy::Volume { fillings, .. }) = (
        &leg.portion,
        leg.portion.as_ref().map_or(leg.liquid_by, |p| p.by),
    ) else {
        return Vec::new();
    };
    let density = p.liquid.density_at(scenario.room.temperature).0;
    let fillings = f64::from(fillings);
    let mark = Effect::Run(Entry::Portion, density * fillings);
    let filling = Effect::Run(Entry::Portion, density);
    let heat = Effect::TableProportion(TableEntry::PortionHeat, 1.0);
    [
        (SourceId::Tolerance, mark, 1.0),
        (SourceId::Filling, filling, fillings),
        (SourceId::LiquidHeat, heat, 1.0),
        (SourceId::LiquidDensity, heat, 1.0),
    ]
    .into_iter()
    .map(|t| term(&p.bindings, t, (false, 0)))
    .collect()
}

/// The reagent that the result is stated per mole of, if it is another one than the charge.
fn named_reagent(leg: &Leg) -> Vec<Term<'_>> {
    use SourceId as S;
    let Per::Reagent(at) = leg.per else {
        return Vec::new();
    };
    let weighed = Effect::Run(Entry::Reagent, 1.0);
    let solid = |density: f64| {
        vec![
            (S::BalanceGain, Effect::Proportion(Entry::Reagent, 1.0), 1.0),
            (
                S::AirDensity,
                Effect::Proportion(Entry::Reagent, 1.0 / 8.0 - 1.0 / density),
                1.0,
            ),
            (S::Linearity, weighed, 2.0),
            (S::Repeatability, weighed, 2.0),
            (S::Readability, weighed, 2.0),
            (
                S::Purity,
                Effect::Table(TableEntry::ReagentPurity, 1.0),
                1.0,
            ),
            (
                S::MolarMass,
                Effect::Table(TableEntry::ReagentMolarMass, 1.0),
                1.0,
            ),
        ]
    };
    let place = 1000 + leg.place;
    match &leg.reagents[at].supply {
        Supply::InLiquid {
            source, binding, ..
        } => vec![Term {
            source: *source,
            binding,
            effect: Effect::Table(TableEntry::LiquidConcentration, 1.0),
            draws: 1.0,
            once: false,
            place: 0,
        }],
        Supply::InStock(s) => {
            let flask = Effect::Table(TableEntry::Flask, 1.0);
            let mut all = solid(s.solid.density.0);
            all.extend([(S::Tolerance, flask, 1.0), (S::Filling, flask, 1.0)]);
            all.into_iter()
                .map(|t| term(&s.bindings, t, (true, place)))
                .collect()
        }
        Supply::Weighed(w) => solid(w.solid.density.0)
            .into_iter()
            .map(|t| term(&w.bindings, t, (false, place)))
            .collect(),
    }
}
