//! What meets in the vessel, and the heat that comes of it.
//!
//! All heat is reckoned at the temperature of mixing and goes into the final contents,
//!
//! C = C_vessel (1 + eta) + m c_liquid + m' c'_portion + m_d c_solute + m_u c_solid + m_rinse c_water,
//!
//! with the mass m_d of what dissolves and m_u of what is left over. A crust of hydrate counts as the hydrate, and the water
//! that it holds is missing in the liquid. Rinse water has the density and the heat capacity of water at its temperature.
//!
//! Charge in the vessel: n = m p / (M (1 - w)) for a solid of purity p of which m reaches the vessel (what is lost on the
//! way is at most what was there),
//! a hydrate having lost the share w of its mass as water ([`super::reagent::salt`]); n = c V' for a
//! liquid portion. Where the release is not complete a share of charge and portion stays back. A share
//! f of the solid is left over; of the rest, s(wait) is dissolved at the break and the residue goes on
//! by the same law: cube root with the time t_d - wait, first order with the same rate. What that
//! gives is in [`super::heat`]. To it come at the break
//!
//! m' c' (t_portion - t_mixing) of a portion that is warmer or colder than the vessel (hot water
//! loses some of it on the way), the stated side heats, and -n f (h - h_hydrate) where the leftover has
//! become a crust of hydrate. A heater gives U I t (1 - loss), evenly over its time t.
//!
//! The heat of dilution is that at the molality of what dissolves, n (1 - f) over the kilograms of liquid, portion and
//! rinse water, with the error of its table. A hydrate of which the share a is anhydrous takes up h + a (h_anhydrous - h); this difference, and that of
//! a crust, change with temperature by the tables' slopes.

use super::deliver;
use super::dissolve::fraction;
use super::group::Group;
use super::heat::Mixed;
use super::pulse::Pulse;
use super::reagent::salt;
use super::release::released;
use super::share::shares;
use crate::quantity::{
    Ampere, Celsius, Gram, Joule, JoulePerGramKelvin, JoulePerKelvin, JoulePerMole, Kelvin,
    Millilitre, Mole, Second, Volt,
};
use crate::random::{BLOCK, Column, Draws};
use crate::scenario::{
    At, Charge, Heat, LawOfDissolving, LeftoverState, Leg, Per, Record, SourceId, draw_bound,
};

/// Amounts and masses that meet in one run.
pub(super) struct Contents {
    /// Liquid of the vessel.
    pub(super) liquid: Column<Gram>,
    /// Liquid that enters.
    portion: Column<Gram>,
    /// Its heat capacity.
    portion_heat: Column<JoulePerKelvin>,
    /// Solid that enters.
    solid: Column<Gram>,
    /// Charge that enters.
    charge: Column<Mole>,
    /// Share of it that is the anhydrous form of a hydrate.
    anhydrous: Column<f64>,
    rinse: Column<Gram>,
    /// Heat capacity of everything.
    pub(super) capacity: Column<JoulePerKelvin>,
}

/// Brings everything together.
pub(super) fn contents(group: &Group, draws: &Draws, at: At, solid: &Column<Gram>) -> Contents {
    use SourceId as S;
    let leg = group.leg;
    let missing: Column<Millilitre> = leg.draw(draws, S::Shortfall, at);
    let liquid = deliver::delivered(
        leg.liquid_by,
        &group.density,
        &group.temperature,
        &group.device_error,
        &missing,
        |reading| leg.draw(draws, S::Filling, At { reading, ..at }),
    );
    let released = released(group, draws, at);
    let portion = match &group.portion {
        None => Column::splat(Gram(0.0)),
        Some(own) => {
            let p = own.portion;
            let filling = |reading: u32| {
                let binding = &p.bindings[S::Filling as usize];
                draw_bound(binding, draws, S::Filling, At { reading, ..at })
            };
            let all = deliver::delivered(
                p.by,
                &own.density,
                &group.temperature,
                &own.device_error,
                &Column::splat(Millilitre(0.0)),
                filling,
            );
            Column::from_fn(|i| all[i] * released[i])
        }
    };
    let portion_heat = Column::from_fn(|i| match &group.portion {
        Some(own) => portion[i] * own.specific_heat[i],
        None => JoulePerKelvin(0.0),
    });
    // Some solid stays behind, some rinse water is there already.
    let lost: Column<Gram> = leg.draw(draws, S::TransferLoss, at);
    let spilt: Column<Gram> = leg.draw(draws, S::Spill, at);
    let rinse: Column<Millilitre> = leg.draw(draws, S::Rinse, at);
    let rinse = Column::from_fn(|i| rinse[i] * group.water_density[i]);
    let vessel_change: Column<f64> = leg.draw(draws, S::VesselChange, at);
    let solid = Column::from_fn(|i| Gram((solid[i] - lost[i] - spilt[i]).0.max(0.0)) * released[i]);
    let leftover = shares(leg.draw(draws, S::Leftover, at));
    let waters = leg.reaction.anhydrous.map(|a| a.waters);
    let mut charge = Column::splat(Mole(0.0));
    let mut anhydrous = Column::splat(0.0);
    let mut capacity = Column::splat(JoulePerKelvin(0.0));
    for i in 0..BLOCK {
        // What dissolves, and what stays a solid.
        let (dissolved, solid_heat) = match (leg.charge, &group.portion) {
            (Charge::Liquid { .. }, Some(own)) => {
                charge[i] = own.concentration[i] * (portion[i] / own.density[i]);
                (charge[i] * group.molar_mass[i], JoulePerKelvin(0.0))
            }
            _ => {
                let fresh = solid[i] * group.purity[i] / group.molar_mass[i];
                let lost = group.water_lost[i];
                let (more, dry) = salt(lost, group.molar_mass[i], waters.unwrap_or(f64::INFINITY));
                charge[i] = fresh * more;
                anhydrous[i] = dry;
                let stays = solid[i] * leftover[i];
                (
                    solid[i] - stays,
                    left_over(leg, stays, group.specific_heat[i]),
                )
            }
        };
        capacity[i] = group.vessel[i] * (1.0 + vessel_change[i])
            + liquid[i] * group.specific_heat[i]
            + dissolved * group.solute_heat[i]
            + solid_heat
            + rinse[i] * group.water_heat[i]
            + portion_heat[i];
    }
    Contents {
        liquid,
        portion,
        portion_heat,
        solid,
        charge,
        anhydrous,
        rinse,
        capacity,
    }
}

/// Heat capacity of solid that is left over.
fn left_over(leg: &Leg, mass: Gram, liquid: JoulePerGramKelvin) -> JoulePerKelvin {
    match (leg.leftover, leg.reaction.hydrate) {
        (LeftoverState::NeverReleased, _) => JoulePerKelvin(0.0),
        (LeftoverState::Hydrate, Some(h)) => {
            let crust = mass * h.mass_ratio;
            crust * h.heat - (crust - mass) * liquid
        }
        _ => mass * leg.reaction.solid_heat,
    }
}

/// What comes of a run's contents.
pub(super) struct Outcome {
    /// Heat that begins at the break.
    pub(super) main: Pulse,
    /// Heat of what was not dissolved at the break.
    pub(super) late: Option<Pulse>,
    /// Solid that is left over when the record ends.
    pub(super) residue: Column<Gram>,
    /// Margin of what should be in excess.
    pub(super) margin: Column<f64>,
}

/// Lets them react; `mixing` is the temperature of the vessel at the break.
pub(super) fn mix(
    group: &Group,
    draws: &Draws,
    at: At,
    contents: &Contents,
    mixing: &Column<Celsius>,
) -> Outcome {
    use SourceId as S;
    let leg = group.leg;
    let brought = brought(group, draws, at, contents, mixing);
    if let Heat::Electrical(_) = leg.heat {
        return heated(group, draws, at, contents);
    }
    let leftover = shares(leg.draw(draws, S::Leftover, at));
    let time: Column<Second> = leg.draw(draws, S::DissolvingTime, at);
    let wait = match leg.charge {
        Charge::Beforehand { wait } => wait,
        _ => Second(0.0),
    };
    let beforehand = matches!(leg.charge, Charge::Beforehand { .. });
    let limits = limits(group, draws, contents);
    let mut change = Column::splat(Kelvin(0.0));
    let mut late = Column::splat(Kelvin(0.0));
    for i in 0..BLOCK {
        let charge = contents.charge[i];
        let water = contents.liquid[i] + contents.portion[i] + contents.rinse[i];
        let dissolves = charge * (1.0 - leftover[i]);
        let molality = dissolves.0 / (water.0 * 1e-3);
        let warmer = mixing[i] - leg.reaction.at;
        let dry = leg.reaction.anhydrous;
        let more = dry.map_or(JoulePerMole(0.0), |a| a.more + a.slope * warmer);
        let enthalpy = group.enthalpy[i]
            + group.slope[i] * warmer
            + leg.reaction.dilution.from_state(molality)
            + group.dilution_error[i]
            + more * contents.anhydrous[i]
            + group.medium_shift[i];
        let at_break = if beforehand {
            dissolves * fraction(leg.law, time[i], wait)
        } else {
            dissolves
        };
        let heats = Mixed {
            at_break,
            later: dissolves - at_break,
            limit: limits.others[i],
            enthalpy,
            dissolving: leg.reaction.dissolving,
            dropped: matches!(leg.charge, Charge::Dropped),
        }
        .heats();
        let crust = match (leg.leftover, leg.reaction.hydrate) {
            (LeftoverState::Hydrate, Some(h)) => {
                -(charge * leftover[i] * (h.forming + h.slope * warmer))
            }
            _ => Joule(0.0),
        };
        change[i] = (heats.at_break + crust + brought[i]) / contents.capacity[i];
        late[i] = heats.later / contents.capacity[i];
    }
    let late = beforehand.then(|| {
        // The residue goes on by the same law.
        let rest = Column::from_fn(|i| match leg.law {
            LawOfDissolving::CubeRoot => Second((time[i] - wait).0.max(0.0)),
            _ => time[i],
        });
        Pulse {
            law: leg.law,
            change: late,
            time: rest,
        }
    });
    let (law, pace) = if beforehand || leg.law == LawOfDissolving::Instant {
        mixing_law(group, draws, at)
    } else {
        (leg.law, time.clone())
    };
    let end = wait + end_of(&leg.record);
    let heavier = match (leg.leftover, leg.reaction.hydrate) {
        (LeftoverState::Hydrate, Some(h)) => h.mass_ratio,
        _ => 1.0,
    };
    let residue = match leg.charge {
        // A metal in excess is meant to be left over; a liquid leaves nothing.
        Charge::Metal | Charge::Liquid { .. } => Column::splat(Gram(0.0)),
        Charge::Dropped | Charge::Beforehand { .. } => Column::from_fn(|i| {
            let slow = (1.0 - leftover[i]) * (1.0 - fraction(leg.law, time[i], end));
            contents.solid[i] * (slow + leftover[i] * heavier)
        }),
    };
    Outcome {
        main: Pulse {
            law,
            change,
            time: pace,
        },
        late,
        residue,
        margin: limits.margin,
    }
}

/// How what is dissolved already mixes: at once, or with a time constant.
fn mixing_law(group: &Group, draws: &Draws, at: At) -> (LawOfDissolving, Column<Second>) {
    let time: Column<Second> = group.leg.draw(draws, SourceId::MixingTime, at);
    if group.leg.binding(SourceId::MixingTime).input.is_exact() {
        (LawOfDissolving::Instant, time)
    } else {
        (LawOfDissolving::FirstOrder, time)
    }
}

/// Heat beside that of the reaction: of a portion of another temperature, and side heats.
fn brought(
    group: &Group,
    draws: &Draws,
    at: At,
    contents: &Contents,
    mixing: &Column<Celsius>,
) -> Column<Joule> {
    use SourceId as S;
    let leg = group.leg;
    let warmer: Column<Kelvin> = match leg.heat {
        Heat::HotWater { .. } => {
            let hot: Column<Celsius> = leg.draw(draws, S::HotWater, at);
            let loss: Column<Kelvin> = leg.draw(draws, S::PouringLoss, at);
            Column::from_fn(|i| (hot[i] - loss[i]) - mixing[i])
        }
        Heat::Reaction | Heat::Electrical(_) => leg.draw(draws, S::StartDifference, at),
    };
    let wetting: Column<Joule> = leg.draw(draws, S::SideWetting, at);
    Column::from_fn(|i| contents.portion_heat[i] * warmer[i] + group.side_dilution[i] + wetting[i])
}

/// A heater instead of a reaction.
fn heated(group: &Group, draws: &Draws, at: At, contents: &Contents) -> Outcome {
    use SourceId as S;
    let leg = group.leg;
    let voltage: Column<Volt> = leg.draw(draws, S::Voltage, at);
    let current: Column<Ampere> = leg.draw(draws, S::Current, at);
    let time: Column<Second> = leg.draw(draws, S::HeatingTime, at);
    let loss = shares(leg.draw(draws, S::LeadLoss, at));
    let change = Column::from_fn(|i| {
        let heat: Joule = voltage[i] * current[i] * time[i] * (1.0 - loss[i]);
        heat / contents.capacity[i]
    });
    Outcome {
        main: Pulse {
            law: LawOfDissolving::Steady,
            change,
            time,
        },
        late: None,
        residue: Column::splat(Gram(0.0)),
        margin: Column::splat(f64::INFINITY),
    }
}

/// What the other reagents suffice for.
struct Limits {
    /// In moles of the charge.
    others: Column<Mole>,
    /// How much more there is of everything but the named reagent than that one can use up.
    margin: Column<f64>,
}

fn limits(group: &Group, draws: &Draws, contents: &Contents) -> Limits {
    let none = Mole(f64::INFINITY);
    let mut others = Column::splat(none);
    let mut least = Column::splat(none);
    let leg = group.leg;
    let mut named = contents.charge.clone();
    if !group.reagents.is_empty() {
        let volume = Column::from_fn(|i| contents.liquid[i] / group.density[i]);
        for (number, reagent) in group.reagents.iter().enumerate() {
            let amount = reagent.amount(&volume, draws);
            let is_named = leg.per == Per::Reagent(number);
            for i in 0..BLOCK {
                let suffices = amount[i] / reagent.nu;
                others[i] = Mole(others[i].0.min(suffices.0));
                if is_named {
                    named[i] = suffices;
                } else {
                    least[i] = Mole(least[i].0.min(suffices.0));
                }
            }
        }
        if leg.per != Per::Charge {
            least = Column::from_fn(|i| Mole(least[i].0.min(contents.charge[i].0)));
        }
    }
    Limits {
        margin: Column::from_fn(|i| least[i] / named[i] - 1.0),
        others,
    }
}

/// When the record ends and the vessel is looked into.
fn end_of(record: &Record) -> Second {
    match record {
        Record::TwoReadings { read_at, .. } => *read_at,
        Record::Trace { after, .. } => *after,
    }
}
