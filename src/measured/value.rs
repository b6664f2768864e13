//! A cell as a value in base units.

use super::cell::number;
use super::problem::{Problems, shown};
use super::unit::{Scale, scale};
use crate::quantity::Dimension;

/// Why a cell is refused.
pub(super) struct Refused {
    /// Key for problems that are alike.
    kind: &'static str,
    message: String,
    hint: &'static str,
}

impl Refused {
    /// Reports it.
    pub(super) fn report(self, line: usize, column: &str, problems: &mut Problems) {
        problems.add(self.kind, line, Some(column), self.message, self.hint);
    }
}

/// A dimension with its least and its largest possible value, in base units.
pub(super) type Range = (Dimension, f64, f64);

/// Reads a cell as value and last digit, in base units; it is in the unit of its header unless it has one of its own.
pub(super) fn value(
    cell: &str,
    mark: char,
    header: Scale,
    (dimension, low, high): Range,
) -> Result<(f64, f64), Refused> {
    let read = number(cell, mark).map_err(|wrong| {
        let (what, hint) = wrong.words();
        let message = format!("`{}` {what}", shown(cell));
        Refused {
            kind: what,
            message,
            hint,
        }
    })?;
    let own = match read.unit {
        "" => header,
        unit => scale(unit, dimension).map_err(|why| Refused {
            kind: "unit",
            message: format!("`{}`: {why}", shown(cell)),
            hint: "write a unit that fits, or none where the header has one",
        })?,
    };
    let value = own.apply(read.value);
    if (low..=high).contains(&value) {
        return Ok((value, own.step(read.step)));
    }
    let unit = dimension.base_unit();
    Err(Refused {
        kind: "range",
        message: format!(
            "`{}` is not possible: only {low} to {high} {unit} is",
            shown(cell)
        ),
        hint: "check the number and its unit",
    })
}
