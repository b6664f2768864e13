//! The decimal mark, decided once for a whole file.

use super::cell::mark_of;
use super::problem::{Problems, shown};
use super::sheet::Row;

/// The decimal mark of all numbers in these columns, none if no number has decimals; both marks in one file are reported.
pub(super) fn decimal(
    rows: &[Row],
    separator: char,
    columns: &[usize],
    names: &[&str],
    problems: &mut Problems,
) -> Option<char> {
    let mut first: [Option<(usize, usize, &str)>; 2] = [None; 2];
    // Whether all commas may as well divide thousands.
    let mut thousands = true;
    for row in rows {
        for &column in columns {
            let cell = row.cell(column);
            let Some(mark) = mark_of(cell) else { continue };
            first[usize::from(mark == ',')].get_or_insert((row.line, column, cell));
            thousands &= mark == '.' || is_thousands(cell);
        }
    }
    let name = |column: usize| names.get(column).copied();
    match first {
        [Some(point), Some(comma)] => {
            let (late, early) = if (point.0, point.1) > (comma.0, comma.1) {
                (point, comma)
            } else {
                (comma, point)
            };
            let message = format!(
                "`{}` has another decimal mark than `{}` in line {}",
                shown(late.2),
                shown(early.2),
                early.0
            );
            problems.add(
                "mark",
                late.0,
                name(late.1),
                message,
                "write all numbers of a file with the same mark",
            );
            None
        }
        [None, Some((line, column, cell))] if separator == ',' && thousands => {
            let message = format!(
                "`{}` may be a decimal comma or divide thousands",
                shown(cell)
            );
            problems.add(
                "thousands",
                line,
                name(column),
                message,
                "write a decimal point, or separate the cells by semicolons",
            );
            None
        }
        [None, Some(_)] => Some(','),
        [Some(_), None] => Some('.'),
        [None, None] => None,
    }
}

/// Whether a comma with three digits behind it may divide thousands.
fn is_thousands(cell: &str) -> bool {
    let Some((whole, rest)) = cell.split_once(',') else {
        return false;
    };
    let whole = whole.trim_start_matches(['+', '-', '−']);
    let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
    digits == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0')
}
