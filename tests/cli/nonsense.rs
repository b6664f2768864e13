//! Impossible and unusual input, one line each: what is set in which shipped scenario, and what is said of it.

use joulecast::scenario::{Problem, Raw, Severity, read_with, shipped};

const SALT: &str = "ammonium-chloride-dewar";
const IRON: &str = "permanganate-iron-dewar";
const MUG: &str = "neutralisation-mug";

/// All that is said of a shipped scenario with keys set in it.
fn told(name: &str, set: &[(&str, &str)]) -> Vec<Problem> {
    let raw = |text: &str| match text {
        "" => Raw::Unsaid,
        _ => Raw::Text(text.to_owned()),
    };
    let changes: Vec<(String, Raw)> = (set.iter())
        .map(|(path, text)| ((*path).to_owned(), raw(text)))
        .collect();
    match read_with(shipped(name).expect("a shipped scenario"), &changes) {
        Ok(s) => s.warnings,
        Err(problems) => problems.0,
    }
}

/// A shipped scenario, what is set in it, and what is due.
type Line<'l> = (&'l str, &'l [(&'l str, &'l str)], Severity, &'l str);

#[test]
fn what_is_not_possible_is_refused_and_what_is_unusual_is_asked_about() {
    use Severity::{Error, Warning};
    let lost = "determination.charge.transfer_loss";
    let lines: &[Line] = &[
        // Losses of what is not there.
        (SALT, &[(lost, "exactly 2 g")], Error, "2 g of the 1.6 g"),
        (SALT, &[(lost, "3 g exponential")], Error, "that there are"),
        (SALT, &[(lost, "3 kg exponential")], Error, "that there are"),
        (
            SALT,
            &[(lost, "0.3 g exponential")],
            Warning,
            "is that meant?",
        ),
        (
            SALT,
            &[("determination.charge.spill", "exactly 1.7 g")],
            Error,
            "that there are",
        ),
        (
            SALT,
            &[("determination.liquid.rinse", "exactly 300 mL")],
            Error,
            "300 mL of the 150 mL",
        ),
        (
            SALT,
            &[("determination.liquid.shortfall", "20 mL exponential")],
            Warning,
            "is that meant?",
        ),
        (
            SALT,
            &[("determination.dissolving.leftover", "120 % exponential")],
            Error,
            "up to",
        ),
        // Outside any laboratory.
        (
            SALT,
            &[("thermometer.lag", "-5 s")],
            Error,
            "only 0 s to 1 h is",
        ),
        (
            SALT,
            &[("thermometer.lag", "1e9 s")],
            Error,
            "only 0 s to 1 h is",
        ),
        (
            SALT,
            &[("thermometer.lag", "300 s")],
            Warning,
            "laboratories have 0 s to 120 s",
        ),
        (
            SALT,
            &[("balance.air_density", "-1.2 kg/m3")],
            Error,
            "not possible",
        ),
        (
            SALT,
            &[("balance.air_density", "1.2 g/mL")],
            Error,
            "not possible",
        ),
        (
            SALT,
            &[("vessel.leak", "1e10 /s")],
            Error,
            "only 0 /s to 1 /s is",
        ),
        (
            SALT,
            &[
                ("record.kind", "two readings"),
                ("record.read_at", "90 s"),
                ("record.before", "1e6 s"),
            ],
            Error,
            "only 0 s to 10 h is",
        ),
        (
            SALT,
            &[("room.temperature", "21 C, +-500 K")],
            Error,
            "outside 5 to 45",
        ),
        (
            SALT,
            &[("balance.repeatability", "s = 100 g")],
            Error,
            "only 0 g to 10 g is possible",
        ),
        (
            SALT,
            &[("balance.repeatability", "s = 0.3 g")],
            Warning,
            "laboratories have 0 g to 0.1 g",
        ),
        (
            SALT,
            &[("thermometer.gain", "500 % rectangular")],
            Error,
            "only 0 % to 50 % is possible",
        ),
        (
            SALT,
            &[("balance.readability", "5 kg")],
            Error,
            "only 0 g to 10 g is",
        ),
        (
            SALT,
            &[("balance.readability", "1 g")],
            Warning,
            "with a standard uncertainty of",
        ),
        (
            SALT,
            &[
                ("determination.charge.mass", "200 mg"),
                ("determination.charge.window", ""),
                ("determination.liquid.volume", "150 L"),
            ],
            Error,
            "not possible",
        ),
        // Own values.
        (
            SALT,
            &[("determination.reaction.enthalpy", "47400 kJ/mol")],
            Error,
            "not possible",
        ),
        (
            SALT,
            &[("determination.reaction.enthalpy", "700 kJ/mol")],
            Warning,
            "where its solution freezes",
        ),
        (
            SALT,
            &[("determination.reaction.enthalpy", "4740 kJ/mol")],
            Error,
            "where its solution freezes",
        ),
        (
            SALT,
            &[("determination.reaction.solute_heat_capacity", "400 J/(g K)")],
            Error,
            "not possible",
        ),
        (
            SALT,
            &[(
                "calibration.reaction.enthalpy",
                "29.7 kJ/mol, u = 0.1 kJ/mol",
            )],
            Warning,
            "where the library has -29.77 kJ/mol",
        ),
        (
            SALT,
            &[(
                "calibration.reaction.enthalpy",
                "-297.9 kJ/mol, u = 1 kJ/mol",
            )],
            Warning,
            "where the library has",
        ),
        // What is lacking, or another thing than the tables are for.
        (
            IRON,
            &[
                ("determination.stock.solid", ""),
                ("determination.stock.mass", ""),
                ("determination.stock.volume", ""),
                ("determination.stock.flask", ""),
                ("determination.stock.reactant", ""),
                ("determination.stock.oxidised", ""),
                ("determination.stock.water_lost", ""),
            ],
            Warning,
            "how much `iron-II` there is",
        ),
        (
            IRON,
            &[("determination.reaction.medium_shift", "")],
            Warning,
            "the medium shifts the enthalpy",
        ),
        (
            SALT,
            &[("calibration.liquid.use", "hcl-1.0")],
            Warning,
            "has 1 mol/L, but the enthalpy of `tris-hcl` is for `hcl-0.1`",
        ),
        (
            SALT,
            &[("calibration.liquid.use", "water")],
            Warning,
            "has 0 mol/L, but",
        ),
        (
            SALT,
            &[
                ("calibration.charge.mass", "1.5 g"),
                ("calibration.charge.window", ""),
            ],
            Warning,
            "was measured at 0.0415 mol/kg",
        ),
        (
            IRON,
            &[("times.session", "1 h")],
            Warning,
            "the runs take 140 min, and the session has 60 min",
        ),
        (
            MUG,
            &[("calibration.electrical.time", "1850 s")],
            Warning,
            "where its solution boils",
        ),
    ];
    let mut missed = Vec::new();
    for (name, set, severity, needle) in lines {
        let told = told(name, set);
        let fits = |p: &&Problem| p.severity == *severity && p.message.contains(needle);
        let found = told.iter().find(fits);
        match found {
            Some(own) => assert!(own.hint.is_some() && !own.path.is_empty(), "{own:?}"),
            None => missed.push(format!("{name} {set:?} {needle}: {told:?}")),
        }
    }
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}

#[test]
fn shipped_scenarios_have_nothing_unusual() {
    for name in joulecast::scenario::shipped_names() {
        let told = told(name, &[]);
        let odd = told
            .iter()
            .find(|p| p.message.contains("unusual") || p.message.contains("possible"));
        assert!(odd.is_none(), "{name}: {odd:?}");
    }
}

#[test]
fn no_answer_is_stated_where_hardly_a_group_gets_a_result() {
    let folder = tempfile::tempdir().expect("a folder");
    let text = shipped(SALT).expect("a shipped scenario");
    // A display that rounds every change of temperature away.
    let blind = text.replace(
        "use = \"probe-0.01K\"",
        "use = \"probe-0.01K\"\nresolution = \"10 K\"\nnoise = \"none\"",
    );
    assert_ne!(blind, text);
    std::fs::write(folder.path().join("blind.toml"), blind).expect("written");
    for command in ["forecast", "rank", "sweep", "loosen", "compare"] {
        let (code, said, why) =
            super::run(folder.path(), &[command, "blind.toml", "--trials", "256"]);
        assert_eq!((code, said.as_str()), (1, ""), "{command}: {why}");
        assert!(
            why.contains("simulated groups get no finite result"),
            "{why}"
        );
        let arguments = [command, "blind.toml", "--trials", "256", "--json"];
        let (code, said, _) = super::run(folder.path(), &arguments);
        let document: serde_json::Value = serde_json::from_str(&said).expect("one JSON document");
        assert_eq!(
            (code, document["problems"][0]["severity"].as_str()),
            (1, Some("error"))
        );
    }
    let (code, said, _) = super::run(folder.path(), &["check", "blind.toml"]);
    assert_eq!(code, 1);
    assert!(said.contains("gives no result"), "{said}");
    assert!(!folder.path().join("joulecast-out").exists());
}

#[test]
fn odd_runs_are_the_first_thing_that_is_said() {
    let folder = tempfile::tempdir().expect("a folder");
    let text = shipped(SALT).expect("a shipped scenario");
    let tiny = text
        .replace("mass = \"1.60 g\"", "mass = \"2 mg\"")
        .replace("window = \"1.55 g to 1.65 g\"", "")
        .replace("transfer_loss = \"0.8 mg exponential\"", "");
    std::fs::write(folder.path().join("tiny.toml"), tiny).expect("written");
    let arguments = ["forecast", "tiny.toml", "--trials", "2048", "--out", "out"];
    let (code, said, why) = super::run(folder.path(), &arguments);
    assert_eq!(code, 0, "{why}");
    let short = said.split("IN SHORT").nth(1).expect("a short answer");
    assert!(
        super::flowing(short).starts_with("! Beware: in "),
        "{short}"
    );
    let (_, said, _) = super::run(folder.path(), &["check", "tiny.toml"]);
    assert!(
        super::flowing(&said).contains("vanishes or goes the wrong way"),
        "{said}"
    );
}
