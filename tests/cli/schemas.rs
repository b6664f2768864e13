//! The schemas that `show schema` prints are those of the documents that the commands print.

use super::run;
use jsonschema::{Validator, validator_for};
use serde_json::{Value, json};
use std::collections::BTreeSet;
use tempfile::tempdir;

/// Runs and a record of our own invention.
const RUNS: &str = "run,kind,solid [g],mixing [C],change [K],counts,remark
1,calibration,0.7499,21.52,0.2623,,
2,calibration,0.7580,21.61,0.2671,,
3,determination,1.5999,21.55,-0.6502,,
4,determination,1.6081,21.58,-0.6553,,salt at the rim
5,determination,1.6010,21.60,-0.6999,,
6,determination,1.6010,21.60,-0.6513,rejected,spilt
";
const RECORD: &str = "time [s],temperature [C]
-30,21.50\n-20,21.50\n-10,21.51\n10,21.01\n60,20.86\n150,20.85\n200,20.85\n300,20.86\n400,20.86
";

/// The JSON that the program prints.
fn said(arguments: &[&str]) -> Value {
    let folder = tempdir().expect("a folder");
    let files = [
        ("bad.toml", "format = 1\nno = 2\n"),
        ("runs.csv", RUNS),
        ("bad.csv", "run,kind\n1,none\n"),
        ("record.csv", RECORD),
        (
            "class.csv",
            "group,value,u\nA,14.7,0.2\nB,13.1,\nC,14.9,0.3\nD,,\n",
        ),
    ];
    for (name, text) in files {
        std::fs::write(folder.path().join(name), text).expect("a file");
    }
    let (_, said, why) = run(folder.path(), arguments);
    serde_json::from_str(&said).unwrap_or_else(|e| panic!("{arguments:?}: {e}: {why}"))
}

fn schema(name: &str) -> Value {
    said(&["show", "schema", name])
}

/// The same schema for documents that have no field beside those that it describes.
fn closed(mut schema: Value) -> Validator {
    let close = |part: &mut Value| {
        if part["properties"].is_object() {
            part["unevaluatedProperties"] = json!(false);
        }
    };
    close(&mut schema);
    let parts = schema["$defs"].as_object_mut().expect("definitions");
    parts.values_mut().for_each(close);
    validator_for(&schema).expect("a schema")
}

/// What each command is asked for, so that all documents appear, with all that is optional in them.
const ASKED: [&[&str]; 32] = [
    &["forecast", "--reductions", "--class", "4"],
    &["forecast", "magnesium-oxide-cycle", "--shortest"],
    &["forecast", "permanganate-iron-dewar"],
    &["forecast", "neutralisation-mug"],
    &["forecast", "peroxide-cups"],
    &["forecast", "--digits", "1"],
    &["rank"],
    &["rank", "urea-foam-cups", "--digits", "1"],
    &["sweep", "urea-foam-cups", "--spread", "5 %"],
    &["sweep", "permanganate-iron-dewar", "--split"],
    &["sweep", "peroxide-cups", "--split", "--total", "4"],
    &["sweep", "magnesium-oxide-cycle", "--split", "--total", "9"],
    &[
        "sweep",
        "permanganate-iron-dewar",
        "--vary",
        "determination.charge.mass = 0.05 g to 3 g in 6",
        "--within",
        "5 %",
    ],
    &["loosen", "urea-foam-cups", "--spread", "5 %"],
    &["loosen", "magnesium-oxide-cycle", "--spread", "0.1 %"],
    &["compare", "neutralisation-mug", "peroxide-cups"],
    &[
        "compare",
        "urea-foam-cups",
        "--set",
        "runs = 3",
        "--set",
        "determination.charge.mass = 300 g",
    ],
    &["report", "urea-foam-cups"],
    &["evaluate", "ammonium-chloride-dewar", "runs.csv"],
    &["evaluate", "ammonium-chloride-dewar", "bad.csv"],
    &["trace"],
    &["trace", "ammonium-chloride-dewar", "record.csv"],
    &["slip", "urea-foam-cups", "--difference", "-9 %"],
    &["slip", "permanganate-iron-dewar", "spilt"],
    &["grade", "urea-foam-cups"],
    &[
        "grade",
        "ammonium-chloride-dewar",
        "class.csv",
        "--points",
        "3 %: 10",
    ],
    &["check", "urea-foam-cups"],
    &["forecast", "bad.toml"],
    &["show"],
    &["show", "source"],
    &["show", "urea-foam-cups"],
    &["help", "topics"],
];

#[test]
fn every_document_is_as_its_schema_says_and_a_spoiled_one_is_not() {
    let listed = said(&["show", "schema", "--json"]);
    let names: BTreeSet<&str> = listed["schemas"]
        .as_array()
        .expect("a list")
        .iter()
        .filter_map(Value::as_str)
        .collect();
    assert!(closed(schema("show")).is_valid(&listed));
    let mut seen = BTreeSet::new();
    for asked in ASKED {
        let few: &[&str] = if asked.contains(&"--digits") {
            &[]
        } else {
            &["--trials", "256"]
        };
        let document = said(&[asked, few, &["--json"]].concat());
        let form = document["schema"].as_str().expect("a schema");
        let name = *names
            .iter()
            .find(|n| format!("joulecast.{n}/1") == form)
            .expect(form);
        let own = closed(schema(name));
        let wrong: Vec<String> = own
            .iter_errors(&document)
            .map(|e| format!("{}: {e:.200}", e.instance_path()))
            .collect();
        assert!(wrong.is_empty(), "{asked:?}: {wrong:#?}");
        for field in document.as_object().expect("an object").keys() {
            let mut spoiled = document.clone();
            spoiled[field] = json!({ "no": "such thing" });
            assert!(!own.is_valid(&spoiled), "{asked:?}: {field}");
            if field != "asked" && field != "study" {
                spoiled.as_object_mut().expect("an object").remove(field);
                assert!(!own.is_valid(&spoiled), "{asked:?}: without {field}");
            }
        }
        seen.insert(name);
    }
    assert_eq!(seen, names);
}

#[test]
fn a_number_may_be_null_and_not_a_text() {
    let own = closed(schema("problems"));
    let problem = |line: Value| {
        json!({
            "schema": "joulecast.problems/1", "version": "1", "file": null,
            "problems": [{ "severity": "error", "path": "", "message": "", "hint": null, "line": line,
                           "column": null }],
        })
    };
    assert!(own.is_valid(&problem(json!(1))) && own.is_valid(&problem(Value::Null)));
    assert!(!own.is_valid(&problem(json!("1"))) && !own.is_valid(&problem(json!(0.5))));
    let parts = schema("forecast");
    let estimate = validator_for(&parts["$defs"]["Estimate"]).expect("a schema");
    assert!(estimate.is_valid(&json!({ "value": 0.5, "se": null })));
    assert!(!estimate.is_valid(&json!({ "value": "0.5", "se": null })));
}

#[test]
fn descriptions_speak_of_the_document_and_not_of_the_program() {
    fn look(schema: &Value, seen: &mut u32) {
        if let Some(words) = schema["description"].as_str() {
            *seen += 1;
            for program in ["[`", "::", "None", "NaN", "Self", "\n"] {
                assert!(!words.contains(program), "{words}");
            }
        }
        for part in schema
            .as_object()
            .into_iter()
            .flat_map(|o| o.values())
            .chain(schema.as_array().into_iter().flatten())
        {
            look(part, seen);
        }
    }
    for name in [
        "forecast", "rank", "sweep", "loosen", "compare", "report", "show", "help",
    ] {
        let mut seen = 0;
        look(&schema(name), &mut seen);
        assert!(seen > 5, "{name}: {seen}");
    }
    let folder = tempdir().expect("a folder");
    let (code, said, why) = run(folder.path(), &["show", "schema", "forcast"]);
    assert_eq!((code, said.as_str()), (2, ""));
    assert!(why.contains("did you mean `schema forecast`?"), "{why}");
}
