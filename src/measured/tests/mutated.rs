//! Ten thousand damaged files: runs or at least one problem, never a panic, never a hang.

use super::{dewar, scenario};
use crate::measured::{
    FileProblem, Names, TemplateForm, read_class, read_record, read_runs, read_sheet, template,
};
use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};
use std::time::{Duration, Instant};

const CASES: usize = 10_000;

/// No file of this length may take longer.
const PATIENCE: Duration = Duration::from_secs(2);

/// What stands in files, and what should not.
const PIECES: [&str; 34] = [
    ",",
    ";",
    "\t",
    "\n",
    "\r",
    "\r\n",
    "\"",
    "\"\"",
    "#",
    "sep=;\n",
    "\u{feff}",
    "\0",
    "-",
    "–",
    "NA",
    "1,234",
    "1.234,5",
    "1e999",
    "nan",
    "<0.1",
    "#REF!",
    " / g",
    "[K]",
    "°F",
    "10:42:07",
    "2026-03-05 10:42:07",
    "31/12/2026T23:59:59+01:00",
    "µ",
    "\u{1}",
    "calibration",
    "solid",
    "time",
    "9999999999999999999999",
    "e-400",
];

fn damaged(bytes: &[u8], rng: &mut StdRng) -> Vec<u8> {
    let mut out = bytes.to_vec();
    for _ in 0..rng.random_range(1..6) {
        let at = rng.random_range(0..=out.len());
        let end = (at + rng.random_range(0..20)).min(out.len());
        let lines: Vec<Vec<u8>> = out
            .split_inclusive(|b| *b == b'\n')
            .map(<[u8]>::to_vec)
            .collect();
        let line = rng.random_range(0..lines.len().max(1));
        match rng.random_range(0..9) {
            0 => out.truncate(at),
            1 => drop(out.drain(at..end)),
            2 if at < out.len() => out[at] = rng.random(),
            3 => out.insert(at, rng.random()),
            4 | 5 => drop(out.splice(at..end, PIECES[rng.random_range(0..PIECES.len())].bytes())),
            6 if !lines.is_empty() => out.extend_from_slice(&lines[line]),
            7 if !lines.is_empty() => {
                let mut lines = lines;
                let other = rng.random_range(0..lines.len());
                lines.swap(line, other);
                out = lines.concat();
            }
            _ => {
                let from = [b',', b';', b'.', b'\n', b'"'][rng.random_range(0..5)];
                let to = [b',', b';', b'.', b'\t', b'\r'][rng.random_range(0..5)];
                let swap = |b: &mut u8| *b = if *b == from { to } else { *b };
                out.iter_mut().for_each(swap);
            }
        }
    }
    out
}

#[test]
fn ten_thousand_damaged_files_are_read_or_refused() {
    let cycle = scenario("magnesium-oxide-cycle");
    let scenarios = [dewar(), cycle];
    let record: String = (0..40)
        .map(|i| format!("{};{},{}\n", i * 5, 21, i % 10))
        .collect();
    let clock: String = (0..40)
        .map(|i| format!("23:59:{:02},21.{i}\n", i + 20))
        .collect();
    let mut whole: Vec<Vec<u8>> = vec![
        format!("t / s;T / °C\n{record}").into(),
        format!("# x\ntime,T\n{clock}").into(),
        record.encode_utf16().flat_map(u16::to_le_bytes).collect(),
    ];
    let groups: String = (0..12).map(|i| format!("G{i};14,{i};0,2;x\n")).collect();
    let class = format!("group;value / kJ/mol;U;remark\n{groups}").into_bytes();
    for own in &scenarios {
        for comma in [false, true] {
            let form = TemplateForm {
                decimal_comma: comma,
                all_columns: comma,
            };
            let text = template(own, form);
            let (headers, rows) = text.split_once('\n').unwrap();
            whole.push(format!("{headers}\n{}", rows.repeat(3)).into());
        }
    }
    let mut rng = StdRng::seed_from_u64(20_260_807);
    let mut seen = [[0; 2]; 4];
    let mut count = |which: usize, result: Result<(), Vec<FileProblem>>| match result {
        Ok(()) => seen[which][0] += 1,
        Err(problems) => {
            assert!(!problems.is_empty());
            assert!(
                problems
                    .iter()
                    .all(|p| !p.message.is_empty() && !p.to_string().contains('\n'))
            );
            seen[which][1] += 1;
        }
    };
    for case in 0..CASES {
        let bytes = damaged(&whole[case % whole.len()], &mut rng);
        // Records go by the first scenario, runs by their own.
        let own = &scenarios[usize::from(case % whole.len() > 4)];
        let start = Instant::now();
        count(
            0,
            read_runs("m.csv", &bytes, own, &Names::of(own)).map(|s| assert!(!s.rows.is_empty())),
        );
        let groups = damaged(&class, &mut rng);
        count(
            3,
            read_class("m.csv", &groups, None)
                .map(|c| assert!(c.groups.iter().all(|g| g.value.is_finite()))),
        );
        count(
            1,
            read_record("m.csv", &bytes).map(|r| {
                assert!(r.times.windows(2).all(|w| w[0] < w[1]));
                assert!(r.temperatures.len() == r.times.len() && r.lines.len() == r.times.len());
            }),
        );
        count(2, read_sheet("m.csv", &bytes).map(|_| ()));
        assert!(
            start.elapsed() < PATIENCE,
            "{:?}",
            String::from_utf8_lossy(&bytes)
        );
    }
    // Of both there are enough to mean something.
    assert!(seen.iter().flatten().all(|n| *n > CASES / 40), "{seen:?}");
}
