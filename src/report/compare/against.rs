//! Differences of all contenders against the first.

use crate::design::{Comparison, Difference};
use crate::report::words::{heading_of, paragraph, table};
use crate::stats::quote;

/// Every contender less the first.
pub(in crate::report) fn differences(c: &Comparison) -> String {
    let mut rows = Vec::new();
    for (i, d) in c.delivered().filter(|(i, _)| *i > 0) {
        let own = d.against;
        let mut who = Comparison::letter(i).to_string();
        let mut row = |name: &str, d: Difference, verdict: &str| {
            let Difference(e) = d;
            let q = if e.se > 0.0 {
                quote(100.0 * e.value, 100.0 * e.se, 2)
            } else {
                quote(100.0 * e.value, 0.0, 2)
            };
            rows.push(vec![
                std::mem::take(&mut who),
                name.to_owned(),
                q.value,
                format!("± {}", q.u),
                verdict.to_owned(),
            ]);
        };
        row("bias, with its sign", own.bias, "");
        for (name, d) in [
            ("size of the bias", own.off),
            ("spread", own.spread),
            ("U", own.within),
            ("RMS error", own.rms),
        ] {
            row(name, d, d.verdict().words());
        }
    }
    if rows.is_empty() {
        return String::new();
    }
    let mut out = heading_of("against a", "in % of the true value: minus is less than A");
    out.push_str(&paragraph(
        "On common random numbers, trial for trial. Told apart is what lies more than three standard errors from zero. \
         Of a bias whose sign is not known the size has the larger error: nobody knows which way luck moves it.",
        2,
    ));
    out.push_str(&table(&["", "", "less A", "", ""], rows, &[2]));
    out
}
