//! Letters: how alike two spellings are, for "did you mean", and which ones can be printed.

/// Words longer than this are not compared: the effort goes with the product of both lengths.
const LONGEST: usize = 100;

/// More than any two words differ, and small enough to reckon with.
const FAR: usize = usize::MAX / 4;

/// Candidates beyond so many are not looked at.
pub(crate) const MOST_CANDIDATES: usize = 5_000;

/// From so many problems of one text on nothing is guessed any more.
pub(crate) const MOST_GUESSES: usize = 200;

/// Letters to change, to add, to leave out or to swap; more than anything where one of them is no word.
pub(crate) fn edits(a: &str, b: &str) -> usize {
    if a.len().max(b.len()) > LONGEST {
        return FAR;
    }
    strsim::damerau_levenshtein(a, b)
}

/// Likeness from 0 to 1 in which beginnings count most.
pub(crate) fn likeness(a: &str, b: &str) -> f64 {
    if a.len().max(b.len()) > LONGEST {
        return 0.0;
    }
    strsim::jaro_winkler(a, b)
}

/// What has no place in a line of text: it would move the cursor, set colours or turn letters round.
pub(crate) fn is_unprintable(c: char) -> bool {
    let turns =
        matches!(c, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    turns || c.is_control()
}
