//! What a word may mean: an error source by its key, by the end of its key, or by what people call it.

use super::source::{SOURCES, Source, find};

/// What people call things, and the key of the source that it is here.
const CALLED: &[(&str, &str)] = &[
    ("wet", "liquid.rinse"),
    ("damp", "liquid.rinse"),
    ("moist", "charge.purity"),
    ("humid", "charge.purity"),
    ("impur", "charge.purity"),
    ("spilt", "charge.spill"),
    ("spilled", "charge.spill"),
    ("undissolved", "dissolving.leftover"),
    ("residue", "dissolving.leftover"),
    ("crust", "dissolving.leftover"),
    ("grain", "dissolving.time"),
    ("grind", "dissolving.time"),
    ("insulat", "vessel.leak"),
    ("lid", "vessel.leak"),
    ("evapor", "vessel.leak"),
    ("stirrer", "vessel.stirring"),
    ("display", "thermometer.resolution"),
    ("digit", "thermometer.resolution"),
    ("slow", "thermometer.lag"),
    ("delay", "thermometer.lag"),
    ("response", "thermometer.lag"),
    ("scale", "thermometer.gain"),
    ("zero", "thermometer.offset"),
    ("buoyancy", "balance.air_density"),
    ("meniscus", "liquid.tolerance"),
    ("pipette", "liquid.tolerance"),
    ("cylinder", "liquid.tolerance"),
    ("oxidi", "stock.oxidised"),
    ("weathered", "charge.water_lost"),
    ("effloresc", "charge.water_lost"),
    ("medium", "reaction.medium_shift"),
];

/// The sources that a word may mean, the likeliest first: one, if it is a key or the end of one key only.
pub fn meant(word: &str) -> Vec<&'static Source> {
    if let Some(one) = find(word) {
        return vec![one];
    }
    let word = word.to_lowercase();
    let named: Vec<_> = SOURCES.iter().filter(|s| s.name() == word).collect();
    if !named.is_empty() {
        return named;
    }
    // One or two letters occur everywhere; a key that is misspelt is another thing.
    if word.chars().count() < 3 || word.contains('.') {
        return Vec::new();
    }
    let called = CALLED.iter().filter(|(name, _)| word.starts_with(name));
    let called = called.filter_map(|(_, key)| find(key));
    let holds = |s: &&Source| s.key.contains(&word) || s.doc.to_lowercase().contains(&word);
    let mut all: Vec<&Source> = called.chain(SOURCES.iter().filter(holds)).collect();
    let mut seen = Vec::new();
    all.retain(|s| {
        let new = !seen.contains(&s.id);
        seen.push(s.id);
        new
    });
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn keys(word: &str) -> Vec<&'static str> {
        meant(word).iter().map(|s| s.key).collect()
    }

    #[test]
    fn a_word_finds_its_source() {
        assert_eq!(keys("thermometer.lag"), ["thermometer.lag"]);
        assert_eq!(keys("leftover"), ["dissolving.leftover"]);
        assert_eq!(keys("wet")[0], "liquid.rinse");
        assert_eq!(
            keys("water_lost"),
            ["charge.water_lost", "stock.water_lost"]
        );
        assert_eq!(keys("undissolved")[0], "dissolving.leftover");
        assert_eq!(keys("xyz"), Vec::<&str>::new());
    }

    #[test]
    fn every_name_leads_to_a_source() {
        for (name, key) in CALLED {
            assert_eq!(meant(name).first().map(|s| s.key), Some(*key), "{name}");
        }
    }
}
