//! The forms of a document, one file for each.

mod csv;
mod grid;
mod html;
mod markdown;
mod text;

pub use csv::table_csv;
pub use html::{document_html, escaped};
pub use markdown::document_markdown;
pub use text::{Screen, document_text};
