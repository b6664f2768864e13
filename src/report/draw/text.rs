//! Measuring text with the bundled font, and making it fit.

use super::style::Type;
use read_fonts::{FontRef, TableProvider};
use std::collections::HashMap;
use std::sync::LazyLock;
use textwrap::core::Fragment;
use textwrap::wrap_algorithms::wrap_first_fit;

/// Distance from the upper end of a line of text to its baseline, in font sizes.
pub(super) const ASCENT: f64 = 0.80;
/// Height of a line of text from the top of its letters to the ends of their tails, in font sizes.
pub(super) const TALL: f64 = 1.05;
/// Width of a character that the font does not have, in font sizes: wide, to be on the safe side.
const UNKNOWN: f64 = 1.0;

/// Widths of all characters of a font, in font sizes.
type Widths = HashMap<u32, f64>;

static WIDTHS: LazyLock<[Widths; 2]> = LazyLock::new(|| {
    [dejavu::sans::regular(), dejavu::sans::bold()].map(|font| widths(font).unwrap_or_default())
});

fn widths(font: &[u8]) -> Result<Widths, read_fonts::ReadError> {
    let font = FontRef::new(font)?;
    let (units, map, advances) = (font.head()?.units_per_em(), font.cmap()?, font.hmtx()?);
    // All that these pictures may say: Latin, Greek, general punctuation, sub- and superscripts, arrows, signs.
    let letters = (0x20..0x500).chain(0x2000..0x2300);
    let width = |letter: u32| {
        let advance = advances.advance(map.map_codepoint(letter)?)?;
        Some((letter, f64::from(advance) / f64::from(units)))
    };
    Ok(letters.filter_map(width).collect())
}

/// Width of a line of text in nominal pixels.
pub(super) fn width(text: &str, face: Type) -> f64 {
    let widths = &WIDTHS[usize::from(face.bold)];
    let of = |letter: char| widths.get(&u32::from(letter)).copied().unwrap_or(UNKNOWN);
    text.chars().map(of).sum::<f64>() * face.size
}

/// The text on one line, free of characters that an SVG document must not contain.
pub(super) fn clean(text: &str) -> String {
    let plain = |letter: char| match letter {
        '\u{FFFE}' | '\u{FFFF}' => '\u{FFFD}',
        other if other.is_control() => ' ',
        other => other,
    };
    text.chars()
        .map(plain)
        .collect::<String>()
        .trim()
        .to_owned()
}

/// The text with its end replaced by an ellipsis where it is too wide.
pub(super) fn shortened(text: &str, face: Type, room: f64) -> String {
    let mut kept = text.to_owned();
    let mut shown = kept.clone();
    while width(&shown, face) > room && kept.pop().is_some() {
        shown = format!("{}…", kept.trim_end());
    }
    shown
}

/// A word with its width.
#[derive(Debug)]
struct Word {
    text: String,
    width: f64,
    blank: f64,
}

impl Fragment for Word {
    fn width(&self) -> f64 {
        self.width
    }

    fn whitespace_width(&self) -> f64 {
        self.blank
    }

    fn penalty_width(&self) -> f64 {
        0.0
    }
}

/// The text in lines no wider than the room, `most` at most: what is left over is replaced by an ellipsis.
pub(super) fn wrap(text: &str, face: Type, room: f64, most: usize) -> Vec<String> {
    let word = |text: &str| Word {
        text: shortened(text, face, room),
        width: width(text, face).min(room),
        blank: width(" ", face),
    };
    let words: Vec<Word> = clean(text).split_whitespace().map(word).collect();
    if words.is_empty() {
        return Vec::new();
    }
    let line = |words: &[Word]| {
        let words: Vec<&str> = words.iter().map(|w| w.text.as_str()).collect();
        words.join(" ")
    };
    let wrapped = wrap_first_fit(&words, &[room]);
    let mut lines: Vec<String> = wrapped.into_iter().map(line).collect();
    if lines.len() > most {
        lines.truncate(most);
        let last = lines.pop().unwrap_or_default();
        // One word too many, so that the ellipsis is sure to be set.
        lines.push(shortened(
            &format!("{last} {}", "…".repeat(200)),
            face,
            room,
        ));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::super::style::{LABEL, STRONG};
    use super::*;

    #[test]
    fn widths_come_from_the_font() {
        // Figures of this family are all equally wide, so that columns of numbers line up.
        for digit in '0'..='9' {
            assert!((width(&digit.to_string(), LABEL) / LABEL.size - 0.636).abs() < 0.001);
        }
        assert!(width("m", LABEL) < width("m", STRONG));
        for letter in ["Δ", "\u{2212}", "°", "⁻", "₂", "→", "·"] {
            assert!(width(letter, LABEL) < LABEL.size, "{letter} has no width");
        }
    }

    #[test]
    fn lines_fit_and_lose_nothing_before_they_must() {
        let long = "words ".repeat(30);
        let lines = wrap(&long, LABEL, 200.0, 99);
        assert_eq!(lines.join(" "), long.trim());
        assert!(lines.iter().all(|line| width(line, LABEL) <= 200.0));
        for text in [long, "x".repeat(4000)] {
            let lines = wrap(&text, LABEL, 200.0, 2);
            assert!(
                lines.len() <= 2 && lines.iter().any(|l| l.ends_with('…')),
                "{lines:?}"
            );
            assert!(lines.iter().all(|line| width(line, LABEL) <= 200.0));
        }
        assert_eq!(clean("a\u{7}b\nc\u{FFFF} "), "a b c\u{FFFD}");
        assert!(wrap("", LABEL, 10.0, 3).is_empty());
    }
}
