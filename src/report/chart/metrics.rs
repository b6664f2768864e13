//! Widths of letters, read from the bundled font itself.
//!
//! The drawing library cannot measure text without a font system. Only two tables of the font
//! are needed for a width, and reading them keeps every label where it was planned.

use std::sync::LazyLock;

/// The parts of a font that tell how wide a character is.
struct Widths {
    data: &'static [u8],
    /// Start of the character map (the one for the basic plane).
    map: usize,
    /// Start of the table of widths.
    advances: usize,
    /// How many glyphs have a width of their own; the rest share the last one.
    counted: usize,
    /// Font units in one font size.
    units: f64,
}

static REGULAR: LazyLock<Option<Widths>> = LazyLock::new(|| Widths::read(dejavu::sans::regular()));
static BOLD: LazyLock<Option<Widths>> = LazyLock::new(|| Widths::read(dejavu::sans::bold()));

/// Width of a character the font does not have, in font sizes: wide, to be on the safe side.
const UNKNOWN: f64 = 1.0;

/// Width of one character at font size 1.
pub(super) fn advance(letter: char, bold: bool) -> f64 {
    let font = if bold { &*BOLD } else { &*REGULAR };
    font.as_ref()
        .and_then(|font| font.advance(letter))
        .unwrap_or(UNKNOWN)
}

fn short(data: &[u8], at: usize) -> Option<usize> {
    let bytes = data.get(at..at.checked_add(2)?)?;
    Some(usize::from(u16::from_be_bytes([bytes[0], bytes[1]])))
}

fn long(data: &[u8], at: usize) -> Option<usize> {
    Some(short(data, at)? * 65_536 + short(data, at + 2)?)
}

impl Widths {
    fn read(data: &'static [u8]) -> Option<Self> {
        let table = |tag: &[u8; 4]| -> Option<usize> {
            (0..short(data, 4)?)
                .map(|index| 12 + 16 * index)
                .find(|&at| data.get(at..at + 4) == Some(tag.as_slice()))
                .and_then(|at| long(data, at + 8))
        };
        let maps = table(b"cmap")?;
        let map = (0..short(data, maps + 2)?)
            .filter_map(|index| long(data, maps + 4 + 8 * index + 4))
            .map(|offset| maps + offset)
            .find(|&at| short(data, at) == Some(4))?;
        Some(Self {
            data,
            map,
            advances: table(b"hmtx")?,
            counted: short(data, table(b"hhea")? + 34)?,
            units: short(data, table(b"head")? + 18)? as f64,
        })
    }

    fn advance(&self, letter: char) -> Option<f64> {
        let glyph = self.glyph(letter)?;
        let index = glyph.min(self.counted.checked_sub(1)?);
        Some(short(self.data, self.advances + 4 * index)? as f64 / self.units)
    }

    /// The glyph of a character; the map is a list of ranges, sorted by their last character.
    fn glyph(&self, letter: char) -> Option<usize> {
        let code = u32::from(letter) as usize;
        let doubled = short(self.data, self.map + 6)?;
        let ends = self.map + 14;
        let starts = ends + doubled + 2;
        for at in (0..doubled).step_by(2) {
            if short(self.data, ends + at)? < code {
                continue;
            }
            let first = short(self.data, starts + at)?;
            if first > code {
                return None;
            }
            let delta = short(self.data, starts + doubled + at)?;
            let place = starts + 2 * doubled + at;
            let offset = short(self.data, place)?;
            let glyph = if offset == 0 {
                (code + delta) % 65_536
            } else {
                match short(self.data, place + offset + 2 * (code - first))? {
                    0 => 0,
                    raw => (raw + delta) % 65_536,
                }
            };
            return (glyph != 0).then_some(glyph);
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_come_from_the_font() {
        // Figures of this family are all equally wide, so that columns of numbers line up.
        for digit in '0'..='9' {
            assert!((advance(digit, false) - 0.636).abs() < 0.001);
        }
        assert!(advance('i', false) < advance('m', false));
        assert!(advance('m', false) < advance('m', true));
        for letter in ['Δ', '\u{2212}', '°', '⁻', '₂', '→'] {
            assert!(advance(letter, false) < UNKNOWN, "{letter} has no width");
        }
        assert_eq!(advance('\u{1F600}', false), UNKNOWN);
    }
}
