//! A validated scenario: the numbers of the procedure, and each source bound to its distribution.

use super::build::read_in;
use super::document::Raw;
use super::facts::{LiquidFacts, ReactionFacts};
use super::problem::{Problem, Problems};
use super::record::{Record, Way};
use super::source::{Scope, SourceId};
use crate::library::Library;
use crate::quantity::{
    Celsius, Gram, JoulePerGramKelvin, JoulePerKelvin, Kelvin, Millilitre, PerKelvin,
};
use crate::random::{Column, Draws, Input, Name, Tag};
use std::sync::Arc;

/// A whole experiment as its procedure states it.
#[derive(Debug, Clone)]
pub struct Scenario {
    /// One line.
    pub title: String,
    /// A few sentences.
    pub summary: String,
    /// Hash of the text and of what was changed in it, for the record.
    pub digest: String,
    /// What is asked of the result.
    pub target: Target,
    /// The room.
    pub room: Room,
    /// Specific heat capacity of water at the stated room temperature.
    pub water_heat: JoulePerGramKelvin,
    /// Calibration runs.
    pub calibration: Leg,
    /// Determinations.
    pub determination: Leg,
    /// How the lab evaluates.
    pub lab: Lab,
    /// When a run is repeated.
    pub repeat: RepeatRule,
    /// What was read.
    pub text: String,
    /// The library that it was read in, without the scenario's own tables.
    pub library: Arc<Library>,
    /// Cautions of all substances.
    pub cautions: Vec<String>,
    /// What its author should know.
    pub warnings: Vec<Problem>,
}

impl Scenario {
    /// Both legs, calibration first.
    pub fn legs(&self) -> [&Leg; 2] {
        [&self.calibration, &self.determination]
    }

    /// The same scenario with some of its keys replaced, read in the same library.
    ///
    /// # Errors
    /// All problems of the changed scenario, if any of them is an error.
    pub fn changed(&self, changes: &[(String, Raw)]) -> Result<Self, Problems> {
        read_in(&self.text, changes, &self.library)
    }
}

/// What is asked of the result.
#[derive(Debug, Clone, Copy)]
pub struct Target {
    /// Half-width of the fair band, relative to the accepted value.
    pub band: Option<f64>,
    /// Relative spread that the procedure should reach.
    pub uncertainty: Option<f64>,
    /// Temperature that the result is quoted at.
    pub quote_at: Celsius,
}

/// The room as the procedure states it.
#[derive(Debug, Clone, Copy)]
pub struct Room {
    /// Temperature that the lab looks tables up at.
    pub temperature: Celsius,
}

/// One source as a leg has it.
#[derive(Debug, Clone)]
pub struct Binding {
    /// Distribution and perfect value, in base units.
    pub input: Input,
    /// Whose draws they are: equal identities share.
    pub identity: Tag,
    /// What was stated, for budgets and for people.
    pub stated: String,
}

/// Which draw of a source.
#[derive(Debug, Clone, Copy, Default)]
pub struct At {
    /// Replicate, from 0.
    pub run: u32,
    /// Repeat of that replicate, from 0.
    pub attempt: u32,
    /// Reading within the run, from 0.
    pub reading: u32,
}

/// One kind of run: the calibration, or the determination.
#[derive(Debug, Clone)]
pub struct Leg {
    /// `calibration` or `determination`.
    pub name: &'static str,
    /// Number of runs.
    pub runs: u32,
    /// What reacts, as tabulated.
    pub reaction: ReactionFacts,
    /// Target mass of solid.
    pub mass: Gram,
    /// Mass of the weighing boat.
    pub boat: Gram,
    /// Purity the lab computes with, as a fraction.
    pub label_purity: f64,
    /// The liquid, as tabulated.
    pub liquid: LiquidFacts,
    /// How it gets into the vessel.
    pub liquid_by: LiquidBy,
    /// Law of dissolving.
    pub law: LawOfDissolving,
    /// What is recorded.
    pub record: Record,
    /// How it becomes one change of temperature.
    pub way: Way,
    /// How solid that is left over is looked for.
    pub inspection: Inspection,
    /// Sources by [`SourceId`].
    pub bindings: Vec<Binding>,
    /// Balance sources of the balance that weighs the liquid, by [`SourceId`], if it is weighed.
    pub liquid_balance: Option<Vec<Binding>>,
}

impl Leg {
    /// The binding of a source.
    pub fn binding(&self, id: SourceId) -> &Binding {
        &self.bindings[id as usize]
    }

    /// Mass of liquid as the procedure states it, at the stated room temperature.
    pub fn nominal_liquid(&self, room: &Room) -> Gram {
        match self.liquid_by {
            LiquidBy::Volume { nominal, .. } => nominal * self.liquid.density_at(room.temperature),
            LiquidBy::Weighed { nominal } => nominal,
        }
    }

    /// Heat capacity of the contents with the target mass dissolved.
    pub fn nominal_contents(&self, room: &Room) -> JoulePerKelvin {
        self.nominal_liquid(room) * self.liquid.heat_capacity_at(room.temperature)
            + self.mass * self.reaction.solute_heat
    }

    /// Molality of the solution with the target mass dissolved, mol/kg.
    pub fn nominal_molality(&self, room: &Room) -> f64 {
        let amount = self.mass * self.label_purity / self.reaction.molar_mass;
        amount.0 / (self.nominal_liquid(room).0 * 1e-3)
    }

    /// Change of temperature that the target mass makes if nothing errs: -n Delta H / C.
    pub fn nominal_rise(&self, room: &Room) -> Kelvin {
        let vessel = JoulePerKelvin(self.binding(SourceId::VesselHeat).input.ideal);
        let amount = self.mass * self.label_purity / self.reaction.molar_mass;
        let molality = self.nominal_molality(room);
        let enthalpy = self.reaction.enthalpy
            + self.reaction.slope * (room.temperature - self.reaction.at)
            + self.reaction.dilution.from_state(molality);
        -(amount * enthalpy) / (vessel + self.nominal_contents(room))
    }

    /// The draws of a source, taken as often as its scope says.
    pub fn draw<T: Copy + From<f64>>(&self, draws: &Draws, id: SourceId, at: At) -> Column<T> {
        draw_bound(self.binding(id), draws, id, at)
    }
}

/// The draws of a bound source; what its scope does not tell apart is shared.
pub fn draw_bound<T: Copy + From<f64>>(
    binding: &Binding,
    draws: &Draws,
    id: SourceId,
    at: At,
) -> Column<T> {
    let source = id.source();
    let once = Name::once(source.tag(), binding.identity);
    let run = Name::run(source.tag(), binding.identity, at.run, at.attempt);
    match source.scope {
        Scope::Course => draws.course(once, &binding.input),
        Scope::Group => draws.column(once, at.reading, &binding.input),
        Scope::Run | Scope::Reading => draws.column(run, at.reading, &binding.input),
    }
}

/// How the liquid gets into the vessel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LiquidBy {
    /// By a device of this total nominal volume, in this many fillings.
    Volume {
        /// Total nominal volume.
        nominal: Millilitre,
        /// Fillings of the device.
        fillings: u32,
        /// Cubic expansion of its glass.
        expansion: PerKelvin,
    },
    /// Weighed in, to about this mass.
    Weighed {
        /// Target mass.
        nominal: Gram,
    },
}

/// Law of dissolving; its time is a source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LawOfDissolving {
    /// At once.
    Instant,
    /// `s = 1 - exp(-t / time)`.
    FirstOrder,
    /// `s = 1 - (1 - t / time)^3`, complete at `time`.
    CubeRoot,
}

/// How solid that is left over is looked for at the end of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Inspection {
    /// Nobody looks.
    None,
    /// Noticed in 5 % of cases at the first mass, in 95 % at the second.
    Logistic {
        /// 5 %.
        just_visible: Gram,
        /// 95 %.
        surely_visible: Gram,
    },
    /// `1 - exp(-m / scale)`.
    Exponential {
        /// Scale.
        scale: Gram,
    },
    /// From this mass on.
    Step {
        /// Threshold.
        from: Gram,
    },
}

/// What is done about a run whose residue is noticed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RepeatRule {
    /// How often a run may be repeated.
    pub most: u32,
    /// Whether a last run with noticed residue is dropped instead of accepted.
    pub drop: bool,
}

/// How the lab treats the contents.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Contents {
    /// Alike in both kinds of run.
    Same,
    /// Exchanged by tabulated heat capacities.
    Swapped,
}

/// Which mass of solid the lab computes with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MassUsed {
    /// The difference of its weighings.
    Recorded,
    /// The target of the procedure.
    Nominal,
}

/// Where run and reading effects of the linear budget come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RunEffects {
    /// The instruments' statements.
    Stated,
    /// The observed scatter.
    Scatter,
}

/// How the lab evaluates.
#[derive(Debug, Clone, Copy)]
pub struct Lab {
    /// Contents.
    pub contents: Contents,
    /// Mass.
    pub mass: MassUsed,
    /// Whether masses are corrected for buoyancy.
    pub corrects_buoyancy: bool,
    /// Whether the reference enthalpy is taken at the mixing temperature.
    pub reference_slope: bool,
    /// Whether the result is brought to the quoted temperature.
    pub result_slope: bool,
    /// Run effects of the linear budget.
    pub run_effects: RunEffects,
    /// Whether tabulated values are taken half-way through the change instead of at mixing.
    pub mean_temperature: bool,
    /// Whether the solid counts in the mass of the contents.
    pub solid_in_mass: bool,
    /// Whether water's specific heat capacity serves for all contents.
    pub water_heat: bool,
    /// Whether millilitres are taken as grams.
    pub volume_as_mass: bool,
}
