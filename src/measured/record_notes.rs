//! What was assumed about a record, and what is unusual about its times.

use super::record::Reading;
use super::record_columns::Columns;

/// A gap is longer than so many usual spacings.
const GAP: f64 = 5.0;

/// Spacings that differ by more than this factor are called uneven.
const UNEVEN: f64 = 1.5;

impl Reading<'_> {
    /// What was assumed, and what is unusual.
    pub(super) fn notes(&self) -> Vec<String> {
        let Columns {
            time,
            temperature,
            note,
            ..
        } = self.columns;
        let clock = self.clock == Some(true);
        let mut notes: Vec<String> = note.iter().cloned().collect();
        if clock {
            let last = self.times.last().copied().unwrap_or(0.0);
            notes.push(self.count.note(last));
        }
        for (at, base) in [(time, "s"), (temperature, "°C")] {
            match &at.unit {
                _ if clock && base == "s" => {}
                None => notes.push(format!("no unit for \"{}\": taken as {base}", at.name)),
                Some(unit) if at.scale.converts() => {
                    notes.push(format!(
                        "\"{}\" is converted from {unit} to {base}",
                        at.name
                    ));
                }
                Some(_) => {}
            }
        }
        notes.extend(lines(&self.empty, "without a temperature"));
        notes.extend(lines(&self.same, "equal to the row above"));
        notes.extend(self.spacing());
        notes
    }

    /// Gaps, and spacing that is uneven without them.
    fn spacing(&self) -> Vec<String> {
        let spacing: Vec<f64> = self.times.windows(2).map(|w| w[1] - w[0]).collect();
        // Mixing may take the place of a reading.
        let across = |w: &[f64]| self.mixed.is_some_and(|(at, _)| w[0] < at && at < w[1]);
        let apart = self.times.windows(2).filter(|w| !across(w));
        let mut sorted: Vec<f64> = apart.map(|w| w[1] - w[0]).collect();
        if sorted.is_empty() {
            return Vec::new();
        }
        sorted.sort_by(f64::total_cmp);
        let usual = sorted[sorted.len() / 2];
        let gaps: Vec<usize> = (0..spacing.len())
            .filter(|i| spacing[*i] > GAP * usual)
            .collect();
        let told = gaps
            .iter()
            .filter(|i| !across(&self.times[**i..**i + 2]))
            .count();
        let mut notes = Vec::new();
        if let Some(&first) = gaps.first() {
            let more = match gaps.len() {
                1 => String::new(),
                n => format!(", and {} more", n - 1),
            };
            notes.push(format!(
                "a gap of {} s after line {}, where readings come every {} s{more}",
                short(spacing[first]),
                self.lines[first],
                short(usual)
            ));
        }
        let widest = sorted[..sorted.len() - told]
            .last()
            .copied()
            .unwrap_or(usual);
        if widest > UNEVEN * sorted[0] {
            notes.push(format!(
                "uneven spacing: {} s to {} s",
                short(sorted[0]),
                short(widest)
            ));
        }
        notes
    }
}

/// Rows that are left out, with the first few of their lines.
fn lines(lines: &[usize], what: &str) -> Option<String> {
    const NAMED: usize = 5;
    let named: Vec<String> = lines.iter().take(NAMED).map(usize::to_string).collect();
    let more = if lines.len() > NAMED { ", ..." } else { "" };
    let rows = if lines.len() == 1 { "row" } else { "rows" };
    let list = format!(
        "{} {rows} {what} left out: line {}{more}",
        lines.len(),
        named.join(", ")
    );
    (!lines.is_empty()).then_some(list)
}

/// A spacing as people write it.
fn short(seconds: f64) -> f64 {
    (seconds * 1e3).round() / 1e3
}
