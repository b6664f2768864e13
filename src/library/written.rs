//! Entries as they are written in the library, to copy and to change.

use super::load::BUILTIN;

/// The table of a built-in entry as a scenario would have it, under a key of its own: `[library.reactions.own-kcl-water]`.
/// A device stands in the table of its family. `None` for a key that is none.
pub fn written(key: &str) -> Option<String> {
    let all: Vec<Table> = BUILTIN.iter().flat_map(|(_, text)| tables(text)).collect();
    // Of two families the one with the longer name is meant.
    let meant = all
        .iter()
        .filter(|t| t.name == key || (t.section == "glassware" && is_of(key, t.name)))
        .max_by_key(|t| t.name.len())?;
    let bare = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    let quote = if meant.name.chars().all(bare) {
        ""
    } else {
        "\""
    };
    let of_it = |t: &&Table| (t.section, t.name) == (meant.section, meant.name);
    let parts = all.iter().filter(of_it).map(|t| {
        let Table {
            section,
            name,
            inner,
            body,
        } = t;
        format!("[library.{section}.{quote}own-{name}{quote}{inner}]\n{body}\n")
    });
    Some(parts.collect::<Vec<_>>().join("\n"))
}

/// Whether a device is of a family: `pipette-iso648-50mL-A` of `pipette-iso648`.
fn is_of(device: &str, family: &str) -> bool {
    let size = device
        .strip_prefix(family)
        .and_then(|r| r.strip_prefix('-'));
    size.is_some_and(|s| s.starts_with(|c: char| c.is_ascii_digit()))
}

/// A table of a library file.
struct Table<'t> {
    section: &'t str,
    name: &'t str,
    /// `.cp` of `[liquids.brine.cp]`.
    inner: &'t str,
    body: &'t str,
}

fn tables(text: &str) -> impl Iterator<Item = Table<'_>> {
    text.split("\n[").skip(1).filter_map(|table| {
        let (head, rest) = table.split_once("]\n")?;
        let (section, key) = head.split_once('.')?;
        let (name, inner) = match key.strip_prefix('"') {
            Some(quoted) => quoted.split_once('"')?,
            None => key.split_at(key.find('.').unwrap_or(key.len())),
        };
        // What stands before the next table speaks of that one.
        let body = rest.trim_end();
        let end = body.rfind("\n\n#").unwrap_or(body.len());
        Some(Table {
            section,
            name,
            inner,
            body: body[..end].trim_end(),
        })
    })
}

#[cfg(test)]
mod tests {
    use super::super::{Kind, Library};
    use super::*;

    #[test]
    fn every_entry_is_written_so_that_it_can_be_read_again() {
        let library = Library::builtin();
        let mut seen = 0;
        for kind in Kind::ALL.into_iter().filter(|k| *k != Kind::Species) {
            for key in library.keys(kind) {
                let text = written(key).unwrap_or_else(|| panic!("{key}"));
                let own = text.replace("[library.", "[");
                let mut all = library.clone();
                all.extend("own.toml", &own).unwrap();
                let added: usize = Kind::ALL.iter().map(|k| all.keys(*k).len()).sum();
                let before: usize = Kind::ALL.iter().map(|k| library.keys(*k).len()).sum();
                assert!(added > before, "{key}");
                seen += 1;
            }
        }
        assert!(seen > 100, "{seen}");
        assert_eq!(written("nothing"), None);
    }
}
