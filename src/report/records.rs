//! Tables for programs: comma-separated, with a comment line that says where they come from.

use super::plain::{harmless, line};

/// A table that is being written.
pub(super) struct Records(csv::Writer<Vec<u8>>);

/// A table that begins with its origin.
pub(super) fn records(provenance: &str) -> Records {
    let origin = format!("# {}\n", line(provenance));
    Records(csv::Writer::from_writer(origin.into_bytes()))
}

impl Records {
    /// Adds a row.
    ///
    /// # Errors
    /// If it cannot be written, which memory does not refuse.
    pub(super) fn write_record(
        &mut self,
        cells: impl IntoIterator<Item = impl AsRef<str>>,
    ) -> Result<(), csv::Error> {
        let cells = cells.into_iter();
        self.0
            .write_record(cells.map(|c| harmless(c.as_ref()).into_owned()))
    }
}

/// The finished table.
///
/// # Errors
/// If the last of it cannot be written, which memory does not refuse.
pub(super) fn finished(records: Records) -> Result<Vec<u8>, csv::Error> {
    records.0.into_inner().map_err(|e| e.into_error().into())
}

/// A number of a table; nothing for what is none.
pub(super) fn number(x: f64) -> String {
    if x.is_finite() {
        format!("{x}")
    } else {
        String::new()
    }
}
