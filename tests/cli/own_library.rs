//! Entries of one's own: in the scenario, in a file beside it, used, shown, and refused in words.

use super::{joulecast, text};
use std::fs;
use std::path::Path;
use tempfile::tempdir;

const OWN: &str = r#"
[library.citations]
mine = "our measurement, 2026"

[library.substances.our-salt]
title = "the salt of our store"
formula = "KCl"
assay = { value = "98 % to 100 %", source = "mine", status = "read" }
density = { value = "2 g/mL, u = 0.1 g/mL", source = "mine", status = "read" }
cautions = ["It stains the bench"]

[library.reactions.our-salt-water]
title = "our salt in water"
equation = "KCl(cr) -> K+(aq) + Cl-(aq)"
substance = "our-salt"
medium = "water"
enthalpy = { value = "20 kJ/mol, u = 0.2 kJ/mol", source = "mine", status = "read" }
at = "25 C"
state = "infinite dilution"
slope = { value = "-100 J/(mol K), u = 20 J/(mol K)", source = "mine", status = "read" }
range = "15 to 35 C"
solute_cp = { value = "-1 J/(g K), u = 0.2 J/(g K)", source = "mine", status = "read" }

[library.thermometers.our-stick]
title = "our thermometer"
resolution = { value = "0.02 K", source = "mine", status = "read" }
noise = { error = "s = 20 mK", source = "mine", status = "read" }
offset = { error = "0.2 K rectangular", source = "mine", status = "read" }
gain = { error = "0.3 % rectangular", source = "mine", status = "read" }
drift = { error = "0.1 mK/min rectangular", source = "mine", status = "read" }
lag = { value = "5 s, 30 % log-normal", source = "mine", status = "read" }

[library.glassware.jug]
title = "our jug"
kind = "graduated cylinder"
standard = "none: our own"
source = "mine"
status = "read"
repeatability = { source = "mine", status = "read" }
expansion = { value = "2.7e-5 1/K, u = 1e-6 1/K", source = "mine", status = "read" }
rows = [{ nominal = 150.0, limit = 3.0, s = 1.0 }]
"#;

/// Exit code, standard output, standard error with its lines joined.
fn run(folder: &Path, arguments: &[&str]) -> (i32, String, String) {
    let output = joulecast(folder)
        .args(arguments)
        .output()
        .expect("the program starts");
    let complaint = text(&output.stderr);
    let complaint = super::flowing(&complaint);
    let code = output.status.code().expect("an exit code");
    (code, text(&output.stdout), complaint)
}

/// The template with what is own in use.
fn using() -> String {
    joulecast::scenario::template("Our salt")
        .replace("use = \"urea-water\"", "use = \"our-salt-water\"")
}

fn write(folder: &Path, name: &str, text: &str) {
    fs::write(folder.join(name), text).expect("written");
}

fn spread(folder: &Path, name: &str) -> (f64, f64, String) {
    let arguments = ["--json", "--trials", "20000", "forecast", name];
    let (code, said, complaint) = run(folder, &arguments);
    assert_eq!((code, complaint.as_str()), (0, ""), "{name}");
    let document: serde_json::Value = serde_json::from_str(&said).expect("JSON");
    let number = |value: &serde_json::Value| value.as_f64().expect("a number");
    let mean =
        number(&document["accepted_J_per_mol"]) + number(&document["bias_J_per_mol"]["value"]);
    (mean, number(&document["spread_J_per_mol"]["value"]), said)
}

#[test]
fn own_entries_are_used_whether_here_or_in_a_file_beside() {
    let folder = tempdir().expect("a folder");
    let at = folder.path();
    let salt = using();
    let stick = salt.replace("\"probe-0.01K\"", "\"our-stick\"");
    let jug = salt.replace("\"pipette-iso648-50mL-A\"", "\"jug-150mL\"");
    for (name, scenario) in [("salt", &salt), ("stick", &stick), ("jug", &jug)] {
        write(at, &format!("{name}.toml"), &format!("{scenario}{OWN}"));
        let (code, said, complaint) = run(at, &["check", &format!("{name}.toml")]);
        assert_eq!((code, complaint.as_str()), (0, ""), "{said}");
    }
    let (mean, alone, said) = spread(at, "salt.toml");
    assert!((mean - 20e3).abs() < 300.0, "{mean}");
    assert!(said.contains("It stains the bench"));
    assert!(spread(at, "stick.toml").1 > 1.5 * alone);
    let jug = spread(at, "jug.toml").1;
    assert!(jug > 1.1 * alone, "{jug} {alone}");

    fs::create_dir(at.join("deep")).expect("a folder");
    let named = stick.replacen("format = 1", "format = 1\nlibrary_file = \"ours.toml\"", 1);
    write(at, "deep/file.toml", &named);
    write(at, "deep/ours.toml", &OWN.replace("[library.", "["));
    let (of_file, of_table) = (spread(at, "deep/file.toml"), spread(at, "stick.toml"));
    assert_eq!((of_file.0, of_file.1), (of_table.0, of_table.1));

    // Another file is another procedure, and says so by its digest.
    let digest = |said: &str| {
        let document: serde_json::Value = serde_json::from_str(said).expect("JSON");
        document["scenario"]["digest"].as_str().map(str::to_owned)
    };
    write(
        at,
        "deep/ours.toml",
        &OWN.replace("[library.", "[").replace("stains", "marks"),
    );
    assert_ne!(digest(&spread(at, "deep/file.toml").2), digest(&of_file.2));
}

#[test]
fn own_entries_are_shown() {
    let folder = tempdir().expect("a folder");
    write(folder.path(), "my.toml", &format!("{}{OWN}", using()));
    let arguments = ["show", "--scenario", "my.toml", "our-salt-water"];
    let (code, said, _) = run(folder.path(), &arguments);
    assert_eq!(code, 0);
    for due in ["20 kJ/mol, u = 0.2 kJ/mol", "our measurement, 2026"] {
        assert!(said.contains(due), "{said}");
    }
    let arguments = ["show", "thermometer", "--scenario", "my.toml"];
    assert!(run(folder.path(), &arguments).1.contains("our-stick"));
    assert_eq!(run(folder.path(), &["show", "our-salt-water"]).0, 2);
}

#[test]
fn an_entry_in_place_of_another_is_warned_of() {
    let folder = tempdir().expect("a folder");
    let own = OWN
        .replace("reactions.our-salt-water", "reactions.kcl-water")
        .replace(
            "title = \"our salt in water\"",
            "reference = true\ntitle = \"our value\"",
        );
    let scenario = joulecast::scenario::template("Our value");
    write(folder.path(), "my.toml", &format!("{scenario}{own}"));
    let (code, said, _) = run(folder.path(), &["check", "my.toml"]);
    assert_eq!(code, 0);
    assert!(said.contains("in place of an entry"), "{said}");
    assert!(said.contains("our value"), "{said}");
}

#[test]
fn what_is_wrong_with_a_library_file_is_told_where_it_stands_there() {
    let folder = tempdir().expect("a folder");
    let at = folder.path();
    let named = using().replacen("format = 1", "format = 1\nlibrary_file = \"ours.toml\"", 1);
    write(at, "my.toml", &named);
    let told = |exit: i32, due: &[&str]| {
        for command in ["check", "forecast"] {
            let (code, said, complaint) = run(at, &[command, "my.toml"]);
            assert_eq!((code, said.as_str()), (exit, ""), "{complaint}");
            for due in due {
                assert!(complaint.contains(due), "{complaint}");
            }
        }
    };
    told(
        3,
        &[
            "my.toml:12:16",
            "cannot read ours.toml: there is no such file",
            "1 error",
        ],
    );
    let ours = OWN.replace("[library.", "[");
    write(at, "ours.toml", &ours.replace(", u = 0.2 kJ/mol", ""));
    told(
        2,
        &[
            "error: reactions.our-salt-water.enthalpy: `20 kJ/mol` has no uncertainty",
            "--> ours.toml:17:",
        ],
    );
    write(at, "ours.toml", &ours.replace("[reactions", "[reaction"));
    told(
        2,
        &[
            "ours.toml:",
            "no section of the library is called so",
            "did you mean `reactions`?",
        ],
    );
    write(at, "ours.toml", &format!("{ours}\n= 3\n"));
    told(2, &["not valid TOML", "--> ours.toml:"]);
}

#[test]
fn a_library_call_passes_the_entries_of_the_file_itself() {
    use joulecast::library::Library;
    use joulecast::scenario::{library_file, read, read_in, with_file};
    let text = using().replacen("format = 1", "format = 1\nlibrary_file = \"ours.toml\"", 1);
    let problems = read(&text).expect_err("nobody has read the file");
    assert!(problems.0.iter().any(|p| p.path == "library_file"));
    let (name, _) = library_file(&text).expect("the name of the file");
    let content = OWN.replace("[library.", "[");
    let library = with_file(Library::builtin(), &name, &content).expect("a good file");
    let scenario = read_in(&text, &[], &library).expect("a good scenario");
    let again = scenario.changed(&[]).expect("the same scenario");
    assert_eq!(again.digest, scenario.digest);
    assert_eq!(again.determination.reaction.key, "our-salt-water");
}

#[test]
fn what_nobody_knows_of_a_new_reaction_may_be_left_out_and_is_told() {
    let folder = tempdir().expect("a folder");
    let known = |line: &&str| !line.starts_with("slope = ") && !line.starts_with("solute_cp = ");
    let own: Vec<&str> = OWN.lines().filter(known).collect();
    assert_eq!(own.len() + 2, OWN.lines().count());
    write(
        folder.path(),
        "new.toml",
        &format!("{}{}", using(), own.join("\n")),
    );
    let (code, said, _) = run(folder.path(), &["check", "new.toml"]);
    assert_eq!(code, 0, "{said}");
    let said = super::flowing(&said);
    for due in [
        "`slope` of `our-salt-water` is not known: 0 J/(mol K), u = 200 J/(mol K) is used",
        "`solute_cp` of `our-salt-water` is not known: 0 J/(g K), u = 1.5 J/(g K) is used",
    ] {
        assert!(said.contains(due), "{said}");
    }
}
