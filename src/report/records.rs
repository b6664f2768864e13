//! Tables for programs: comma-separated, with a comment line that says where they come from.

pub(super) type Records = csv::Writer<Vec<u8>>;

/// A table that begins with its origin.
pub(super) fn records(provenance: &str) -> Records {
    csv::Writer::from_writer(format!("# {provenance}\n").into_bytes())
}

/// The finished table.
///
/// # Errors
/// If the last of it cannot be written, which memory does not refuse.
pub(super) fn finished(records: Records) -> Result<Vec<u8>, csv::Error> {
    records.into_inner().map_err(|e| e.into_error().into())
}

/// A number of a table; nothing for what is none.
pub(super) fn number(x: f64) -> String {
    if x.is_finite() {
        format!("{x}")
    } else {
        String::new()
    }
}
