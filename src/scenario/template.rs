//! A commented scenario to start from.

use super::own::FILE_KEY;
use super::schema::{REACTANT, Shape, all_keys};
use super::source::SOURCES;
use crate::quantity::is_unprintable;

/// The text that `new` writes: a whole scenario, every line explained, followed by the keys that
/// can be added.
pub fn template(title: &str) -> String {
    let title = title.replace(['"', '\\'], "'");
    let mut text = BODY.replace("@TITLE@", &title.replace(is_unprintable, " "));
    text.push_str(
        "\n# --- Keys that may be added -----------------------------------------------\n\
         # Errors that are not stated are those of the library's entry, else none.\n",
    );
    let mut tables: Vec<(&str, String)> = Vec::new();
    for key in all_keys() {
        // What stands at the top of the file stands in the scenario above; but for this one.
        if key.site.is_empty() && key.name != FILE_KEY {
            continue;
        }
        let at = tables.iter().position(|(site, _)| *site == key.site);
        let at = at.unwrap_or_else(|| {
            tables.push((key.site, String::new()));
            tables.len() - 1
        });
        let choices = match key.shape {
            Shape::Choice(words) => format!(": \"{}\"", words.join("\", \"")),
            Shape::Flag => ": true, false".to_owned(),
            _ => String::new(),
        };
        // Behind the semicolon stands what holds if nothing is stated.
        let line = match key.doc.split_once("; ") {
            Some((what, default)) => format!("{what}{choices}; {default}"),
            None => format!("{}{choices}", key.doc),
        };
        let name = if key.name.is_empty() { "..." } else { key.name };
        tables[at].1.push_str(&explained(name, &line));
    }
    for (site, keys) in tables {
        match site {
            "" => text.push_str("#\n"),
            REACTANT => text.push_str("#\n# [reactant.NAME], one table for each\n"),
            site => text.push_str(&format!("#\n# [{site}]\n")),
        }
        text.push_str(&keys);
    }
    text.push_str(
        "#\n# [leg.NAME], with the tables of a determination inside: a further determination, which\n\
         # `result` of [cycle] combines with the first.\n",
    );
    debug_assert!(SOURCES.iter().all(|s| !s.doc.is_empty()));
    text
}

/// A key and what it says, wrapped.
fn explained(name: &str, doc: &str) -> String {
    let first = format!("#   {name:<22} ");
    let rest = format!("#   {:<22} ", "");
    let options = textwrap::Options::new(100)
        .initial_indent(&first)
        .subsequent_indent(&rest)
        .word_splitter(textwrap::WordSplitter::NoHyphenation);
    textwrap::fill(doc, options) + "\n"
}

const BODY: &str = include_str!("template.toml");
