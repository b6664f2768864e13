//! A ranking for people: cautions, three plain sentences, then the tables.

use super::budget::budget;
use crate::rank::{GroupEffects, Ranked, Ranking, Share};
use crate::report::forecast::tables::with_se;
use crate::report::words::{cautions, count, entry, heading, paragraph, percent, table};
use crate::scenario::Scenario;
use crate::stats::{Estimate, quote};

const KILO: f64 = 1e3;

/// Rows of a table before the rest is summed up.
const ROWS: usize = 10;

/// The whole text, for 80 columns.
pub fn rank_text(r: &Ranking) -> String {
    let mut out = paragraph(&r.scenario.title, 0);
    out.push_str(&cautions(&r.scenario.cautions));
    out.push_str(&heading("in short"));
    for (i, sentence) in sentences(r).iter().enumerate() {
        out.push_str(&entry(&format!("{}.", i + 1), sentence));
    }
    out.push_str(&by_variance(r));
    out.push_str(&by_bias(r));
    out.push_str(&better(r));
    out.push_str(&sides(r));
    out.push_str(&scopes(r));
    out.push_str(&budget(r));
    out
}

/// What making a group perfect gains.
fn perfect(effects: &GroupEffects) -> crate::rank::State {
    effects.effects[0].gain
}

/// Whether an estimate is told apart from zero.
fn is_seen(e: Estimate) -> bool {
    e.value.abs() > 3.0 * e.se
}

fn sentences(r: &Ranking) -> [String; 3] {
    [most(r), biggest_bias(r), not_worth(r)]
}

fn most(r: &Ranking) -> String {
    let first: Vec<&Ranked> = r.sources.iter().filter(|s| s.rank == 1).collect();
    let names: Vec<String> = first
        .iter()
        .take(3)
        .map(|s| format!("`{}`", s.source.key))
        .collect();
    let named = match names.as_slice() {
        [one] => format!("{one} ({})", first[0].source.doc),
        all => format!(
            "{}, which these trials cannot tell apart",
            all.join(" and ")
        ),
    };
    let share = first.first().map_or(0.0, |s| s.share.total.value);
    let each = if first.len() > 1 { " each" } else { "" };
    let averaged = if first
        .iter()
        .all(|s| s.source.scope <= crate::scenario::Scope::Run)
    {
        "more runs average it"
    } else {
        "more runs do not average it, since all runs of a group share it"
    };
    format!(
        "{} of the spread comes from {named}: {} of the variance{each}; {averaged}. Infinitely many runs \
         of both kinds would leave a spread of {} kJ/mol of the {} now.",
        if share > 0.5 && first.len() == 1 {
            "Most"
        } else {
            "The largest part"
        },
        percent(share),
        quote(r.floor.value / KILO, r.floor.value / KILO, 2).value,
        quote(r.now.sd.value / KILO, r.now.sd.value / KILO, 2).value,
    )
}

fn biggest_bias(r: &Ranking) -> String {
    let bias = |s: &Ranked| perfect(&s.better).mean;
    let seen = r.sources.iter().filter(|s| is_seen(bias(s)));
    let most = seen.max_by(|a, b| bias(a).value.abs().total_cmp(&bias(b).value.abs()));
    let Some(most) = most else {
        return "No single source makes a bias that these trials can see.".to_owned();
    };
    let own = bias(most);
    let size = own.value * r.target.signum();
    let way = if size < 0.0 { "too small" } else { "too large" };
    format!(
        "The largest bias comes from `{}` ({}): {}, which makes the result {way}, whatever its share \
         of the spread; the bias of all together is {}.",
        most.source.key,
        most.source.doc,
        shift(own, r.target),
        shift(r.now.mean, r.target),
    )
}

/// A shift relative to the result, signed like its magnitude, with its standard error.
fn shift(e: Estimate, target: f64) -> String {
    let [value, se] = [e.value / target, e.se / target.abs()].map(|x| 100.0 * x);
    let q = quote(value, se, 1);
    format!("{} ± {} %", q.value, q.u)
}

fn not_worth(r: &Ranking) -> String {
    let little = |e: &GroupEffects| perfect(e).rms.value.abs() < 0.01 * r.now.rms.value;
    let idle: Vec<&str> = r
        .families
        .iter()
        .filter(|f| little(&f.better))
        .map(|f| f.family.name())
        .collect();
    let best = r.families.iter().max_by(|a, b| {
        perfect(&a.better)
            .rms
            .value
            .total_cmp(&perfect(&b.better).rms.value)
    });
    let gain = best.map_or(String::new(), |f| {
        format!(
            "The family worth improving first is \"{}\": without its errors the RMS error would fall from {} to {} \
             kJ/mol.",
            f.family.name(),
            quote(r.now.rms.value / KILO, r.now.rms.value / KILO, 2).value,
            quote(
                f.better.effects[0].treated.rms.value / KILO,
                f.better.effects[0].treated.rms.value / KILO,
                2
            )
            .value
        )
    });
    let rest = if idle.is_empty() {
        String::new()
    } else {
        format!(
            " Not worth improving, for less than 1 % of it: {}.",
            idle.join(", ")
        )
    };
    gain + &rest
}

/// A share in percent with its 95 % interval.
fn interval(s: &Share) -> [String; 2] {
    let q = quote(100.0 * s.value, 100.0 * s.se.max(1e-4), 1);
    let ends = [s.low, s.high].map(|x| format!("{:.*}", decimals(&q.value), 100.0 * x));
    [q.value, format!("{} to {}", ends[0], ends[1])]
}

fn decimals(text: &str) -> usize {
    text.split_once('.').map_or(0, |(_, rest)| rest.len())
}

/// How a ranking takes the last digit of a display, and what it cannot see therefore.
pub(in crate::report) fn last_digit(scenario: &Scenario) -> &'static str {
    let legs = scenario.legs();
    let mut used = legs.iter().filter(|leg| leg.runs > 0);
    if used.any(|leg| leg.noise_within_a_digit()) {
        "The last digit of a display counts as an independent error; in truth noise below a digit also spreads the \
         readings over several, so that a quieter thermometer with the same display can be worse: `loosen` rounds truly."
    } else {
        "The last digit of a display counts as an independent error."
    }
}

fn by_variance(r: &Ranking) -> String {
    let mut out = heading("by variance");
    out.push_str(&paragraph(
        &format!(
            "Shares of the variance of the result's error, %: total (with everything the source takes part in), its \
             95 % interval, and alone. Sources that these trials cannot tell apart share a rank. {}",
            last_digit(&r.scenario)
        ),
        2,
    ));
    let row = |rank: usize, name: &str, what: &str, total: &Share, first: &Share| {
        let [value, ends] = interval(total);
        let alone = interval(first)[0].clone();
        vec![
            format!("{rank}."),
            name.to_owned(),
            what.to_owned(),
            value,
            ends,
            alone,
        ]
    };
    let mut rows: Vec<Vec<String>> = r
        .sources
        .iter()
        .take(ROWS)
        .map(|s| {
            let what = s.source.scope.name();
            row(s.rank, s.source.key, what, &s.share.total, &s.share.first)
        })
        .collect();
    rows.push(vec![String::new(); 6]);
    for f in &r.families {
        let name = format!("all of {}", f.family.name());
        rows.push(row(f.rank, &name, "family", &f.share.total, &f.share.first));
    }
    out.push_str(&table(
        &["", "source", "scope", "total", "95 %", "alone"],
        rows,
        &[0, 3, 4, 5],
    ));
    let more = r.sources.len().saturating_sub(ROWS);
    let [alone, total] = [&r.sums[0], &r.sums[1]].map(|s| percent(s.value));
    let mut said = format!(
        "{more} further sources are in the files. All sources alone sum to {alone}, totals to {total}."
    );
    if (r.sums[1].value - r.sums[0].value) > 0.05 {
        said.push_str(
            " What is missing or too much is interaction: sources that matter only together, such as a chance and \
             what it decides, or a reagent that runs out.",
        );
    }
    out.push_str(&paragraph(&said, 2));
    if r.nonfinite > 0 {
        let left = format!(
            "{} trials gave no finite result and are left out.",
            count(r.nonfinite)
        );
        out.push_str(&paragraph(&left, 2));
    }
    out
}

fn by_bias(r: &Ranking) -> String {
    let mut out = heading("by bias");
    out.push_str(&paragraph(
        "Mean error that a source makes: now less without it, on the same random numbers (minus in size: too small). \
         Only those that these trials can see.",
        2,
    ));
    let mut seen: Vec<(&Ranked, Estimate)> = r
        .sources
        .iter()
        .map(|s| (s, perfect(&s.better).mean))
        .filter(|(_, e)| is_seen(*e))
        .collect();
    seen.sort_by(|a, b| b.1.value.abs().total_cmp(&a.1.value.abs()));
    let rows: Vec<Vec<String>> = seen
        .iter()
        .take(ROWS)
        .map(|(s, e)| {
            let (value, se) = with_se(*e, KILO);
            let size = e.value * r.target.signum() / r.target.abs();
            vec![
                s.source.key.to_owned(),
                s.source.scope.name().to_owned(),
                value,
                se,
                percent(size),
                if s.one_sided { "one-sided" } else { "" }.to_owned(),
            ]
        })
        .collect();
    if rows.is_empty() {
        out.push_str(&paragraph("None.", 2));
        return out;
    }
    out.push_str(&table(
        &["source", "scope", "kJ/mol", "", "in size", ""],
        rows,
        &[2, 4],
    ));
    out
}

fn better(r: &Ranking) -> String {
    let mut out = heading("if it were better");
    let now = quote(r.now.rms.value / KILO, r.now.rms.value / KILO, 3).value;
    out.push_str(&paragraph(
        &format!(
            "RMS error of the result, now {now} kJ/mol, if a source erred half as much, and not at all; and its spread \
             then. A one-sided error that is made perfect loses its bias too."
        ),
        2,
    ));
    let of = |e: Estimate| quote(e.value / KILO, e.value / KILO, 3).value;
    let row = |name: String, effects: &GroupEffects| {
        let [perfect, halved] = [&effects.effects[0], &effects.effects[1]];
        let (gain, se) = with_se(perfect.gain.rms, KILO);
        vec![
            name,
            of(halved.treated.rms),
            of(perfect.treated.rms),
            of(perfect.treated.sd),
            gain,
            se,
        ]
    };
    let mut ranked: Vec<&Ranked> = r.sources.iter().collect();
    ranked.sort_by(|a, b| {
        let gain = |s: &Ranked| perfect(&s.better).rms.value;
        gain(b).total_cmp(&gain(a))
    });
    let mut rows: Vec<Vec<String>> = ranked
        .iter()
        .take(ROWS)
        .map(|s| row(s.source.key.to_owned(), &s.better))
        .collect();
    rows.push(vec![String::new(); 6]);
    for f in &r.families {
        rows.push(row(format!("all of {}", f.family.name()), &f.better));
    }
    out.push_str(&table(
        &["source", "halved", "perfect", "spread", "gain", ""],
        rows,
        &[1, 2, 3, 4],
    ));
    out
}

fn sides(r: &Ranking) -> String {
    let mut out = heading("calibration against determination");
    out.push_str(&paragraph(
        "What a source does to the result through the runs of either kind alone, and through both (standard \
         deviations, kJ/mol). What cancels is the part of the two variances that is gone in both.",
        2,
    ));
    let size = |x: f64| quote(x / KILO, x / KILO, 2).value;
    let worth = |s: &&crate::rank::Sides| {
        s.calibration.spread.value.max(s.determination.spread.value) > 0.02 * r.now.sd.value
    };
    let rows: Vec<Vec<String>> = r
        .sides
        .iter()
        .filter(worth)
        .take(ROWS)
        .map(|s| {
            let [c, d, b] =
                [&s.calibration, &s.determination, &s.both].map(|x| size(x.spread.value));
            let cancels = if s.cancels.abs() < 0.05 {
                "nothing".to_owned()
            } else if s.cancels > 0.0 {
                percent(s.cancels)
            } else {
                format!("adds {}", percent(-s.cancels))
            };
            vec![s.source.key.to_owned(), c, d, b, cancels]
        })
        .collect();
    if rows.is_empty() {
        out.push_str(&paragraph("No source errs on both sides.", 2));
        return out;
    }
    out.push_str(&table(
        &["source", "calibration", "determination", "both", "cancels"],
        rows,
        &[1, 2, 3, 4],
    ));
    out
}

fn scopes(r: &Ranking) -> String {
    let mut out = heading("what repetition averages");
    let rows: Vec<Vec<String>> = r
        .scopes
        .iter()
        .map(|s| {
            let [value, ends] = interval(&s.total);
            let what = match s.name.as_str() {
                "reading" | "run" => "averaged by more runs",
                "group" => "averaged by more groups only",
                _ => "averaged by nothing",
            };
            vec![s.name.clone(), value, ends, what.to_owned()]
        })
        .collect();
    out.push_str(&table(
        &["scope", "of variance, %", "95 %", ""],
        rows,
        &[1, 2],
    ));
    let (floor, se) = with_se(r.floor, KILO);
    let now = with_se(r.now.sd, KILO);
    out.push_str(&paragraph(
        &format!(
            "Infinitely many runs of both kinds would leave a spread of {floor} {se} kJ/mol; now it is {} {} kJ/mol.",
            now.0, now.1
        ),
        2,
    ));
    out
}
