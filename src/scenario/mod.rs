//! Floor 1: what the user wrote, validated, every problem located; and the descriptors of the error
//! sources ([`source`]).

mod bind;
mod build;
mod build_leg;
mod build_record;
mod checks;
mod defaults;
mod document;
mod model;
mod problem;
pub mod schema;
mod shipped;
pub mod source;
mod syntax;
mod template;
mod wording;

pub use build::{read, read_with};
pub use document::{Document, Entry, Raw};
pub use model::{
    At, Binding, Contents, DilutionHeat, Lab, LawOfDissolving, Leg, LiquidBy, LiquidFacts,
    MassUsed, ReactionFacts, Record, Room, RunEffects, Scenario, Target, draw_bound,
};
pub use problem::{Problem, Problems, Severity};
pub use shipped::{builtin, builtin_text, shipped, shipped_names};
pub use source::{Family, SOURCES, Scope, Sharing, Source, SourceId};
pub use template::template;
