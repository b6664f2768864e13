//! Records in every form, and what is said of them.

use crate::measured::{FileProblem, MeasuredRecord, read_record};

fn record(text: impl AsRef<[u8]>) -> Result<MeasuredRecord, Vec<FileProblem>> {
    read_record("r.csv", text.as_ref())
}

fn ok(text: impl AsRef<[u8]>) -> MeasuredRecord {
    record(text).unwrap_or_else(|p| panic!("{}", p[0]))
}

#[test]
fn columns_go_by_names_units_or_order() {
    let forms = [
        "time / s,T / °C\n0,21.4\n10,21.5\n20,22.5\n",
        "t [s];T [°C]\n0;21,4\n10;21,5\n20;22,5\n",
        "0,21.4\n10,21.5\n20,22.5\n",
        "# logger 3\n0\t21,4\n10\t21,5\n20\t22,5\n",
        "temperature,time\n21.4,0\n21.5,10\n22.5,20\n",
        "Temp,t\n21.4,0\n21.5,10\n22.5,20\n",
        "T,t\n21.4,0\n21.5,10\n22.5,20\n",
        "t / °C,t / s\n21.4,0\n21.5,10\n22.5,20\n",
        "no.,time in ms,probe / K\n1,0,294.55\n2,10000,294.65\n3,20000,295.65\n",
        "moment,reading\n0,21.4\n10,21.5\n20,22.5\n",
        "°C;h\n21,4;0\n21,5;10 s\n22,5;20 s\n",
        "time (s),temperature 2 [°F],\n0,70.52,\n10,70.7,\n20,72.5,\n",
    ];
    for text in forms {
        let r = ok(text);
        assert_eq!(r.times, [0.0, 10.0, 20.0], "{text}");
        assert_eq!(r.temperatures, [21.4, 21.5, 22.5], "{text}");
        assert_eq!(r.mixed_at, None);
    }
    let r = ok("time / min,T / K\n-0.5,294.65\n\n1.5,294.75\n");
    assert_eq!(r.times, [-30.0, 90.0]);
    assert_eq!(r.lines, [2, 4]);
}

#[test]
fn times_of_a_clock_pass_midnight() {
    let r = ok("time;T / C\n23:59:50;21,4\n23:59:59,5;21,5\n00:00:10,25;22,5\n");
    assert_eq!(r.times, [86_390.0, 86_399.5, 86_410.25]);
    assert_eq!(
        r.notes[1],
        "times are those of a clock, taken as seconds from midnight; they pass midnight"
    );
    let r = ok("10:42:00.000,21.4\n10:42:10.500,21.5\n");
    assert_eq!(r.times, [38_520.0, 38_530.5]);
}

#[test]
fn a_date_may_stand_before_the_time() {
    let due = [86_390.0, 86_399.5, 86_410.25];
    let forms = [
        "time;T / C\n2026-03-05 23:59:50;21,4\n2026-03-05 23:59:59,5;21,5\n2026-03-06 00:00:10,25;22,5\n",
        "05.03.2026 23:59:50;21,4\n05.03.2026 23:59:59,5;21,5\n06.03.2026 00:00:10,25;22,5\n",
        "t,T\n2026-12-31T23:59:50Z,21.4\n2026-12-31T23:59:59.5Z,21.5\n2027-01-01T00:00:10.25Z,22.5\n",
        "t,T\n12/31/2026 23:59:50,21.4\n12/31/2026 23:59:59.5,21.5\n1/1/2027 00:00:10.25,22.5\n",
        "no.,Date/Time,T\n1,2026-03-05 23:59:50,21.4\n2,2026-03-05 23:59:59.5,21.5\n3,2026-03-06 00:00:10.25,22.5\n",
        // The clock is set forward in between.
        "t,T\n2026-03-28T23:59:50+01:00,21.4\n2026-03-28T23:59:59.5+01:00,21.5\n2026-03-29T01:00:10.25+02:00,22.5\n",
    ];
    for text in forms {
        let r = ok(text);
        assert_eq!(r.times, due, "{text}");
        let said = "taken as seconds from midnight of the first date; they pass midnight";
        assert!(r.notes.iter().any(|n| n.contains(said)), "{:?}", r.notes);
    }
    // Which number is the month does not matter within one day.
    let r = ok("t,T\n3/5/2026 10:42:00,21.4\n3/5/2026 10:42:10.5,21.5\n");
    assert_eq!(r.times, [38_520.0, 38_530.5]);
    let r =
        ok("t,T\n2026-03-05 10:00:00,21.4\n2026-03-05 10:00:10,mixed\n2026-03-05 10:00:20,22\n");
    assert_eq!(r.mixed_at, Some(36_010.0));
}

#[test]
fn the_moment_of_mixing_may_be_marked() {
    let forms = [
        "t / s,T / C,event\n0,21.4,\n10,21.5,poured\n20,22.5,\n",
        "t / s,marker,T / C\n0,0,21.4\n10,1,21.5\n20,0,22.5\n",
        "t / s,T / C\n0,21.4\n10,mixed\n20,22.5\n",
        "0,21.4\n10,mixing\n20,22.5\n",
    ];
    for text in forms {
        assert_eq!(ok(text).mixed_at, Some(10.0), "{text}");
    }
    assert_eq!(ok(forms[2]).times, [0.0, 20.0]);
    // A row that only marks the moment lacks no reading, and makes no spacing uneven.
    let marked = ok("t / s,T / C,mixed\n-20,21.4,\n-10,21.4,\n0,,x\n10,22.5,\n20,22.5,\n");
    assert_eq!(marked.notes.len(), 1, "{:?}", marked.notes);
    let unmarked = ok("t / s,T / C\n-20,21.4\n-10,21.4\n10,22.5\n20,22.5\n");
    assert!(unmarked.notes.iter().any(|n| n.contains("uneven")));
}

#[test]
fn what_is_unusual_is_said_and_what_is_empty_left_out() {
    let r = ok("t,T\n0,21.4\n10,21.4\n20,\n30,-\n40,21.5\n40,21.5\n50,21.5\n60,21.5\n150,22.5\n");
    assert_eq!(r.times, [0.0, 10.0, 40.0, 50.0, 60.0, 150.0]);
    assert_eq!(r.lines, [2, 3, 6, 8, 9, 10]);
    assert_eq!(
        r.notes,
        [
            "cells are separated by commas, decimal mark is the point",
            "no unit for \"t\": taken as s",
            "no unit for \"T\": taken as °C",
            "2 rows without a temperature left out: line 4, 5",
            "1 row equal to the row above left out: line 7",
            "a gap of 90 s after line 9, where readings come every 10 s",
            "uneven spacing: 10 s to 30 s",
        ]
    );
    let two = ok("moment,T\n0,21\n1,21\n").notes;
    assert_eq!(two[1], "\"moment\" is taken as the time");
    let none = ok("0,21.5\n1,21.5\n").notes;
    assert_eq!(
        none[1],
        "no headers: the first column is taken as the time, the second as the temperature"
    );
    let kelvin = ok("t / min,T / K\n0,294\n1,294\n").notes;
    assert_eq!(
        kelvin[1..],
        [
            "\"t / min\" is converted from min to s",
            "\"T / K\" is converted from K to °C"
        ]
    );
}

/// Line, and a part of the message.
#[test]
fn every_problem_of_a_record_is_found_where_it_is() {
    let cases: &[(&str, Option<usize>, &str)] = &[
        ("t,T\n0,21\n10,21\n5,21\n", Some(4), "5 s before"),
        ("t,T\n0,21\n10,21\n10,22\n", Some(4), "stands there twice"),
        ("t,T\n0,21\n10,warm\n", Some(3), "is not a number"),
        ("t,T\n0,21\n10,#REF!\n", Some(3), "error of the spreadsheet"),
        ("t,T\n0,21\n10,294.3\n", Some(3), "only -20 to 120 °C is"),
        ("t,T\n0,21\n,22\n", Some(3), "no time"),
        ("t,T\n0,21\n10:00:00,22\n", Some(3), "another kind of time"),
        (
            "t,T\n10:00:00,21\n10:61:00,22\n",
            Some(3),
            "no time of a clock",
        ),
        ("t,T\n10:00,21\n", Some(2), "no time of a clock"),
        (
            "t,T\n2026-03-05 10:00:00,21\n2026-02-30 10:00:10,21\n",
            Some(3),
            "no time of a clock",
        ),
        (
            "t,T\n2026-03-05 23:59:59,21\n2026-03-05 00:00:10,21\n",
            Some(3),
            "86389 s before",
        ),
        (
            "t,T\n2026-03-05 23:59:59,21\n00:00:10,21\n",
            Some(3),
            "some of the times only",
        ),
        (
            "t,T\n2026-03-05T10:00:00Z,21\n2026-03-05T10:00:10,21\n",
            Some(3),
            "a time zone stands at some",
        ),
        (
            "t,T\n3/5/2026 23:59:59,21\n3/6/2026 00:00:10,21\n",
            Some(3),
            "may be the month",
        ),
        (
            "t,T,event\n0,21,a\n10,21,b\n",
            Some(3),
            "marked again, after line 2",
        ),
        ("t,T\n0,21\n", None, "one reading"),
        ("t / s,T1 / C,T2 / C\n0,21,22\n", Some(1), "so may"),
        ("a,b,c\n0,21,22\n", Some(1), "no column is the time"),
        ("t / g,T\n0,21\n", Some(1), "not a unit of a time"),
        ("t,T [bar]\n0,21\n", Some(1), "is not known"),
        ("0,5,21,4\n1,0,21,5\n", Some(1), "may be decimal ones"),
        (
            "t,T\n0,5,21,4\n1,0,21,5\n",
            Some(2),
            "4 cells below 2 headers",
        ),
        ("t;T\n0,5;21.4\n", Some(2), "another decimal mark"),
        ("", None, "nothing in the file"),
        ("t\n1\n2\n", Some(1), "no column is the temperature"),
    ];
    for (text, line, part) in cases {
        let problems = record(text).expect_err(text);
        let fits = |p: &&FileProblem| p.line == *line && p.message.contains(part);
        assert!(problems.iter().any(|p| fits(&p)), "{text}: {problems:?}");
    }
}

#[test]
fn a_hundred_thousand_rows_are_read() {
    let rows: String = (0..100_000)
        .map(|i| {
            format!(
                "{},{:.3}\n",
                f64::from(i) * 0.1,
                21.0 + f64::from(i % 7) * 1e-3
            )
        })
        .collect();
    let r = ok(rows);
    assert_eq!(r.times.len(), 100_000);
    assert_eq!(r.times[12_345], 1234.5);
    assert_eq!(r.lines[99_999], 100_000);
}
