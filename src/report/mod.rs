//! Floor 7: what a person or a program reads: text for 80 columns, JSON, CSV, charts, files.

mod budget_data;
mod budget_text;
pub mod chart;
mod compare_against;
mod compare_cells;
mod compare_json;
mod compare_pictures;
mod compare_tables;
mod compare_text;
mod compare_words;
mod files;
mod forecast_beside;
mod forecast_extras;
mod forecast_json;
mod forecast_pictures;
mod forecast_sentences;
mod forecast_tables;
mod forecast_text;
mod json;
mod loosen_json;
mod loosen_pictures;
mod loosen_text;
mod problems;
mod rank_budget;
mod rank_effort;
mod rank_explain;
mod rank_json;
mod rank_pictures;
mod rank_text;
mod records;
mod reductions_picture;
mod sample_run;
mod show;
mod sweep_json;
mod sweep_pictures;
mod sweep_text;
mod sweep_words;
mod words;

pub use budget_data::{budget_csv, budget_json};
pub use budget_text::{BudgetStyle, budget_text};
pub use chart::Picture;
pub use compare_json::{COMPARE_SCHEMA, compare_csv, compare_json};
pub use compare_pictures::compare_pictures;
pub use compare_text::{compare_provenance, compare_text};
pub use files::{OutFile, WriteError, prepare, write_all};
pub use forecast_json::{SCHEMA, forecast_json, samples_csv};
pub use forecast_pictures::forecast_pictures;
pub use forecast_text::forecast_text;
pub use loosen_json::{LOOSEN_SCHEMA, loosen_csv, loosen_json};
pub use loosen_pictures::loosen_pictures;
pub use loosen_text::loosen_text;
pub use problems::{count_text, problems_json, problems_text, runs_text};
pub use rank_effort::{rank_effort, rank_effort_json};
pub use rank_explain::rank_explain;
pub use rank_json::{RANK_SCHEMA, rank_csv, rank_json};
pub use rank_pictures::rank_pictures;
pub use rank_text::rank_text;
pub use show::{
    scenarios_line, show_found, show_json, show_kind, show_overview, show_scenario_json,
    show_sheet, show_source, show_sources_json,
};
pub use sweep_json::{SWEEP_SCHEMA, split_csv, sweep_csv, sweep_json};
pub use sweep_pictures::sweep_pictures;
pub use sweep_text::sweep_text;
pub use sweep_words::sweep_name;
pub use words::{FIRST_CAUTION, provenance};
