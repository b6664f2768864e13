//! What users write and what they are told: other words for the same, near misses by meaning, and commands to come. Every
//! suggestion, applied, is accepted.

use super::{flowing, run};
use joulecast::scenario::{Raw, SOURCES, Scenario, example, read_with, shipped};
use tempfile::tempdir;

const SALT: &str = "ammonium-chloride-dewar";

fn set(name: &str, key: &str, text: &str) -> Result<Scenario, String> {
    let change = [(key.to_owned(), Raw::Text(text.to_owned()))];
    read_with(shipped(name).expect("a shipped scenario"), &change)
        .map_err(|p| p.0.iter().map(|p| format!("{p}; ")).collect())
}

#[test]
fn the_same_is_said_in_other_words() {
    // Twice the same statement, in our words and in theirs.
    let pairs = [
        ("times.session", "90 min", "5400 sec"),
        ("times.session", "3 h", "3 hours"),
        ("record.after", "7 min", "7 minutes"),
        ("thermometer.offset", "0.3 K rectangular", "+/- 0.3 K"),
        ("thermometer.offset", "0.3 K rectangular", "0.3 K uniform"),
        ("thermometer.noise", "s = 5 mK", "sd = 5 mK"),
        (
            "room.temperature",
            "21.5 C, 0.5 K rectangular",
            "21.5 C +/- 0.5 K",
        ),
        ("thermometer.lag", "0 s", "none"),
        ("thermometer.resolution", "0 K", "none"),
        (
            "calibration.reaction.enthalpy",
            "-29.288 kJ/mol, u = 0.04184 kJ/mol",
            "-7 kcal/mol, u = 0.01 kcal/mol",
        ),
    ];
    for (key, ours, theirs) in pairs {
        let [one, other] =
            [ours, theirs].map(|t| set(SALT, key, t).unwrap_or_else(|e| panic!("{t}: {e}")));
        for source in SOURCES {
            for (a, b) in one.legs().iter().zip(other.legs()) {
                let [a, b] = [a.binding(source.id), b.binding(source.id)].map(|x| &x.input.dist);
                for p in [0.1, 0.5, 0.9] {
                    let [a, b] = [a.quantile(p), b.quantile(p)];
                    assert!(
                        (a - b).abs() <= 1e-12 * a.abs(),
                        "{theirs}: {} {a} {b}",
                        source.key
                    );
                }
            }
        }
        assert_eq!(
            one.times.session.map(|t| t.0),
            other.times.session.map(|t| t.0)
        );
    }
}

#[test]
fn what_goes_one_way_is_stated_as_an_error_or_as_a_size_with_its_spread() {
    for (name, key, text) in [
        (
            SALT,
            "determination.dissolving.leftover",
            "1 %, 60 % log-normal",
        ),
        (
            SALT,
            "determination.charge.transfer_loss",
            "2 mg, 50 % log-normal",
        ),
        (
            "permanganate-iron-dewar",
            "determination.charge.held_back",
            "5 % exponential",
        ),
        (
            "permanganate-iron-dewar",
            "determination.charge.held_back",
            "0 % to 10 %",
        ),
        (
            "copper-sulfate-hydration",
            "leg.blue.charge.water_lost",
            "0.2 % exponential",
        ),
    ] {
        let s = set(name, key, text).unwrap_or_else(|e| panic!("{key} = {text}: {e}"));
        assert!(s.fewest_dof() > 4.0);
    }
    // A size alone does not say what it is, and what is suggested is accepted.
    let why = set(SALT, "determination.liquid.rinse", "0.2 mL").expect_err("no kind of error");
    assert!(!why.contains("rectangular"), "{why}");
    let suggested: Vec<&str> = why.split('`').skip(3).step_by(2).take(3).collect();
    assert_eq!(
        suggested,
        ["0.2 mL exponential", "0 to 0.2 mL", "exactly 0.2 mL"]
    );
    for text in suggested {
        set(SALT, "determination.liquid.rinse", text).unwrap_or_else(|e| panic!("{text}: {e}"));
    }
}

#[test]
fn the_example_of_every_source_is_accepted_and_nothing_unusual() {
    let mut seen = 0;
    for source in SOURCES {
        let text = example(source);
        if text.starts_with("# no key") {
            continue;
        }
        let table: toml::Table = text.parse().expect("TOML");
        let statement = table[source.site()][source.name()]
            .as_str()
            .expect("a text");
        // A scenario in which its table may stand.
        let places = [
            (SALT, format!("determination.{}", source.key)),
            (SALT, source.key.to_owned()),
            ("neutralisation-mug", format!("calibration.{}", source.key)),
            (
                "copper-sulfate-hydration",
                format!("calibration.{}", source.key),
            ),
            (
                "permanganate-iron-dewar",
                format!("determination.{}", source.key),
            ),
            (
                "permanganate-iron-dewar",
                format!("determination.reactant.acid.{}", source.name()),
            ),
            ("magnesium-oxide-cycle", source.key.to_owned()),
        ];
        let told: Vec<String> = (places.iter())
            .filter_map(|(name, key)| match set(name, key, statement) {
                Ok(s) => {
                    let odd = s
                        .warnings
                        .iter()
                        .find(|w| w.path.ends_with(source.key) && w.message.contains("unusual"));
                    odd.map(ToString::to_string)
                }
                Err(e) => Some(e),
            })
            .collect();
        assert!(
            told.len() < places.len(),
            "{} = {statement}: {told:?}",
            source.key
        );
        seen += 1;
    }
    assert!(seen > 50, "{seen}");
}

#[test]
fn near_misses_are_told_what_is_meant() {
    let folder = tempdir().expect("a folder");
    let at = folder.path();
    let text = shipped("urea-foam-cups").expect("a shipped scenario");
    std::fs::write(
        at.join("r.toml"),
        format!("{text}\n[determination.repeat]\nmost = 1\n"),
    )
    .expect("written");
    let told = |arguments: &[&str], code: i32, due: &str| {
        let (got, said, why) = run(at, arguments);
        assert_eq!(got, code, "{arguments:?}: {why}");
        assert!(
            flowing(&format!("{said} {why}")).contains(due),
            "{arguments:?}: {said}{why}"
        );
    };
    told(&["check", "r.toml"], 2, "did you mean `repeat`?");
    told(
        &["sweep", "--vary", "mass = 1 g to 2 g"],
        2,
        "did you mean `determination.charge.mass`?",
    );
    told(
        &["rank", "--explain", "leftover", "--trials", "256"],
        0,
        "dissolving.leftover: share of the solid",
    );
    told(&["rank", "--explain", "wet"], 2, "`liquid.rinse`");
    told(
        &["rank", "--explain", "water_lost"],
        2,
        "may be `charge.water_lost`, `stock.water_lost`",
    );
    told(&["show", "wet"], 0, "liquid.rinse");
    told(
        &["show", "reaction", "--toml", "kcl-water"],
        0,
        "[library.reactions.own-kcl-water]",
    );
    told(&["show", "--toml", "charge.spill"], 0, "spill = \"");
}

#[test]
fn a_class_that_cannot_be_graded_says_why() {
    let folder = tempdir().expect("a folder");
    let at = folder.path();
    std::fs::write(at.join("class.csv"), "group,value\nA,14.7\nB,15.0\n").expect("written");
    std::fs::write(at.join("bad.csv"), "group,value\nA,much\nB,1e9\n").expect("written");
    let told = |arguments: &[&str], code: i32, due: &str| {
        let (got, said, why) = run(at, &[&["grade"], arguments].concat());
        assert_eq!(got, code, "{arguments:?}: {why}");
        assert!(flowing(&why).contains(due), "{arguments:?}: {said}{why}");
    };
    let of = "ammonium-chloride-dewar";
    told(&["class.csv"], 2, "name the scenario before it");
    told(&[of, "none.csv"], 3, "there is no such file");
    told(
        &[of, "bad.csv"],
        2,
        "bad.csv, line 2, column \"value\": `much` is not a number",
    );
    told(
        &[of, "bad.csv"],
        2,
        "line 3, column \"value\": `1e9` is not possible",
    );
    told(&[of, "--band", "3 K"], 2, "--band");
    told(&[of, "--band", "0 %"], 2, "must lie between");
    told(&[of, "--groups", "1"], 2, "from 2 to 500");
    told(
        &[of, "class.csv", "--groups", "5"],
        2,
        "cannot be used with",
    );
    told(
        &[of, "--points", "3 %: 10"],
        2,
        "name the file of the class",
    );
    for points in ["3 %", "3 % 10", "3 %: ten", "3 %: 10, 3 %: 4", "-3 %: 1"] {
        told(&[of, "class.csv", "--points", points], 2, "with its points");
    }
    told(
        &[of, "class.csv", "--points", "3 %: 1, 5 %: 2"],
        2,
        "more points than a narrower",
    );
    told(
        &[of, "class.csv", "--columns", "value=x"],
        2,
        "no such header",
    );
    assert_eq!(std::fs::read_dir(at).expect("a folder").count(), 2);
}

#[test]
fn a_question_about_mistakes_that_has_no_answer_says_why() {
    let folder = tempdir().expect("a folder");
    let text = shipped("urea-foam-cups").expect("a shipped scenario");
    let own = format!("{text}\n[slips]\nshaky = \"determination.charge.mass = 3 mL\"\n");
    std::fs::write(folder.path().join("own.toml"), own).expect("written");
    let told = |arguments: &[&str], code: i32, due: &str| {
        let (got, said, why) = run(folder.path(), &[&["slip"], arguments].concat());
        assert_eq!(got, code, "{arguments:?}: {why}");
        assert!(flowing(&why).contains(due), "{arguments:?}: {said}{why}");
    };
    let urea = "urea-foam-cups";
    told(&[urea, "undisolved"], 2, "did you mean `undissolved`?");
    told(&[urea, "zzz"], 2, "there are undissolved, spilt-after");
    told(&[urea, "extreme"], 2, "cannot be made in this scenario");
    told(
        &[urea, "wet-vessel", "--size", "3 K"],
        2,
        "for example \"1 mL\"",
    );
    told(&[urea, "undissolved", "--size", "-2 %"], 2, "one way only");
    told(
        &[urea, "undissolved", "--size", "200 %"],
        2,
        "more than all",
    );
    told(&[urea, "water-heat", "--size", "2 %"], 2, "it has no size");
    told(&[urea, "lid-open", "--size", "3 %"], 2, "\"3 times\"");
    told(&[urea, "liquid", "--size", "1 mL"], 2, "different units");
    told(&[urea, "--difference", "much"], 2, "\"-3.1 %\"");
    told(&[urea, "--difference", "0 %"], 2, "needs no cause");
    told(
        &[urea, "--difference", "none.json"],
        3,
        "there is no such file",
    );
    std::fs::write(folder.path().join("x.json"), "{}").expect("written");
    told(
        &[urea, "--difference", "x.json"],
        2,
        "not what `evaluate --json`",
    );
    told(
        &[urea, "--difference", "2 %", "--u", "-1 %"],
        2,
        "above zero",
    );
    told(&["own.toml"], 2, "slips.shaky");
    let (code, _, why) = run(folder.path(), &["check", "own.toml"]);
    assert!(code == 2 && why.contains("slips.shaky"), "{why}");
    let twice = format!("{text}\n[slips]\nundissolved = \"runs = 3\"\n");
    std::fs::write(folder.path().join("own.toml"), twice).expect("written");
    told(&["own.toml"], 2, "is a mistake that is known already");
    // Nothing of all that writes a file.
    let left = std::fs::read_dir(folder.path()).expect("a folder").count();
    assert_eq!(left, 2);
}

#[test]
fn a_sweep_of_a_loss_says_that_its_mean_is_varied() {
    let folder = tempdir().expect("a folder");
    let vary = "determination.charge.transfer_loss = 1 mg to 3 mg";
    let arguments = ["sweep", "--vary", vary, "--trials", "256", "--out", "o"];
    let (code, said, why) = run(folder.path(), &arguments);
    assert_eq!(code, 0, "{why}");
    assert!(
        flowing(&said).contains("its mean over runs is varied"),
        "{said}"
    );
}

#[test]
fn prices_keep_their_currency() {
    let folder = tempdir().expect("a folder");
    let prices =
        "[prices]\ncalibration_run = \"0.40 EUR\"\ndetermination_run = \"0.60 EUR\"\n\n[lab]";
    let text = shipped("urea-foam-cups")
        .expect("a shipped scenario")
        .replace("[lab]", prices);
    std::fs::write(folder.path().join("p.toml"), &text).expect("written");
    let arguments = ["compare", "p.toml", "--trials", "256", "--json"];
    let (code, said, why) = run(folder.path(), &arguments);
    assert_eq!(code, 0, "{why}");
    assert!(said.contains("\"currency\": \"EUR\""), "{said}");
    std::fs::write(
        folder.path().join("p.toml"),
        text.replace("0.60 EUR", "0.60 USD"),
    )
    .expect("written");
    let (code, _, why) = run(folder.path(), &["check", "p.toml"]);
    assert_eq!(code, 2);
    assert!(why.contains("different currencies"), "{why}");
}

#[test]
fn studies_look_first_where_the_spread_is_made() {
    let folder = tempdir().expect("a folder");
    let study = |arguments: &[&str]| {
        let all = [arguments, &["--full", "--trials", "256", "--out", "o"]].concat();
        let (code, said, why) = run(folder.path(), &all);
        assert!(code < 2, "{why}");
        said
    };
    // Reading the calibration's change of temperature makes two thirds of the built-in variance.
    let own = study(&["sweep", SALT]);
    let said = flowing(&own);
    assert!(
        said.contains("of TRIS (`calibration.charge.mass`, now 0.75 g")
            && said.contains("Reading the change of temperature of the calibration makes"),
        "{said}"
    );
    let first = |text: &str, what: &str| text.find(what).unwrap_or(usize::MAX);
    assert!(first(&own, "MASS OF SAMPLE (CALIBRATION)") < first(&own, "RUNS OF EACH KIND"));
    let other = study(&["sweep", "urea-foam-cups"]);
    assert!(!other.contains("MASS OF SAMPLE (CALIBRATION)"), "{other}");
    let loose = flowing(&study(&["loosen", SALT, "--spread", "2 %"]));
    assert!(
        loose.contains("weigh in more TRIS (`calibration.charge.mass`)"),
        "{loose}"
    );
}
