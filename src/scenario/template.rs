//! A commented scenario to start from.

use super::schema::{KEYS, Support, all_keys};
use super::source::SOURCES;

/// The text that `new` writes: a whole scenario, every line explained, followed by the keys that
/// can be added.
pub fn template(title: &str) -> String {
    let mut text = BODY.replace("@TITLE@", &title.replace(['"', '\\'], "'"));
    text.push_str(
        "\n# --- Keys that may be added -----------------------------------------------\n",
    );
    let mut site = "";
    for key in all_keys() {
        let used = KEYS
            .iter()
            .any(|k| k.site == key.site && k.name == key.name && k.site.is_empty());
        if used || key.support == Support::Later {
            continue;
        }
        if key.site != site {
            site = key.site;
            text.push_str(&format!("#\n# [{site}]\n"));
        }
        text.push_str(&format!("#   {:<22} {}\n", key.name, key.doc));
    }
    debug_assert!(SOURCES.iter().all(|s| !s.doc.is_empty()));
    text
}

const BODY: &str = include_str!("template.toml");
