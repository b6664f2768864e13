//! Measuring text and making it fit.

use super::metrics::advance;
use super::style::Type;

/// Distance from the upper end of a line of text to its baseline, in font sizes.
pub(super) const ASCENT: f64 = 0.80;

/// Width of a line of text in nominal pixels.
pub(super) fn width(text: &str, face: Type) -> f64 {
    text.chars()
        .map(|letter| advance(letter, face.bold))
        .sum::<f64>()
        * face.size
}

/// The text on one line, free of characters that an SVG document must not contain.
pub(super) fn clean(text: &str) -> String {
    let plain: String = text
        .chars()
        .map(|letter| match letter {
            '\u{FFFE}' | '\u{FFFF}' => '\u{FFFD}',
            other if other.is_control() => ' ',
            other => other,
        })
        .collect();
    plain.trim().to_owned()
}

/// The face in which a line fits, made smaller if need be, and the line itself, shortened with
/// an ellipsis only when even the smallest legible size is too wide.
pub(super) fn fit(text: &str, face: Type, room: f64) -> (String, Type) {
    const SMALLEST: f64 = 9.5;
    let wide = width(text, face);
    if wide <= room {
        return (text.to_owned(), face);
    }
    let mut small = face;
    small.size = (face.size * room / wide).max(SMALLEST.min(face.size));
    if width(text, small) <= room + 0.01 {
        return (text.to_owned(), small);
    }
    (shorten(text, small, room), small)
}

/// The text with its end replaced by an ellipsis so that it fits.
pub(super) fn shorten(text: &str, face: Type, room: f64) -> String {
    let mut kept = text.to_owned();
    while kept.pop().is_some() {
        let short = format!("{}…", kept.trim_end());
        if width(&short, face) <= room {
            return short;
        }
    }
    String::new()
}

/// The text broken into lines no wider than the room.
pub(super) fn wrap(text: &str, face: Type, room: f64) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let longer = if line.is_empty() {
            word.to_owned()
        } else {
            format!("{line} {word}")
        };
        if width(&longer, face) <= room {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        // A word wider than the picture is broken between letters: ugly, but nothing is lost.
        for letter in word.chars() {
            line.push(letter);
            if line.chars().count() > 1 && width(&line, face) > room {
                line.pop();
                lines.push(std::mem::take(&mut line));
                line.push(letter);
            }
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// The text set in as few lines as possible: on one line at full size, else smaller, else on
/// several lines; beyond the last resort the rest is replaced by an ellipsis.
pub(super) fn block(text: &str, face: Type, room: f64) -> (Vec<String>, Type) {
    let mut chosen = (Vec::new(), face);
    for (share, allowed) in [(1.0, 1), (0.88, 1), (0.88, 2), (0.74, 3), (0.64, 4)] {
        let smaller = Type {
            size: face.size * share,
            ..face
        };
        let lines = wrap(text, smaller, room);
        if lines.len() <= allowed {
            return (lines, smaller);
        }
        chosen = (lines[..allowed].to_vec(), smaller);
    }
    let (lines, small) = &mut chosen;
    if let Some(last) = lines.last_mut() {
        *last = shorten(&format!("{last} …"), *small, room);
    }
    chosen
}

#[cfg(test)]
mod tests {
    use super::super::style::{LABEL, TITLE};
    use super::*;

    #[test]
    fn long_titles_lose_nothing_until_the_last_resort() {
        let long = "words ".repeat(30);
        let (lines, face) = block(&long, TITLE, 860.0);
        assert_eq!(lines.join(" "), long.trim());
        assert!(lines.iter().all(|line| width(line, face) <= 860.0));
        let (lines, face) = block(&"x".repeat(4000), TITLE, 860.0);
        assert!(lines.len() <= 4 && lines.last().is_some_and(|line| line.ends_with('…')));
        assert!(lines.iter().all(|line| width(line, face) <= 860.0));
        assert!(block("", TITLE, 860.0).0.is_empty());
    }

    #[test]
    fn labels_shrink_before_they_are_shortened() {
        let (same, face) = fit("a label that is slightly too wide", LABEL, 180.0);
        assert_eq!(same, "a label that is slightly too wide");
        assert!(face.size < LABEL.size);
        let (short, face) = fit(&"long ".repeat(50), LABEL, 200.0);
        assert!(short.ends_with('…') && width(&short, face) <= 200.0);
    }

    #[test]
    fn control_characters_become_blanks() {
        assert_eq!(clean("a\u{7}b\nc\u{FFFF} "), "a b c\u{FFFD}");
    }
}
