//! Floor 1: what the user wrote, validated, every problem located; and the descriptors of the error
//! sources ([`source`]).

mod bind;
mod bind_library;
mod build;
mod build_leg;
mod checks;
mod document;
mod keys;
mod model;
mod problem;
pub mod schema;
pub mod source;
mod template;

pub use build::{builtin, builtin_text, read, read_with, shipped, shipped_names};
pub use document::{Document, Entry, Raw};
pub use model::{
    At, Binding, Contents, DilutionHeat, Lab, LawOfDissolving, Leg, LiquidBy, LiquidFacts,
    MassUsed, ReactionFacts, Record, Room, RunEffects, Scenario, Target, Way, draw_bound,
};
pub use problem::{Problem, Problems, Severity};
pub use source::{Family, SOURCES, Scope, Sharing, Source, SourceId};
pub use template::template;
