//! Floor 1: what the user wrote, validated, every problem located; and the descriptors of the error
//! sources ([`source`]).

mod bind;
mod bind_sets;
mod build;
mod build_charge;
mod build_columns;
mod build_cycle;
mod build_inspection;
mod build_leg;
mod build_liquid;
mod build_reagents;
mod build_record;
mod cautions;
mod checks;
mod checks_freedom;
mod checks_hazards;
mod checks_sense;
mod checks_solutions;
mod checks_tables;
mod checks_unused;
mod chemistry;
mod columns;
mod defaults;
mod devices;
mod document;
mod entries;
mod facts;
mod keys;
mod leg;
mod letters;
mod limits;
mod lookup;
mod meant;
mod model;
mod nominal;
mod own;
mod problem;
mod record;
mod run_column;
mod said;
pub mod schema;
mod shipped;
pub mod source;
mod statement;
mod syntax;
mod template;
mod told;
mod wording;

pub use build::{read, read_in, read_with};
pub use cautions::Caution;
pub use chemistry::{
    Charge, Heat, Heater, LeftoverState, Per, Portion, Reagent, SolidFacts, Stock, Supply,
    WeighedReagent,
};
pub use document::{Document, Entry, Raw, locate};
pub use facts::{Anhydrous, DilutionHeat, Hydrate, LiquidFacts, ReactionFacts};
pub use leg::{At, Binding, LawOfDissolving, Leg, LiquidBy, draw_bound, draw_reading};
pub use meant::meant;
pub use model::{
    Contents, Cycle, Inspection, Lab, MassUsed, RepeatRule, Room, RunEffects, Scenario, Target,
    Times,
};
pub use own::{is_library, library_file, library_of, with_file};
pub use problem::{Concern, Problem, Problems, Severity, positions};
pub use record::{Pace, Record, ReductionMethod};
pub use run_column::{Holds, RUN_COLUMNS, RunColumn, RunColumnEntry};
pub use shipped::{builtin, builtin_text, shipped, shipped_names};
pub use source::{Family, SOURCES, Scope, Sharing, Source, SourceId};
pub use statement::{scaled_statement, statement_size};
pub use template::template;
pub use wording::example;
pub(crate) use wording::nearest;
