//! Floor 7: what a person or a program reads: text for 80 columns, JSON, CSV, charts, files.

mod budget;
mod compare;
pub mod document;
mod draw;
mod evaluate;
mod figure;
mod files;
mod forecast;
mod grade;
mod json;
mod loosen;
pub mod page;
mod plain;
mod problems;
mod rank;
mod records;
pub mod render;
mod schema;
mod show;
mod slip;
mod sweep;
mod trace;
mod words;

pub use budget::data::budget_json;
pub use budget::text::{BudgetStyle, budget_csv, budget_text};
pub use compare::json::{COMPARE_SCHEMA, compare_json};
pub use compare::{compare_document, compare_provenance};
pub use draw::{ChartError, Picture, pictures};
pub use evaluate::{EVALUATE_SCHEMA, evaluate_document, evaluate_json};
pub use files::{OutFile, WriteError, list_of, prepare, stop_writing, write_all};
pub use forecast::forecast_document;
pub use forecast::json::{SCHEMA, forecast_json, samples_csv};
pub use grade::{GRADE_SCHEMA, grade_document, grade_json};
pub use json::help_json;
pub use loosen::json::{LOOSEN_SCHEMA, loosen_json};
pub use loosen::loosen_document;
pub use page::json::report_json;
pub use plain::{plain, plain_json};
pub use problems::{count_text, data_problems_json, problems_json, problems_text, runs_document};
pub use rank::json::{RANK_SCHEMA, rank_json};
pub use rank::{rank_document, rank_explain};
pub use schema::{schema, schemas};
pub use show::{
    show_json, show_list, show_overview, show_scenario_json, show_schemas_json, show_sheet,
    show_source, show_sources, show_sources_json,
};
pub use slip::{SLIP_SCHEMA, SlipQuestion, slip_document, slip_json};
pub use sweep::json::{SWEEP_SCHEMA, sweep_json};
pub use sweep::sweep_document;
pub use sweep::words::sweep_name;
pub use trace::{TRACE_SCHEMA, record_csv, trace_document, trace_json};
pub use words::{hanging, provenance, provenance_of_points};
