//! Every form that is accepted, read to exact numbers.

use super::{dewar, runs};
use crate::measured::{Counts, Names, RunColumn as C, RunRow, read_runs, read_sheet};

/// A table of somebody who writes other words.
const TABLE: &str = "\
Nr;Was;m Boot+Probe / g;m Boot / g;V Wasser / mL;T Labor / C;Datei;Notiz
1;Tris;3,3127;2,5604;150,0;22,5;tris-a.csv;
2;Tris;3,3098;2,5606;150,0;22,4;tris-b.csv;rinsed twice
7;Salmiak;4,1533;2,5603;150,0;22,7;sal-a.csv;a few grains at the lid
";

const NAMES: &str = "run=Nr, kind=Was, solid_gross=m Boot+Probe, solid_tare=m Boot / g, \
    liquid_volume=V Wasser, room=T Labor, record=Datei, remark=Notiz, \
    calibration=Tris, determination=Salmiak";

fn numbers(row: &RunRow) -> [Option<f64>; 5] {
    [
        C::SolidGross,
        C::SolidTare,
        C::Solid,
        C::LiquidVolume,
        C::Room,
    ]
    .map(|c| row.value(c))
}

#[test]
fn a_table_with_names_of_its_own_is_read_to_exact_numbers() {
    let names = Names::of(&dewar()).with(NAMES).unwrap();
    let sheet = read_runs("runs.csv", TABLE.as_bytes(), &dewar(), &names).unwrap();
    let all: Vec<_> = sheet.rows.iter().map(numbers).collect();
    let expected = [
        [3.3127, 2.5604, 0.7523, 150.0, 22.5],
        [3.3098, 2.5606, 0.7492, 150.0, 22.4],
        [4.1533, 2.5603, 1.593, 150.0, 22.7],
    ];
    assert_eq!(all, expected.map(|row| row.map(Some)));
    let legs: Vec<usize> = sheet.rows.iter().map(|r| r.leg).collect();
    assert_eq!(legs, [0, 0, 1]);
    let labels: Vec<&str> = sheet.rows.iter().map(|r| r.label.as_str()).collect();
    assert_eq!(labels, ["1", "2", "7"]);
    assert_eq!(sheet.rows[1].record.as_deref(), Some("tris-b.csv"));
    assert_eq!(sheet.rows[0].remark, None);
    assert_eq!(
        sheet.rows[2].remark.as_deref(),
        Some("a few grains at the lid")
    );
    assert_eq!(sheet.rows[2].line, 4);
    assert_eq!(sheet.matched.len(), 8);
    assert_eq!(sheet.ignored, Vec::<String>::new());
    let said = "cells are separated by semicolons, decimal mark is the comma";
    assert_eq!(sheet.notes, [said]);
}

/// The same two runs in every form.
#[test]
fn separators_marks_line_ends_and_encodings_make_no_difference() {
    let plain = "run,kind,solid [g],room [°C],remark\n1,calibration,0.7512,21.5,µ\n2,determination,1.6032,21.6,\n";
    let semicolons = plain.replace(',', ";").replace('.', ",");
    let utf16 = |little: bool, mark: bool| -> Vec<u8> {
        let marked = if mark {
            format!("\u{feff}{semicolons}")
        } else {
            semicolons.clone()
        };
        let units = marked.encode_utf16();
        units
            .flat_map(|u| {
                if little {
                    u.to_le_bytes()
                } else {
                    u.to_be_bytes()
                }
            })
            .collect()
    };
    let forms: Vec<(&str, Vec<u8>)> = vec![
        ("commas", plain.into()),
        ("semicolons", semicolons.clone().into()),
        ("tabs, points", plain.replace(',', "\t").into()),
        ("tabs, commas", semicolons.replace(';', "\t").into()),
        ("semicolons, points", plain.replace(',', ";").into()),
        ("byte order mark", format!("\u{feff}{plain}").into()),
        ("carriage returns and line feeds", plain.replace('\n', "\r\n").into()),
        ("carriage returns", plain.replace('\n', "\r").into()),
        ("no last line end", plain.trim_end().into()),
        ("UTF-16 LE", utf16(true, true)),
        ("UTF-16 BE", utf16(false, true)),
        ("UTF-16 LE without mark", utf16(true, false)),
        ("UTF-16 BE without mark", utf16(false, false)),
        ("quotes", plain.replace("0.7512", "\"0.7512\"").replace("kind", "\"kind\"").into()),
        ("quoted decimal commas", "run,kind,solid [g],room [°C],remark\n1,calibration,\"0,7512\",\"21,5\",µ\n2,determination,\"1,6032\",\"21,6\",\n".into()),
        ("comments and empty rows", format!("# group 4\n\n{}", plain.replace("2,d", "\n,,,,\n# second\n2,d")).into()),
        ("empty columns at the end", plain.replace('\n', ",,,\n").into()),
        ("stated separator", format!("sep=;\n{semicolons}").into()),
        ("stated separator in quotes", format!("\"sep=;\"\r\n{}", semicolons.replace('\n', "\r\n")).into()),
        ("units in cells", plain.replace("0.7512", "0.7512 g").replace("21.5", "294.65 K").into()),
        ("blanks", plain.replace(',', " , ").into()),
        ("windows-1252", encoding_rs::WINDOWS_1252.encode(plain).0.into_owned()),
        ("a minus that is none", plain.replace("1.6032", "+1.6032").into()),
        ("powers of ten", plain.replace("1.6032", "16.032E-1").into()),
    ];
    for (form, bytes) in forms {
        let sheet = runs(&bytes).unwrap_or_else(|p| panic!("{form}: {}", p[0]));
        let solids: Vec<_> = sheet
            .rows
            .iter()
            .map(|r| r.value(C::Solid).unwrap())
            .collect();
        assert_eq!(solids, [0.7512, 1.6032], "{form}");
        let rooms: Vec<_> = sheet
            .rows
            .iter()
            .map(|r| r.value(C::Room).unwrap())
            .collect();
        assert_eq!(rooms, [21.5, 21.6], "{form}");
        assert_eq!(sheet.rows[0].remark.as_deref(), Some("µ"), "{form}");
        assert_eq!(sheet.rows[1].remark, None, "{form}");
    }
}

#[test]
fn what_is_assumed_is_said() {
    let bytes = encoding_rs::WINDOWS_1252
        .encode("kind,solid,room / °C\ncalibration,0.75,21\n# x\n")
        .0;
    let notes = runs(&bytes).unwrap().notes;
    assert_eq!(
        notes,
        [
            "not UTF-8: read as Windows-1252",
            "1 line that begins with # left out as comments: line 3",
            "cells are separated by commas, decimal mark is the point",
            "no unit in the header, taken as base units: \"solid\" in g",
        ]
    );
    let notes =
        runs("kind\tsolid [mg]\troom [degF]\ncal\t750\t71,6\n".replace("cal", "calibration"))
            .unwrap()
            .notes;
    assert_eq!(notes[1], "\"solid [mg]\" is converted from mg to g");
    assert_eq!(notes[2], "\"room [degF]\" is converted from degF to °C");
    let twice = runs("run,kind,solid [g]\n3,calibration,1\n3,calibration,2\n")
        .unwrap()
        .notes;
    assert_eq!(twice[1], "run `3` stands in lines 2 and 3");
}

/// Headers of one column of mass in all the ways in which its unit can be written, and the number 0.25 g in it.
#[test]
fn units_in_headers_and_in_cells_are_converted() {
    let read = |header: &str, cell: &str, column: C| {
        let sheet = runs(format!("kind;{header}\ncalibration;{cell}\n"));
        sheet.unwrap_or_else(|p| panic!("{header}: {}", p[0])).rows[0].value(column)
    };
    let headers = [
        "solid / g",
        "solid/g",
        "solid [g]",
        "Solid (g)",
        "SOLID_g",
        "solid in g",
        "solid, g",
        " solid  /  g ",
        "solid",
    ];
    for header in headers {
        assert_eq!(read(header, "0.25", C::Solid), Some(0.25), "{header}");
    }
    for (header, cell) in [
        ("solid / mg", "250"),
        ("solid [kg]", "0.00025"),
        ("solid / mg", "0.25 g"),
        ("solid [µg]", "250000"),
    ] {
        assert_eq!(read(header, cell, C::Solid), Some(0.25), "{header}");
    }
    let temperatures = [
        ("room /°C", "20"),
        ("room / C", "20"),
        ("room °C", "20"),
        ("room [℃]", "20"),
        ("room in ºC", "20"),
        ("room / K", "293.15"),
        ("room [°F]", "68"),
        ("room", "68 °F"),
        ("room", "293.15 K"),
        ("room (deg C)", "20"),
    ];
    for (header, cell) in temperatures {
        assert_eq!(read(header, cell, C::Room), Some(20.0), "{header}");
    }
    for (header, cell) in [
        ("change / K", "1.25"),
        ("change [°C]", "1.25"),
        ("change / mK", "1250"),
        ("change [°F]", "2.25"),
    ] {
        assert_eq!(read(header, cell, C::Change), Some(1.25), "{header}");
    }
    assert_eq!(
        read("liquid_volume / L", "0.15", C::LiquidVolume),
        Some(150.0)
    );
    assert_eq!(read("mixed_at / min", "2.5", C::MixedAt), Some(150.0));
    assert_eq!(read("mixed_at", "10:02:03.5", C::MixedAt), Some(36123.5));
}

#[test]
fn kinds_go_by_the_name_of_the_leg_or_by_what_reacts_in_it() {
    let words = [
        ("calibration", 0),
        ("Calibration ", 0),
        ("tris-hcl", 0),
        ("determination", 1),
        ("NH4Cl", 1),
        ("nh4cl-water", 1),
        ("ammonium chloride", 1),
    ];
    for (word, leg) in words {
        let sheet = runs(format!("kind,solid [g]\n{word},1\n"));
        assert_eq!(
            sheet.unwrap_or_else(|p| panic!("{}", p[0])).rows[0].leg,
            leg,
            "{word}"
        );
    }
}

#[test]
fn a_run_counts_unless_its_row_says_otherwise() {
    let words = [
        ("", Counts::Yes),
        ("yes", Counts::Yes),
        ("1", Counts::Yes),
        ("Counts", Counts::Yes),
        ("repeated", Counts::Repeated),
        ("rejected", Counts::Rejected),
        ("no", Counts::Rejected),
        ("0", Counts::Rejected),
        ("X", Counts::Rejected),
    ];
    for (word, counts) in words {
        let sheet = runs(format!("kind,counts,solid [g]\ncalibration,{word},1\n")).unwrap();
        assert_eq!(sheet.rows[0].counts, counts, "{word}");
    }
}

#[test]
fn missing_numbers_are_missing_and_not_zero() {
    for word in ["", "-", "–", "NA", "n/a", "N/A"] {
        let sheet = runs(format!("kind,solid [g],room [C]\ncalibration,{word},21\n")).unwrap();
        assert_eq!(sheet.rows[0].value(C::Solid), None, "{word}");
    }
    let zero = runs("kind,solid [g]\ncalibration,0\n").unwrap();
    assert_eq!(zero.rows[0].value(C::Solid), Some(0.0));
}

#[test]
fn three_digits_behind_a_comma_are_decimals_between_semicolons() {
    let sheet = runs("kind;solid [g]\ncalibration;1,234\n").unwrap();
    assert_eq!(sheet.rows[0].value(C::Solid), Some(1.234));
}

#[test]
fn a_column_that_has_nothing_to_say_here_is_left_out_and_named() {
    let sheet = runs("time,kind,weather,solid [g]\n10:30,calibration,fair,1\n").unwrap();
    assert_eq!(sheet.ignored, ["time", "weather"]);
}

#[test]
fn a_sheet_is_a_table_with_headers_whatever_they_say() {
    let sheet = read_sheet(
        "any.csv",
        "a / min;\"two\nlines\"\n1,5;x\n\n2;\"a;\"\"b\"\"\"\n".as_bytes(),
    )
    .unwrap();
    assert_eq!((sheet.separator, sheet.decimal), (';', ','));
    assert_eq!(sheet.headers[0].name, "a");
    assert_eq!(sheet.headers[0].unit.as_deref(), Some("min"));
    assert_eq!(sheet.headers[1].text, "two lines");
    let lines: Vec<usize> = sheet.rows.iter().map(|r| r.line).collect();
    assert_eq!(lines, [3, 5]);
    assert_eq!(sheet.rows[1].cells, ["2", "a;\"b\""]);
}
