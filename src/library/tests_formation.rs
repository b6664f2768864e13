//! Enthalpies of reaction from enthalpies of formation, and what refers to what.

use super::*;

#[test]
fn every_equation_of_the_library_balances() {
    let library = Library::builtin();
    for r in library.reactions.values() {
        let equation = Equation::parse(&r.equation);
        let checked = equation.and_then(|e| e.check());
        assert_eq!(checked, Ok(()), "{}: {}", r.key, r.equation);
    }
}

/// A coefficient and the published plus-minus at k = 2.
type Part = (f64, f64);

/// Combined standard uncertainty.
fn quadrature(terms: &[Part]) -> f64 {
    let sum: f64 = terms
        .iter()
        .map(|(nu, plus)| (nu * plus / 2.0).powi(2))
        .sum();
    sum.sqrt()
}

#[test]
fn enthalpies_follow_from_those_of_formation() {
    // kJ/mol at 25 °C. Ions, water and magnesium oxide: CODATA Key Values (Cox, Wagman, Medvedev
    // 1989). Fe2+ and Fe3+: Parker and Khodakovskii, J. Phys. Chem. Ref. Data 24 (1995) 1699. MnO4-
    // and Mn2+: CRC Handbook. H2O2(aq): NBS tables 1982. Published plus-minus 0.5 and 1.5 of the
    // iron ions, 0.040 of water and of hydroxide, 0.20 of zinc, 1.0 of copper, 0.6 of magnesium,
    // 0.30 of its oxide; for permanganate (2.0) and peroxide (0.2) our estimate.
    let iron = [(5.0, 0.5), (5.0, 1.5), (1.0, 2.0), (1.0, 0.5), (4.0, 0.040)];
    let cases: [(&str, f64, f64, &[Part]); 6] = [
        ("iron-permanganate", -617.7, 0.05, &iron),
        ("zinc-copper", -218.29, 0.005, &[(1.0, 0.20), (1.0, 1.0)]),
        ("magnesium-acid", -467.0, 0.05, &[(1.0, 0.6)]),
        (
            "magnesium-oxide-acid",
            -151.23,
            0.005,
            &[(1.0, 0.6), (1.0, 0.040), (1.0, 0.30)],
        ),
        (
            "h2o2-decomposition",
            -94.66,
            0.005,
            &[(1.0, 0.2), (1.0, 0.040)],
        ),
        ("hcl-naoh", -55.815, 0.0005, &[(1.0, 0.040), (1.0, 0.040)]),
    ];
    for (key, value, within, terms) in cases {
        let r = Library::builtin().reaction(key).unwrap();
        let (got, u) = (r.enthalpy.value / 1e3, r.enthalpy.dist.sd() / 1e3);
        assert!((got - value).abs() < within, "{key}: {got}");
        assert!((u / quadrature(terms) - 1.0).abs() < 1e-9, "{key}: {u}");
        assert!(r.from_formation && !r.per_gram, "{key}");
        assert_eq!(r.enthalpy.status, Status::Derived);
    }
    let iron = &Library::builtin()
        .reaction("iron-permanganate")
        .unwrap()
        .enthalpy;
    assert!(iron.dist.sd() > 4000.0, "{}", iron.dist.sd());
    assert_eq!(iron.text, "-617.7 kJ/mol, u = 4.1 kJ/mol");
    let note = iron.note.as_deref().unwrap_or_default();
    assert!(
        note.contains("5 Fe3+(aq) (-49), 4 H2O(l) (-285.83) less"),
        "{note}"
    );
}

#[test]
fn dissociation_of_hydrogen_sulfate_agrees_with_its_own_value() {
    // -22.44 kJ/mol was read for HSO4- -> H+ + SO4 2- in the ThermoChimie file.
    let mut library = Library::builtin().clone();
    let own = NEW
        .replace(EQUATION, "HSO4-(aq) -> H+(aq) + SO4 2-(aq)")
        .replace("\"zinc\"", "\"bisulfate\"");
    let salt = r#"
[substances.bisulfate]
title = "sodium hydrogen sulfate"
formula = "NaHSO4"
assay = { value = "98 % to 100 %", source = "practice", status = "from memory" }
density = { value = "2.4 g/mL, u = 0.1 g/mL", source = "practice", status = "from memory" }
"#;
    let own = format!("{own}{salt}");
    library.extend("own.toml", &own).unwrap();
    let got = library.reaction("own").unwrap().enthalpy.value;
    assert!((got / 1e3 + 22.44).abs() < 0.005, "{got}");
}

const EQUATION: &str = "Zn(cr) + 2 H+(aq) -> Zn2+(aq) + H2(g)";

const NEW: &str = r#"
[reactions.own]
title = "own"
equation = "Zn(cr) + 2 H+(aq) -> Zn2+(aq) + H2(g)"
substance = "zinc"
medium = "hcl-1.0"
reactants = [{ name = "acid", nu = 2 }]
at = "25 C"
state = "infinite dilution"
slope = { value = "0 J/(mol K), u = 20 J/(mol K)", source = "practice", status = "from memory" }
range = "20 to 30 C"
solute_cp = { value = "1 J/(g K), u = 0.5 J/(g K)", source = "practice", status = "from memory" }
"#;

fn refused(text: &str) -> String {
    let mut library = Library::builtin().clone();
    let error = library.extend("own.toml", text).unwrap_err().to_string();
    assert!(!library.reactions.contains_key("own"));
    let place = "own.toml: reactions.own: ";
    error.strip_prefix(place).unwrap_or(&error).to_owned()
}

#[test]
fn an_equation_that_cannot_carry_an_enthalpy_is_refused() {
    let with = |equation: &str| refused(&NEW.replace(EQUATION, equation));
    assert_eq!(
        with("Zn(cr) + H+(aq) -> Zn2+(aq) + H2(g)"),
        "equation: `H` does not balance: 1 atoms on the left, 2 on the right"
    );
    assert_eq!(
        with("Zn(cr) + 2 H+(aq) -> Zn+(aq) + H2(g)"),
        "equation: the charge does not balance: 2 on the left, 1 on the right"
    );
    assert!(with("2 Zn(cr) + 4 H+(aq) -> 2 Zn2+(aq) + 2 H2(g)").contains("for one mole of it"));
    assert_eq!(
        with("Cd(cr) + 2 H+(aq) -> Cd2+(aq) + H2(g)"),
        "equation: the enthalpy of formation of `Cd(cr)` is not in the library: give it under \
         [species], or give the reaction its `enthalpy`; did you mean `Cu(cr)`?"
    );
    assert!(with("zinc and acid").starts_with("equation: an equation has one arrow"));
    assert_eq!(
        with("Zn(cr) -> Zn(cr)"),
        "equation: `0 kJ/mol` has no uncertainty; write one after a comma, for example \
         `0 kJ/mol, u = 1 %`"
    );
}

#[test]
fn an_equation_is_checked_even_where_an_enthalpy_is_given_and_starts_from_the_substance() {
    let given = "enthalpy = { value = \"-150 kJ/mol, u = 1 kJ/mol\", source = \"practice\", status = \"from memory\" }\nat =";
    let with = |equation: &str| refused(&NEW.replace(EQUATION, equation).replace("at =", given));
    assert!(with("Zn(cr) + H+(aq) -> Zn2+(aq) + H2(g)").contains("`H` does not balance"));
    assert!(with("Zn(cr) + 2 H+(aq) -> Zn+(aq) + H2(g)").contains("charge does not balance"));
    let other = "equation: the equation starts from Mg(cr), but the substance is Zn";
    assert_eq!(with("Mg(cr) + 2 H+(aq) -> Mg2+(aq) + H2(g)"), other);
    // Without its water a hydrate is another substance; ions of it in solution are not.
    let blue = |equation: &str| {
        NEW.replace(EQUATION, equation)
            .replace("at =", given)
            .replace("\"zinc\"", "\"cuso4-5h2o\"")
    };
    let dry = refused(&blue("CuSO4(cr) -> Cu2+(aq) + SO4 2-(aq)"));
    assert!(
        dry.ends_with("from CuSO4(cr), but the substance is CuSO4.5H2O"),
        "{dry}"
    );
    for right in [
        "CuSO4.5H2O(cr) -> Cu2+(aq) + SO4 2-(aq) + 5 H2O(l)",
        "Cu2+(aq) -> Cu2+(aq)",
    ] {
        Library::builtin()
            .clone()
            .extend("own.toml", &blue(right))
            .unwrap();
    }
}

#[test]
fn what_no_substance_has_is_refused() {
    let with = |old: &str, new: &str| refused(&NEW.replace(old, new));
    assert_eq!(
        with("1 J/(g K), u", "400 J/(g K), u"),
        "solute_cp: 400 J/(g K), u = 0.5 J/(g K) is not possible: only -20 J/(g K) to 20 J/(g K) is"
    );
    assert!(with("u = 0.5 J/(g K)", "u = 0 J/(g K)").contains("has no uncertainty"));
    let heavy = r#"
[substances.osmium]
title = "heavier than anything"
formula = "Os"
assay = { value = "98 % to 100 %", source = "practice", status = "from memory" }
density = { value = "1690 g/mL, u = 1 g/mL", source = "practice", status = "from memory" }
"#;
    assert!(refused(heavy).contains("only 0.05 g/mL to 25 g/mL is"));
}

#[test]
fn a_wrong_field_of_a_reaction_is_named() {
    let with = |line: &str| refused(&NEW.replace("range =", &format!("{line}\nrange =")));
    assert_eq!(with("waters = 1"), "waters: needs `anhydrous` as well");
    assert_eq!(
        with("anhydrous = \"mgso4-water\""),
        "anhydrous: needs `waters` as well"
    );
    let line = "anhydrous = \"mgso4-water\"\nwaters = -1";
    assert_eq!(with(line), "waters: -1 must be positive");
    let line = "anhydrous = \"mgso4-water\"\nwaters = 1";
    assert_eq!(
        with(line),
        "anhydrous: `mgso4-water` does not start from Zn less 1 H2O"
    );
    assert_eq!(
        with("hydrate = \"mgso4-7h20-water\""),
        "hydrate: no reaction is called `mgso4-7h20-water`; did you mean `mgso4-7h2o-water`?"
    );
    let line = "hydrate = \"zinc-copper\"";
    assert_eq!(
        with(line),
        "hydrate: `zinc-copper` does not start from a hydrate of Zn"
    );
    let line = "dissolving = \"kmno4-water\"";
    assert_eq!(with(line), "dissolving: needs `in_solution = true` as well");
    let line = format!("in_solution = true\n{line}");
    assert_eq!(
        with(&line),
        "dissolving: `kmno4-water` does not start from zinc as a solid"
    );
    let none = refused(&NEW.replace("nu = 2", "nu = 0"));
    assert_eq!(none, "reactants 1: 0 must be positive");
}

#[test]
fn a_wrong_species_is_named() {
    let entry = |key: &str, value: &str| {
        let fact = format!("{{ value = \"{value}\", source = \"practice\", status = \"read\" }}");
        refused(&format!(
            "[species.\"{key}\"]\ntitle = \"own\"\nformation = {fact}\n"
        ))
    };
    let u = "-1 kJ/mol, u = 1 kJ/mol";
    assert!(entry("Cd2+", u).ends_with(
        "species.Cd2+: key: `Cd2+` has no state; write (aq), (cr), (l) or (g) behind it"
    ));
    assert!(entry("Cd x+(aq)", u).contains("a charge that cannot be read"));
    for (key, value) in [
        ("CdO(cr)", "0 kJ/mol"),
        ("Cd2+(aq)", "0 kJ/mol"),
        ("Cd(cr)", "1 kJ/mol"),
    ] {
        assert!(entry(key, value).contains("formation: `"), "{key}");
    }
}

#[test]
fn one_s_own_formation_changes_every_reaction_that_uses_it() {
    let own = r#"
[species."Fe3+(aq)"]
title = "iron(III) ion, an older value"
formation = { value = "-48.5 kJ/mol, u = 0.5 kJ/mol", source = "crc-formation", status = "read" }

[species."Cd(cr)"]
title = "cadmium"
formation = { value = "0 kJ/mol", source = "convention", status = "read" }
"#;
    let mut library = Library::builtin().clone();
    let overlay = library.overlay("own.toml", own);
    assert!(overlay.refused.is_empty(), "{:?}", overlay.refused);
    assert_eq!(overlay.replaced.len(), 1);
    let built_in = Library::builtin().reaction("iron-permanganate").unwrap();
    let iron = library.reaction("iron-permanganate").unwrap();
    assert!((iron.enthalpy.value - built_in.enthalpy.value - 2500.0).abs() < 1e-6);
    assert!(iron.enthalpy.dist.sd() < built_in.enthalpy.dist.sd());
    let zinc = library.reaction("zinc-copper").unwrap();
    assert!((zinc.enthalpy.value + 218_290.0).abs() < 1e-6);
}

#[test]
fn reactions_of_one_text_may_refer_to_each_other_and_fall_together() {
    let pair = NEW.to_owned()
        + &NEW.replace("[reactions.own]", "[reactions.two]").replace(
            "range =",
            "in_solution = true\ndissolving = \"own\"\nrange =",
        );
    let mut library = Library::builtin().clone();
    library.extend("own.toml", &pair).unwrap();
    assert_eq!(
        library.reaction("two").unwrap().dissolving.as_deref(),
        Some("own")
    );
    // Now the one referred to is refused, and the other one with it.
    let pair = pair.replacen("range =", "hydrate = \"nothing\"\nrange =", 1);
    let mut library = Library::builtin().clone();
    let overlay = library.overlay("own.toml", &pair);
    let entries: Vec<String> = overlay
        .refused
        .iter()
        .map(|r| r.error.to_string())
        .collect();
    assert_eq!(entries.len(), 2, "{entries:?}");
    assert!(entries[1].contains("reactions.two: dissolving: no reaction is called `own`"));
    let place = &pair[overlay.refused[0].span.clone()];
    assert_eq!(place, "\"nothing\"");
    assert_eq!(library.reactions.len(), Library::builtin().reactions.len());
}

#[test]
fn a_reference_to_a_replaced_reaction_that_fits_no_longer_is_dropped() {
    let own = NEW.replace("[reactions.own]", "[reactions.kmno4-water]");
    let mut library = Library::builtin().clone();
    let overlay = library.overlay("own.toml", &own);
    assert_eq!((overlay.refused.len(), overlay.replaced.len()), (0, 1));
    let iron = library.reaction("iron-permanganate").unwrap();
    assert_eq!((iron.in_solution, iron.dissolving.as_deref()), (true, None));
}

#[test]
fn hydrates_and_anhydrous_forms_know_each_other() {
    let library = Library::builtin();
    let mut pairs = 0;
    for r in library.reactions.values() {
        if let Some((key, _)) = &r.anhydrous {
            let dry = library.reaction(key).unwrap();
            assert_eq!(dry.hydrate.as_deref(), Some(r.key.as_str()), "{key}");
            // Water bound in a crystal has given its heat already.
            assert!(dry.enthalpy.value < r.enthalpy.value, "{key}");
            pairs += 1;
        }
    }
    assert_eq!(pairs, 4);
    let iron = library.reaction("iron-permanganate").unwrap();
    assert_eq!(iron.dissolving.as_deref(), Some("kmno4-water"));
    assert_eq!(
        iron.others.iter().map(|o| o.nu).collect::<Vec<_>>(),
        [5.0, 8.0]
    );
    assert_eq!(library.reaction("kcl-water").unwrap().others, []);
}
