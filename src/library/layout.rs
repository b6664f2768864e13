//! What is said of an entry whose fields are not those that it must have.

use serde::Deserialize;
use serde::de::IntoDeserializer;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// All fields that an entry lacks: each is filled in with a value of some kind until the reader asks for the next.
pub(super) fn missing<'t, T: Deserialize<'t>>(value: &Spanned<DeValue<'t>>) -> Vec<String> {
    let mut entry = value.clone();
    let mut all = Vec::new();
    loop {
        let Err(error) = T::deserialize(entry.clone().into_deserializer()) else {
            return all;
        };
        let Some(field) = lacking(error.message()).map(str::to_owned) else {
            return all;
        };
        let DeValue::Table(table) = entry.get_mut() else {
            return all;
        };
        if all.contains(&field) {
            return all;
        }
        all.push(field.clone());
        let of_some_kind = FILLERS.iter().find_map(|filler| {
            let mut trial = table.clone();
            trial.insert(name(field.clone()), parsed(filler)?);
            let whole = Spanned::new(0..0, DeValue::Table(trial.clone()));
            match T::deserialize(whole.into_deserializer()) {
                Ok(_) => Some(trial),
                Err(e) if lacking(e.message()).is_some_and(|f| f != field) => Some(trial),
                Err(_) => None,
            }
        });
        match of_some_kind {
            Some(filled) => *table = filled,
            None => return all,
        }
    }
}

/// One value of each kind that a field can be.
const FILLERS: [&str; 6] = [
    "x = \"\"",
    "x = { value = \"\", source = \"\", status = \"\" }",
    "x = { points = [], error = \"\", source = \"\", status = \"\" }",
    "x = { error = \"\", source = \"\", status = \"\" }",
    "x = []",
    "x = 1.0",
];

fn parsed(text: &'static str) -> Option<Spanned<DeValue<'static>>> {
    let table = DeTable::parse(text).ok()?;
    table.get_ref().iter().next().map(|(_, v)| v.clone())
}

fn name<'t>(text: String) -> Spanned<std::borrow::Cow<'t, str>> {
    Spanned::new(0..0, text.into())
}

fn lacking(message: &str) -> Option<&str> {
    message.strip_prefix("missing field `")?.split('`').next()
}

/// What the reader of the layout says, without the names that the code has for things.
pub(super) fn in_words(message: &str, missing: &[String]) -> String {
    if missing.len() > 1 {
        return format!("missing fields `{}`", missing.join("`, `"));
    }
    let kinds = [
        (
            "struct RawFact",
            "`{ value = \"...\", source = \"...\", status = \"...\" }`",
        ),
        (
            "struct RawError",
            "`{ error = \"...\", source = \"...\", status = \"...\" }`",
        ),
        (
            "struct RawTable",
            "`{ points = [[20, 1.0], ...], error = \"...\", source = \"...\", status = \"...\" }`",
        ),
        (
            "struct RawDilution",
            "`{ molality = \"...\", value = \"...\", source = \"...\", status = \"...\" }`",
        ),
        ("struct RawReactant", "`{ name = \"...\", nu = 1 }`"),
    ];
    let known = kinds.iter().fold(message.to_owned(), |m, (name, words)| {
        m.replace(name, words)
    });
    match known.split_once("struct ") {
        Some((before, _)) => format!("{before}a table of fields"),
        None => known,
    }
}

#[cfg(test)]
mod tests {
    use super::super::Library;

    fn refused(text: &str) -> String {
        let mut library = Library::builtin().clone();
        library.extend("own.toml", text).unwrap_err().to_string()
    }

    #[test]
    fn all_missing_fields_are_named_at_once() {
        assert_eq!(
            refused("[reactions.new]\ntitle = \"new\"\nmedium = \"water\""),
            "own.toml: reactions.new: missing fields `equation`, `substance`, `at`, `state`, `range`"
        );
        assert_eq!(
            refused("[liquids.brine]\n"),
            "own.toml: liquids.brine: missing fields `title`, `cp`, `density`"
        );
        assert_eq!(
            refused("[substances.salt]\ntitle = \"salt\""),
            "own.toml: substances.salt: missing fields `formula`, `assay`, `density`"
        );
    }

    #[test]
    fn no_name_of_the_code_is_told() {
        let text = "[substances.salt]\ntitle = \"salt\"\nformula = \"KCl\"\nassay = 1\ndensity = 2";
        let said = refused(text);
        assert!(
            said.ends_with("expected `{ value = \"...\", source = \"...\", status = \"...\" }`"),
            "{said}"
        );
    }
}
