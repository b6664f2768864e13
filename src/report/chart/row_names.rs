//! The names of rows: wrapped into a column of their own, so that none is ever cut.

use super::canvas::{Align, Canvas};
use super::frame::LEADING;
use super::style::{LABEL, MID, NOTE, Type};
use super::text;

/// Wider than this the column of names may not become.
const WIDEST: f64 = 320.0;
/// Free room between the column of ranks and the names.
const RANK_GAP: f64 = 10.0;
/// Free room above and below the names of a row.
const PAD: f64 = 5.0;
/// Up to this height a row lends its own to the others.
const USUAL: f64 = 46.0;
/// Behind these signs a name without blanks may be broken.
const SEAMS: &[char] = &['.', '_', '-', '/', ',', ':'];

/// What stands before a row.
#[derive(Debug, Clone, Copy)]
pub(super) struct RowWords<'a> {
    /// Place in the order, counted from one.
    pub rank: Option<u32>,
    /// Name of the row.
    pub label: &'a str,
    /// Small words below the name.
    pub note: &'a str,
}

/// The names of one row, ready to be written.
struct Name {
    rank: String,
    lines: Vec<(String, Type)>,
    height: f64,
}

/// The names of all rows.
pub(super) struct Names {
    names: Vec<Name>,
    rank_width: f64,
    column: f64,
}

/// The word cut behind its seams into parts no wider than the room, as far as seams allow.
fn at_seams(word: &str, face: Type, room: f64) -> Vec<String> {
    let mut parts: Vec<String> = Vec::new();
    for piece in word.split_inclusive(SEAMS) {
        match parts.last_mut() {
            Some(last) if text::width(&format!("{last}{piece}"), face) <= room => {
                last.push_str(piece);
            }
            _ => parts.push(piece.to_owned()),
        }
    }
    parts
}

/// The text broken into lines, at blanks first, then at seams, then anywhere.
fn wrap(words: &str, face: Type, room: f64) -> Vec<String> {
    let parts: Vec<String> = words
        .split_whitespace()
        .flat_map(|word| at_seams(word, face, room))
        .collect();
    text::wrap(&parts.join(" "), face, room)
}

/// The text in lines of its face or a smaller one; only what would fill a page is shortened.
fn lines(words: &str, face: Type, room: f64, steps: &[(f64, usize)]) -> Vec<(String, Type)> {
    let words = text::clean(words);
    let mut chosen = (Vec::new(), face);
    for (share, most) in steps {
        let smaller = Type {
            size: face.size * share,
            ..face
        };
        let mut lines = wrap(&words, smaller, room);
        let enough = lines.len() <= *most;
        if !enough {
            lines.truncate(*most);
            if let Some(last) = lines.last_mut() {
                *last = text::shorten(&format!("{last} …"), smaller, room);
            }
        }
        chosen = (lines, smaller);
        if enough {
            break;
        }
    }
    let (lines, face) = chosen;
    lines.into_iter().map(|line| (line, face)).collect()
}

impl Names {
    /// Sets the names of all rows.
    pub fn set(rows: &[RowWords<'_>]) -> Self {
        let names: Vec<Name> = rows
            .iter()
            .map(|row| {
                let mut all = lines(row.label, LABEL, WIDEST, &[(1.0, 3), (0.88, 5), (0.8, 8)]);
                all.extend(lines(row.note, NOTE, WIDEST, &[(1.0, 3), (0.9, 6)]));
                let height: f64 = all.iter().map(|(_, face)| LEADING * face.size).sum();
                Name {
                    rank: row.rank.map(|rank| format!("{rank}.")).unwrap_or_default(),
                    lines: all,
                    height,
                }
            })
            .collect();
        let widest = |all: &mut dyn Iterator<Item = f64>| all.fold(0.0, f64::max);
        let rank_width = widest(&mut names.iter().map(|name| text::width(&name.rank, LABEL)));
        let column = widest(
            &mut names
                .iter()
                .flat_map(|name| &name.lines)
                .map(|(line, face)| text::width(line, *face)),
        );
        Self {
            names,
            rank_width,
            column,
        }
    }

    /// Room the names take from left to right, ranks included.
    pub fn width(&self) -> f64 {
        let ranks = if self.rank_width > 0.0 {
            self.rank_width + RANK_GAP
        } else {
            0.0
        };
        ranks + self.column
    }

    /// Heights of the rows, none below the given one; all alike but for those with long names.
    pub fn heights(&self, least: f64) -> Vec<f64> {
        let own = || self.names.iter().map(|name| name.height + 2.0 * PAD);
        let usual = own()
            .filter(|height| *height <= USUAL)
            .fold(least, f64::max);
        own().map(|height| height.max(usual)).collect()
    }

    /// Writes the names of a row against the right edge of their column.
    pub fn draw(&self, canvas: &mut Canvas<'_>, row: usize, left: f64, middle: f64) {
        let Some(name) = self.names.get(row) else {
            return;
        };
        let right = left + self.width();
        let mut top = middle - name.height / 2.0;
        for (index, (line, face)) in name.lines.iter().enumerate() {
            let baseline = top + text::ASCENT * face.size + 0.2 * face.size;
            if index == 0 {
                let grey = Type {
                    color: MID,
                    ..*face
                };
                let at = (left + self.rank_width, baseline);
                canvas.text(&name.rank, at, Align::End, grey);
            }
            canvas.text(line, (right, baseline), Align::End, *face);
            top += LEADING * face.size;
        }
        if name.lines.is_empty() {
            let at = (left + self.rank_width, middle + 0.36 * LABEL.size);
            let grey = Type {
                color: MID,
                ..LABEL
            };
            canvas.text(&name.rank, at, Align::End, grey);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_names_break_at_seams_and_lose_nothing() {
        let long = "electrical.lead_loss_between_the_heater_and_the_points_where_voltage_is_taken";
        let set = lines(long, LABEL, 200.0, &[(1.0, 8)]);
        assert!(set.len() > 1);
        for (line, face) in &set[..set.len() - 1] {
            assert!(line.ends_with(SEAMS), "{line}");
            assert!(text::width(line, *face) <= 200.0);
        }
        let joined: String = set.iter().map(|(line, _)| line.as_str()).collect();
        assert_eq!(joined, long);
    }

    #[test]
    fn ranks_take_room_only_when_there_are_any() {
        let row = |rank| RowWords {
            rank,
            label: "thermometer.noise",
            note: "each run",
        };
        let without = Names::set(&[row(None)]).width();
        assert!(Names::set(&[row(Some(12)), row(None)]).width() > without);
        assert!(Names::set(&[]).width().abs() < 1e-9);
    }
}
