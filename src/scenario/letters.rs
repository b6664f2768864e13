//! Letters that nobody can see: they would move the cursor of whoever reads an answer.

use super::problem::Problem;
use crate::quantity::is_unprintable;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Problems of all keys and texts of a table, and of the tables in it; `prefix` is its path, with a dot behind.
pub(super) fn unprintable(table: &DeTable<'_>, prefix: &str) -> Vec<Problem> {
    let mut all = Vec::new();
    for (key, value) in table.iter() {
        let mut path = format!("{prefix}{}", key.get_ref());
        if key.get_ref().contains(is_unprintable) {
            path = path.replace(is_unprintable, "?");
            all.push(problem(&path, "name", key.span()));
        }
        of_value(value, &path, &mut all);
    }
    all
}

fn of_value(value: &Spanned<DeValue<'_>>, path: &str, all: &mut Vec<Problem>) {
    // Texts may have several lines.
    let wrong = |c: char| is_unprintable(c) && !"\n\r\t".contains(c);
    match value.get_ref() {
        DeValue::String(text) if text.contains(wrong) => {
            all.push(problem(path, "text", value.span()));
        }
        DeValue::Array(items) => items.iter().for_each(|item| of_value(item, path, all)),
        DeValue::Table(inner) => all.extend(unprintable(inner, &format!("{path}."))),
        _ => {}
    }
}

fn problem(path: &str, what: &str, span: std::ops::Range<usize>) -> Problem {
    Problem::error(path, format!("a control character stands in this {what}"))
        .hint("leave it out: it is no letter, and would confuse a terminal")
        .at(Some(span))
}
