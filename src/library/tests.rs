//! The library as a whole: everything is cited, uncertain, unique and used; spoiled files are refused.

use super::*;
use crate::random::Dist;
use std::collections::BTreeSet;

#[test]
fn every_value_is_cited_and_has_a_status() {
    let library = Library::builtin();
    let citations: BTreeSet<&str> = library.citations.values().map(String::as_str).collect();
    for sheet in library.sheets() {
        let mut facts = 0;
        for row in &sheet.rows {
            assert!(!row.text.is_empty(), "{} {}", sheet.key, row.name);
            if row.status.is_empty() {
                assert!(row.source.is_empty(), "{} {}", sheet.key, row.name);
                continue;
            }
            facts += 1;
            assert!(
                citations.contains(row.source.as_str()),
                "{} {}",
                sheet.key,
                row.name
            );
            assert!(["read", "from memory", "derived"].contains(&row.status.as_str()));
        }
        let least = if sheet.kind == Kind::Species.text() {
            1
        } else {
            2
        };
        assert!(facts >= least, "{}", sheet.key);
        assert!(!sheet.title.is_empty() && sheet.cautions.iter().all(|c| !c.is_empty()));
    }
}

/// Every distribution that a simulation draws from, with a name for messages.
fn dists(library: &Library) -> Vec<(String, Dist)> {
    let mut all = Vec::new();
    let mut push = |key: &str, dists: &[&Dist]| {
        all.extend(dists.iter().map(|d| (key.to_owned(), (*d).clone())));
    };
    for s in library.substances.values() {
        push(
            &s.key,
            &[&s.molar_mass.dist, &s.assay.dist, &s.density.dist],
        );
        push(
            &s.key,
            &s.solubility.iter().map(|f| &f.dist).collect::<Vec<_>>(),
        );
    }
    for r in library.reactions.values() {
        push(
            &r.key,
            &[&r.enthalpy.dist, &r.slope.dist, &r.solute_cp.dist],
        );
        push(
            &r.key,
            &r.dilution.iter().map(|p| &p.heat.dist).collect::<Vec<_>>(),
        );
    }
    for l in library.liquids.values() {
        push(&l.key, &[&l.cp.error.dist, &l.density.error.dist]);
    }
    for s in library.species.values() {
        // An element, or the hydrogen ion in water.
        if s.formation.value != 0.0 {
            push(&s.key, &[&s.formation.dist]);
        }
    }
    for b in library.balances.values() {
        push(
            &b.key,
            &[&b.repeatability.dist, &b.linearity.dist, &b.gain.dist],
        );
    }
    for t in library.thermometers.values() {
        push(
            &t.key,
            &[
                &t.noise.dist,
                &t.offset.dist,
                &t.gain.dist,
                &t.drift.dist,
                &t.lag.dist,
            ],
        );
    }
    for v in library.vessels.values() {
        push(
            &v.key,
            &[
                &v.heat_capacity.dist,
                &v.run_to_run.dist,
                &v.leak.dist,
                &v.stirring.dist,
            ],
        );
    }
    for g in library.glassware.values() {
        push(
            &g.key,
            &[&g.tolerance.dist, &g.repeatability.dist, &g.expansion.dist],
        );
    }
    all
}

#[test]
fn every_value_is_uncertain_and_only_conventions_are_exact() {
    let library = Library::builtin();
    let all = dists(library);
    assert!(all.len() > 500, "{}", all.len());
    for (key, dist) in all {
        let sd = dist.sd();
        assert!(sd.is_finite() && sd > 0.0, "{key}: {dist:?}");
    }
    for b in library.balances.values() {
        assert_eq!(
            (b.readability.dist.sd(), b.capacity.dist.sd()),
            (0.0, 0.0),
            "{}",
            b.key
        );
    }
    let exact = |s: &&Species| s.formation.dist.sd() == 0.0;
    let exact: Vec<_> = library.species.values().filter(exact).collect();
    assert!(exact.iter().all(|s| s.formation.value == 0.0));
    assert!(exact.iter().any(|s| s.key == "H+(aq)") && exact.len() >= 7);
    for t in library.thermometers.values() {
        assert_eq!(t.resolution.dist.sd(), 0.0, "{}", t.key);
    }
}

#[test]
fn every_citation_is_used() {
    let library = Library::builtin();
    let mut used: BTreeSet<String> = library
        .sheets()
        .into_iter()
        .flat_map(|s| s.rows.into_iter().map(|r| r.source))
        .collect();
    used.insert(library.atoms.source.clone());
    for (key, text) in &library.citations {
        assert!(used.contains(text), "nothing cites {key}");
    }
    let distinct: BTreeSet<_> = library.citations.values().collect();
    assert_eq!(
        distinct.len(),
        library.citations.len(),
        "a citation stands twice"
    );
}

#[test]
fn reactions_fit_their_substance_and_their_liquid() {
    let library = Library::builtin();
    for r in library.reactions.values() {
        let substance = library.substance(&r.substance).unwrap();
        let liquid = library.liquid(&r.medium).unwrap();
        let (low, high) = r.range;
        assert!(
            low < r.at && r.at < high && (r.at - 25.0).abs() < 1e-12,
            "{}",
            r.key
        );
        assert!(
            liquid.cp.range().0 <= low && high <= liquid.cp.range().1,
            "{}",
            r.key
        );
        // The state can be reached: less is dissolved than is soluble.
        if let Some(solubility) = &substance.solubility {
            let grams = r.state_molality() * substance.molar_mass.value / 1e3;
            assert!(grams < solubility.value, "{}", r.key);
        }
        assert!(
            r.dilution.iter().all(|p| p.heat.value.abs() < 7e3),
            "{}",
            r.key
        );
    }
    let references: Vec<_> = library.reactions.values().filter(|r| r.reference).collect();
    assert!(references.len() >= 3);
}

#[test]
fn keys_are_unique_over_all_kinds_and_entries_know_theirs() {
    let library = Library::builtin();
    let sheets = library.sheets();
    let keys: BTreeSet<_> = sheets.iter().map(|s| (s.kind, s.key.clone())).collect();
    assert_eq!(keys.len(), sheets.len());
    let listed: usize = Kind::ALL.iter().map(|k| library.keys(*k).len()).sum();
    assert_eq!(listed, sheets.len());
}

#[test]
fn a_misspelt_key_is_answered_with_the_nearest() {
    let library = Library::builtin();
    let error = library.reaction("kcl-watter").unwrap_err();
    assert_eq!(
        error.to_string(),
        "no reaction is called `kcl-watter`; did you mean `kcl-water`?"
    );
    let glass = library.nearest(Kind::Glassware, "pipette-iso648-50ml-a");
    assert_eq!(glass.as_deref(), Some("pipette-iso648-50mL-A"));
    assert_eq!(library.nearest(Kind::Vessel, "zzz"), None);
}

const OWN: &str = r#"
[citations]
own = "Own measurement"

[vessels.our-cup]
title = "the cup on our bench"
heat_capacity = { value = "31 J/K, u = 2 J/K", source = "own", status = "read" }
run_to_run = { error = "u = 3 %", source = "own", status = "read" }
leak = { value = "1.5e-4 /s, u = 10 %", source = "own", status = "read" }
stirring = { value = "3 mW, u = 1 mW", source = "practice", status = "from memory" }
"#;

fn spoiled(from: &str, to: &str) -> String {
    assert!(OWN.contains(from), "{from}");
    let mut library = Library::builtin().clone();
    let error = library
        .extend("own.toml", &OWN.replace(from, to))
        .unwrap_err();
    assert_eq!(library.vessels.len(), Library::builtin().vessels.len());
    assert!(
        !library.citations.contains_key("own"),
        "a refused file leaves nothing behind"
    );
    error.to_string()
}

#[test]
fn own_entries_go_the_same_way() {
    let mut library = Library::builtin().clone();
    library.extend("own.toml", OWN).unwrap();
    let cup = library.vessel("our-cup").unwrap();
    assert_eq!(
        (cup.heat_capacity.value, cup.leak.source.as_str()),
        (31.0, "Own measurement")
    );
    let twice = library.extend("own.toml", OWN).unwrap_err();
    assert_eq!(
        twice.to_string(),
        "own.toml: citations.own is there already; give the new entry another key"
    );
}

#[test]
fn a_spoiled_entry_is_named_with_its_field() {
    let place = "own.toml: vessels.our-cup: heat_capacity: ";
    assert_eq!(
        spoiled("31 J/K, u = 2 J/K", "31 J/K"),
        format!(
            "{place}`31 J/K` has no uncertainty; write one after a comma, for example `31 J/K, u = 1 %`"
        )
    );
    assert!(spoiled("31 J/K, u = 2 J/K", "31 g, u = 2 g").starts_with(place));
    assert!(spoiled("31 J/K, u", "-31 J/K, u").ends_with("-31 must be positive"));
    assert!(
        spoiled("source = \"practice\"", "source = \"practise\"")
            .ends_with("stirring: the citation `practise` is not listed under [citations]; did you mean `practice`?")
    );
    assert!(spoiled("\"from memory\"", "\"guessed\"").ends_with(
        "stirring: `guessed` is not a status; write `read`, `from memory` or `derived`"
    ));
    assert!(spoiled("u = 3 %", "3 %").contains("vessels.our-cup: run_to_run: "));
    assert!(spoiled("stirring =", "stiring =").contains("unknown field `stiring`"));
    assert!(
        spoiled("[vessels.our-cup]", "[vesels.our-cup]")
            .ends_with("no section is called `vesels`; did you mean `vessels`?")
    );
}

#[test]
fn a_reference_into_the_void_is_named() {
    let text = r#"
[reactions.own]
title = "own"
equation = "KCl(cr) -> KCl(aq)"
substance = "kcl"
medium = "watr"
enthalpy = { value = "17 kJ/mol, u = 1 kJ/mol", source = "practice", status = "read" }
at = "25 C"
state = "infinite dilution"
slope = { value = "-160 J/(mol K), u = 20 J/(mol K)", source = "practice", status = "read" }
range = "20 to 30 C"
solute_cp = { value = "-1 J/(g K), u = 0.2 J/(g K)", source = "practice", status = "read" }
"#;
    let mut library = Library::builtin().clone();
    let refused = |library: &mut Library, text: &str| {
        library.extend("own.toml", text).unwrap_err().to_string()
    };
    assert_eq!(
        refused(&mut library, text),
        "own.toml: reactions.own: medium: no liquid is called `watr`; did you mean `water`?"
    );
    let right = text.replace("watr", "water");
    let state = right.replace("infinite dilution", "-1 mol/kg");
    assert!(refused(&mut library, &state).contains("reactions.own: state: "));
    let window = right.replace("20 to 30 C", "30 to 20 C");
    assert!(refused(&mut library, &window).contains("reactions.own: range: "));
    library.extend("own.toml", &right).unwrap();
    assert!((library.reaction("own").unwrap().enthalpy.value - 17e3).abs() < 1e-9);
}
