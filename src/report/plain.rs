//! Texts of others where they could do something: on a terminal, in a spreadsheet, in Markdown.

use crate::quantity::is_unprintable;
use std::borrow::Cow;

/// What is shown for a letter that cannot be printed.
const INSTEAD: &str = "\u{fffd}";

/// A text for a terminal: line breaks and tabs are all that moves the cursor.
pub fn plain(text: &str) -> Cow<'_, str> {
    without(text, &['\n', '\t'])
}

/// The same for a text that this program has coloured; what others wrote is in it as [`plain`] or marked by the renderer.
pub(super) fn plain_but_colours(text: &str) -> Cow<'_, str> {
    without(text, &['\n', '\t', '\u{1b}'])
}

/// One line of a text for a terminal.
pub(super) fn line(text: &str) -> Cow<'_, str> {
    without(text, &[])
}

fn without<'t>(text: &'t str, kept: &[char]) -> Cow<'t, str> {
    let wrong = |c: char| is_unprintable(c) && !kept.contains(&c);
    if !text.contains(wrong) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(text.replace("\r\n", "\n").replace(wrong, INSTEAD))
}

/// A text of JSON, in which such letters stand as escapes.
pub fn plain_json(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if is_unprintable(c) && c != '\n' {
            out.push_str(&format!("\\u{:04x}", u32::from(c)));
        } else {
            out.push(c);
        }
    }
    out
}

/// A cell of a table for programs: a text that a spreadsheet would take for a formula begins with an apostrophe.
pub(super) fn harmless(cell: &str) -> Cow<'_, str> {
    let formula =
        cell.starts_with(['=', '+', '-', '@', '\t', '\r']) && cell.parse::<f64>().is_err();
    if formula {
        return Cow::Owned(format!("'{cell}"));
    }
    Cow::Borrowed(cell)
}

/// A text in Markdown, where `<` before a letter begins a tag of HTML, and a line break ends a heading.
pub(super) fn in_markdown(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut letters = text.chars().peekable();
    while let Some(c) = letters.next() {
        let tag = |next: &char| next.is_ascii_alphabetic() || "/!?".contains(*next);
        if c == '<' && letters.peek().is_some_and(tag) {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_line_breaks_and_tabs_move_the_cursor() {
        assert_eq!(
            plain("a\u{1b}[2Jb\u{9b}1m\tc\r\nd\re\u{202e}"),
            "a\u{fffd}[2Jb\u{fffd}1m\tc\nd\u{fffd}e\u{fffd}"
        );
        assert!(matches!(plain("0.1 °C ± 3 %\n"), Cow::Borrowed(_)));
        assert_eq!(line("a\nb"), "a\u{fffd}b");
        assert_eq!(plain_but_colours("\u{1b}[1m\u{9b}"), "\u{1b}[1m\u{fffd}");
        let json = plain_json("{\n \"a\": \"\u{9b}\u{202e}\"}");
        let read: serde_json::Value = serde_json::from_str(&json).unwrap();
        assert_eq!(
            (json.contains('\u{9b}'), read["a"].as_str()),
            (false, Some("\u{9b}\u{202e}"))
        );
    }

    #[test]
    fn texts_that_look_like_formulas_are_marked_and_numbers_are_not() {
        for text in ["=1+1", "+A1", "-1+cmd|' /C calc'!A0", "@SUM(A1)", "\t=1"] {
            assert_eq!(harmless(text), format!("'{text}"));
        }
        for text in ["-1.5e-3", "+2", "determination - oxide", "", "\u{2212}3"] {
            assert_eq!(harmless(text), text);
        }
    }

    #[test]
    fn a_tag_of_html_is_letters_in_markdown() {
        assert_eq!(
            in_markdown("<script>p < 0.05</b>"),
            "\\<script>p < 0.05\\</b>"
        );
    }
}
