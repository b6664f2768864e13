//! One change of a key as the command line writes it: `PATH = VALUE`.

use std::ops::Range;

/// One change as written.
pub(super) struct Written<'t> {
    /// Key.
    pub path: &'t str,
    /// What it becomes, without quotes.
    pub value: &'t str,
    /// Where path and value stand in the text.
    pub spans: [Range<usize>; 2],
}

/// Reads a part of a text that begins at `start` of it; `None` if it is no change.
pub(super) fn split(part: &str, start: usize) -> Option<Written<'_>> {
    let (path, value) = part.split_once('=')?;
    let place = |text: &str, from: usize| {
        let begin = from + text.len() - text.trim_start().len();
        begin..begin + text.trim().len()
    };
    let spans = [place(path, start), place(value, start + path.len() + 1)];
    let (path, value) = (path.trim(), value.trim());
    // Quotes as in a file are no part of a text.
    let bare = value
        .strip_prefix('"')
        .and_then(|rest| rest.strip_suffix('"'));
    (!path.is_empty() && !value.is_empty()).then_some(Written {
        path,
        value: bare.unwrap_or(value),
        spans,
    })
}
