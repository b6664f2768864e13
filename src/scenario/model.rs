//! A validated scenario: the numbers of the procedure, and each source bound to its distribution.

use super::problem::Problem;
use super::source::{Scope, SourceId};
use crate::library::TempTable;
use crate::quantity::{
    Celsius, Gram, GramPerMillilitre, GramPerMole, JoulePerGramKelvin, JoulePerKelvin,
    JoulePerMole, JoulePerMoleKelvin, Kelvin, Millilitre, PerKelvin, Second,
};
use crate::random::{Column, Draws, Input, Name, Tag};

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
    /// Calibration runs.
    pub calibration: Leg,
    /// Determinations.
    pub determination: Leg,
    /// How the lab evaluates.
    pub lab: Lab,
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

    /// Change of temperature that the target mass makes if nothing errs: -n Delta H / C.
    pub fn nominal_rise(&self, room: &Room) -> Kelvin {
        let vessel = JoulePerKelvin(self.binding(SourceId::VesselHeat).input.ideal);
        let amount = self.mass * self.label_purity / self.reaction.molar_mass;
        let molality = amount.0 / (self.nominal_liquid(room).0 * 1e-3);
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

/// A reaction as tabulated.
#[derive(Debug, Clone)]
pub struct ReactionFacts {
    /// Library key.
    pub key: String,
    /// What happens, in words.
    pub title: String,
    /// What is weighed.
    pub substance: String,
    /// Enthalpy per mole of solid at 25 °C, in the tabulated state.
    pub enthalpy: JoulePerMole,
    /// Standard uncertainty of it.
    pub enthalpy_u: JoulePerMole,
    /// State that the value belongs to, in words.
    pub state: String,
    /// Temperature of the table.
    pub at: Celsius,
    /// Slope with temperature.
    pub slope: JoulePerMoleKelvin,
    /// Heat of dilution from the tabulated state.
    pub dilution: DilutionHeat,
    /// Molar mass of the solid.
    pub molar_mass: GramPerMole,
    /// Density of the solid, for buoyancy.
    pub density: GramPerMillilitre,
    /// What a gram of it adds to the heat capacity once dissolved.
    pub solute_heat: JoulePerGramKelvin,
}

/// How the molar enthalpy changes with molality: apparent relative molar enthalpies, piecewise
/// linear in the square root of molality, from which the tabulated state's value is subtracted.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct DilutionHeat {
    /// Points (square root of molality, J/mol), rising; (0, 0) is implied.
    points: Vec<(f64, f64)>,
    /// Value at the tabulated state.
    at_state: f64,
}

impl DilutionHeat {
    /// From points (mol/kg, J/mol) and the molality of the tabulated state (0: infinite dilution).
    pub fn new(points: &[(f64, f64)], state: f64) -> Self {
        let mut own = Self {
            points: points.iter().map(|&(m, l)| (m.sqrt(), l)).collect(),
            at_state: 0.0,
        };
        own.points.sort_by(|a, b| a.0.total_cmp(&b.0));
        own.at_state = own.apparent(state);
        own
    }

    /// Whether nothing is tabulated.
    pub fn is_empty(&self) -> bool {
        self.points.is_empty()
    }

    /// Enthalpy at this molality minus that of the tabulated state, J/mol. Beyond the last point
    /// it stays at that point's value.
    #[inline]
    pub fn from_state(&self, molality: f64) -> JoulePerMole {
        JoulePerMole(self.apparent(molality) - self.at_state)
    }

    fn apparent(&self, molality: f64) -> f64 {
        let root = molality.max(0.0).sqrt();
        let mut before = (0.0, 0.0);
        for &(r, l) in &self.points {
            if root <= r {
                return before.1 + (l - before.1) * (root - before.0) / (r - before.0);
            }
            before = (r, l);
        }
        before.1
    }
}

/// A liquid as tabulated.
#[derive(Debug, Clone)]
pub struct LiquidFacts {
    /// Library key.
    pub key: String,
    /// What it is.
    pub title: String,
    /// Specific heat capacity, J/(g K), against temperature.
    pub heat_capacity: TempTable,
    /// Density, g/mL, against temperature.
    pub density: TempTable,
}

impl LiquidFacts {
    /// Specific heat capacity at a temperature.
    pub fn heat_capacity_at(&self, t: Celsius) -> JoulePerGramKelvin {
        JoulePerGramKelvin(self.heat_capacity.at(t.0))
    }

    /// Density at a temperature.
    pub fn density_at(&self, t: Celsius) -> GramPerMillilitre {
        GramPerMillilitre(self.density.at(t.0))
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

/// How a record becomes one change of temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Way {
    /// A reading before and a reading after.
    TwoReadings,
    /// The last reading before, and the highest or lowest after.
    Extreme,
    /// Both lines carried back to the moment of mixing.
    BackToMixing,
    /// Both lines taken when 63 % of the rise is reached.
    SixtyThree,
    /// Both lines taken where the areas on either side are equal.
    EqualAreas,
    /// Corrected by the heat exchanged between, after Regnault and Pfaundler.
    RegnaultPfaundler,
}

impl Way {
    /// All of them.
    pub const ALL: [Self; 6] = [
        Self::TwoReadings,
        Self::Extreme,
        Self::BackToMixing,
        Self::SixtyThree,
        Self::EqualAreas,
        Self::RegnaultPfaundler,
    ];

    /// Its word in a scenario.
    pub fn word(self) -> &'static str {
        match self {
            Self::TwoReadings => "two readings",
            Self::Extreme => "extreme",
            Self::BackToMixing => "back to mixing",
            Self::SixtyThree => "63 percent",
            Self::EqualAreas => "equal areas",
            Self::RegnaultPfaundler => "regnault-pfaundler",
        }
    }

    /// For people.
    pub fn title(self) -> &'static str {
        match self {
            Self::TwoReadings => "two readings",
            Self::Extreme => "extreme reading",
            Self::BackToMixing => "lines back to mixing",
            Self::SixtyThree => "lines at 63 % of the rise",
            Self::EqualAreas => "lines at equal areas",
            Self::RegnaultPfaundler => "Regnault-Pfaundler",
        }
    }

    /// Whether the change of temperature is a fixed weighted sum of the readings.
    pub fn is_linear(self) -> bool {
        matches!(self, Self::TwoReadings | Self::BackToMixing)
    }
}

/// What the lab records of a run; times count from the moment of mixing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Record {
    /// One reading before, one after.
    TwoReadings {
        /// The first is taken this long before mixing.
        before: Second,
        /// The second is taken this long after.
        read_at: Second,
    },
    /// Readings at a fixed interval through both periods and the time between.
    Trace {
        /// Time between readings.
        interval: Second,
        /// Length of the period before.
        fore: Second,
        /// Length of the period after.
        after: Second,
        /// Readings from here on belong to the line behind.
        settle: Second,
        /// The late one of two readings, where only two are used.
        read_at: Second,
    },
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
}
