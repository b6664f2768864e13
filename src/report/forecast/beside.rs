//! What a forecast shows beside its result: the reagent in excess, the legs of a cycle, the medium.

use super::tables::with_se;
use crate::forecast::{Excess, Forecast, LegOfCycle, Medium};
use crate::report::words::{accepted, entry, heading, paragraph, percent, table};
use crate::stats::{Summary, quote};

const KILO: f64 = 1e3;

/// All of it, as far as the scenario has such a thing.
pub(in crate::report) fn beside(f: &Forecast) -> String {
    let mut out = String::new();
    if !f.beside.legs.is_empty() {
        out.push_str(&legs(f, &f.beside.legs));
    }
    if let Some(e) = &f.beside.excess {
        out.push_str(&excess(e));
    }
    if let Some(m) = &f.beside.medium {
        out.push_str(&medium(f, m));
    }
    out
}

fn excess(e: &Excess) -> String {
    let mut out = heading("what must not run out");
    let (out_of_100, se) = with_se(e.ran_out, 0.01);
    let m = &e.margin;
    let q = quote(100.0 * m.mean.value, 100.0 * m.sd.value, 2);
    let rows = vec![
        vec![
            "excess as planned, %".to_owned(),
            quote(100.0 * e.planned, 0.1, 1).value,
            String::new(),
        ],
        vec![
            "excess over all groups, %".to_owned(),
            q.value,
            format!("sd\u{a0}{}", q.u),
        ],
        vec![
            "it runs out in, % of determinations".to_owned(),
            out_of_100,
            se,
        ],
    ];
    out.push_str(&paragraph(
        &format!(
            "The result is stated per mole of {}, which should be used up; of everything else there \
             must be more.",
            e.named
        ),
        2,
    ));
    out.push_str(&table(&[], rows, &[1]));
    if e.kink() {
        out.push_str(&entry(
            "!",
            "Where it runs out the result falls short, in one direction only. A linear budget does not \
             see such a kink: its interval is not valid here (JCGM 101, clause 8); the spread and the \
             intervals above are.",
        ));
    }
    out
}

fn legs(f: &Forecast, legs: &[LegOfCycle]) -> String {
    let mut out = heading("legs of the cycle");
    out.push_str(&paragraph(
        &format!("Result: {}.", f.scenario.cycle.text),
        2,
    ));
    let of = |mean: f64, sd: f64, unit: f64| {
        let q = quote(mean / unit, sd / unit, 2);
        (q.value, format!("sd\u{a0}{}", q.u))
    };
    let mut rows: Vec<Vec<String>> = Vec::new();
    for l in legs {
        let (value, sd) = of(l.value.mean.value, l.value.sd.value, KILO);
        let (rise, _) = of(l.rise.mean.value, l.rise.sd.value, 1.0);
        let name = format!("{} × {}", l.coefficient, l.name);
        rows.push(vec![
            name,
            value,
            sd,
            format!("{rise}\u{a0}K"),
            l.what.clone(),
        ]);
    }
    if let Some((coefficient, binding)) = &f.scenario.cycle.known {
        let value = format!("{}", binding.input.ideal / KILO);
        let name = format!("{coefficient} × known");
        rows.push(vec![
            name,
            value,
            String::new(),
            String::new(),
            binding.stated.clone(),
        ]);
    }
    out.push_str(&table(&["", "kJ/mol", "", "rise", ""], rows, &[1, 3]));
    out.push_str(&entry(
        "-",
        "One calibration constant serves all of them, so its error is common to them: their sd do not \
         add in quadrature.",
    ));
    out
}

fn medium(f: &Forecast, m: &Medium) -> String {
    let mut out = heading("against the table");
    let u = f.scenario.tabulated_u().0;
    out.push_str(&paragraph(
        &format!(
            "The tabulated standard value, {} kJ/mol, does not apply as it is: the medium shifts the \
             heat of this reaction, and the shift is not known. All numbers above are about the value that \
             is true in this medium. Two more distributions, in kJ/mol less the table:",
            accepted(m.tabulated, u)
        ),
        2,
    ));
    let row = |name: &str, s: &Summary| {
        let guide = s.sd.value / KILO;
        let q = |v: f64| quote(v / KILO, guide, 2).value;
        vec![
            name.to_owned(),
            q(s.mean.value),
            q(s.sd.value),
            format!(
                "{} to {}",
                q(s.symmetric.low.value),
                q(s.symmetric.high.value)
            ),
        ]
    };
    let rows = vec![
        row("true value in the medium", &m.shift),
        row("what groups report", &m.away),
    ];
    out.push_str(&table(&["", "mean", "sd", "95 %"], rows, &[1, 2, 3]));
    if let (Some(p), Some(band)) = (m.in_band, f.scenario.target.band) {
        let (value, se) = with_se(p, 0.01);
        out.push_str(&paragraph(
            &format!(
                "A band of {} about the tabulated value holds {value} {se} % of the groups: it judges the medium, not \
                 their work.",
                percent(band)
            ),
            2,
        ));
    }
    out
}
