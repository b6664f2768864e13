//! What the columns of the table of error sources ([`super::source`]) say.

use crate::library::{
    Balance, ErrorFact, Fact, Glassware, Liquid, Reaction, Substance, Thermometer, Vessel,
};
use crate::quantity::texts;

texts! {
    /// What a source belongs to, for ranking by family.
    Family::name:
    /// Weighing.
    Balance = "balance",
    /// Delivering liquid.
    Delivery = "delivery",
    /// Reading temperature.
    Thermometer = "thermometer",
    /// The calorimeter itself.
    Vessel = "vessel",
    /// How fast and how completely the solid dissolves.
    Dissolving = "dissolving",
    /// What is in the bottle.
    Reagent = "reagent",
    /// Tabulated values.
    Reference = "reference value",
    /// What hands do.
    Technique = "technique",
}

texts! {
    /// What repetition averages: how often an error is drawn anew.
    Scope::name:
    /// Anew at each reading.
    Reading = "reading",
    /// Anew in each run.
    Run = "run",
    /// Once for a group's session and instruments.
    Group = "group",
    /// Once for all groups of a course.
    Course = "course",
}

/// Who shares the draws of a source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sharing {
    /// One instrument serves both legs, unless a leg has its own.
    Instrument,
    /// Each leg has its own.
    Leg,
    /// Legs that use the same device share.
    Device,
    /// Legs that use the same liquid share.
    Liquid,
    /// Legs that use the same substance share.
    Substance,
    /// Legs of the same reaction share.
    Reaction,
    /// Legs whose reactions have the same table of heats of dilution share.
    Dilution,
}

/// How a source is stated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Statement {
    /// An error about zero.
    Error,
    /// A value with its uncertainty; without error it is the stated value.
    Value,
    /// A value whose absence is the perfect case: a leak, a resolution.
    Disturbance,
}

/// What the library knows of a source.
#[derive(Debug, Clone, Copy)]
pub enum Known<'l> {
    /// A value.
    Fact(&'l Fact),
    /// An error.
    Error(&'l ErrorFact),
    /// A value without error.
    Exact(f64),
}

/// Where the library has a source from that the scenario does not state; from nowhere, it does not err.
#[derive(Debug, Clone, Copy)]
#[allow(missing_docs)] // Each is the kind of entry that has it.
pub enum Usual {
    Nothing,
    Balance(for<'l> fn(&'l Balance) -> Known<'l>),
    Thermometer(for<'l> fn(&'l Thermometer) -> Known<'l>),
    Vessel(for<'l> fn(&'l Vessel) -> Known<'l>),
    Device(for<'l> fn(&'l Glassware) -> Known<'l>),
    Substance(for<'l> fn(&'l Substance) -> Known<'l>),
    Liquid(for<'l> fn(&'l Liquid) -> Known<'l>),
    PortionLiquid(for<'l> fn(&'l Liquid) -> Known<'l>),
    Reaction(for<'l> fn(&'l Reaction) -> Known<'l>),
    /// That of the substance; exact in a calibration by a value published per gram.
    MolarMass,
    /// So stated, wherever anything is weighed.
    Weighing(&'static str),
    /// A uniform number to hold against a chance.
    Chance,
}

/// How the key of a source states it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Written {
    /// By its statement.
    Plainly,
    /// As a window of values.
    Window,
    /// As a time, or as a rate under another key.
    TimeOrRate,
    /// As a chance, under another key.
    Chance,
    /// By no key.
    Nowhere,
}

/// The value of a source without error.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Perfect {
    /// The value stated, of a [`Statement::Value`]; else 0.
    ByStatement,
    /// What the label says.
    Label,
    /// What a lab that does not calibrate takes it for.
    Assumed,
    /// Conventional density of air, if the lab corrects for buoyancy.
    ConventionalAir,
}

/// What a source takes part of: the charge, or the liquid, by its table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// Of nothing.
    OfNothing,
    /// It is lost or added: never more than there is.
    Loss,
    /// It is an error of its measure, which must leave something of it.
    Error,
}
