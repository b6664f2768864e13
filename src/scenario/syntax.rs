//! Mistakes of TOML itself, all of them, and the rest of the file made readable without them.

use super::problem::Problem;
use toml::de::DeTable;

/// More broken lines than this, and the file is no scenario at all.
const MOST: usize = 20;

/// More mistakes than this at first sight, and only the part of the text that has so many is gone through again and again.
const MANY: usize = 200;

/// The text with its broken lines blanked (every other byte stays where it is), and what is wrong
/// with those lines.
pub(super) fn mend(text: &str) -> (String, Vec<Problem>) {
    let mut corrected = text.to_owned();
    let mut problems: Vec<Problem> = Vec::new();
    // Where the part ends that is read, and whether it had to be the whole text again.
    let (mut end, mut again) = (text.len(), false);
    while problems.len() <= MOST {
        let (_, mut errors) = DeTable::parse_recoverable(&corrected[..end]);
        // What follows an open bracket or quote cannot be told apart from what it holds.
        let open = errors.iter().find(|e| is_open(e.message()));
        let first = open.or(errors.iter().min_by_key(|e| starts(e)));
        // Cut short, a list looks open.
        if end < text.len() && (open.is_some() || first.is_none()) {
            (end, again) = (text.len(), true);
            continue;
        }
        let Some(first) = first else {
            return (corrected, problems);
        };
        let message = first.message().to_owned();
        let at = first.span().map_or(text.len(), |s| s.start);
        let span = first.span();
        let is_open = open.is_some();
        if !again && errors.len() > MANY {
            errors.sort_by_key(starts);
            end = end.min(line_of(text, starts(&errors[MANY])).end);
        }
        if !is_open {
            problems.push(problem(text, &message, span));
            if blank(&mut corrected, at) {
                continue;
            }
            break;
        }
        let opened = if message.contains("multi-line") {
            let opened = ["\"\"\"", "'''"].map(|q| corrected.get(..at)?.rfind(q));
            let opened = opened.into_iter().flatten().max().unwrap_or(at);
            let problem = Problem::error("", "a text in triple quotes is not closed")
                .hint("the same three quotes must follow its last line");
            problems.push(problem.at(Some(opened..(opened + 3).min(text.len()))));
            opened
        } else {
            let bracket = open_bracket(&corrected);
            let span = bracket.map_or(at..at, |b| b..b + 1);
            let problem = Problem::error("", "a bracket is not closed")
                .hint("a list ends with `]`, a table on one line with `}`");
            problems.push(problem.at(Some(span.clone())));
            span.start
        };
        let start = line_of(&corrected, opened).start;
        if corrected[start..].trim().is_empty() {
            break;
        }
        corrected.replace_range(start.., &" ".repeat(text.len() - start));
    }
    problems.truncate(MOST);
    (" ".repeat(text.len()), problems)
}

/// Where a mistake begins.
fn starts(e: &toml::de::Error) -> usize {
    e.span().map_or(usize::MAX, |s| s.start)
}

/// Whether something was opened and never closed.
fn is_open(message: &str) -> bool {
    ["unclosed array", "unclosed inline", "invalid multi-line"]
        .iter()
        .any(|m| message.starts_with(m))
}

/// Where the first bracket stands that nothing closes.
fn open_bracket(text: &str) -> Option<usize> {
    let mut open = Vec::new();
    let mut quote = None;
    let mut comment = false;
    for (at, c) in text.char_indices() {
        match (quote, c) {
            (_, '\n') => (quote, comment) = (None, false),
            _ if comment => {}
            (Some(q), _) if c == q => quote = None,
            (Some(_), _) => {}
            (None, '"' | '\'') => quote = Some(c),
            (None, '#') => comment = true,
            (None, '[' | '{') => open.push(at),
            (None, ']' | '}') => drop(open.pop()),
            _ => {}
        }
    }
    open.first().copied()
}

fn problem(text: &str, message: &str, span: Option<std::ops::Range<usize>>) -> Problem {
    let line = span.as_ref().map_or("", |s| &text[line_of(text, s.start)]);
    if message == "duplicate key" {
        let what = if line.trim_start().starts_with('[') {
            "this table"
        } else {
            "this key"
        };
        return Problem::error("", format!("{what} stands in the file twice"))
            .hint("keep one of them")
            .at(span);
    }
    let problem = Problem::error("", format!("not valid TOML: {message}")).at(span);
    if message.contains("must be quoted") {
        return problem.hint("texts and quantities stand in quotes, for example \"0.40 g\"");
    }
    problem
}

/// Blanks the line at `at`; a broken table header takes its keys with it, which would otherwise
/// fall to the table before. False if there is nothing to blank.
fn blank(text: &mut String, at: usize) -> bool {
    let line = line_of(text, at);
    let mut end = line.end;
    if text[line.clone()].trim_start().starts_with('[') {
        while end < text.len() {
            let next = line_of(text, end + 1);
            if text[next.clone()].trim_start().starts_with('[') {
                break;
            }
            end = next.end.max(end + 1);
        }
    }
    let end = end.min(text.len());
    if text[line.start..end].trim().is_empty() {
        return false;
    }
    let spaces: String = text[line.start..end]
        .bytes()
        .map(|b| if b == b'\n' { '\n' } else { ' ' })
        .collect();
    text.replace_range(line.start..end, &spaces);
    true
}

/// The line around a byte, without its line end.
fn line_of(text: &str, at: usize) -> std::ops::Range<usize> {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    let start = text[..at].rfind('\n').map_or(0, |i| i + 1);
    let end = text[at..].find('\n').map_or(text.len(), |i| at + i);
    start..end
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rest_of_a_broken_file_stays_where_it_is() {
        let text = "a = 1\nb = = 2\n[c\nd = 3\n[e]\nf = 4\nf = 5\n";
        let (corrected, problems) = mend(text);
        assert_eq!(corrected.len(), text.len());
        assert_eq!(corrected.find("f = 4"), text.find("f = 4"));
        assert!(!corrected.contains('d') && !corrected.contains("f = 5"));
        assert_eq!(problems.len(), 3, "{problems:?}");
    }

    #[test]
    fn an_open_bracket_is_one_mistake() {
        for text in ["a = [\nb = 1\nc = 2\n", "a = \"\"\"\nb = 1\n", "[a\n"] {
            let (_, problems) = mend(text);
            assert_eq!(problems.len(), 1, "{text}: {problems:?}");
        }
    }
}
