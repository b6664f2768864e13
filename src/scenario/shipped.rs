//! Scenarios that are compiled in.

use super::build::read;
use super::model::Scenario;

/// Scenarios that are compiled in, by name; the first is the built-in one.
const SHIPPED: &[(&str, &str)] = &[
    (
        "ammonium-chloride-dewar",
        include_str!("../../scenarios/ammonium-chloride-dewar.toml"),
    ),
    (
        "urea-foam-cups",
        include_str!("../../scenarios/urea-foam-cups.toml"),
    ),
    (
        "citric-acid-thermistor",
        include_str!("../../scenarios/citric-acid-thermistor.toml"),
    ),
    (
        "calcium-chloride-foam-cup",
        include_str!("../../scenarios/calcium-chloride-foam-cup.toml"),
    ),
    (
        "permanganate-iron-dewar",
        include_str!("../../scenarios/permanganate-iron-dewar.toml"),
    ),
    (
        "zinc-copper-foam-cup",
        include_str!("../../scenarios/zinc-copper-foam-cup.toml"),
    ),
    (
        "neutralisation-mug",
        include_str!("../../scenarios/neutralisation-mug.toml"),
    ),
    (
        "magnesium-oxide-cycle",
        include_str!("../../scenarios/magnesium-oxide-cycle.toml"),
    ),
    (
        "copper-sulfate-hydration",
        include_str!("../../scenarios/copper-sulfate-hydration.toml"),
    ),
    (
        "peroxide-cups",
        include_str!("../../scenarios/peroxide-cups.toml"),
    ),
];

/// Names of the scenarios that are compiled in.
pub fn shipped_names() -> impl Iterator<Item = &'static str> {
    SHIPPED.iter().map(|(name, _)| *name)
}

/// The text of a compiled-in scenario.
pub fn shipped(name: &str) -> Option<&'static str> {
    SHIPPED.iter().find(|(n, _)| *n == name).map(|(_, t)| *t)
}

/// The text of the built-in scenario.
pub fn builtin_text() -> &'static str {
    SHIPPED[0].1
}

/// The built-in scenario.
///
/// # Panics
/// Never: the compiled-in text is part of the tests.
pub fn builtin() -> Scenario {
    read(builtin_text()).expect("the built-in scenario is valid")
}
