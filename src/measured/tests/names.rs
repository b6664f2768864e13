//! What a group calls columns and kinds, in its scenario or beside it.

use super::dewar;
use crate::measured::{Names, RunColumn as C, read_runs};
use crate::scenario::{read, shipped};

#[test]
fn a_name_that_was_given_goes_before_our_own() {
    let names = Names::default()
        .with("solid=liquid,room=T, at the desk [°C]")
        .unwrap();
    let sheet = read_runs(
        "runs.csv",
        b"kind;solid;liquid;T, at the desk\ncalibration;1;2;20\n",
        &dewar(),
        &names,
    )
    .unwrap();
    assert_eq!(sheet.rows[0].value(C::Solid), Some(2.0));
    assert_eq!(sheet.rows[0].value(C::Room), Some(20.0));
    assert_eq!(sheet.ignored, ["solid"]);
}

#[test]
fn a_scenario_says_what_its_group_calls_columns_and_kinds() {
    let said = "\n[columns]\nkind = \"Was\"\nsolid = \"m(Salz) / g\"\ncalibration = \"Eichung\"\nremark = \"Notiz\"\n";
    let text = format!("{}{said}", shipped("ammonium-chloride-dewar").unwrap());
    let own = read(&text).unwrap_or_else(|p| panic!("{:?}", p.0));
    assert_eq!(own.columns.len(), 4);
    let file = "Was;m(Salz) [mg];room / C\nEichung;751,2;21,5\nNH4Cl;1603,2;21,6\n";
    let sheet = read_runs("r.csv", file.as_bytes(), &own, &Names::of(&own)).unwrap();
    let solids: Vec<_> = sheet
        .rows
        .iter()
        .map(|r| (r.leg, r.value(C::Solid).unwrap()))
        .collect();
    assert_eq!(solids, [(0, 0.7512), (1, 1.6032)]);
    let absent = "no column `Notiz`, which [columns] calls `remark`";
    assert!(sheet.notes.iter().any(|n| n == absent), "{:?}", sheet.notes);
    // What is said beside the scenario goes before it.
    let names = Names::of(&own)
        .with("kind=sort, calibration=first")
        .unwrap();
    let sheet = read_runs("r.csv", b"sort;Was;solid\nfirst;x;1,5\n", &own, &names).unwrap();
    assert_eq!(sheet.rows[0].leg, 0);
    // The names of columns do not change what is simulated, but they are part of the file.
    assert_ne!(own.digest, dewar().digest);
}

#[test]
fn names_that_cannot_be_meant_are_refused() {
    let names = |text: &str| {
        Names::of(&dewar())
            .with(text)
            .map(|_| ())
            .map_err(|p| p[0].to_string())
    };
    assert_eq!(names("solid=m, kind=what"), Ok(()));
    assert_eq!(names(""), Ok(()));
    let said = "--columns, column \"solid_gros\": no such column and no such leg; did you mean `solid_gross`?";
    assert_eq!(names("solid_gros=m"), Err(said.to_owned()));
    assert!(names("solid").unwrap_err().contains("names nothing"));
    assert!(names("solid=").unwrap_err().contains("empty"));
    assert!(
        names("solid=m, room=M")
            .unwrap_err()
            .contains("something else already")
    );
    let own = Names::of(&dewar()).with("solid=m").unwrap();
    let problems = read_runs("r.csv", b"kind,solid\ncalibration,1\n", &dewar(), &own).unwrap_err();
    let said = "r.csv, line 1, column \"m\": no column `m`, which should be `solid`";
    assert!(problems[0].to_string().starts_with(said), "{}", problems[0]);
}
