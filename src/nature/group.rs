//! What a group has for its whole session in one leg.

use super::reagent::ReagentOfGroup;
use super::share::shares_but_not_all;
use super::step::Dynamics;
use super::weigh::Rounding;
use crate::quantity::{
    Celsius, GramPerMillilitre, GramPerMole, Joule, JoulePerGramKelvin, JoulePerKelvin,
    JoulePerMole, JoulePerMoleKelvin, Kelvin, Millilitre, MolePerLitre, Watt,
};
use crate::random::{Column, Draws, Input};
use crate::scenario::{At, Charge, Leg, Portion, Room, Scenario, SourceId, draw_bound};

/// What a group has for its whole session in one leg.
#[derive(Debug, Clone)]
pub struct Group<'a> {
    pub(super) leg: &'a Leg,
    pub(super) room: Room,
    pub(super) rounding: Rounding,
    pub(super) temperature: Column<Celsius>,
    pub(super) specific_heat: Column<JoulePerGramKelvin>,
    pub(super) density: Column<GramPerMillilitre>,
    pub(super) water_heat: Column<JoulePerGramKelvin>,
    pub(super) water_density: Column<GramPerMillilitre>,
    pub(super) solute_heat: Column<JoulePerGramKelvin>,
    pub(super) device_error: Column<Millilitre>,
    pub(super) vessel: Column<JoulePerKelvin>,
    pub(super) dynamics: Dynamics,
    pub(super) stirring: Column<Watt>,
    pub(super) offset: Column<Kelvin>,
    pub(super) gain: Column<f64>,
    pub(super) resolution: Column<Kelvin>,
    pub(super) portion: Option<PortionOfGroup<'a>>,
    pub(super) reagents: Vec<ReagentOfGroup>,
    pub(super) purity: Column<f64>,
    pub(super) water_lost: Column<f64>,
    pub(super) molar_mass: Column<GramPerMole>,
    pub(super) enthalpy: Column<JoulePerMole>,
    pub(super) dilution_error: Column<JoulePerMole>,
    pub(super) slope: Column<JoulePerMoleKelvin>,
    pub(super) medium_shift: Column<JoulePerMole>,
    pub(super) side_dilution: Column<Joule>,
}

/// The liquid that enters with the charge, as a group has it.
#[derive(Debug, Clone)]
pub(super) struct PortionOfGroup<'a> {
    pub(super) portion: &'a Portion,
    pub(super) specific_heat: Column<JoulePerGramKelvin>,
    pub(super) density: Column<GramPerMillilitre>,
    pub(super) device_error: Column<Millilitre>,
    pub(super) concentration: Column<MolePerLitre>,
}

impl<'a> PortionOfGroup<'a> {
    fn new(leg: &Leg, portion: &'a Portion, temperature: &Column<Celsius>, draws: &Draws) -> Self {
        let of = |id: SourceId| {
            draw_bound::<f64>(&portion.bindings[id as usize], draws, id, At::default())
        };
        let error = of(SourceId::LiquidHeat);
        let density_error = of(SourceId::LiquidDensity);
        let mark = of(SourceId::Tolerance);
        let fillings = f64::from(portion.by.fillings());
        Self {
            portion,
            specific_heat: Column::from_fn(|i| {
                portion.liquid.heat_capacity_at(temperature[i]) * (1.0 + error[i])
            }),
            density: Column::from_fn(|i| {
                portion.liquid.density_at(temperature[i]) * (1.0 + density_error[i])
            }),
            device_error: Column::from_fn(|i| Millilitre(mark[i] * fillings)),
            concentration: leg.draw(draws, SourceId::PortionConcentration, At::default()),
        }
    }
}

impl<'a> Group<'a> {
    /// Draws what does not change between the runs of a leg.
    pub fn new(leg: &'a Leg, scenario: &Scenario, draws: &Draws, rounding: Rounding) -> Self {
        use SourceId as S;
        let at = At::default();
        let temperature: Column<Celsius> = leg.draw(draws, S::RoomTemperature, at);
        let liquid_error: Column<f64> = leg.draw(draws, S::LiquidHeat, at);
        let density_error: Column<f64> = leg.draw(draws, S::LiquidDensity, at);
        let fillings = f64::from(leg.liquid_by.fillings());
        let portion = leg.portion.as_ref();
        let portion = portion.map(|p| PortionOfGroup::new(leg, p, &temperature, draws));
        let reagents = (0..).zip(&leg.reagents);
        let reagents = reagents
            .map(|(n, r)| ReagentOfGroup::new(r, n, draws, &temperature, (leg.place, rounding)))
            .collect();
        let mark: Column<Millilitre> = leg.draw(draws, S::Tolerance, at);
        // Water is asked for where some is left in the vessel.
        let rinsed = leg.binding(S::Rinse).input != Input::exact(0.0);
        Self {
            leg,
            room: scenario.room,
            rounding,
            specific_heat: Column::from_fn(|i| {
                leg.liquid.heat_capacity_at(temperature[i]) * (1.0 + liquid_error[i])
            }),
            density: Column::from_fn(|i| {
                leg.liquid.density_at(temperature[i]) * (1.0 + density_error[i])
            }),
            water_heat: if rinsed {
                Column::from_fn(|i| scenario.water.heat_capacity_at(temperature[i]))
            } else {
                Column::splat(JoulePerGramKelvin(0.0))
            },
            water_density: if rinsed {
                Column::from_fn(|i| scenario.water.density_at(temperature[i]))
            } else {
                Column::splat(GramPerMillilitre(0.0))
            },
            temperature,
            solute_heat: leg.draw(draws, S::SoluteHeat, at),
            device_error: Column::from_fn(|i| mark[i] * fillings),
            vessel: leg.draw(draws, S::VesselHeat, at),
            dynamics: Dynamics::new(leg.draw(draws, S::Leak, at), leg.draw(draws, S::Lag, at)),
            stirring: leg.draw(draws, S::Stirring, at),
            offset: leg.draw(draws, S::Offset, at),
            gain: leg.draw(draws, S::ThermometerGain, at),
            resolution: leg.draw(draws, S::Resolution, at),
            portion,
            reagents,
            purity: leg.draw(draws, S::Purity, at),
            water_lost: shares_but_not_all(leg.draw(draws, S::WaterLost, at)),
            molar_mass: leg.draw(draws, S::MolarMass, at),
            enthalpy: leg.draw(draws, S::ReactionEnthalpy, at),
            dilution_error: leg.draw(draws, S::DilutionError, at),
            slope: leg.draw(draws, S::ReactionSlope, at),
            medium_shift: leg.draw(draws, S::MediumShift, at),
            side_dilution: leg.draw(draws, S::SideDilution, at),
        }
    }

    /// The leg it belongs to.
    pub fn leg(&self) -> &'a Leg {
        self.leg
    }

    /// The molar enthalpy that a perfect determination at temperature `t` would find, in the
    /// tabulated state and per mole of what the result is stated for: what the lab's value is compared
    /// with. It is that of the medium, and of the charge as it enters the vessel:
    /// `[h + h_s (of a dropped solid) + Delta C_p (t - t_table) + shift of the medium] / nu`.
    pub fn enthalpy_at(&self, t: Celsius) -> Column<JoulePerMole> {
        let solid = match self.leg.charge {
            Charge::Dropped | Charge::Metal => self.leg.reaction.dissolving,
            Charge::Beforehand { .. } | Charge::Liquid { .. } => JoulePerMole(0.0),
        };
        let nu = self.leg.nu();
        Column::from_fn(|i| {
            let own = self.enthalpy[i] + self.slope[i] * (t - self.leg.reaction.at);
            (own + solid + self.medium_shift[i]) / nu
        })
    }
}
