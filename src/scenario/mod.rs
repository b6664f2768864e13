//! Floor 1: what the user wrote, validated, every problem located; and the descriptors of the error
//! sources ([`source`]).

mod bind;
mod build;
mod build_inspection;
mod build_leg;
mod build_record;
mod checks;
mod checks_tables;
mod defaults;
mod document;
mod facts;
mod keys;
mod lookup;
mod model;
mod own;
mod problem;
mod record;
pub mod schema;
mod shipped;
pub mod source;
mod syntax;
mod template;
mod wording;

pub use build::{read, read_in, read_with};
pub use document::{Document, Entry, Raw, locate};
pub use facts::{DilutionHeat, LiquidFacts, ReactionFacts};
pub use model::{
    At, Binding, Contents, Inspection, Lab, LawOfDissolving, Leg, LiquidBy, MassUsed, RepeatRule,
    Room, RunEffects, Scenario, Target, draw_bound,
};
pub use own::{library_file, library_of, with_file};
pub use problem::{Problem, Problems, Severity};
pub use record::{Record, Way};
pub use shipped::{builtin, builtin_text, shipped, shipped_names};
pub use source::{Family, SOURCES, Scope, Sharing, Source, SourceId};
pub use template::template;
