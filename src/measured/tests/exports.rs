//! Files written by other programs: two by `umya-spreadsheet` 2.3 (a workbook saved as CSV, the second with every cell in
//! quotes), three by the `csv` module of Python in its dialects `excel` and `excel-tab` (with a byte order mark; with
//! decimal commas between semicolons in Windows-1252; in UTF-16). They are kept as they were written.

use super::dewar;
use crate::measured::{Names, RunColumn as C, read_runs};

const EXPORTS: [(&str, &[u8]); 5] = [
    ("workbook", include_bytes!("exports/workbook.csv")),
    (
        "workbook in quotes",
        include_bytes!("exports/workbook-quoted.csv"),
    ),
    ("comma", include_bytes!("exports/dialect-comma.csv")),
    ("semicolon", include_bytes!("exports/dialect-semicolon.csv")),
    ("tab", include_bytes!("exports/dialect-tab.txt")),
];

const NAMES: &str = "run=Run no., kind=What, solid_gross=Boat + salt, solid_tare=Boat, liquid_volume=Water, \
    room=Room, record=Trace, remark=Note";

#[test]
fn files_of_other_programs_are_read_to_exact_numbers() {
    for (name, bytes) in EXPORTS {
        let names = Names::of(&dewar()).with(NAMES).unwrap();
        let sheet = read_runs(name, bytes, &dewar(), &names).unwrap_or_else(|p| panic!("{}", p[0]));
        let columns = [C::SolidGross, C::SolidTare, C::LiquidVolume, C::Room];
        let all: Vec<_> = sheet
            .rows
            .iter()
            .map(|r| columns.map(|c| r.value(c).unwrap()))
            .collect();
        let expected = [
            [3.2618, 2.5117, 150.0, 20.9],
            [4.1093, 2.512, 150.0, 21.1],
            [4.0987, 2.5119, 149.9, 21.2],
        ];
        assert_eq!(all, expected, "{name}");
        let labels: Vec<&str> = sheet.rows.iter().map(|r| r.label.as_str()).collect();
        assert_eq!(labels, ["1", "2", "3"], "{name}");
        assert_eq!(sheet.rows[2].line, 5, "{name}");
        let remark = sheet.rows[2].remark.as_deref();
        assert!(
            remark.is_some_and(|r| r.starts_with("µ-scale")),
            "{name}: {remark:?}"
        );
        let legs: Vec<usize> = sheet.rows.iter().map(|r| r.leg).collect();
        assert_eq!(legs, [0, 1, 1], "{name}");
    }
}
