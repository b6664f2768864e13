//! A table for programs: comma-separated, in the unit of the result, below a comment that says where it comes from.

use crate::report::document::{Place, Table};
use crate::report::records::{finished, records};

/// All rows and columns of a table.
///
/// # Errors
/// If a record cannot be written, which memory does not refuse.
pub fn table_csv(table: &Table, provenance: &str) -> Result<Vec<u8>, csv::Error> {
    let mut out = records(provenance);
    let columns = || table.columns_at(Place::File);
    out.write_record(columns().flat_map(|(_, c)| c.raw_names()))?;
    for row in &table.rows {
        out.write_record(columns().flat_map(|(i, c)| row[i].raw(c.kind)))?;
    }
    finished(out)
}
