//! Floor 0: physical dimensions, units as written by people, and unit types for the chain.
//!
//! Nothing here knows calorimetry. A text such as `"0.40 g"` or `"0.08 mL rectangular"` becomes a
//! number in the base unit of its dimension, or a distribution in that unit.

mod dimension;
mod error_statement;
mod measured;
mod parse;
mod spelling;
mod texts;
mod typed;
mod write;

pub use dimension::{Dimension, UNITS, Unit};
pub use error_statement::{ErrorStatement, StatementError, parse_error_statement};
pub use measured::{Measured, parse_measured};
pub use parse::{
    Currency, Quantity, QuantityError, parse_quantity, parse_quantity_as, parse_window,
};
pub use write::{decimal, size_of, usual_unit, write_in, write_quantity};

pub(crate) use spelling::{MOST_CANDIDATES, MOST_GUESSES, edits, is_unprintable, likeness};
pub(crate) use texts::texts;
pub use typed::*;
