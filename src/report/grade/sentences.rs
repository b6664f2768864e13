//! Fair bands and a class in sentences.

use crate::grade::{ClassJudged, Grade, SHARES, Verdict};
use crate::report::document::{Block, Section};
use crate::report::slip::named;
use crate::report::words::{capital, few, in_a_row, minus, percent};

/// The answer in short.
pub(super) fn sentences(g: &Grade, class: Option<&ClassJudged>) -> Vec<String> {
    match class {
        Some(c) => of_class(g, c),
        None => of_bands(g),
    }
}

fn of_bands(g: &Grade) -> Vec<String> {
    let recommended = g.bands.iter().filter_map(|b| {
        let share = b.share?;
        let lie = if share == SHARES[0] { " lie" } else { "" };
        let band = percent(b.band.value);
        Some(format!("{:.0} %{lie} within {band}", 100.0 * share))
    });
    let mut all = vec![format!(
        "Of competent groups, {} of the accepted value: bands that are fair to them.",
        in_a_row(&recommended.collect::<Vec<_>>())
    )];
    if let Some(b) = g.bands.iter().find(|b| b.share.is_none()) {
        all.push(format!(
            "In ±{} lie {} of competent groups; {} lie outside without any mistake (false alarms).",
            plain(b.band.value),
            percent(b.inside.value),
            percent(1.0 - b.inside.value)
        ));
    }
    let at = 0;
    let band = plain(g.bands[at].band.value);
    let noticed = g.mistakes.iter().filter(|m| m.inside[at].value < 0.5);
    let seen: Vec<&str> = noticed.map(|m| m.studied.mistake.key.as_ref()).collect();
    all.push(format!(
        "±{band} notices {} of {} mistakes of usual size more often than not ({}); the others most likely pass.",
        seen.len(),
        g.mistakes.len(),
        few(&seen)
    ));
    all
}

fn of_class(g: &Grade, c: &ClassJudged) -> Vec<String> {
    let e = &g.expected;
    let what = match c.verdict {
        Verdict::Method => "The method explains this class".to_owned(),
        other => capital(other.words()),
    };
    let mut all = vec![format!(
        "{what}: {} of competent classes of {} groups differ at least as much.",
        chance(c.p),
        c.groups.len()
    )];
    let without = match c.groups.iter().any(|group| group.outlying) {
        true => " without outlying groups",
        false => "",
    };
    all.push(format!(
        "Mean{without} {} from the accepted value; the mean of a competent class lies at {}, standard deviation {} (as far by chance: {}).",
        minus(&percent(c.seen.core)),
        minus(&percent(e.bias)),
        percent(e.mean_spread),
        chance(c.p_mean)
    ));
    if c.groups.len() > 1 {
        all.push(format!(
            "Scatter between the groups {}, where the method explains {} (as large by chance: {}).",
            percent(c.seen.sd),
            percent(e.own_spread),
            chance(c.p_scatter)
        ));
    }
    if !c.causes.is_empty() {
        let first: Vec<String> = c.causes.iter().map(named).collect();
        all.push(format!(
            "Something that all groups share could make such a mean: for example {}; many causes fit, and a fit is no proof.",
            first.join("; or ")
        ));
    }
    let outlying = c.groups.iter().filter(|group| group.outlying);
    let names: Vec<String> = outlying.map(|group| group.name.clone()).collect();
    if !names.is_empty() {
        let lie = if names.len() == 1 { "lies" } else { "lie" };
        all.push(format!(
            "{} {lie} farther from the others than the farthest group of 95 % of competent classes: look at the notebooks before \
             anything else.",
            in_a_row(&names)
        ));
    }
    let inside = c.groups.iter().filter(|group| group.inside).count();
    all.push(format!(
        "{inside} of {} groups lie in ±{}.",
        c.groups.len(),
        plain(g.band())
    ));
    all
}

/// A band in %, as short as it is.
pub(super) fn plain(band: f64) -> String {
    let text = format!("{:.2}", 100.0 * band);
    format!("{} %", text.trim_end_matches('0').trim_end_matches('.'))
}

/// A probability.
fn chance(p: f64) -> String {
    match p {
        p if p < 1e-3 => "less than 0.1 %".to_owned(),
        p => format!("{:.1} %", 100.0 * p),
    }
}

/// How the file was read: what was assumed, and in full how it is written.
pub(super) fn file(c: &ClassJudged) -> Section {
    let assumed = |n: &&String| {
        ["taken as", "read as", "left out"]
            .iter()
            .any(|w| n.contains(w))
    };
    let (mut assumed, plain): (Vec<String>, Vec<String>) =
        c.notes.iter().cloned().partition(|n| assumed(&n));
    if !c.without.is_empty() {
        assumed.push(format!("without a value: {}", c.without.join(", ")));
    }
    let mut section = Section::new("how the file was read");
    if !assumed.is_empty() {
        section = section.with(Block::List(assumed));
    }
    section.detail(Block::List(plain))
}
