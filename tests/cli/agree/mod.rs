//! Text, Markdown, page and files of an answer have the same tables, and their numbers are those of its JSON.

mod answers;
mod checks;
mod columns;
pub mod forms;
mod spoiled;

use answers::{
    Answer, BUILT_IN, RANKED, UREA, chapters_of, compare_of, forecast_of, grade_of, loosen_of,
    rank_of, scenario, slip_of, sweep_of,
};
use checks::disagreements;
use columns::Columns;
use forms::{Forms, of_csv, of_html};
use joulecast::library::Library;
use joulecast::scenario::{Scenario, shipped_names};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;

#[test]
fn forms_of_mistakes_agree() {
    of_all_shipped(|s| slip_of(s, -0.04));
}

#[test]
fn forms_of_bands_and_classes_agree() {
    for name in [BUILT_IN, UREA, "magnesium-oxide-cycle"] {
        agrees(name, &grade_of(&scenario(name)));
    }
}

/// All forms of an answer agree.
fn agrees(name: &str, (document, json): &Answer) {
    let all = disagreements(document, &Forms::of(document), json);
    let first: Vec<&String> = all.iter().take(20).collect();
    let n = all.len();
    assert!(all.is_empty(), "{name}: {n} disagreements, {first:#?}");
}

fn of_all_shipped(answer: fn(&Scenario) -> Answer) {
    for name in shipped_names() {
        agrees(name, &answer(&scenario(name)));
    }
}

#[test]
fn forms_of_forecasts_agree() {
    of_all_shipped(forecast_of);
}

#[test]
fn forms_of_rankings_agree() {
    for name in shipped_names().filter(|name| *name != UREA) {
        agrees(name, &rank_of(&scenario(name)));
    }
    agrees(UREA, &RANKED);
}

#[test]
fn forms_of_sweeps_agree() {
    of_all_shipped(sweep_of);
}

#[test]
fn forms_of_loosest_tolerances_agree() {
    for name in [UREA, "permanganate-iron-dewar", "peroxide-cups"] {
        let answer = loosen_of(&scenario(name), 0.05);
        agrees(name, &answer);
        let [file, json] = statements(&answer);
        assert!(
            !file.is_empty() && file == json,
            "{file:?} in the file, {json:?} in JSON"
        );
    }
}

type Statements = BTreeSet<[String; 3]>;

/// The loosest statements of a file and of JSON: source, key, text.
fn statements((document, json): &Answer) -> [Statements; 2] {
    let forms = Forms::of(document);
    let file = forms.csv.iter().find(|g| g.name == "tolerances");
    let file = file.expect("tolerances.csv");
    let at = |head: &str| file.heads.iter().position(|h| h == head).expect("a column");
    let columns = ["source", "key", "loosest"].map(at);
    let rows = file.rows.iter().map(|row| columns.map(|c| row[c].clone()));
    let one_by_one = json["tolerances"].as_array().expect("tolerances");
    let all = one_by_one.iter().chain([&json["together"]]);
    let of_json = all.flat_map(|t| {
        let texts = t["loosest"].as_array().expect("statements").iter();
        texts.map(|s| {
            let source = t["source"].as_str().unwrap_or("all together");
            [Some(source), s["key"].as_str(), s["value"].as_str()]
                .map(|x| x.expect("a text").to_owned())
        })
    });
    [
        rows.filter(|r| !r[2].is_empty()).collect(),
        of_json.collect(),
    ]
}

#[test]
fn forms_of_comparisons_agree() {
    for (name, reference) in [
        (BUILT_IN, "kcl-water"),
        ("permanganate-iron-dewar", "kcl-water"),
    ] {
        agrees(name, &compare_of(&scenario(name), reference));
    }
}

#[test]
fn the_page_of_a_report_has_the_tables_of_its_answers() {
    let folder = tempfile::tempdir().expect("a folder");
    let arguments = ["report", UREA, "--trials", "1024", "--out", "o"];
    let (code, _, why) = super::run(folder.path(), &arguments);
    assert_eq!(code, 0, "{why}");
    let read = |file: &str| fs::read_to_string(folder.path().join("o").join(file)).expect("a file");
    let page = of_html(&read("report.html"));
    let json: Value = serde_json::from_str(&read("report.json")).expect("JSON");
    let forecast = Forms::of(&forecast_of(&scenario(UREA)).0);
    let ranking = Forms::of(&RANKED.0);
    let known = Columns::known();
    let entries = Library::builtin().sheets();
    let [mistakes, bands] = chapters_of(&scenario(UREA)).map(|d| Forms::of(&d));
    let mut seen = [0; 5];
    for grid in page {
        let due = [&forecast, &ranking, &mistakes, &bands]
            .map(|f| f.html.iter().find(|g| g.name == grid.name));
        if let Some(of) = due.iter().position(Option::is_some) {
            assert_eq!(Some(&grid), due[of]);
            seen[of] += 1;
        } else if entries.iter().all(|e| e.key != grid.name) {
            let all = known.people(&grid, &grid.heads, &json["sweep"]);
            assert!(all.is_empty(), "{all:#?}");
            seen[4] += 1;
        }
    }
    let of_ranking = ranking.html.len();
    assert_eq!(seen, [5, of_ranking, 2, 2, 4], "tables of each kind");
    for due in forecast.csv.iter().filter(|g| g.name != "class") {
        let name = &due.name;
        assert_eq!(of_csv(name, &read(&format!("{name}.csv"))), *due);
    }
}
