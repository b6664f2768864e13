//! Every key through twelve decades, in both signs and in every kind of statement: whatever is accepted gives a typical result
//! that is finite and of the right sign, or a warning names the key.

use joulecast::engine::Study;
use joulecast::experiment::{Experiment, ResultColumn};
use joulecast::scenario::{Raw, SOURCES, Scenario, read, schema, shipped, shipped_names};

/// Statements of a size in some unit.
fn statements(size: &str) -> Vec<String> {
    [
        "{}",
        "exactly {}",
        "{} rectangular",
        "u = {}",
        "{} exponential",
        "{}, 50 % log-normal",
        "{}, u = 20 %",
        "0 to {}",
    ]
    .map(|form| form.replace("{}", size))
    .to_vec()
}

/// Paths at which a key may stand in a scenario.
fn paths(scenario: &Scenario, site: &str, name: &str) -> Vec<String> {
    let tail = if site.is_empty() {
        name.to_owned()
    } else {
        format!("{site}.{name}")
    };
    let legs = scenario.legs();
    let mut all: Vec<String> = legs.iter().map(|l| format!("{}.{tail}", l.name)).collect();
    all.push(tail);
    all.retain(|p| schema::find(p).is_some());
    all
}

/// All cases: path and statement, of keys that take a quantity.
fn cases(scenario: &Scenario) -> Vec<(String, String)> {
    let mut all = Vec::new();
    for key in schema::all_keys() {
        let range = match key.source() {
            Some(source) => source.usual,
            None => key.usual,
        };
        // The unit that its range is written in.
        let Some((_, unit)) = range.rsplit_once(" to ").and_then(|(_, high)| {
            let cut = high.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))?;
            Some(high.split_at(cut))
        }) else {
            continue;
        };
        for path in paths(scenario, key.site, key.name) {
            for decade in -6..6 {
                for sign in ["", "-"] {
                    let size = format!("{sign}3e{decade}{unit}");
                    all.extend(statements(&size).into_iter().map(|s| (path.clone(), s)));
                }
            }
        }
    }
    all
}

/// Median of the result over nature's value, of a block of trials.
fn typical(scenario: &Scenario) -> f64 {
    let model = Experiment::without_claims(scenario.clone());
    let columns = Study::new(7).run(&model, 256).expect("a run").columns;
    let [error, target] = [ResultColumn::Error, ResultColumn::Target].map(|q| &columns[q as usize]);
    let mut ratio: Vec<f64> = error.iter().zip(target).map(|(e, t)| 1.0 + e / t).collect();
    // What is not finite counts as far out on either side.
    ratio.sort_by(f64::total_cmp);
    let nonfinite = ratio.iter().filter(|r| !r.is_finite()).count();
    if nonfinite > 2 {
        f64::NAN
    } else {
        ratio[ratio.len() / 2]
    }
}

/// Goes through every `stride`-th case; how many there were, were accepted, and what misled in silence.
fn through(stride: usize) -> (usize, usize, Vec<String>) {
    let (mut all, mut accepted, mut silent) = (0, 0, Vec::new());
    for name in shipped_names() {
        let scenario = read(shipped(name).expect("a text")).expect("a scenario");
        for (path, statement) in cases(&scenario)
            .into_iter()
            .skip(all % stride)
            .step_by(stride)
        {
            all += 1;
            let Ok(changed) = scenario.changed(&[(path.clone(), Raw::Text(statement.clone()))])
            else {
                continue;
            };
            accepted += 1;
            let seen = typical(&changed);
            if seen.is_finite() && seen > 0.0 {
                continue;
            }
            let tail = schema::in_leg(&path).1;
            let names = |w: &joulecast::scenario::Problem| w.to_string().contains(tail);
            let named = changed.warnings.iter().any(names);
            if !named {
                silent.push(format!("{name}: {path} = {statement}: {seen}"));
            }
        }
    }
    (all, accepted, silent)
}

#[test]
fn no_accepted_value_misleads_in_silence() {
    let (all, accepted, silent) = through(211);
    assert!(all > 500 && accepted > 100, "{all} {accepted}");
    assert!(silent.is_empty(), "{}", silent.join("\n"));
    assert!(SOURCES.len() > 50);
}

#[test]
#[ignore = "minutes: every case, for the record"]
fn no_accepted_value_misleads_in_silence_in_all_cases() {
    let (all, accepted, silent) = through(1);
    eprintln!(
        "{all} cases, {accepted} accepted, {} in silence",
        silent.len()
    );
    assert!(silent.is_empty(), "{}", silent.join("\n"));
}
