//! Every problem of a file of runs, at its place; all of a file at once.

use super::{runs, scenario};
use crate::measured::{FileProblem, MOST_RUNS, MOST_RUNS_BYTES, Names, RunColumn as C, read_runs};

/// Line, column, a part of the message.
type Place = (Option<usize>, Option<&'static str>, &'static str);

fn has(problems: &[FileProblem], (line, column, part): Place) -> bool {
    let fits = |p: &&FileProblem| {
        p.line == line && p.column.as_deref() == column && p.message.contains(part)
    };
    problems.iter().any(|p| fits(&p))
}

#[test]
fn every_problem_of_a_file_of_runs_is_found_where_it_is() {
    let k = "kind,solid [g],room [C],remark\n";
    let d = "kind,solid_gross [g],solid_tare [g],solid [g],counts\n";
    let row = |head: &str, row: &str| format!("{head}{row}\n");
    let cases: Vec<(String, Place)> = vec![
        (
            row(k, "calibration,abc,21"),
            (Some(2), Some("solid [g]"), "`abc` is not a number"),
        ),
        (
            row(k, "calibration,1-2,21"),
            (Some(2), Some("solid [g]"), "is not a number"),
        ),
        (
            row(k, "calibration,<0.1,21"),
            (Some(2), Some("solid [g]"), "is a limit"),
        ),
        (
            row(k, "calibration,#REF!,21"),
            (Some(2), Some("solid [g]"), "error of the spreadsheet"),
        ),
        (
            row(k, "calibration,1e999,21"),
            (Some(2), Some("solid [g]"), "not a finite number"),
        ),
        (
            row(k, "calibration,-inf,21"),
            (Some(2), Some("solid [g]"), "not a finite number"),
        ),
        (
            row(k, "calibration,NaN,21"),
            (Some(2), Some("solid [g]"), "not a finite number"),
        ),
        (
            row(k, "calibration,1 234.5,21"),
            (Some(2), Some("solid [g]"), "digits in groups"),
        ),
        (
            row(k, "calibration,1'234,21"),
            (Some(2), Some("solid [g]"), "digits in groups"),
        ),
        (
            row(k, "calibration,\"1,234.5\",21"),
            (Some(2), Some("solid [g]"), "digits in groups"),
        ),
        (
            row(k, "calibration,1.2.3,21"),
            (Some(2), Some("solid [g]"), "digits in groups"),
        ),
        (
            row(k, "calibration,\"1,234\",21"),
            (Some(2), Some("solid [g]"), "divide thousands"),
        ),
        (
            row(k, "calibration,3 mL,21"),
            (Some(2), Some("solid [g]"), "not a unit of a mass"),
        ),
        (
            row(k, "calibration,3 lb,21"),
            (Some(2), Some("solid [g]"), "`lb` is not known"),
        ),
        (
            row(k, "calibration,-0.5,21"),
            (Some(2), Some("solid [g]"), "only 0 to 10000 g is"),
        ),
        (
            row(k, "calibration,1,294"),
            (Some(2), Some("room [C]"), "only 5 to 45 °C is"),
        ),
        (
            row(k, "calibration,1,21,a,b"),
            (Some(2), None, "5 cells below 4 headers"),
        ),
        (
            row(k, "calibration,1,23,21,5"),
            (Some(2), None, "5 cells below 4 headers"),
        ),
        (
            row("kind,solid [g],remark\n", "calibration,3,24,"),
            (Some(2), None, "4 cells below 3 headers"),
        ),
        (row(k, ",1,21"), (Some(2), Some("kind"), "no kind")),
        (
            row(k, "titration,1,21"),
            (Some(2), Some("kind"), "`titration` is no kind"),
        ),
        (
            row(k, "calibration,\"1,21"),
            (Some(2), None, "never closed"),
        ),
        (
            row(&k.replace(',', ";"), "calibration;1,5;21.5;"),
            (
                Some(2),
                Some("room [C]"),
                "another decimal mark than `1,5` in line 2",
            ),
        ),
        (
            row(d, "calibration,3.24,2.50,0.76,"),
            (Some(2), Some("solid [g]"), "gross less tare is 0.74 g"),
        ),
        (
            row(d, "calibration,2.50,3.24,,"),
            (Some(2), Some("solid_tare [g]"), "above the gross mass"),
        ),
        (
            row(d, "calibration,3.24,,,"),
            (Some(2), Some("solid_gross [g]"), "without a tare"),
        ),
        (
            row(d, "calibration,3.24,2.50,,maybe"),
            (Some(2), Some("counts"), "does not say whether"),
        ),
        (
            row("kind,solid,Solid [g]\n", "calibration,1,1"),
            (Some(1), Some("Solid [g]"), "are both `solid`"),
        ),
        (
            row("kind,solid [mL]\n", "calibration,1"),
            (Some(1), Some("solid [mL]"), "not a unit of a mass"),
        ),
        (
            row("kind,solid / lb\n", "calibration,1"),
            (Some(1), Some("solid / lb"), "`lb` is not known"),
        ),
        (row("solid [g]\n", "1"), (None, None, "no column `kind`")),
        (row("a,b\n", "1,2"), (Some(1), None, "no header is known")),
        (k.to_owned(), (None, None, "no runs below")),
        (String::new(), (None, None, "nothing in the file")),
        (
            "# only this\n".to_owned(),
            (None, None, "nothing in the file"),
        ),
        ("PK\u{3}\u{4}zip".to_owned(), (None, None, "a workbook")),
        (
            "kind,solid\ncalibration,\u{0}1\n".to_owned(),
            (None, None, "not text"),
        ),
        (
            k.to_owned() + &"calibration,1,21\n".repeat(MOST_RUNS + 1),
            (Some(MOST_RUNS + 2), None, "more than 10000 rows"),
        ),
        (
            format!("kind{}\n", ",a".repeat(1000)),
            (Some(1), None, "1001 columns"),
        ),
        (
            " ".repeat(MOST_RUNS_BYTES + 1),
            (None, None, "at most 20 MB"),
        ),
    ];
    for (text, place) in cases {
        let start: String = text.chars().take(80).collect();
        let problems = runs(&text).expect_err(&start);
        assert!(has(&problems, place), "{start}: {place:?}\n{problems:?}");
    }
    // An unpaired half of UTF-16.
    let problems = runs([0xFF, 0xFE, b'a', 0, 0x00, 0xD8]).unwrap_err();
    assert!(has(&problems, (None, None, "cannot be read as UTF-16LE")));
}

#[test]
fn a_net_mass_may_miss_the_difference_by_a_last_digit() {
    let net = |net: &str| {
        let text = format!(
            "kind,solid_gross [g],solid_tare [g],solid [g]\ncalibration,3.2412,2.5022,{net}\n"
        );
        runs(text).map(|sheet| sheet.rows[0].value(C::Solid).unwrap())
    };
    assert_eq!(net("0.7391"), Ok(0.7391));
    assert_eq!(net("0.74"), Ok(0.74));
    assert_eq!(net(""), Ok(0.739));
    assert!(net("0.7392").is_err());
    assert!(net("0.7").is_ok());
    assert!(net("0.5").is_err());
}

#[test]
fn all_problems_come_at_once_in_the_order_of_their_lines_and_repeats_are_folded() {
    let mut text = "kind,solid [mL],room [C],counts\n".to_owned();
    for i in 0..40 {
        text += &format!("calibration,1,{},\n", if i < 38 { "warm" } else { "300" });
    }
    text += "titration,1,21,perhaps\n";
    let told: Vec<String> = runs(text)
        .unwrap_err()
        .iter()
        .map(FileProblem::to_string)
        .collect();
    assert_eq!(
        told,
        [
            "runs.csv, line 1, column \"solid [mL]\": `mL` is not a unit of a mass; correct the unit in the header",
            "runs.csv, line 2, column \"room [C]\": `warm` is not a number (and 37 more like it, in lines 3, 4, 5, 6, ...); \
             leave the cell empty if there is no value",
            "runs.csv, line 40, column \"room [C]\": `300` is not possible: only 5 to 45 °C is (and 1 more like it, in line 41); \
             check the number and its unit",
            "runs.csv, line 42, column \"kind\": `titration` is no kind of run; kinds are `calibration`, `determination`; \
             [columns] may give them other names",
            "runs.csv, line 42, column \"counts\": `perhaps` does not say whether the run counts; \
             write `yes` or nothing, `repeated`, or `rejected`",
        ]
    );
}

#[test]
fn lines_are_those_of_the_file() {
    let text = "# a\n\nkind;remark;solid [g]\r\n\r\n# b\r\ncalibration;\"two\r\nlines\";1\r\n;;;\r\ncalibration;;x\r\n";
    let problems = runs(text).unwrap_err();
    assert_eq!(problems[0].line, Some(9));
    let open = "kind;remark;solid [g]\ncalibration;\"two\nlines\";1\ncalibration;\"open;1\ncalibration;;2\n";
    assert_eq!(runs(open).unwrap_err()[0].line, Some(4));
}

#[test]
fn without_a_calibration_all_runs_are_determinations() {
    use crate::scenario::read_with;
    let text = "format = 1\nroom.temperature = \"21 C\"\n[balance]\nuse = \"analytical-0.1mg\"\n[thermometer]\nuse = \"probe-0.01K\"\n\
        [vessel]\nuse = \"foam-nested-lid\"\n[record]\nkind = \"two readings\"\nread_at = \"180 s\"\n[calibration]\nkind = \"none\"\n\
        [determination]\nruns = 2\nreaction.use = \"kcl-water\"\ncharge.mass = \"1 g\"\nliquid.volume = \"100 mL\"\n";
    let own = read_with(text, &[]).unwrap_or_else(|p| panic!("{:?}", p.0));
    let read = |text: &str| read_runs("r.csv", text.as_bytes(), &own, &Names::default());
    let sheet = read("solid [g],initial [C]\n1.01,21.4\n1.02,21.5\n").unwrap();
    let legs: Vec<usize> = sheet.rows.iter().map(|r| r.leg).collect();
    assert_eq!(legs, [1, 1]);
    let labels: Vec<&str> = sheet.rows.iter().map(|r| r.label.as_str()).collect();
    assert_eq!(labels, ["1", "2"]);
    let problems = read("kind,solid [g]\ncalibration,1\n").unwrap_err();
    assert!(has(
        &problems,
        (Some(2), Some("kind"), "does not calibrate")
    ));
}

#[test]
fn a_word_for_two_legs_is_refused_unless_it_is_the_name_of_one() {
    let own = scenario("magnesium-oxide-cycle");
    let further = own.further[0].title().to_owned();
    let read = |kind: &str| {
        read_runs(
            "r.csv",
            format!("kind,solid [g]\n{kind},1\n").as_bytes(),
            &own,
            &Names::default(),
        )
    };
    assert_eq!(read(&further).unwrap().rows[0].leg, 2);
    let mut same = own.clone();
    same.further[0].reaction = same.determination.reaction.clone();
    let text = format!("kind,solid [g]\n{},1\n", same.determination.reaction.key);
    let problems = read_runs("r.csv", text.as_bytes(), &same, &Names::default()).unwrap_err();
    assert!(has(
        &problems,
        (Some(2), Some("kind"), "more than one kind of run")
    ));
}
